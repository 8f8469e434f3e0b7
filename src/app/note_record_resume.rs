//! Takes the recording of a note up where it stopped.

use super::note_record::{Asked, HEADER, MARK, State};
use super::note_record_part::{PartDraft, without_last};
use super::note_record_question::Question;
use crate::core::note::{Diagnostic, read_note};

/// Takes a text up where its recording stopped.
pub(super) fn resumed(text: &str) -> Result<State, Vec<Diagnostic>> {
    let mut text = text
        .trim_start_matches('\u{feff}')
        .replace("\r\n", "\n")
        .replace('\r', "\n");
    let mut next = None;
    let last = text.trim_end().rfind('\n').map_or(0, |at| at + 1);
    if let Some(word) = text[last..].trim_end().strip_prefix(MARK) {
        next = Some(word.to_owned());
        text.truncate(last);
    }
    if !(text.is_empty() || text.ends_with('\n')) {
        text.push('\n');
    }
    let reading = read_note(&text);
    let at = |key: &str| {
        HEADER
            .iter()
            .position(|(k, _)| *k == key)
            .map(Asked::Header)
    };
    let open = next.as_deref().and_then(|word| match word {
        "vented" => Some(Asked::Vented),
        "section" => Some(Asked::Section),
        word if reading.note.entries.is_empty() => at(word),
        word => Question::from_word(word).map(Asked::Field),
    });
    let is_begun = text.trim().is_empty() || open == Some(Asked::Header(1));
    if !is_begun && !reading.is_sound() {
        return Err(reading.diagnostics);
    }
    let has_parts = !reading.note.entries.is_empty() || text.lines().any(|l| l.starts_with('['));
    let mut state = State {
        asked: open.unwrap_or(match has_parts {
            _ if text.trim().is_empty() => Asked::Header(0),
            true => Asked::Part,
            false => Asked::Vented,
        }),
        text,
        part: None,
    };
    if let Asked::Field(_) = state.asked
        && let Some((rest, lines)) = without_last(&state.text, &reading)
    {
        state.text = rest;
        state.part = Some(PartDraft::read(&lines));
    }
    Ok(state)
}
