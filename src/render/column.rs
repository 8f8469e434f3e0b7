//! The columns of a report: one list serves its page and its rows.

use super::document::Table;
use super::spreadsheet::{Cell, Sheet};

/// A column of a report: what stands over it on a page, what it is called in rows, and what it says of a thing.
pub struct Column<T> {
    head: Option<&'static str>,
    name: Option<&'static str>,
    cell: fn(&T) -> Cell,
}

/// Makes a column that stands on the page and in the rows; a head that begins with ">" holds numbers.
pub const fn both<T>(head: &'static str, name: &'static str, cell: fn(&T) -> Cell) -> Column<T> {
    Column {
        head: Some(head),
        name: Some(name),
        cell,
    }
}

/// Makes a column that stands on the page alone.
pub const fn on_page<T>(head: &'static str, cell: fn(&T) -> Cell) -> Column<T> {
    Column {
        head: Some(head),
        name: None,
        cell,
    }
}

/// Makes a column that stands in the rows alone.
pub const fn in_rows<T>(name: &'static str, cell: fn(&T) -> Cell) -> Column<T> {
    Column {
        head: None,
        name: Some(name),
        cell,
    }
}

/// Lays things out as a table of a page.
pub fn table<'t, T: 't>(columns: &[Column<T>], things: impl IntoIterator<Item = &'t T>) -> Table {
    let heads: Vec<&str> = columns.iter().filter_map(|column| column.head).collect();
    let mut table = Table::new(&heads);
    for thing in things {
        let shown = columns.iter().filter(|column| column.head.is_some());
        table.row(shown.map(|column| (column.cell)(thing).to_string()));
    }
    table
}

/// Lays things out as rows.
pub fn sheet<'t, T: 't>(columns: &[Column<T>], things: impl IntoIterator<Item = &'t T>) -> Sheet {
    let row = |thing: &T| {
        let named = columns.iter().filter(|column| column.name.is_some());
        named.map(|column| (column.cell)(thing)).collect()
    };
    Sheet {
        header: columns.iter().filter_map(|column| column.name).collect(),
        rows: things.into_iter().map(row).collect(),
    }
}
