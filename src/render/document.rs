//! A report as blocks of text and tables, before it takes the form of a terminal page, Markdown or HTML.

use crate::core::caution::Caution;

/// Holds a report's blocks in reading order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Document {
    /// The blocks.
    pub blocks: Vec<Block>,
}

/// Holds one block of a report.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading; level 1 is the report's title.
    Heading(u8, String),
    /// A paragraph.
    Text(String),
    /// Points under each other.
    List(Vec<String>),
    /// A table.
    Table(Table),
    /// A caution that must be seen.
    Caution(String),
}

/// Holds a table of text cells.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Column heads.
    pub heads: Vec<Head>,
    /// Rows; each has one cell a head.
    pub rows: Vec<Vec<String>>,
}

/// Holds one column head.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    /// The text.
    pub text: String,
    /// Whether the column holds numbers, which stand to the right.
    pub numeric: bool,
}

impl Document {
    /// Makes an empty report.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a heading.
    pub fn heading(&mut self, level: u8, text: impl Into<String>) -> &mut Self {
        self.blocks.push(Block::Heading(level, text.into()));
        self
    }

    /// Adds a paragraph; an empty one is left out.
    pub fn text(&mut self, text: impl Into<String>) -> &mut Self {
        let text = text.into();
        if !text.is_empty() {
            self.blocks.push(Block::Text(text));
        }
        self
    }

    /// Adds points; an empty list is left out.
    pub fn list(&mut self, points: impl IntoIterator<Item = String>) -> &mut Self {
        let points: Vec<String> = points.into_iter().collect();
        if !points.is_empty() {
            self.blocks.push(Block::List(points));
        }
        self
    }

    /// Adds a table; one without rows is left out.
    pub fn table(&mut self, table: Table) -> &mut Self {
        if !table.rows.is_empty() {
            self.blocks.push(Block::Table(table));
        }
        self
    }

    /// Adds a caution; one that stands on the page already is not said again.
    pub fn caution(&mut self, text: impl Into<String>) -> &mut Self {
        let caution = Block::Caution(text.into());
        if !self.blocks.contains(&caution) {
            self.blocks.push(caution);
        }
        self
    }

    /// Adds the cautions of a report.
    pub fn cautions(&mut self, cautions: &[Caution]) -> &mut Self {
        for caution in cautions {
            self.caution(caution.words());
        }
        self
    }
}

impl Table {
    /// Makes a table with these column heads; a head that begins with ">" holds numbers.
    pub fn new(heads: &[&str]) -> Self {
        let heads = heads
            .iter()
            .map(|head| Head {
                text: head.trim_start_matches('>').to_owned(),
                numeric: head.starts_with('>'),
            })
            .collect();
        Self {
            heads,
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) -> &mut Self {
        self.rows.push(cells.into_iter().collect());
        self
    }
}
