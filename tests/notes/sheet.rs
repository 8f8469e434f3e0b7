//! Notes as spreadsheets.

use super::{demo_notes, right_notes};
use proptest::prelude::*;
use ringwright::core::note::{Note, NoteReading, read_note, read_sheet, sheet_header};
use ringwright::core::quantity::LengthUnit;
use ringwright::render::note_csv;

/// A sheet has no place for comments.
fn without_comments(note: Note) -> Note {
    let mut note = note.without_lines();
    note.header.comments.clear();
    note.closing_comments.clear();
    for entry in &mut note.entries {
        entry.comments.clear();
    }
    note
}

/// Checks that a sound note comes back from its sheet.
pub(crate) fn returns_from_sheet(reading: NoteReading) -> Result<(), TestCaseError> {
    if !reading.is_sound() {
        return Ok(());
    }
    let csv = note_csv(&reading.note);
    let again = read_sheet(&csv);
    prop_assert!(again.is_sound(), "{csv}\n{:?}", again.diagnostics);
    prop_assert_eq!(note_csv(&again.note), csv);
    prop_assert_eq!(without_comments(again.note), without_comments(reading.note));
    Ok(())
}

#[test]
fn every_right_note_comes_back_from_its_sheet() {
    for source in right_notes().chain(demo_notes()) {
        returns_from_sheet(source.read()).unwrap_or_else(|e| panic!("{}: {e}", source.place));
    }
}

#[test]
fn a_dash_number_survives_the_sheet() {
    let text = "model Tarn\nunit 007\ndate 2026-03-14\nlengths mm\n[a]\no-ring ; at x ; replace ; size -012 ; od 12.9 ; cs 1.7\n";
    let csv = note_csv(&read_note(text).note);
    assert!(csv.contains(",'-012,") && csv.contains(",'007,"), "{csv}");
    let note = read_sheet(&csv).note;
    assert_eq!(
        note.entries[0]
            .stated_size
            .as_ref()
            .map(|s| s.text.as_str()),
        Some("-012")
    );
    assert_eq!(note.header.unit, "007");
}

#[test]
fn a_fault_names_its_line_and_column() {
    let text = "model,unit,date,name,fate,od_mm\nTarn,1,2026-03-14,clip,replace,14 furlongs\n";
    let reading = read_sheet(text);
    let fault = &reading.diagnostics[0];
    assert_eq!(
        (fault.line, fault.cell.as_deref(), fault.marked.as_str()),
        (2, Some("od_mm"), "furlongs")
    );
}

#[test]
fn the_unit_of_lengths_stands_in_the_names_of_the_columns() {
    assert!(sheet_header(Some(LengthUnit::In)).contains(&"gland_bore_in"));
    assert!(sheet_header(Some(LengthUnit::Mm)).contains(&"od_mm"));
    assert!(sheet_header(None).contains(&"od"));
}
