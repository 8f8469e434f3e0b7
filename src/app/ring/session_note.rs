//! The lines of a teardown note that a dialogue at the bench ends with.

use super::identify::RingAnswer;
use super::question::RingQuestion;
use crate::core::measurement::Reading;
use crate::core::note::read_note;

/// Columns of a line; further fields go on lines below, indented, which belong to the same part.
const COLUMNS: usize = 80;
const INDENT: &str = "  ";
const BETWEEN: &str = " ; ";

/// Writes a ring as a part of a note, in lines of 80 columns.
pub(super) fn note_lines(ring: &RingQuestion, answer: &RingAnswer) -> Vec<String> {
    laid_out(&note_fields(ring, answer))
}

/// Writes a ring as the fields of a part: its name, its condition, its readings, and what it looks like.
///
/// A reading that the note language does not take as a field (an instrument of the user's own table) becomes a remark, so
/// that nothing is lost. What becomes of the part is left to say: the fields have no verdict.
pub(super) fn note_fields(ring: &RingQuestion, answer: &RingAnswer) -> Vec<String> {
    let mut fields = vec!["o-ring".to_owned(), ring.condition.word().to_owned()];
    let mut remarks = Vec::new();
    let mut ordered: Vec<&Reading> = ring.readings.iter().collect();
    ordered.sort_by_key(|reading| reading.measurand);
    for reading in ordered {
        let field = format!("{} {}", reading.measurand.word(), reading.typed);
        if is_read(&fields, &field) {
            fields.push(field);
        } else {
            remarks.push(format!("remark {field}"));
        }
    }
    fields.extend(remarks);
    fields.push(format!("remark {}", verdict(answer)));
    fields
}

/// Tells whether the note language takes a field behind those before it.
fn is_read(before: &[String], field: &str) -> bool {
    let note = format!(
        "model M\nunit U\ndate 2026-01-01\nlengths mm\n[ring]\n{}{BETWEEN}{field}\n",
        before.join(BETWEEN)
    );
    let reading = read_note(&note);
    let entries = &reading.note.entries;
    reading.is_sound() && entries.len() == 1 && entries[0].readings.len() + 2 > before.len()
}

fn verdict(answer: &RingAnswer) -> String {
    let percent = |share: f64| (share * 100.0).clamp(1.0, 99.0).round();
    match answer.candidates.first() {
        Some(first) if first.probability >= answer.unlisted_probability => format!(
            "looks like {}, odds {} % from these readings",
            first.codes.first().map_or("", String::as_str),
            percent(first.probability)
        ),
        _ => "no listed size is likely from these readings".to_owned(),
    }
}

pub(in crate::app) fn laid_out(fields: &[String]) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for field in fields {
        match lines.last_mut() {
            Some(line)
                if line.chars().count() + BETWEEN.len() + field.chars().count() <= COLUMNS =>
            {
                line.push_str(BETWEEN);
                line.push_str(field);
            }
            Some(_) => lines.push(format!("{INDENT}{field}")),
            None => lines.push(field.clone()),
        }
    }
    lines
}
