//! The teardown note: a plain text, or a spreadsheet of one row a part, that says what came out of one unit.
//!
//! ```text
//! note    = { line }                       line ends: LF, CR LF or CR; UTF-8, or UTF-16 with its mark
//! line    = header | "[" section "]" | part | more      each may end in a comment, or be one
//! header  = key value                      above the first section: model, unit, date, lengths …
//! part    = name { ";" field }             one line a part, in the order of removal
//! more    = indent field { ";" field }     indented deeper than the part above: belongs to it
//! name    = words [ "x" count ]            its last word tells the kind: retaining nut, filter disc, o-ring
//! field   = key value | place | fate | condition | hardness | polymer | "x" count
//! place   = at … | on … | under … | behind … , or: position …
//! fate    = replace | inspect | keep       condition = new | used | rough (flattened, cracked …)
//! reading = ( od | id | cs | width | cut | mass ) number { number } [ unit ] [ by instrument ]
//! reading = … number unit u number unit by instrument      with its own standard uncertainty, as a scan has one
//! scan    = scan page.png ring 3 [ by scanner ]            measured when the note is added: od, id and a picture of the ring
//! gland   = gland ( piston | rod | face ) { ";" dimension | duty | pressure … from side }
//! comment = "#" … at the start of a line, or with white space on both sides; #5-40 inside a line is a thread
//! ```
//! A colon or an equals sign may stand behind a key. `\;`, `\#` and `\\` stand for the marks themselves. Words and their
//! other spellings are data (`data/notes/keys.csv`, `data/notes/part_kinds.csv`); a word that is only near to one is an
//! error that names it, never taken silently. A bare length has the unit of the line `lengths`, and is an error without.
//!
//! Reading never fails as a whole: [`read_note`] and [`read_sheet`] give the record and, for each fault, a [`Diagnostic`]
//! with its place and remedy. [`print()`] writes the canonical form, which reads back as the same record.

mod cells;
mod columns;
mod diagnostic;
mod draft;
mod facing;
mod field;
mod gland_fields;
mod header_draft;
mod lexer;
mod page_ring;
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
pub use facing::Facing;
pub use gland_fields::read_gland;
pub use page_ring::PageRing;
pub use parser::read_note;
pub use part_kind::PartKind;
pub use printer::{escaped, keyed, position_field, print};
pub use reader::decode;
pub use reading::NoteReading;
pub use record::{
    Entry, Fate, Header, LengthName, Note, PartDimension, Place, SizeWitness, StatedSize,
};
pub use sheet::{NoteSheet, sheet, sheet_header};
pub use sheet_reader::read_sheet;
pub use template::Template;
pub use vocabulary::condition_of;
