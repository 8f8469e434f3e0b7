//! Price lists as suppliers lay them out: where the heads stand, what a column holds, and what a row offers.
//!
//! A list comes as rows of cells. [`Layout`] finds the heads below titles and blank lines, over one to three rows, and says
//! what each column holds and which were left out and why. [`RowReader`] makes each row an offer, a line that is none
//! (a heading, a total, the heads again), or a refusal with its reason. Nothing is dropped without a word.

mod cells;
mod column;
mod column_map;
mod date_damage;
mod fault;
mod head;
mod head_word;
mod layout;
mod left_out;
mod price_columns;
mod price_text;
mod row_price;
mod row_reader;
mod row_word;

pub use cells::TableRow;
pub use column::{Column, PriceColumn, Priced};
pub use column_map::{ColumnMap, ColumnMapError};
pub use date_damage::date_like;
pub use fault::{PassedOver, Reject, RowFault};
pub use layout::{Layout, LayoutError, ListTerms, tax_word};
pub use left_out::{LeftOut, LeftOutWhy};
pub use price_text::{PriceError, is_price, parse_price};
pub use row_reader::{MOST_LETTERS, OfferPrice, OfferRow, RowRead, RowReader, is_pack};
