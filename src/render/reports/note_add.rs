//! The page of notes that were added.

use crate::app::note_add::{NoteAdded, NotesAdded};
use crate::app::ring_naming::RingNamed;
use crate::core::count::counted;
use crate::core::note::Diagnostic;
use crate::render::{Cell, Document, Report, Sheet, Table, mm2, notice, percent_of};

impl Report for NotesAdded {
    fn document(&self) -> Document {
        let mut page = Document::new();
        match self.notes.as_slice() {
            [note] => add_note(&mut page, note),
            notes => {
                page.in_short(|page| {
                    page.heading(1, format!("{} notes", notes.len()));
                    page.list(notes.iter().map(short_note));
                    for note in notes {
                        for danger in &note.dangers {
                            page.caution(point_words(note, danger));
                        }
                    }
                });
                page.rest(|page| {
                    for note in notes {
                        add_note(page, note);
                    }
                });
            }
        }
        page.text(format!("Book: {}", self.book));
        if let Some(last) = self.notes.last() {
            page.next(&format!("parts {:?}", last.model));
        }
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.notes.iter().flat_map(|note| {
            note.rings.iter().map(move |ring| {
                vec![
                    Cell::text(&note.place),
                    Cell::text(note.outcome.words()),
                    Cell::text(&note.model),
                    Cell::text(&note.unit),
                    note.date.map_or(Cell::Empty, |d| Cell::text(d.to_string())),
                    Cell::Count(i64::from(ring.order)),
                    Cell::text(&ring.section),
                    Cell::text(&ring.position),
                    Cell::text(ring.codes.first().cloned().unwrap_or_default()),
                    Cell::number(ring.id.map(crate::core::quantity::Length::mm_rounded)),
                    Cell::number(
                        ring.cross_section
                            .map(crate::core::quantity::Length::mm_rounded),
                    ),
                    Cell::number(ring.probability),
                    Cell::text(&ring.advice),
                    notice(note.dangers.iter().map(|danger| point_words(note, danger))),
                ]
            })
        });
        Some(Sheet {
            header: vec![
                "file",
                "outcome",
                "model",
                "unit",
                "date",
                "order",
                "section",
                "position",
                "code",
                "id_mm",
                "cs_mm",
                "probability",
                "advice",
                "notice",
            ],
            rows: rows.collect(),
        })
    }
}

/// One note of several in a line.
fn short_note(note: &NoteAdded) -> String {
    let open = note
        .rings
        .iter()
        .filter(|ring| !ring.advice.is_empty())
        .count();
    let open = match open {
        0 => String::new(),
        open => format!(
            ", {} for a reading",
            counted(open, "ring asks", "rings ask")
        ),
    };
    format!(
        "{}, unit {}: {}; {}{open}",
        note.model,
        note.unit,
        note.outcome.words(),
        counted(note.parts, "part", "parts")
    )
}

fn add_note(page: &mut Document, note: &NoteAdded) {
    let day = note
        .date
        .map_or_else(|| "no date".to_owned(), |date| date.to_string());
    page.heading(1, format!("{}, unit {}, {day}", note.model, note.unit));
    for danger in &note.dangers {
        page.caution(point_words(note, danger));
    }
    let left_out = if note.left_out == 0 {
        String::new()
    } else {
        format!(
            "; what could not be read is left out ({})",
            counted(note.left_out, "error", "errors")
        )
    };
    page.text(format!(
        "{}: {}; {}{left_out}.",
        note.place,
        note.outcome.words(),
        counted(note.parts, "part", "parts")
    ));
    let mut table = Table::new(&["", "ring", "is", ">ID mm", ">section mm", ">odds", "next"]);
    for ring in &note.rings {
        table.row(ring_cells(ring));
    }
    page.table(table);
    page.list(
        note.rings
            .iter()
            .filter(|ring| !ring.advice.is_empty())
            .map(|ring| format!("{}: {}", place_words(ring), ring.advice)),
    );
    page.list(note.doubts.iter().map(|doubt| point_words(note, doubt)));
    page.list(note.warnings.iter().cloned());
}

/// Tells a point with its unit and its line, because several notes stand on one page.
fn point_words(note: &NoteAdded, point: &Diagnostic) -> String {
    let remedy = point.remedy.as_deref().unwrap_or_default();
    let words = format!(
        "unit {}, line {} of {}: {}: {remedy}",
        note.unit, point.line, note.place, point.message
    );
    format!("{}.", words.trim_end_matches([':', ' ', '.']))
}

fn place_words(ring: &RingNamed) -> String {
    match (ring.section.is_empty(), ring.position.is_empty()) {
        (_, true) => format!("{} (part {})", ring.section, ring.order),
        (true, false) => ring.position.clone(),
        (false, false) => format!("{}, {}", ring.section, ring.position),
    }
}

fn ring_cells(ring: &RingNamed) -> [String; 7] {
    let next = ring.next.as_ref().map_or_else(String::new, |(code, p)| {
        format!("{code} {}", percent_of(*p))
    });
    [
        ring.order.to_string(),
        place_words(ring),
        ring.codes
            .first()
            .cloned()
            .unwrap_or_else(|| "not named".to_owned()),
        ring.id.map(mm2).unwrap_or_default(),
        ring.cross_section.map(mm2).unwrap_or_default(),
        ring.probability.map(percent_of).unwrap_or_default(),
        next,
    ]
}
