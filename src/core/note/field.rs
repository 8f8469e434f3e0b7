//! One field of a part: which key it has, said or understood.

use super::part_name::{PartName, count_of};
use super::piece::Piece;
use super::reader::Reader;
use super::vocabulary::{self, Context, Keyed};
use crate::core::elastomer::Polymer;
use crate::core::quantity::{Span, parse_hardness, parse_pressure};

/// A polymer's letters stand alone as a field only where they are as long as this; shorter ones are too easily a slip.
const FEWEST_LETTERS: usize = 3;

/// Finds the key of a field; a field without key is understood where it can mean one thing only.
///
/// What is not understood becomes a diagnostic.
pub(super) fn resolve(field: &Piece, reader: &mut Reader) -> Option<Keyed> {
    if let Some(key) = key_of_plain_word(field) {
        return Some(Keyed::whole(key, field.clone()));
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
    let instrument = text.strip_prefix("by ").unwrap_or(text);
    if vocabulary::whole(Context::Method, instrument).is_some() {
        return Some("method");
    }
    if text.starts_with(['ø', 'Ø', '⌀', '∅']) {
        return Some("diameter");
    }
    if vocabulary::begins(Context::Position, text) {
        return Some("position");
    }
    // "toll 1 in wrench" is a key that is written wrong.
    let first = text.split(' ').next().unwrap_or("");
    if vocabulary::ends(Context::Tool, text)
        && vocabulary::nearest(&[Context::Part], first).is_none()
    {
        return Some("tool");
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
    let is_whole = |context| vocabulary::whole(context, first).is_some();
    if is_whole(Context::Fate) || is_whole(Context::Condition) {
        return out.error(
            field.span(),
            format!("{first:?} stands alone between semicolons"),
            format!(
                "write ; {first} ; and the rest as a field of its own, such as: remark {}",
                text[first.len()..].trim()
            ),
        );
    }
    if parse_pressure(text).is_ok() {
        return out.error(
            field.span(),
            format!("{text:?} does not say what it is the pressure of"),
            "put it on the line of the gland as: pressure 200 bar; what the whole unit is fed with stands above the parts as: supply 200 bar",
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
    if is_whole(Context::Header) {
        return out.error(
            span,
            format!("{first:?} speaks of the whole unit"),
            "move it to a line of its own above the first part",
        );
    }
    if is_whole(Context::Gland) {
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

#[cfg(test)]
mod tests {
    use crate::core::note::{Diagnostic, Entry, NoteReading, read_note};

    fn part(line: &str) -> NoteReading {
        read_note(&format!(
            "model Tarn\nunit 1\ndate 2026-03-14\ngas air\nsupply 200 bar\nlengths mm\n[body]\n{line}\n"
        ))
    }

    fn sound(line: &str) -> Entry {
        let reading = part(line);
        assert!(reading.is_sound(), "{line}: {:?}", reading.diagnostics);
        reading.note.entries[0].clone()
    }

    #[test]
    fn fields_without_their_key_are_understood_where_they_mean_one_thing() {
        let ring =
            sound("o-ring ; at stem ; used ; od 12.90 ; cs 1.72 ; by caliper ; 3/4 in spanner");
        assert!(
            ring.readings
                .iter()
                .all(|reading| reading.method == "caliper")
        );
        assert_eq!(ring.tool.as_deref(), Some("3/4 in spanner"));
        let ring = sound("o-ring ; at stem ; used ; od 12.90 12.95 caliper ; cs 1.75 flat");
        let methods: Vec<&str> = ring.readings.iter().map(|r| r.method.as_str()).collect();
        assert_eq!(methods, ["caliper", "flat"]);
        let disc = sound("filter disc ; at inlet ; ø14.9 ; thick 2.8 ruler");
        assert_eq!(disc.dimensions.len(), 2);
        assert_eq!(sound("shims 3 ; over stem ; thick 0.25").quantity, 3);
        let plug = sound("plug 7/16 x 4 ; keep");
        assert_eq!((plug.quantity, plug.thread.as_deref()), (4, Some("7/16")));
        let gland = sound(
            "o-ring ; at stem ; used ; od 12.9 by caliper\n  gland piston ; bore 14 ; groove 11 ; width 4 ; 200 bar from inside ; two backup rings",
        );
        let gland = gland.gland.expect("a gland");
        assert_eq!(gland.back_ups, 2);
        assert!(gland.pressure.is_some() && gland.from.is_some());
    }

    #[test]
    fn what_cannot_be_understood_without_its_key_is_one_error_that_says_why() {
        for (line, why) in [
            ("o-ring ; at stem ; caliper", "names an instrument"),
            ("o-ring ; at stem ; ø 12.9", "which diameter"),
            ("o-ring ; at stem ; 200 bar", "the pressure of"),
        ] {
            let reading = part(line);
            assert_eq!(
                reading.diagnostics.len(),
                1,
                "{line}: {:?}",
                reading.diagnostics
            );
            let message = &reading.diagnostics[0].message;
            assert!(message.contains(why), "{line}: {message}");
        }
        let slip = read_note("model Tarn\nunit 1\noxigen 32 %\n[body]\nfilter disc ; od 12 mm\n");
        let meant = |d: &Diagnostic| d.message.contains("oxygen");
        assert!(slip.diagnostics.iter().any(meant), "{slip:?}");
    }

    #[test]
    fn a_back_up_ring_is_one_part_in_every_spelling() {
        for name in [
            "back-up ring",
            "backup ring",
            "Back up ring",
            "backing ring",
            "piston backup ring",
        ] {
            let ring = sound(&format!("{name} ; at stem ; replace ; width 1.4"));
            assert_eq!(ring.kind.word(), "back-up ring", "{name}");
        }
    }
}
