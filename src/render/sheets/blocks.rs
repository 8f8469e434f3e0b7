//! A report's page as blocks, laid out on a printed page.

use crate::render::page::{Flow, Grid, GridCell};
use crate::render::{Block, Document, Table};

/// Lays out the blocks of a report; its title is left out, because the sheet has its own.
pub(super) fn blocks(flow: &mut Flow, document: &Document) {
    for block in document.all() {
        match block {
            Block::Text(text) => flow.text(text),
            Block::List(points) | Block::Brief(points) => {
                flow.list(points);
            }
            Block::Table(table) => flow.grid(&grid(table)),
            Block::Caution(text) => flow.caution(text),
            Block::Standing(caution) => flow.caution(caution.words()),
            Block::Heading(1, _) | Block::Behind(..) | Block::InShort(_) | Block::IfRoom(_) => {}
            Block::Heading(_, text) => flow.heading(text),
        }
    }
}

fn grid(table: &Table) -> Grid {
    let row = |row: &Vec<String>| row.iter().map(GridCell::new).collect();
    Grid {
        heads: table.heads.clone(),
        rows: table.rows.iter().map(row).collect(),
        line_a_row: false,
    }
}
