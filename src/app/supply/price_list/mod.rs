//! Reading a supplier's price list into the book: the file, its tables, their rows, and those that were refused.

mod csv_rows;
mod import;
mod reading;
mod rejects_file;
mod table;
mod workbook;
mod workbook_parts;
mod workbook_sheets;

pub use import::{
    ColumnShown, DescribedCounts, ImportError, ImportProgress, ImportQuestion, ImportReport,
    MappingFrom, TableRead, import_offers, store_list,
};
pub use table::{PriceFile, PriceTable, PriceTableError};
