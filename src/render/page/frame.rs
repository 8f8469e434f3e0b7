//! What stands on every page of a sheet, above and below its content.

use super::paper::{Paper, PrinterScale};
use crate::core::quantity::{Length, LengthUnit};
use crate::render::number::{inch3, mm2};
use crate::render::words::or_empty;

/// A space at which no line is broken.
pub const NO_BREAK: &str = "\u{a0}";

/// What stands on every page, and the paper and unit that the sheet is made for.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// What kind of sheet it is: "Ring sheet".
    pub kind: String,
    /// What it is about.
    pub title: String,
    /// The name of the book it was made from, where it was made from one.
    pub book: Option<String>,
    /// The day it was made, as it is printed.
    pub date: String,
    pub paper: Paper,
    /// By how much its drawings in true size are stretched.
    pub printer: PrinterScale,
    /// The unit that stands first.
    pub unit: LengthUnit,
}

impl Frame {
    /// Writes what stands in both units, the reader's first: `9.25 mm (0.364 in)`.
    pub fn both(&self, mm: &str, inch: &str) -> String {
        match self.unit {
            LengthUnit::In => format!("{inch} ({mm})"),
            _ => format!("{mm} ({inch})"),
        }
    }

    /// Writes a length in both units, the reader's first.
    pub fn length(&self, length: Length) -> String {
        let mm = format!("{} mm", mm2(length));
        self.both(&mm, &format!("{} in", inch3(length)))
    }

    /// Writes inside diameter and section of a ring in both units, the reader's first.
    pub fn ring(&self, id: Length, section: Length) -> String {
        let mm = format!("{} × {} mm", mm2(id), mm2(section));
        let inch = format!("{} × {} in", inch3(id), inch3(section));
        self.both(&mm, &inch)
    }

    /// Writes the same on two lines, the reader's unit first, for a narrow column.
    pub fn ring_lines(&self, id: Length, section: Length) -> String {
        let lines = self.ring(id, section).replacen(" (", "\n(", 1);
        lines.replace(' ', NO_BREAK)
    }

    /// Names the book that the sheet was made from, behind other words.
    pub(in crate::render) fn of_book(&self) -> String {
        or_empty(self.book.as_ref().map(|book| format!(" · book {book}")))
    }

    /// Says from what the sheet was made: the program with its version, and the version of the shipped tables.
    pub fn made_with() -> String {
        format!(
            "ringwright {} · data {}",
            env!("CARGO_PKG_VERSION"),
            env!("RINGWRIGHT_DATA_VERSION")
        )
    }
}
