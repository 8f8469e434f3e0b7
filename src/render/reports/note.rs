//! The pages of notes: one checked, those in the book, those that were added.

use crate::app::note::add::{NoteAdded, NotesAdded};
use crate::app::note::check::{NoteCheck, PartLine};
use crate::app::note::list::{NoteLine, NoteList};
use crate::app::note::show::NoteShown;
use crate::app::ring::naming::RingNamed;
use crate::core::count::counted;
use crate::core::note::{Diagnostic, Fate, Note};
use crate::core::provenance::from_words;
use crate::render::words::{joined, or_empty};
use crate::render::{
    Cell, Column, Document, Report, Sheet, both, csv, in_rows, notice, on_page, percent_of, sheet,
    table,
};
use crate::store::Acceptance;

impl Report for NoteCheck {
    fn lay_out(&self, page: &mut Document) {
        let rows = self.diagnostics.iter().map(|fault| (self, fault));
        page.rows(sheet(&fault_columns(), &rows.collect::<Vec<_>>()));
        page.title(format!("Note {}", self.place));
        page.text(self.unit_words());
        page.table(table(&PARTS, &self.parts));
        let faults = self.diagnostics.iter().map(|d| {
            let remedy = or_empty(d.remedy.as_ref().map(|remedy| format!(": {remedy}")));
            format!(
                "{} in line {}, column {}: {}{remedy}",
                d.severity.word(),
                d.line,
                d.column,
                d.message
            )
        });
        page.list(faults);
        page.text(self.verdict_words());
    }
}

fn fault_columns<'c>() -> [Column<(&'c NoteCheck, &'c Diagnostic)>; 9] {
    [
        in_rows("place", |(note, _)| (&note.place).into()),
        in_rows("line", |(_, fault)| fault.line.into()),
        in_rows("column", |(_, fault)| fault.column.into()),
        in_rows("cell", |(_, fault)| fault.cell.as_ref().into()),
        in_rows("severity", |(_, fault)| fault.severity.word().into()),
        in_rows("message", |(_, fault)| (&fault.message).into()),
        in_rows("remedy", |(_, fault)| fault.remedy.as_ref().into()),
        in_rows("marked", |(_, fault)| (&fault.marked).into()),
        in_rows("sound", |(note, _)| note.sound.into()),
    ]
}

impl NoteCheck {
    fn unit_words(&self) -> String {
        let maker = or_empty(self.maker.as_ref().map(|maker| format!("{maker} ")));
        let date = or_empty(self.date.map(|day| format!(", taken apart on {day}")));
        let gear = or_empty(self.gear.map(|gear| format!(" ({gear})")));
        format!("{maker}{}, unit {}{gear}{date}.", self.model, self.unit)
    }

    /// Says in one line what was found and what follows.
    pub fn verdict_words(&self) -> String {
        let count = |fate: Fate| -> u32 {
            let parts = self.parts.iter().filter(|p| p.fate == fate);
            parts.map(|p| p.quantity).sum()
        };
        let parts: u32 = self.parts.iter().map(|p| p.quantity).sum();
        let found = crate::render::counted(self.errors, self.warnings);
        if self.sound {
            let parts = counted(parts as usize, "part", "parts");
            return format!(
                "Sound, {found}: {parts}, {} to replace, {} to inspect, {} to keep.",
                count(Fate::Replace),
                count(Fate::Inspect),
                count(Fate::Keep)
            );
        }
        let faulty = self.parts.iter().filter(|p| p.faulty).count();
        format!(
            "{found} in {}; part lines read in full: {} of {}. Nothing is stored until they are mended.",
            self.place,
            self.parts.len() - faulty,
            self.parts.len()
        )
    }
}

const PARTS: [Column<PartLine>; 7] = [
    on_page("", |part| part.order.into()),
    on_page("section", |part| (&part.section).into()),
    on_page("part", |part| {
        let count = match part.quantity {
            1 => String::new(),
            many => format!(" x{many}"),
        };
        let fault = if part.faulty {
            " (not read in full)"
        } else {
            ""
        };
        format!("{}{count}{fault}", part.name).into()
    }),
    on_page("where", |part| (&part.position).into()),
    on_page("fate", |part| part.fate.word().into()),
    on_page("measured", |part| part.measured.join("; ").into()),
    on_page("gland", |part| part.gland.as_ref().into()),
];

/// Writes a note as CSV with one row a part, which [`read_sheet`](crate::core::note::read_sheet) reads back.
///
/// A dash number gets an apostrophe in front, so that a spreadsheet keeps it whole.
pub fn note_csv(note: &Note) -> String {
    let laid_out = crate::core::note::sheet(note);
    let rows = laid_out.rows.into_iter();
    csv(&Sheet {
        header: laid_out.header,
        rows: rows
            .map(|row| row.into_iter().map(Cell::Text).collect())
            .collect(),
    })
}

impl Report for NoteList {
    fn lay_out(&self, page: &mut Document) {
        if self.notes.is_empty() {
            page.text("No notes yet: add one with `ringwright note add FILE`.");
        }
        page.listed(&NOTES, &self.notes);
    }
}

const NOTES: [Column<NoteLine>; 11] = [
    both("model", "model", |note| (&note.model).into()),
    both("unit", "unit", |note| (&note.unit).into()),
    both("date", "date", |note| note.date.into()),
    both(">parts", "parts", |note| note.parts.into()),
    both(">rings", "rings", |note| note.rings.into()),
    in_rows("errors_left_out", |note| note.unread_lines.into()),
    both("added", "added_at", |note| (&note.added_at).into()),
    on_page("remark", |note| {
        let left_out = counted(note.unread_lines as usize, "error", "errors");
        let left_out = (note.unread_lines > 0).then(|| format!("{left_out} left out"));
        let replaced = note.replaced_at.as_ref();
        let replaced = replaced.map(|moment| format!("replaced {moment}"));
        let whose = whose(note.from_shop.as_slice(), note.accepted.as_ref());
        joined([left_out, replaced, whose].into_iter().flatten(), "; ").into()
    }),
    in_rows("replaced_at", |note| note.replaced_at.as_ref().into()),
    in_rows("from_shop", |note| note.from_shop.as_ref().into()),
    in_rows("accepted_by", |note| {
        note.accepted.as_ref().map(|one| &one.by).into()
    }),
];

/// Says whose note it is, where it is not our own, and whether it counts as ours.
fn whose(shops: &[String], accepted: Option<&Acceptance>) -> Option<String> {
    let shop = from_words(shops);
    (!shop.is_empty()).then(|| match accepted {
        Some(accepted) => format!("{shop}, accepted by {} {}", accepted.by, accepted.at),
        None => format!("{shop}, not accepted here"),
    })
}

impl NoteShown {
    /// Says whose note it is, where it is not our own, and whether it counts as ours.
    pub fn whose(&self) -> Option<String> {
        whose(self.from_shop.as_slice(), self.accepted.as_ref())
    }
}

impl Report for NoteShown {
    fn lay_out(&self, page: &mut Document) {
        page.title(format!("{}, unit {}", self.model, self.unit));
        if let Some(words) = self.whose() {
            page.caution(format!("This note is {words}."));
        }
        for line in self.canonical.lines() {
            page.text(line);
        }
    }
}

impl Report for NotesAdded {
    fn lay_out(&self, page: &mut Document) {
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
        page.rows(sheet(&columns, &rows));
        match self.notes.as_slice() {
            [note] => add_note(page, note),
            notes => {
                page.in_short(|page| {
                    page.title(format!("{} notes", notes.len()));
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
    }
}

/// One note of several in a line.
fn short_note(note: &NoteAdded) -> String {
    let open = note
        .rings
        .iter()
        .filter(|ring| !ring.advice.is_empty())
        .count();
    let asks = counted(open, "ring asks", "rings ask");
    let open = or_empty((open > 0).then(|| format!(", {asks} for a reading")));
    format!(
        "{}, unit {}: {}; {}{open}",
        note.model,
        note.unit,
        note.outcome.words(),
        counted(note.parts, "part", "parts")
    )
}

fn add_note(page: &mut Document, note: &NoteAdded) {
    let day = or_empty(note.date);
    let day = if day.is_empty() { "no date" } else { &day };
    page.title(format!("{}, unit {}, {day}", note.model, note.unit));
    for danger in &note.dangers {
        page.caution(point_words(note, danger));
    }
    let errors = counted(note.left_out, "error", "errors");
    let left_out =
        (note.left_out > 0).then(|| format!("; what could not be read is left out ({errors})"));
    let left_out = or_empty(left_out);
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
    if ring.position.is_empty() {
        return format!("{} (part {})", ring.section, ring.order);
    }
    joined([&ring.section, &ring.position], ", ")
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
    on_page(">ID mm", |ring| ring.id.into()),
    on_page(">section mm", |ring| ring.cross_section.into()),
    on_page(">odds", |ring| ring.probability.map(Cell::share).into()),
    on_page("next", |ring| {
        let next = ring.next.as_ref();
        next.map(|(code, odds)| format!("{code} {}", percent_of(*odds)))
            .into()
    }),
];
