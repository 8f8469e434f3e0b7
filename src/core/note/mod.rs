//! The teardown note: a plain text, or a spreadsheet of one row a part, that says what came out of one unit.

mod cells;
mod columns;
mod diagnostic;
mod draft;
mod encoding;
mod field;
mod gland_fields;
mod header_draft;
mod lexer;
mod parser;
mod part_kind;
mod part_name;
mod piece;
mod printer;
mod reader;
mod reading;
mod record;
mod review;
mod sheet;
mod sheet_reader;
mod template;
mod vocabulary;

pub use diagnostic::{Diagnostic, Severity};
pub use encoding::decode;
pub use parser::read_note;
pub use part_kind::PartKind;
pub use printer::print;
pub use reading::NoteReading;
pub use record::{
    Entry, Fate, Header, LengthName, Note, PartDimension, Place, SizeWitness, StatedSize,
};
pub use sheet::{NoteSheet, sheet, sheet_header};
pub use sheet_reader::read_sheet;
pub use template::Template;
