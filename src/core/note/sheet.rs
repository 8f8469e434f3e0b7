//! A note as rows of a spreadsheet.

use super::columns::{COLUMNS, Holds};
use super::record::{Entry, Header, Note, SizeWitness};
use crate::core::gland::{GlandDimension, GlandSpec};
use crate::core::measurement::Measurand;
use crate::core::quantity::LengthUnit;
use std::sync::LazyLock;

/// Holds a note as rows of texts, one row a part, ready to be written as CSV.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoteSheet {
    /// Names of the columns.
    pub header: Vec<&'static str>,
    /// The rows; each has one text a column. A text may hold line breaks.
    pub rows: Vec<Vec<String>>,
}

struct Heads {
    bare: Vec<String>,
    mm: Vec<String>,
    inch: Vec<String>,
}

static HEADS: LazyLock<Heads> = LazyLock::new(|| {
    let heads = |suffix: &str| {
        let head = |(name, holds): &(&str, Holds)| {
            let suffix = if holds.is_length() { suffix } else { "" };
            format!("{name}{suffix}")
        };
        // The unit stands in the names, so a column of its own is for sheets without a declared unit only.
        COLUMNS
            .iter()
            .filter(|(_, holds)| *holds != Holds::Header("lengths"))
            .map(head)
            .collect()
    };
    Heads {
        bare: heads(""),
        mm: heads("_mm"),
        inch: heads("_in"),
    }
});

/// Lists the columns of a sheet whose bare lengths are in a unit, or, without one, carry their unit in each cell.
pub fn sheet_header(lengths: Option<LengthUnit>) -> Vec<&'static str> {
    let heads = match lengths {
        Some(LengthUnit::Mm) => &HEADS.mm,
        Some(LengthUnit::In) => &HEADS.inch,
        _ => &HEADS.bare,
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
    COLUMNS
        .iter()
        .filter(|(_, holds)| *holds != Holds::Header("lengths"))
        .map(|(_, holds)| match (holds, part) {
            (Holds::Header(key), _) => header_text(header, key, first),
            (Holds::Section, Some((_, section))) => section.to_owned(),
            (Holds::Name, Some((entry, _))) => entry.name.clone(),
            (Holds::Part(key), Some((entry, _))) => part_text(entry, key),
            (Holds::Gland(key), Some((entry, _))) => entry
                .gland
                .as_ref()
                .map_or(String::new(), |gland| gland_text(gland, key)),
            (_, None) => String::new(),
        })
        .collect()
}

fn header_text(header: &Header, key: &str, first: bool) -> String {
    let list = match key {
        "found" => &header.as_found,
        "photo" => &header.photos,
        "remark" => &header.remarks,
        _ => return header.printed(key).unwrap_or_default(),
    };
    if first {
        list.join("\n")
    } else {
        String::new()
    }
}

fn part_text(entry: &Entry, key: &str) -> String {
    let size = |by: SizeWitness| {
        let size = entry.stated_size.as_ref().filter(|size| size.by == by);
        size.map_or(String::new(), |size| size.text.clone())
    };
    let of = |text: Option<&String>| text.cloned().unwrap_or_default();
    match key {
        "quantity" if entry.quantity == 1 => String::new(),
        "quantity" => entry.quantity.to_string(),
        "kind" if entry.kind_stated => entry.kind.word().to_owned(),
        "position" => entry.position.clone(),
        "fate" => entry.fate.word().to_owned(),
        "condition" => of(entry.condition.as_ref().map(|c| &c.text)),
        "size" => size(SizeWitness::Size),
        "drawer" => size(SizeWitness::Drawer),
        "polymer" => of(entry.polymer.as_ref().map(|p| &p.text)),
        "hardness" => of(entry.hardness.as_ref().map(|h| &h.text)),
        "torque" => of(entry.torque.as_ref().map(|t| &t.text)),
        "turns" => of(entry.turns.as_ref().map(|t| &t.text)),
        "gland" => entry
            .gland
            .as_ref()
            .map_or("", |g| g.kind.word())
            .to_owned(),
        "scan" => entry
            .scan
            .as_ref()
            .map_or_else(String::new, ToString::to_string),
        "photo" => entry.photos.join("\n"),
        "remark" => entry.remarks.join("\n"),
        key => entry
            .words(key)
            .map_or_else(|| measures(entry, key), str::to_owned),
    }
}

fn measures(entry: &Entry, key: &str) -> String {
    let readings = Measurand::from_word(key)
        .into_iter()
        .flat_map(|measurand| entry.readings_of(measurand))
        .map(|reading| reading.typed.as_str());
    let dimensions = entry
        .dimensions
        .iter()
        .filter(|dimension| dimension.name.word() == key)
        .map(|dimension| dimension.typed.as_str());
    let lines: Vec<&str> = readings.chain(dimensions).collect();
    lines.join("\n")
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
