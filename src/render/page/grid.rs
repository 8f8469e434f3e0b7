//! A table on a page: columns as wide as they need, cells that wrap, rows that go on over the page with the heads again.

use super::drawing::{Anchor, Drawing, Pen, Type};
use super::facing::{FACING_SIZE, draw_facing};
use super::flow::{BODY, Flow, SMALL};
use super::geometry::{Point, Rect};
use super::wrapped::{LEADING, words_of, wrapped};
use crate::core::note::Facing;
use crate::render::Table;

/// A table of a page.
pub type Grid = Table<GridCell>;

/// What stands in one cell of a grid.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct GridCell {
    /// Its text; lines are kept.
    pub text: String,
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

    fn draw(self, drawing: &mut Drawing, corner: Point) {
        let pen = Pen::line(0.7);
        let below = corner.by(0.0, 1.0);
        match self {
            Self::Tick => drawing.rectangle(Rect::new(below, TICK, TICK), pen),
            Self::Disc(diameter) => {
                let radius = diameter / 2.0;
                drawing.circle(below.by(radius, radius), radius, Pen::fill(0.0));
            }
            Self::Share(share) => {
                let filled = SHARE_WIDE * share.clamp(0.0, 1.0);
                drawing.rectangle(Rect::new(below, SHARE_WIDE, SHARE_HIGH), pen);
                drawing.rectangle(Rect::new(below, filled, SHARE_HIGH), Pen::fill(0.0));
            }
            Self::Facing(facing) => draw_facing(drawing, corner, facing),
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
            bold: true,
            ..Self::new(text)
        }
    }

    /// A cell of text that is struck out.
    pub fn struck(text: impl Into<String>) -> Self {
        Self {
            struck: true,
            ..Self::new(text)
        }
    }

    /// A cell of text in a frame.
    pub fn framed(text: impl Into<String>) -> Self {
        let cell = Self::new(text);
        Self {
            framed: !cell.text.is_empty(),
            ..cell
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

struct Column {
    /// The lines of its head.
    head: Vec<String>,
    anchor: Anchor,
    left: f64,
    width: f64,
}

impl Column {
    /// Where a line begins, or ends.
    fn edge(&self) -> f64 {
        match self.anchor {
            Anchor::Right => self.left + self.width,
            _ => self.left,
        }
    }
}

impl Grid {
    pub(super) fn rows_on_screen(&self) -> Vec<Vec<String>> {
        let row = |row: &Vec<GridCell>| row.iter().map(GridCell::on_screen).collect();
        self.rows.iter().map(row).collect()
    }

    /// Lays the columns out side by side from a left edge.
    fn columns(&self, left: f64, widths: &[f64]) -> Vec<Column> {
        let mut left = left;
        let column = |(head, width): (&crate::render::Head, &f64)| {
            let column = Column {
                head: wrapped(&head.text, Type::bold(SMALL), *width),
                anchor: if head.numeric {
                    Anchor::Right
                } else {
                    Anchor::Left
                },
                left,
                width: *width,
            };
            left += width + GAP;
            column
        };
        self.heads.iter().zip(widths).map(column).collect()
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
        for (column, head) in self.heads.iter().enumerate() {
            let head = GridCell::bold(head.text.as_str());
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
            let over = (needed.iter().sum::<f64>() / room).max(1.0);
            for width in &mut needed {
                *width /= over;
            }
        }
        let spare = room - needed.iter().sum::<f64>();
        let more = wanted.iter().zip(&needed);
        let more: Vec<f64> = more.map(|(w, n)| (w - n).max(0.0)).collect();
        let all = more.iter().sum::<f64>().max(1e-9);
        let widths = needed.iter().zip(&more);
        widths.map(|(n, m)| n + spare.max(0.0) * m / all).collect()
    }
}

/// A row broken into the lines of its cells.
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
        let columns = grid.columns(self.left(), widths);
        let head_high = head_height(&columns);
        let mut page_started = false;
        for row in &grid.rows {
            let laid = lay(row, &columns);
            let high = laid.part_height(0, laid.lines) + 2.0 * PAD;
            let whole_page = self.page_height() - head_high;
            let fits = high <= self.room() - if page_started { 0.0 } else { head_high };
            if !fits && (high <= whole_page || self.room() < whole_page / 4.0) {
                self.new_page();
                page_started = false;
            }
            if !page_started {
                self.grid_head(&columns);
                page_started = true;
            }
            self.grid_row(&laid, &columns);
        }
        self.space(BODY);
    }

    fn grid_head(&mut self, columns: &[Column]) {
        let high = head_height(columns);
        let top = self.advance(high);
        for column in columns {
            let style = Type::bold(SMALL).at(column.anchor);
            let first = Point::new(column.edge(), top + SMALL);
            self.drawing().lines(first, style, &column.head);
        }
        self.rule(top + high - PAD / 2.0, 0.8);
    }

    /// Sets one row; one that no page can hold goes on over the page.
    fn grid_row(&mut self, row: &LaidRow<'_>, columns: &[Column]) {
        let line_high = BODY * LEADING;
        let mut from = 0;
        loop {
            let room = self.room() - 2.0 * PAD;
            let mut fit = row.lines - from;
            while fit > 1 && row.part_height(from, fit) > room {
                fit -= 1;
            }
            let high = (row.part_height(from, fit) + 2.0 * PAD).min(self.room());
            let top = self.advance(high);
            for ((cell, lines), column) in row.cells.iter().zip(columns) {
                let mut y = top + PAD;
                if cell.framed {
                    let wide = cell.widths().0.min(column.width) + 2.0 * FRAME;
                    let corner = Point::new(column.left - FRAME, y);
                    let frame = Rect::new(corner, wide, lines.len() as f64 * line_high + 2.0);
                    self.drawing().rectangle(frame, Pen::line(0.6));
                }
                if let Some(picture) = cell.picture.filter(|_| from == 0) {
                    picture.draw(self.drawing(), Point::new(column.left, y));
                    y += picture.size().1;
                }
                for line in lines.iter().skip(from).take(fit) {
                    let at = Point::new(column.edge(), y + BODY);
                    self.drawing()
                        .text(at, cell.style().at(column.anchor), line);
                    if cell.struck {
                        // Through the middle of the small letters.
                        let start = Point::new(column.left, y + BODY * 0.7);
                        let end = start.by(cell.style().width(line), 0.0);
                        self.drawing().line(start, end, Pen::line(0.6));
                    }
                    y += line_high;
                }
            }
            self.rule(top + high, 0.25);
            from += fit;
            if from >= row.lines {
                return;
            }
            self.new_page();
            self.grid_head(columns);
        }
    }

    fn rule(&mut self, y: f64, width: f64) {
        let start = Point::new(self.left(), y);
        let end = start.by(self.width(), 0.0);
        self.drawing().line(start, end, Pen::line(width));
    }
}

impl LaidRow<'_> {
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

fn lay<'g>(row: &'g [GridCell], columns: &[Column]) -> LaidRow<'g> {
    let cells = row.iter().zip(columns);
    let cells: Vec<(&GridCell, Vec<String>)> = cells
        .map(|(cell, column)| (cell, cell.wrapped(column.width + 0.01)))
        .collect();
    let lines = cells.iter().map(|(_, lines)| lines.len()).max();
    LaidRow {
        lines: lines.unwrap_or(0),
        cells,
    }
}

fn head_height(columns: &[Column]) -> f64 {
    // A table without heads has only the rule above its first row.
    let lines = columns.iter().map(|column| column.head.len()).max();
    lines.unwrap_or(0) as f64 * SMALL * LEADING + 2.0 * PAD
}
