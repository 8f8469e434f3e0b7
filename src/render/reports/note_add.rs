//! The page of notes that were added.

use crate::app::note_add::{NoteAdded, NotesAdded};
use crate::app::ring_naming::RingNamed;
use crate::core::count::counted;
use crate::core::note::Diagnostic;
use crate::render::{
    Column, Document, Report, Sheet, in_rows, mm2, notice, on_page, percent_of, sheet, table,
};

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
        let columns: [Column<(&NoteAdded, &RingNamed)>; 14] = [
            in_rows("file", |(note, _)| (&note.place).into()),
            in_rows("outcome", |(note, _)| note.outcome.words().into()),
            in_rows("model", |(note, _)| (&note.model).into()),
            in_rows("unit", |(note, _)| (&note.unit).into()),
            in_rows("date", |(note, _)| note.date.into()),
            in_rows("order", |(_, ring)| ring.order.into()),
            in_rows("section", |(_, ring)| (&ring.section).into()),
            in_rows("position", |(_, ring)| (&ring.position).into()),
            in_rows("code", |(_, ring)| ring.codes.first().into()),
            in_rows("id_mm", |(_, ring)| ring.id.into()),
            in_rows("cs_mm", |(_, ring)| ring.cross_section.into()),
            in_rows("probability", |(_, ring)| ring.probability.into()),
            in_rows("advice", |(_, ring)| (&ring.advice).into()),
            in_rows("notice", |(note, _)| {
                notice(note.dangers.iter().map(|danger| point_words(note, danger)))
            }),
        ];
        let rows = self.notes.iter();
        let rows: Vec<_> = rows
            .flat_map(|note| note.rings.iter().map(move |ring| (note, ring)))
            .collect();
        Some(sheet(&columns, &rows))
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
    page.table(table(&RINGS, &note.rings));
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

const RINGS: [Column<RingNamed>; 7] = [
    on_page("", |ring| ring.order.into()),
    on_page("ring", |ring| place_words(ring).into()),
    on_page("is", |ring| {
        ring.codes
            .first()
            .map_or("not named", String::as_str)
            .into()
    }),
    on_page(">ID mm", |ring| ring.id.map(mm2).into()),
    on_page(">section mm", |ring| ring.cross_section.map(mm2).into()),
    on_page(">odds", |ring| ring.probability.map(percent_of).into()),
    on_page("next", |ring| {
        let next = ring.next.as_ref();
        next.map(|(code, odds)| format!("{code} {}", percent_of(*odds)))
            .into()
    }),
];
