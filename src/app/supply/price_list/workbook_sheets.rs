//! The sheets of a workbook, and what of them is hidden or merged.

use quick_xml::XmlVersion;
use quick_xml::events::{BytesStart, Event};
use quick_xml::reader::Reader;
use std::collections::HashMap;
use std::fs::File;
use std::io::{BufRead, BufReader};
use std::path::Path;

/// One sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct WorkbookSheet {
    pub(super) name: String,
    pub(super) hidden: bool,
    /// Where it lies in the file.
    part: String,
}

/// What a sheet hides and merges; rows and columns from 0.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct SheetShape {
    /// Hidden columns, first and last.
    pub(super) hidden_columns: Vec<(u32, u32)>,
    /// Hidden rows, first and last, rising.
    pub(super) hidden_rows: Vec<(u32, u32)>,
    /// Merged cells of more than one row: first row, last row, first column.
    pub(super) merged_down: Vec<(u32, u32, u32)>,
}

/// A sheet that merges more cells than this is no price list; the rest is not filled.
const MOST_MERGES: usize = 20_000;

impl SheetShape {
    pub(super) fn hides_row(&self, row: u32) -> bool {
        let at = self.hidden_rows.partition_point(|(_, last)| *last < row);
        self.hidden_rows
            .get(at)
            .is_some_and(|(first, _)| *first <= row)
    }

    fn hide_row(&mut self, row: u32) {
        match self.hidden_rows.last_mut() {
            Some((_, last)) if *last + 1 == row => *last = row,
            _ => self.hidden_rows.push((row, row)),
        }
    }
}

pub(super) type Parts = zip::ZipArchive<BufReader<File>>;

/// Opens the parts of a workbook.
pub(super) fn open(path: &Path) -> Result<Parts, String> {
    let file = crate::app::file::open(path).map_err(unreadable)?;
    zip::ZipArchive::new(BufReader::new(file)).map_err(unreadable)
}

pub(super) fn unreadable<E: std::fmt::Display>(error: E) -> String {
    format!("the workbook cannot be read: {error}")
}

/// Lists the sheets of a workbook in the order of their tabs.
///
/// # Errors
/// Says why the workbook cannot be read.
pub(super) fn sheets(path: &Path) -> Result<Vec<WorkbookSheet>, String> {
    let mut parts = open(path)?;
    let mut places = HashMap::new();
    each_tag(&mut parts, "xl/_rels/workbook.xml.rels", &mut |tag| {
        if let (Some(id), Some(target)) = (text(tag, "Id"), text(tag, "Target")) {
            let target = target.trim_start_matches('/');
            let inside = target.strip_prefix("xl/").unwrap_or(target);
            places.insert(id, format!("xl/{inside}"));
        }
    })?;
    let mut sheets = Vec::new();
    each_tag(&mut parts, "xl/workbook.xml", &mut |tag| {
        if tag.local_name().as_ref() == "sheet"
            && let (Some(name), Some(id)) = (text(tag, "name"), text(tag, "id"))
            && let Some(part) = places.get(&id)
        {
            sheets.push(WorkbookSheet {
                name,
                hidden: text(tag, "state").is_some_and(|state| state != "visible"),
                part: part.clone(),
            });
        }
    })?;
    Ok(sheets)
}

/// Reads what a sheet hides and merges.
///
/// # Errors
/// Says why the workbook cannot be read.
pub(super) fn shape(path: &Path, sheet: &WorkbookSheet) -> Result<SheetShape, String> {
    let mut parts = open(path)?;
    let mut shape = SheetShape::default();
    let mut row_before = 0;
    each_tag(
        &mut parts,
        &sheet.part,
        &mut |tag| match tag.local_name().as_ref() {
            "col" if is_hidden(tag) => {
                let place = |name| text(tag, name).and_then(|n| n.parse::<u32>().ok());
                if let (Some(first), Some(last)) = (place("min"), place("max")) {
                    shape
                        .hidden_columns
                        .push((first.saturating_sub(1), last.saturating_sub(1)));
                }
            }
            "row" => {
                let number = text(tag, "r").and_then(|n| n.parse().ok());
                let row: u32 = number.unwrap_or(row_before + 1);
                row_before = row;
                if is_hidden(tag) {
                    shape.hide_row(row.saturating_sub(1));
                }
            }
            "mergeCell" if shape.merged_down.len() < MOST_MERGES => {
                let cells = text(tag, "ref").unwrap_or_default();
                let corners = cells
                    .split_once(':')
                    .and_then(|(a, b)| Some((cell(a)?, cell(b)?)));
                if let Some(((first, column), (last, _))) = corners
                    && first < last
                {
                    shape.merged_down.push((first, last, column));
                }
            }
            _ => {}
        },
    )?;
    Ok(shape)
}

fn is_hidden(tag: &BytesStart<'_>) -> bool {
    text(tag, "hidden").is_some_and(|value| value == "1" || value == "true")
}

/// Reads "B12" as row 11 and column 1, both from 0.
fn cell(text: &str) -> Option<(u32, u32)> {
    let letters = text.bytes().take_while(u8::is_ascii_uppercase).count();
    let column = text[..letters].bytes().try_fold(0_u32, |sum, letter| {
        sum.checked_mul(26)?
            .checked_add(u32::from(letter - b'A') + 1)
    })?;
    let row: u32 = text[letters..].parse().ok()?;
    Some((row.checked_sub(1)?, column.checked_sub(1)?))
}

fn text(tag: &BytesStart<'_>, name: &str) -> Option<String> {
    tag.attributes()
        .flatten()
        .find(|one| one.key.local_name().as_ref() == name)
        .and_then(|one| one.normalized_value(XmlVersion::Implicit1_0).ok())
        .map(std::borrow::Cow::into_owned)
}

/// Goes through the tags of a part.
fn each_tag(
    parts: &mut Parts,
    name: &str,
    each: &mut dyn FnMut(&BytesStart<'_>),
) -> Result<(), String> {
    let part = parts.by_name(name).map_err(unreadable)?;
    let mut reader = Reader::from_reader(BufReader::new(part));
    read_tags(&mut reader, each).map_err(unreadable)
}

fn read_tags<R: BufRead>(
    reader: &mut Reader<R>,
    each: &mut dyn FnMut(&BytesStart<'_>),
) -> quick_xml::Result<()> {
    let mut bytes = Vec::new();
    loop {
        match reader.read_event_into(&mut bytes)? {
            Event::Start(tag) | Event::Empty(tag) => each(&tag),
            Event::Eof => return Ok(()),
            _ => {}
        }
        bytes.clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_is_read_as_row_and_column() {
        assert_eq!(cell("A1"), Some((0, 0)));
        assert_eq!(cell("AB12"), Some((11, 27)));
        assert_eq!(cell("12"), None);
        assert_eq!(cell("A0"), None);
    }

    #[test]
    fn hidden_rows_are_kept_as_stretches() {
        let mut shape = SheetShape::default();
        for row in [3, 4, 5, 9] {
            shape.hide_row(row);
        }
        assert_eq!(shape.hidden_rows, [(3, 5), (9, 9)]);
        assert!(shape.hides_row(4) && shape.hides_row(9) && !shape.hides_row(6));
    }
}
