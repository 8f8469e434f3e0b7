//! Writes an answer about a part as fields of the note.

use super::note_record::NoteRecord;
use super::note_record_part::{PartDraft, next_photo};
use super::note_record_question::{Question, measures};
use crate::core::note::{Entry, keyed, position_field, read_note};

impl NoteRecord {
    /// Writes an answer as fields of the note.
    pub(super) fn fields_of(
        &self,
        question: Question,
        words: &str,
        entry: &Entry,
    ) -> Result<Vec<String>, String> {
        let words = match words {
            "-" => return Ok(Vec::new()),
            "" => match question.default(entry.kind) {
                Some(default) => default,
                None => return Ok(Vec::new()),
            },
            _ => words,
        };
        let is_number = words.starts_with(|c: char| c.is_ascii_digit() || c == '.');
        Ok(match question {
            Question::Quantity if words == "1" => Vec::new(),
            Question::Quantity => vec![format!("x{}", words.trim_start_matches('x'))],
            Question::Fate => vec![short(words, &["replace", "keep", "inspect"])?],
            Question::Condition => vec![match words {
                "f" | "F" => "rough".to_owned(),
                _ => short(words, &["new", "used", "rough"])?,
            }],
            Question::Turns if words.contains("turn") => vec![keyed("turns", words)],
            Question::Turns if is_number && !words.contains(' ') => {
                return Err(format!("write {words} threads, or {words} turns"));
            }
            Question::Turns => vec![keyed("exposed", words)],
            Question::Position => vec![position_field(words)],
            Question::Tool if words == "=" => {
                let tool = self
                    .last_tool
                    .as_ref()
                    .ok_or("no tool was named yet in this sitting: write it")?;
                vec![keyed("tool", tool)]
            }
            Question::Photo if words == "+" => vec![keyed("photo", &self.next_photo()?)],
            Question::Measures if is_number => {
                let key = measures(entry.kind).split(' ').next().unwrap_or("od");
                PartDraft::read(&format!("x;{key} {words}")).fields
            }
            Question::Measures => PartDraft::read(&format!("x;{words}")).fields,
            Question::Gland => {
                let words = words.strip_prefix("gland ").unwrap_or(words);
                PartDraft::read(&format!("x;gland {words}")).fields
            }
            other => vec![keyed(other.word(), words)],
        })
    }

    fn next_photo(&self) -> Result<String, String> {
        let note = read_note(&self.state.text).note;
        let photos = note
            .header
            .photos
            .iter()
            .chain(note.entries.iter().flat_map(|e| &e.photos));
        photos
            .last()
            .and_then(|last| next_photo(last))
            .ok_or_else(|| "no photo with a number was named yet: write its name".to_owned())
    }
}

fn short(words: &str, known: &[&str]) -> Result<String, String> {
    let lower = words.to_lowercase();
    if lower.len() > 1 {
        return Ok(lower);
    }
    let found = known.iter().find(|word| word.starts_with(&lower));
    found
        .map(|word| (*word).to_owned())
        .ok_or_else(|| format!("write one of {}", known.join(", ")))
}
