//! A unit as the book holds it.

use super::kept_identification::KeptIdentification;
use crate::core::note::{Entry, Header};
use crate::core::provenance::Whose;

/// Holds one unit of a model: what its newest note says, with older notes filling in what that one leaves out.
#[derive(Debug, Clone, PartialEq)]
pub struct UnitRecord {
    /// Its serial number.
    pub serial: String,
    /// What the newest note says of the unit.
    pub header: Header,
    /// Its parts in the order in which they came off.
    pub parts: Vec<RecordedPart>,
    /// Lines of its notes that could not be read and were left out.
    pub unread_lines: u32,
    /// Whose word it is.
    pub whose: Whose,
}

/// Holds one part with what was said of it when its note was added.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordedPart {
    /// The part.
    pub entry: Entry,
    /// The identification of a ring.
    pub kept: Option<KeptIdentification>,
}
