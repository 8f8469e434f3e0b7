//! A table on a page: columns as wide as they need, cells that wrap, rows that go on over the page with the heads again.

use super::drawing::{Anchor, Drawing, Pen, Type};
use super::facing::{FACING_SIZE, draw_facing};
use super::flow::{BODY, Flow, SMALL};
use super::wrapped::{LEADING, words_of, wrapped};
use crate::core::note::Facing;

/// Holds a table.
#[derive(Debug, Clone, Default)]
pub struct Grid {
    /// Column heads; one that begins with ">" holds numbers, which stand to the right.
    pub heads: Vec<String>,
    /// Rows; each has one cell a head.
    pub rows: Vec<Vec<GridCell>>,
}

/// Holds a cell.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct GridCell {
    /// Its text; lines are kept.
    pub text: String,
    /// Whether it is bold.
    pub bold: bool,
    /// Whether it is struck out: it was so, and is no more.
    pub struck: bool,
    /// Whether a frame stands around its text.
    pub framed: bool,
    /// A picture above the text.
    pub picture: Option<Picture>,
}

/// Names a small picture in a cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Picture {
    /// A box to tick.
    Tick,
    /// A disc of this diameter in points: the section of a ring.
    Disc(f64),
    /// A bar filled to a share, 0 to 1.
    Share(f64),
    /// Which way round a part sits.
    Facing(Facing),
}

const GAP: f64 = 8.0;
const PAD: f64 = 2.5;
const TICK: f64 = 8.0;
const FRAME: f64 = 3.0;
const SHARE_WIDE: f64 = 70.0;
const SHARE_HIGH: f64 = 7.0;

impl Picture {
    fn size(self) -> (f64, f64) {
        match self {
            Self::Tick => (TICK, TICK + 1.0),
            Self::Disc(diameter) => (diameter, diameter + 1.0),
            Self::Share(_) => (SHARE_WIDE, SHARE_HIGH + 2.0),
            Self::Facing(_) => FACING_SIZE,
        }
    }

    fn draw(self, drawing: &mut Drawing, (left, top): (f64, f64)) {
        let pen = Pen::line(0.7);
        match self {
            Self::Tick => drawing.rectangle((left, top + 1.0), (TICK, TICK), pen),
            Self::Disc(diameter) => {
                let radius = diameter / 2.0;
                drawing.circle((left + radius, top + radius + 1.0), radius, Pen::fill(0.0));
            }
            Self::Share(share) => {
                let size = (SHARE_WIDE, SHARE_HIGH);
                drawing.rectangle((left, top + 1.0), size, pen);
                let filled = (SHARE_WIDE * share.clamp(0.0, 1.0), SHARE_HIGH);
                drawing.rectangle((left, top + 1.0), filled, Pen::fill(0.0));
            }
            Self::Facing(facing) => draw_facing(drawing, (left, top), facing),
        }
    }
}

impl GridCell {
    /// A cell of plain text.
    pub fn new(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// A cell of bold text.
    pub fn bold(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            bold: true,
            ..Self::default()
        }
    }

    /// A cell of text that is struck out.
    pub fn struck(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            struck: true,
            ..Self::default()
        }
    }

    /// A cell of text in a frame.
    pub fn framed(text: impl Into<String>) -> Self {
        let text = text.into();
        Self {
            framed: !text.is_empty(),
            text,
            ..Self::default()
        }
    }

    /// A cell with a picture and no text.
    pub fn picture(picture: Picture) -> Self {
        Self {
            picture: Some(picture),
            ..Self::default()
        }
    }

    /// The text as a screen shows it, where a box to tick is a sign.
    fn on_screen(&self) -> String {
        let sign = if self.picture == Some(Picture::Tick) {
            "☐"
        } else {
            ""
        };
        let text = if self.struck {
            format!("{} (taken back)", self.text)
        } else {
            self.text.clone()
        };
        [sign, &text].concat()
    }

    fn style(&self) -> Type {
        if self.bold {
            Type::bold(BODY)
        } else {
            Type::plain(BODY)
        }
    }

    /// The width that the cell takes where nothing limits it, and the width of its longest word.
    fn widths(&self) -> (f64, f64) {
        let style = self.style();
        let picture = self.picture.map_or(0.0, |picture| picture.size().0);
        let whole = self.text.lines().map(|line| style.width(line));
        let words = words_of(&self.text).map(|word| style.width(word));
        (whole.fold(picture, f64::max), words.fold(picture, f64::max))
    }

    fn wrapped(&self, width: f64) -> Vec<String> {
        let lines = self.text.lines();
        lines
            .flat_map(|line| wrapped(line, self.style(), width))
            .collect()
    }
}

impl Grid {
    /// Makes a table with these heads.
    pub fn new(heads: &[&str]) -> Self {
        Self {
            heads: heads.iter().map(|head| (*head).to_owned()).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = GridCell>) {
        self.rows.push(cells.into_iter().collect());
    }

    pub(super) fn heads_on_screen(&self) -> Vec<&str> {
        (0..self.heads.len())
            .map(|column| self.head(column).0)
            .collect()
    }

    pub(super) fn rows_on_screen(&self) -> Vec<Vec<String>> {
        let row = |row: &Vec<GridCell>| row.iter().map(GridCell::on_screen).collect();
        self.rows.iter().map(row).collect()
    }

    fn head(&self, column: usize) -> (&str, Anchor) {
        let head = self.heads.get(column).map_or("", String::as_str);
        match head.strip_prefix('>') {
            Some(text) => (text, Anchor::Right),
            None => (head, Anchor::Left),
        }
    }

    /// Shares the width among the columns: what each wants where that fits; else each gets its longest word, and what is
    /// left is shared by what is wanted; where even the words do not fit, words are broken in the columns that want most.
    fn column_widths(&self, total: f64) -> Vec<f64> {
        /// A column is never made narrower than this by the words of others.
        const LEAST: f64 = 34.0;
        let count = self.heads.len();
        let room = total - GAP * count.saturating_sub(1) as f64;
        let mut wanted = vec![0.0_f64; count];
        let mut needed = vec![0.0_f64; count];
        for column in 0..count {
            let head = GridCell::bold(self.head(column).0);
            let cells = self.rows.iter().filter_map(|row| row.get(column));
            for cell in cells.chain([&head]) {
                let (whole, word) = cell.widths();
                wanted[column] = wanted[column].max(whole);
                needed[column] = needed[column].max(word);
            }
        }
        if wanted.iter().sum::<f64>() <= room {
            return wanted;
        }
        if needed.iter().sum::<f64>() > room {
            let even = room / count.max(1) as f64;
            for width in &mut needed {
                *width = width.min(even.max(LEAST));
            }
            let over = needed.iter().sum::<f64>() / room;
            if over > 1.0 {
                for width in &mut needed {
                    *width /= over;
                }
            }
        }
        let spare = room - needed.iter().sum::<f64>();
        let more: Vec<f64> = wanted
            .iter()
            .zip(&needed)
            .map(|(w, n)| (w - n).max(0.0))
            .collect();
        let all = more.iter().sum::<f64>().max(1e-9);
        needed
            .iter()
            .zip(&more)
            .map(|(n, m)| n + spare.max(0.0) * m / all)
            .collect()
    }
}

/// Holds a row broken into the lines of its cells.
struct LaidRow<'g> {
    cells: Vec<(&'g GridCell, Vec<String>)>,
    lines: usize,
}

impl Flow {
    /// Adds a table. A row stays whole where a page can hold it; the heads stand again on every page.
    pub fn grid(&mut self, grid: &Grid) {
        self.grid_in(grid, &grid.column_widths(self.width()));
    }

    /// Adds tables of the same heads under headings of their own; their columns stand under each other.
    pub fn grids(&mut self, grids: &[(String, Grid)]) {
        let mut all = Grid::default();
        for (_, grid) in grids {
            all.heads.clone_from(&grid.heads);
            all.rows.extend(grid.rows.iter().cloned());
        }
        let widths = all.column_widths(self.width());
        for (heading, grid) in grids {
            self.heading(heading);
            self.grid_in(grid, &widths);
        }
    }

    fn grid_in(&mut self, grid: &Grid, widths: &[f64]) {
        if grid.rows.is_empty() {
            return;
        }
        self.screen_table(grid);
        let heads: Vec<(String, Anchor)> = (0..grid.heads.len())
            .map(|column| {
                let (text, anchor) = grid.head(column);
                (text.to_owned(), anchor)
            })
            .collect();
        let head_high = grid_head_height(&heads, widths);
        let mut page_started = false;
        for row in &grid.rows {
            let laid = lay(row, widths);
            let high = laid.height();
            let whole_page = self.page_height() - head_high;
            let fits = high <= self.room() - if page_started { 0.0 } else { head_high };
            if !fits && (high <= whole_page || self.room() < whole_page / 4.0) {
                self.new_page();
                page_started = false;
            }
            if !page_started {
                self.grid_head(&heads, widths);
                page_started = true;
            }
            self.grid_row(&laid, &heads, widths);
        }
        self.space(BODY);
    }

    fn grid_head(&mut self, heads: &[(String, Anchor)], widths: &[f64]) {
        let style = Type::bold(SMALL);
        let top = self.advance(grid_head_height(heads, widths));
        let mut left = self.left();
        let bottom = top + grid_head_height(heads, widths);
        let (start, end) = (self.left(), self.left() + self.width());
        for ((text, anchor), width) in heads.iter().zip(widths) {
            for (at, line) in wrapped(text, style, *width).iter().enumerate() {
                let y = top + SMALL + SMALL * LEADING * at as f64;
                let x = edge(left, *width, *anchor);
                self.drawing().text((x, y), style.at(*anchor), line);
            }
            left += width + GAP;
        }
        let rule = bottom - PAD / 2.0;
        self.drawing()
            .line((start, rule), (end, rule), Pen::line(0.8));
    }

    /// Sets one row; one that no page can hold goes on over the page.
    fn grid_row(&mut self, row: &LaidRow<'_>, heads: &[(String, Anchor)], widths: &[f64]) {
        let line_high = BODY * LEADING;
        let mut from = 0;
        loop {
            let first = from == 0;
            let room = self.room() - 2.0 * PAD;
            let mut fit = row.lines - from;
            while fit > 1 && row.part_height(from, fit) > room {
                fit -= 1;
            }
            let high = (row.part_height(from, fit) + 2.0 * PAD).min(self.room());
            let top = self.advance(high);
            let mut left = self.left();
            for (column, (cell, lines)) in row.cells.iter().enumerate() {
                let width = widths.get(column).copied().unwrap_or(0.0);
                let anchor = heads.get(column).map_or(Anchor::Left, |head| head.1);
                let mut y = top + PAD;
                if cell.framed {
                    let inside = (
                        cell.widths().0.min(width) + 2.0 * FRAME,
                        lines.len() as f64 * line_high + 2.0,
                    );
                    self.drawing()
                        .rectangle((left - FRAME, y), inside, Pen::line(0.6));
                }
                if let Some(picture) = cell.picture.filter(|_| first) {
                    picture.draw(self.drawing(), (left, y));
                    y += picture.size().1;
                }
                for line in lines.iter().skip(from).take(fit) {
                    let at = (edge(left, width, anchor), y + BODY);
                    self.drawing().text(at, cell.style().at(anchor), line);
                    if cell.struck {
                        // Through the middle of the small letters.
                        let (start, through) = (left, y + BODY * 0.7);
                        let end = start + cell.style().width(line);
                        let pen = Pen::line(0.6);
                        self.drawing().line((start, through), (end, through), pen);
                    }
                    y += line_high;
                }
                left += width + GAP;
            }
            let (start, end) = (self.left(), self.left() + self.width());
            self.drawing()
                .line((start, top + high), (end, top + high), Pen::line(0.25));
            from += fit;
            if from >= row.lines {
                return;
            }
            self.new_page();
            self.grid_head(heads, widths);
        }
    }
}

impl LaidRow<'_> {
    fn height(&self) -> f64 {
        self.part_height(0, self.lines) + 2.0 * PAD
    }

    /// The height of the highest cell, of which `count` lines from a line on are set; pictures stand above the first.
    fn part_height(&self, from: usize, count: usize) -> f64 {
        let of_cell = |(cell, lines): &(&GridCell, Vec<String>)| {
            let picture = cell.picture.filter(|_| from == 0);
            let set = lines.len().saturating_sub(from).min(count);
            picture.map_or(0.0, |p| p.size().1) + set as f64 * BODY * LEADING
        };
        self.cells.iter().map(of_cell).fold(0.0, f64::max)
    }
}

fn lay<'g>(row: &'g [GridCell], widths: &[f64]) -> LaidRow<'g> {
    let cells: Vec<(&GridCell, Vec<String>)> = row
        .iter()
        .zip(widths)
        .map(|(cell, width)| (cell, cell.wrapped(*width + 0.01)))
        .collect();
    LaidRow {
        lines: cells
            .iter()
            .map(|(_, lines)| lines.len())
            .max()
            .unwrap_or(0),
        cells,
    }
}

fn grid_head_height(heads: &[(String, Anchor)], widths: &[f64]) -> f64 {
    // A table without heads has only the rule above its first row.
    if heads.iter().all(|(text, _)| text.is_empty()) {
        return 2.0 * PAD;
    }
    let style = Type::bold(SMALL);
    let lines = heads
        .iter()
        .zip(widths)
        .map(|((text, _), width)| wrapped(text, style, *width).len());
    lines.max().unwrap_or(1).max(1) as f64 * SMALL * LEADING + 2.0 * PAD
}

fn edge(left: f64, width: f64, anchor: Anchor) -> f64 {
    match anchor {
        Anchor::Left => left,
        Anchor::Middle => left + width / 2.0,
        Anchor::Right => left + width,
    }
}
