//! The teardown note: a plain text, or a spreadsheet of one row a part, that says what came out of one unit.

mod part_kind;
mod record;

pub use part_kind::PartKind;
pub use record::{
    Entry, Fate, Header, LengthName, Note, PartDimension, Place, SizeWitness, StatedSize,
};
