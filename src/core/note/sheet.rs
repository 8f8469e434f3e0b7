//! A note as rows of a spreadsheet.

use super::columns::{COLUMNS, Holds};
use super::record::{Entry, Header, Note};
use crate::core::gland::{GlandDimension, GlandSpec};
use crate::core::quantity::LengthUnit;
use std::sync::LazyLock;

/// A note as rows of texts, one row a part, ready to be written as CSV.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoteSheet {
    /// Names of the columns.
    pub header: Vec<&'static str>,
    /// The rows; each has one text a column. A text may hold line breaks.
    pub rows: Vec<Vec<String>>,
}

/// The columns of a sheet: the unit stands in their names, so that a column of its own is for sheets without a declared unit only.
fn columns() -> impl Iterator<Item = &'static (&'static str, Holds)> {
    COLUMNS
        .iter()
        .filter(|(_, holds)| *holds != Holds::Header("lengths"))
}

/// The heads without a unit, in millimetres and in inches.
static HEADS: LazyLock<[Vec<String>; 3]> = LazyLock::new(|| {
    ["", "_mm", "_in"].map(|unit| {
        let suffix = |holds: &Holds| if holds.is_length() { unit } else { "" };
        let heads = columns().map(|(name, holds)| format!("{name}{}", suffix(holds)));
        heads.collect()
    })
});

/// Lists the columns of a sheet whose bare lengths are in a unit, or, without one, carry their unit in each cell.
pub fn sheet_header(lengths: Option<LengthUnit>) -> Vec<&'static str> {
    let [bare, mm, inch] = &*HEADS;
    let heads = match lengths {
        Some(LengthUnit::Mm) => mm,
        Some(LengthUnit::In) => inch,
        _ => bare,
    };
    heads.iter().map(String::as_str).collect()
}

/// Lays a note out as rows, which [`read_sheet`](super::read_sheet) reads back as the same note without its comments.
///
/// What is said once of the unit stands in every row; what may be said several times stands in the first row, one line
/// each.
pub fn sheet(note: &Note) -> NoteSheet {
    let header = sheet_header(note.header.lengths);
    let mut rows = Vec::new();
    let mut above = "";
    for entry in &note.entries {
        let section = if entry.section.is_empty() && !above.is_empty() {
            "[]".to_owned()
        } else {
            bracketed(&entry.section)
        };
        rows.push(row(&note.header, Some((entry, &section)), rows.is_empty()));
        above = &entry.section;
    }
    if rows.is_empty() {
        rows.push(row(&note.header, None, true));
    }
    NoteSheet { header, rows }
}

/// A section whose name has brackets of its own keeps them inside another pair.
fn bracketed(section: &str) -> String {
    if section.starts_with('[') {
        format!("[{section}]")
    } else {
        section.to_owned()
    }
}

fn row(header: &Header, part: Option<(&Entry, &str)>, first: bool) -> Vec<String> {
    let cell = |(_, holds): &(&str, Holds)| match (holds, part) {
        // What may be said several times stands in the first row alone.
        (Holds::Header("found" | "photo" | "remark"), _) if !first => String::new(),
        (Holds::Header(key), _) => header.texts(key).join("\n"),
        (Holds::Section, Some((_, section))) => section.to_owned(),
        (Holds::Name, Some((entry, _))) => entry.name.clone(),
        (Holds::Part(key), Some((entry, _))) => entry.texts(key).join("\n"),
        (Holds::Gland(key), Some((entry, _))) => entry
            .gland
            .as_ref()
            .map_or(String::new(), |gland| gland_text(gland, key)),
        (_, None) => String::new(),
    };
    columns().map(cell).collect()
}

fn gland_text(gland: &GlandSpec, key: &str) -> String {
    match key {
        "angle" => gland
            .angle
            .as_ref()
            .map_or(String::new(), |a| a.text.clone()),
        "back-ups" if gland.back_ups > 0 => gland.back_ups.to_string(),
        "duty" => gland.duty.map_or("", |duty| duty.word()).to_owned(),
        "from" => gland.from.map_or("", |side| side.word()).to_owned(),
        "pressure" => gland
            .pressure
            .as_ref()
            .map_or(String::new(), |p| p.text.clone()),
        key => GlandDimension::from_word(key)
            .and_then(|name| gland.dimensions.iter().find(|(n, _)| *n == name))
            .map_or(String::new(), |(_, typed)| typed.text.clone()),
    }
}
