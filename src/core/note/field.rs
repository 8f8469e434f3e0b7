//! One field of a part: which key it has, said or understood.

use super::part_name::{PartName, count_of};
use super::piece::Piece;
use super::reader::Reader;
use super::vocabulary::{self, Context, Keyed};
use crate::core::elastomer::Polymer;
use crate::core::quantity::{Span, parse_hardness};

/// A polymer's letters stand alone as a field only where they are as long as this; shorter ones are too easily a slip.
const FEWEST_LETTERS: usize = 3;

/// Finds the key of a field; a field without key is understood where it can mean one thing only.
///
/// What is not understood becomes a diagnostic.
pub(super) fn resolve(field: &Piece, reader: &mut Reader) -> Option<Keyed> {
    if let Some(key) = key_of_plain_word(field) {
        return Some(Keyed {
            key,
            key_span: field.span(),
            value: field.clone(),
        });
    }
    let keyed = vocabulary::split_key(Context::Part, field);
    match keyed {
        Some(keyed) if keyed.value.is_empty() => {
            reader.diagnostics.error(
                keyed.key_span,
                format!("nothing follows {:?}", keyed.key),
                "write what it is, or take the field out",
            );
            None
        }
        Some(keyed) => Some(keyed),
        None => {
            report_unknown(field, reader);
            None
        }
    }
}

fn key_of_plain_word(field: &Piece) -> Option<&'static str> {
    let text = field.text();
    if vocabulary::whole(Context::Fate, text).is_some() {
        return Some("fate");
    }
    if vocabulary::whole(Context::Condition, text).is_some() {
        return Some("condition");
    }
    if text.starts_with(['x', 'X', '×']) && count_of(text).is_some() {
        return Some("quantity");
    }
    if vocabulary::split_key(Context::Part, field).is_some() {
        return None;
    }
    if vocabulary::begins(Context::Position, text) {
        return Some("position");
    }
    if text.starts_with(|c: char| c.is_ascii_digit()) && parse_hardness(text).is_ok() {
        return Some("hardness");
    }
    (text.len() >= FEWEST_LETTERS && Polymer::from_word(text).is_some()).then_some("polymer")
}

fn report_unknown(field: &Piece, reader: &mut Reader) {
    let text = field.text();
    let first = text.split(' ').next().unwrap_or("");
    let span = field.place(Span::new(0, first.len()));
    let out = &mut reader.diagnostics;
    let letters = first
        .find(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | 'ø' | 'Ø'))
        .unwrap_or(first.len());
    if letters > 0
        && letters < first.len()
        && vocabulary::whole(Context::Part, &first[..letters]).is_some()
    {
        let key = &first[..letters];
        return out.error(
            span,
            format!("{first:?} runs a key and a number together"),
            format!("put a space between them: {key} {}", &text[letters..]),
        );
    }
    if let Some(word) = plain_word_at_start(first) {
        return out.error(
            field.span(),
            format!("{word:?} stands alone between semicolons"),
            format!(
                "write ; {word} ; and the rest as a field of its own, such as: remark {}",
                text[first.len()..].trim()
            ),
        );
    }
    if PartName::read(field).kind.is_some() {
        return out.error(
            field.span(),
            format!("{text:?} names a part, and one line is one part"),
            "begin a line with it, as far left as the other parts; or put free words after: remark",
        );
    }
    let near = [
        Context::Part,
        Context::Fate,
        Context::Condition,
        Context::Position,
    ];
    if let Some(meant) =
        vocabulary::nearest(&near, first).or_else(|| vocabulary::nearest(&near, text))
    {
        return out.error(
            span,
            format!("{first:?} is not a key of a part (did you mean {meant:?}?)"),
            format!("write {meant}, or put free words after: remark"),
        );
    }
    if vocabulary::whole(Context::Header, first).is_some() {
        return out.error(
            span,
            format!("{first:?} speaks of the whole unit"),
            "move it to a line of its own above the first part",
        );
    }
    if vocabulary::whole(Context::Gland, first).is_some() {
        return out.error(
            span,
            format!("{first:?} is a dimension of a gland"),
            "put it behind: gland piston, gland rod or gland face",
        );
    }
    if text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | 'ø' | 'Ø')) {
        return out.error(
            field.span(),
            format!("{text:?} does not say what it measures"),
            "write the key before it: od, id, cs, width, thick, length …",
        );
    }
    out.error(
        field.span(),
        format!("{text:?} is not understood"),
        "begin it with a key (od, cs, tool, torque …) or a place (at …), or put free words after: remark",
    );
}

fn plain_word_at_start(first: &str) -> Option<&str> {
    let is_plain = vocabulary::whole(Context::Fate, first).is_some()
        || vocabulary::whole(Context::Condition, first).is_some();
    is_plain.then_some(first)
}
