//! A report as blocks of text and tables, before it takes the form of a terminal page, Markdown or HTML.

use super::column::{Column, sheet, table};
use super::spreadsheet::Sheet;
use crate::core::caution::Caution;
use std::collections::VecDeque;

/// Lines of a screen that decides one thing.
pub const DECISION: usize = 20;
/// Lines of a screen that lists things.
pub const LISTING: usize = 30;

/// A report's blocks in reading order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Document {
    pub blocks: Vec<Block>,
    /// Lines that the answer may take on a screen; `None` where it is as long as it is.
    pub room: Option<usize>,
    /// So many of the brief points, the last ones, are cut to a line each.
    pub cut: usize,
    /// The rows of the report.
    pub(super) rows: Option<Sheet>,
    /// Whether something was left out for want of room.
    left_out: bool,
}

/// One block of a report.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading; level 1 is the report's title.
    Heading(u8, String),
    /// A paragraph.
    Text(String),
    /// Points under each other.
    List(Vec<String>),
    Table(Table),
    /// A caution that must be seen where it stands.
    Caution(String),
    /// A caution that stands on every answer of its kind.
    Standing(Caution),
    /// Blocks that stand behind the answer.
    Behind(Behind, Vec<Block>),
    /// Blocks that stand for others behind the answer, and go where everything is shown.
    InShort(Vec<Block>),
    /// Blocks that stand on a screen where there is room for them.
    IfRoom(Vec<Block>),
    /// Points that are cut to a line each where there is no room for more.
    Brief(Vec<String>),
}

/// Says what stands behind an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Behind {
    /// The rest of the figures.
    Rest,
    Reasons,
}

/// Says how much of a report is shown: the answer alone, with its reasons, or everything.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Depth {
    /// The answer: what to do, the figures that carry it, what to know.
    #[default]
    Answer,
    /// The answer with its reasons and sources.
    Why,
    Full,
}

impl Depth {
    fn shows(self, behind: Behind) -> bool {
        matches!(
            (self, behind),
            (Self::Full, _) | (Self::Why, Behind::Reasons)
        )
    }
}

/// A table: of text, or of the cells of a printed page.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table<C = String> {
    pub heads: Vec<Head>,
    /// Rows; each has one cell a head.
    pub rows: Vec<Vec<C>>,
    /// Whether each row is cut to one line.
    pub line_a_row: bool,
}

/// One column head.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    pub text: String,
    /// Whether the column holds numbers, which stand to the right.
    pub numeric: bool,
    /// Whether the column holds reasons and sources, which stand behind the answer.
    pub behind: bool,
}

fn points(points: impl IntoIterator<Item = String>) -> Option<Vec<String>> {
    let points: Vec<String> = points.into_iter().collect();
    (!points.is_empty()).then_some(points)
}

impl Document {
    /// Adds a heading.
    pub fn heading(&mut self, level: u8, text: impl Into<String>) {
        self.blocks.push(Block::Heading(level, text.into()));
    }

    /// Adds the title of a report.
    pub fn title(&mut self, text: impl Into<String>) {
        self.heading(1, text);
    }

    /// Adds the heading of a section.
    pub fn section(&mut self, text: impl Into<String>) {
        self.heading(2, text);
    }

    /// Adds a paragraph; an empty one is left out.
    pub fn text(&mut self, text: impl Into<String>) {
        let text = text.into();
        if !text.is_empty() {
            self.blocks.push(Block::Text(text));
        }
    }

    /// Adds points; an empty list is left out.
    pub fn list(&mut self, points: impl IntoIterator<Item = String>) {
        self.blocks.extend(self::points(points).map(Block::List));
    }

    /// Adds points that are cut to a line each where there is no room for more.
    pub fn brief(&mut self, points: impl IntoIterator<Item = String>) {
        self.blocks.extend(self::points(points).map(Block::Brief));
    }

    /// Adds a table; one without rows is left out.
    pub fn table(&mut self, table: Table) {
        if !table.rows.is_empty() {
            self.blocks.push(Block::Table(table));
        }
    }

    /// Gives the rows of the report.
    pub fn rows(&mut self, rows: Sheet) {
        self.rows = Some(rows);
    }

    /// Lists things as a table of the page and as the rows of the report.
    pub fn listed<'t, T: 't>(
        &mut self,
        columns: &[Column<T>],
        things: impl IntoIterator<Item = &'t T> + Clone,
    ) {
        self.rows(sheet(columns, things.clone()));
        self.table(table(columns, things));
    }

    /// Adds points under a heading; nothing where there are none.
    pub fn points(&mut self, title: &str, points: impl IntoIterator<Item = String>) {
        let points: Vec<String> = points.into_iter().collect();
        if !points.is_empty() {
            self.section(title);
        }
        self.list(points);
    }

    /// Adds a caution; one that stands on the page already is not said again.
    pub fn caution(&mut self, text: impl Into<String>) {
        self.once(Block::Caution(text.into()));
    }

    fn once(&mut self, block: Block) {
        if !self.blocks.contains(&block) {
            self.blocks.push(block);
        }
    }

    /// Adds the cautions of a report; one that stands on the page already is not said again.
    pub fn cautions(&mut self, cautions: &[Caution]) {
        for caution in cautions {
            self.once(Block::Standing(*caution));
        }
    }

    /// Adds the rest of the figures, which stands behind the answer (`--full`).
    pub fn rest(&mut self, write: impl FnOnce(&mut Self)) {
        self.behind(Behind::Rest, write);
    }

    /// Adds reasons and sources, which stand behind the answer (`--why`, `--full`).
    pub fn reasons(&mut self, write: impl FnOnce(&mut Self)) {
        self.behind(Behind::Reasons, write);
    }

    /// Adds what stands on a screen for more that stands behind the answer.
    pub fn in_short(&mut self, write: impl FnOnce(&mut Self)) {
        let blocks = self.inner(write);
        self.blocks.push(Block::InShort(blocks));
    }

    /// Adds what stands on a screen where there is room; what comes last is left out first.
    pub fn if_room(&mut self, write: impl FnOnce(&mut Self)) {
        let mut blocks = self.inner(write);
        drop_last_headings(&mut blocks);
        self.blocks.push(Block::IfRoom(blocks));
    }

    /// Says how many lines the answer may take on a screen.
    pub fn fits(&mut self, lines: usize) {
        self.room = Some(lines);
    }

    /// Makes the answer shorter by one step, what matters least first; tells whether there was one.
    pub(super) fn tighten(&mut self) -> bool {
        if leave_out(&mut self.blocks) {
            self.left_out = true;
            return true;
        }
        self.cut += 1;
        self.cut <= brief_points(&self.blocks)
    }

    /// Ends an answer on a screen with the command that likely comes next, ready to paste.
    pub fn next(&mut self, command: &str) {
        self.in_short(|page| page.text(format!("Next: ringwright {command}")));
    }

    /// Writes blocks that stand in another; rows are those of the report, wherever they are listed.
    fn inner(&mut self, write: impl FnOnce(&mut Self)) -> Vec<Block> {
        let mut page = Self::default();
        write(&mut page);
        self.rows = page.rows.or(self.rows.take());
        page.blocks
    }

    fn behind(&mut self, behind: Behind, write: impl FnOnce(&mut Self)) {
        let blocks = self.inner(write);
        if !blocks.is_empty() {
            self.blocks.push(Block::Behind(behind, blocks));
        }
    }

    /// Lists all blocks, those behind the answer in their places.
    pub fn all(&self) -> Vec<&Block> {
        fn gather<'b>(blocks: &'b [Block], all: &mut Vec<&'b Block>) {
            for block in blocks {
                match block {
                    Block::Behind(_, inner) | Block::IfRoom(inner) => gather(inner, all),
                    Block::InShort(_) => {}
                    block => all.push(block),
                }
            }
        }
        let mut all = Vec::new();
        gather(&self.blocks, &mut all);
        all
    }

    /// Returns the blocks that are shown at a depth.
    ///
    /// Below everything, the cautions that stand on every answer of its kind are one line at the end, and a line says what more
    /// there is.
    #[must_use]
    pub fn shown(self, depth: Depth) -> Self {
        let mut shown = Self {
            room: self.room.filter(|_| depth == Depth::Answer),
            cut: self.cut,
            ..Self::default()
        };
        let mut cautions: Vec<Caution> = Vec::new();
        let (mut rest, mut reasons) = (self.cut > 0 || self.left_out, false);
        let mut blocks: VecDeque<Block> = self.blocks.into();
        while let Some(block) = blocks.pop_front() {
            match block {
                Block::Behind(behind, inner) if depth.shows(behind) => push_all(&mut blocks, inner),
                Block::IfRoom(inner) => push_all(&mut blocks, inner),
                Block::InShort(inner) if depth != Depth::Full => push_all(&mut blocks, inner),
                Block::InShort(_) => {}
                Block::Table(table) if !depth.shows(Behind::Reasons) => {
                    reasons |= table.heads.iter().any(|head| head.behind);
                    shown.table(table.without_reasons());
                }
                Block::Behind(Behind::Rest, _) => rest = true,
                Block::Behind(Behind::Reasons, _) => reasons = true,
                Block::Standing(caution) if depth != Depth::Full => cautions.push(caution),
                Block::Standing(caution) => {
                    shown.caution(caution.words());
                }
                other => shown.blocks.push(other),
            }
        }
        let more = more_words(rest, reasons);
        if cautions.is_empty() {
            shown.text(more);
        } else {
            let short = crate::core::caution::in_short(&cautions);
            shown.caution(format!("{short} {more}"));
        }
        shown
    }
}

/// Puts blocks before those that are still to be read.
fn push_all(blocks: &mut VecDeque<Block>, first: Vec<Block>) {
    for block in first.into_iter().rev() {
        blocks.push_front(block);
    }
}

/// Leaves the last piece of the last blocks out that stand where there is room; tells whether there was one.
fn leave_out(blocks: &mut [Block]) -> bool {
    blocks.iter_mut().rev().any(|block| match block {
        Block::IfRoom(inner) => leave_out_last(inner),
        Block::InShort(inner) => leave_out(inner),
        _ => false,
    })
}

/// Counts the points that may be cut.
fn brief_points(blocks: &[Block]) -> usize {
    let count = blocks.iter().map(|block| match block {
        Block::Brief(points) => points.len(),
        Block::IfRoom(inner) | Block::InShort(inner) => brief_points(inner),
        _ => 0,
    });
    count.sum()
}

fn leave_out_last(blocks: &mut Vec<Block>) -> bool {
    match blocks.last_mut() {
        None => return false,
        Some(Block::List(points) | Block::Brief(points)) if points.len() > 1 => {
            points.pop();
            return true;
        }
        Some(_) => blocks.pop(),
    };
    drop_last_headings(blocks);
    true
}

/// A heading does not stand alone.
fn drop_last_headings(blocks: &mut Vec<Block>) {
    while matches!(blocks.last(), Some(Block::Heading(..))) {
        blocks.pop();
    }
}

fn more_words(rest: bool, reasons: bool) -> &'static str {
    match (rest, reasons) {
        (true, true) => "(More: --why, --full.)",
        (true, false) => "(More: --full.)",
        (false, true) => "(Reasons: --why.)",
        (false, false) => "",
    }
}

impl Table {
    /// Lays names and what they stand for, which has a head, under each other.
    pub fn facts<'n>(head: &str, facts: impl IntoIterator<Item = (&'n str, String)>) -> Self {
        let mut table = Self::new(&["", head]);
        for (name, words) in facts {
            table.row([name.to_owned(), words]);
        }
        table
    }
}

impl<C> Table<C> {
    /// Makes a table with these column heads; a head that begins with ">" holds numbers, one with "~" reasons.
    pub fn new(heads: &[&str]) -> Self {
        let heads = heads.iter().map(|head| Head {
            text: head.trim_start_matches(['>', '~']).to_owned(),
            numeric: head.starts_with('>'),
            behind: head.starts_with('~'),
        });
        Self {
            heads: heads.collect(),
            rows: Vec::new(),
            line_a_row: false,
        }
    }

    /// Returns the table without the columns that stand behind the answer.
    fn without_reasons(mut self) -> Self {
        let kept: Vec<bool> = self.heads.iter().map(|head| !head.behind).collect();
        for row in &mut self.rows {
            let mut kept = kept.iter();
            row.retain(|_| kept.next().copied().unwrap_or(true));
        }
        self.heads.retain(|head| !head.behind);
        self
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = C>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// Puts a last column behind the others.
    pub fn and(&mut self, head: &str, cells: impl IntoIterator<Item = C>) {
        self.put(self.heads.len(), head, cells);
    }

    /// Puts a first column before the others.
    pub fn before(&mut self, head: &str, cells: impl IntoIterator<Item = C>) {
        self.put(0, head, cells);
    }

    fn put(&mut self, at: usize, head: &str, cells: impl IntoIterator<Item = C>) {
        self.heads.splice(at..at, Self::new(&[head]).heads);
        for (row, cell) in self.rows.iter_mut().zip(cells) {
            row.insert(at, cell);
        }
    }
}
