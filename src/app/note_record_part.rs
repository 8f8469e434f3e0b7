//! A part while it is being recorded, and its place in the text of the note.

use super::session_note::laid_out;
use crate::core::note::NoteReading;

/// Holds a part whose questions are still open: its name and its fields, as they stand in the note.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct PartDraft {
    pub(super) name: String,
    pub(super) fields: Vec<String>,
}

impl PartDraft {
    /// Reads a line, or the lines of a part; a gland and what is behind it on its line stay together.
    pub(super) fn read(lines: &str) -> Self {
        let mut pieces = Vec::new();
        for line in lines.lines() {
            let mut gland: Option<String> = None;
            for piece in split(line) {
                if let Some(gland) = &mut gland {
                    gland.push_str(" ; ");
                    gland.push_str(&piece);
                } else if is_gland(&piece) {
                    gland = Some(piece);
                } else if !piece.is_empty() {
                    pieces.push(piece);
                }
            }
            pieces.extend(gland);
        }
        let name = if pieces.is_empty() {
            String::new()
        } else {
            pieces.remove(0)
        };
        Self {
            name,
            fields: pieces,
        }
    }

    /// Writes the part as it stands in a note; a gland has a line of its own.
    pub(super) fn text(&self) -> String {
        let mut fields = vec![self.name.clone()];
        fields.extend(self.fields.iter().filter(|f| !is_gland(f)).cloned());
        let mut lines = laid_out(&fields);
        lines.extend(
            self.fields
                .iter()
                .filter(|f| is_gland(f))
                .map(|g| format!("  {g}")),
        );
        lines.push(String::new());
        lines.join("\n")
    }
}

fn is_gland(field: &str) -> bool {
    field.starts_with("gland ")
}

/// Splits a line at its semicolons, but not at those with a backslash before them.
fn split(line: &str) -> Vec<String> {
    let mut pieces = vec![String::new()];
    let mut chars = line.chars().peekable();
    while let Some(c) = chars.next() {
        if c == ';' {
            pieces.push(String::new());
            continue;
        }
        if let Some(piece) = pieces.last_mut() {
            piece.push(c);
            if c == '\\' {
                piece.extend(chars.next_if(|c| matches!(c, ';' | '#' | '\\')));
            }
        }
    }
    pieces.iter().map(|piece| piece.trim().to_owned()).collect()
}

/// Parts the last part from a text: the text without it, and its lines. Comments and sections stay in the text.
pub(super) fn without_last(text: &str, reading: &NoteReading) -> Option<(String, String)> {
    let at = reading.note.entries.last()?.line.checked_sub(1)?;
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let indent = |line: &str| line.len() - line.trim_start().len();
    let own = indent(lines.get(at)?);
    let is_more = |line: &&&str| {
        !line.trim().is_empty() && !line.trim().starts_with('#') && indent(line) > own
    };
    let more = lines[at + 1..].iter().take_while(is_more).count();
    let part = lines[at..=at + more].concat();
    let rest = [&lines[..at], &lines[at + 1 + more..]].concat().concat();
    Some((rest, part))
}

/// Tells what the next photo is called: the last number in the name of the last one, and one more.
pub(super) fn next_photo(last: &str) -> Option<String> {
    let end = last.rfind(|c: char| c.is_ascii_digit())? + 1;
    let digits = last[..end].bytes().rev().take_while(u8::is_ascii_digit);
    let start = end - digits.count();
    let number: u64 = last[start..end].parse().ok()?;
    let next = number.checked_add(1)?;
    let width = end - start;
    Some(format!("{}{next:0width$}{}", &last[..start], &last[end..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_reads_back_as_it_was_written() {
        let part = PartDraft {
            name: "o-ring".to_owned(),
            fields: vec![
                "used".to_owned(),
                r"tool a\; b".to_owned(),
                format!("remark {}", "long ".repeat(15).trim_end()),
                "gland piston ; bore 30 ; groove 25.4".to_owned(),
            ],
        };
        assert_eq!(PartDraft::read(&part.text()), part);
    }

    #[test]
    fn the_next_photo_counts_on_and_keeps_its_noughts() {
        assert_eq!(next_photo("IMG_0099.jpg").as_deref(), Some("IMG_0100.jpg"));
        assert_eq!(next_photo("clip.jpg"), None);
    }
}
