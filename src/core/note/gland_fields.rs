//! The fields behind `gland`.

use super::diagnostic::Diagnostic;
use super::piece::Piece;
use super::reader::Reader;
use super::vocabulary::{self, Context, Keyed};
use super::{gland_fields, lexer};
use crate::core::gland::{Duty, GlandDimension, GlandKind, GlandSpec, PressureSide};
use crate::core::near_word::did_you_mean;
use crate::core::quantity::{LengthUnit, Span, parse_angle, parse_dimension, parse_pressure};

/// Begins a gland from the word behind `gland`.
pub(super) fn begin(value: &Piece, reader: &mut Reader) -> Option<GlandSpec> {
    let word = vocabulary::whole(Context::GlandKind, value.text());
    let kind = word.and_then(GlandKind::from_word);
    let hint = did_you_mean(vocabulary::nearest(&[Context::GlandKind], value.text()));
    let words = GlandKind::ALL.map(|(_, word)| word).join(", ");
    let remedy = format!("write one of {words}, and a semicolon before its dimensions");
    let kind = reader.known(
        value,
        kind,
        &format!("is not a kind of gland{hint}"),
        &remedy,
    );
    kind.map(GlandSpec::new)
}

/// Reads one field of a gland; words for the part go to `remarks`.
pub(super) fn set(gland: &mut GlandSpec, field: &Piece, reader: &mut Reader) -> Option<String> {
    reader.context = Context::Gland;
    if let Some(word) = vocabulary::whole(Context::Duty, field.text()) {
        set_duty(gland, word, field, reader);
        return None;
    }
    if let Some(count) = back_ups_said(field.text()) {
        set_back_ups(gland, Some(count), field, reader);
        return None;
    }
    let parted = field.split_at_word("from");
    if parse_pressure(
        parted
            .map_or(field.clone(), |(pressure, _)| pressure)
            .text(),
    )
    .is_ok()
    {
        apply(gland, &Keyed::whole("pressure", field.clone()), reader);
        return None;
    }
    let Some(keyed) = vocabulary::split_key(Context::Gland, field).filter(|k| !k.value.is_empty())
    else {
        report_unknown(field, reader);
        return None;
    };
    if keyed.key == "remark" {
        return Some(keyed.value.text().to_owned());
    }
    apply(gland, &keyed, reader);
    None
}

/// Sets one field whose key is known.
pub(super) fn apply(gland: &mut GlandSpec, keyed: &Keyed, reader: &mut Reader) {
    reader.context = Context::Gland;
    match keyed.key {
        "pressure" => set_pressure(gland, keyed, reader),
        "from" => set_side(gland, &keyed.value, reader),
        "angle" => set_angle(gland, keyed, reader),
        "back-ups" => {
            let count = counted(keyed.value.text());
            set_back_ups(gland, count, &keyed.value, reader);
        }
        "duty" => match vocabulary::whole(Context::Duty, keyed.value.text()) {
            Some(word) => set_duty(gland, word, &keyed.value, reader),
            None => report_unknown(&keyed.value, reader),
        },
        key => set_dimension(gland, GlandDimension::from_word(key), keyed, reader),
    }
}

fn set_duty(gland: &mut GlandSpec, word: &str, field: &Piece, reader: &mut Reader) {
    if gland.duty.is_some() {
        return said_twice("how the parts move", field, reader);
    }
    gland.duty = Duty::from_word(word);
}

fn set_pressure(gland: &mut GlandSpec, keyed: &Keyed, reader: &mut Reader) {
    if gland.pressure.is_some() {
        return said_twice("the pressure", &keyed.value, reader);
    }
    let parted = keyed.value.split_at_word("from");
    let value = parted.as_ref().map_or(&keyed.value, |(value, _)| value);
    gland.pressure = reader.quantity(value, parse_pressure);
    if let Some((_, side)) = parted {
        set_side(gland, &side, reader);
    }
}

fn set_angle(gland: &mut GlandSpec, keyed: &Keyed, reader: &mut Reader) {
    if gland.kind.angle_meaning().is_none() {
        return reader.diagnostics.error(
            keyed.key_span,
            format!("a {} gland has no angle", gland.kind.word()),
            "take it out, or choose another kind",
        );
    }
    if gland.angle.is_some() {
        return said_twice("the angle", &keyed.value, reader);
    }
    gland.angle = reader.quantity(&keyed.value, parse_angle);
}

fn set_back_ups(gland: &mut GlandSpec, count: Option<u8>, field: &Piece, reader: &mut Reader) {
    if gland.back_ups > 0 {
        return said_twice("how many back-up rings it holds", field, reader);
    }
    let message = if count == Some(0) {
        return;
    } else if !gland.kind.takes_back_ups() {
        let kind = gland.kind.word();
        format!("a {kind} gland has no gap that a back-up ring would bridge")
    } else if let Some(count) = count {
        gland.back_ups = count;
        return;
    } else {
        format!("{:?} is not a number of back-up rings", field.text())
    };
    let remedy =
        "write back-ups 1, or back-ups 2 where one lies on each side of the ring; or take it out";
    reader.diagnostics.error(field.span(), message, remedy);
}

/// Reads a number of back-up rings before their name: `two back-up rings`, `with a backup ring`.
fn back_ups_said(text: &str) -> Option<u8> {
    let lower = text.to_lowercase();
    let words = lower.strip_prefix("with ").unwrap_or(&lower);
    let is_name = |name: &str| vocabulary::whole(Context::Gland, name) == Some("back-ups");
    if is_name(words) {
        // Of one it is said without a number.
        return (!words.ends_with('s')).then_some(1);
    }
    let (count, name) = words.split_once(' ')?;
    counted(count).filter(|_| is_name(name))
}

/// Reads how many back-up rings there are.
fn counted(text: &str) -> Option<u8> {
    match text.trim_start_matches(['x', '×']).trim() {
        "0" | "no" | "none" => Some(0),
        "1" | "a" | "one" => Some(1),
        "2" | "two" => Some(2),
        _ => None,
    }
}

fn set_side(gland: &mut GlandSpec, value: &Piece, reader: &mut Reader) {
    if gland.from.is_some() {
        return said_twice("the side of the pressure", value, reader);
    }
    let word = vocabulary::whole(Context::Side, value.text());
    let side = word.and_then(PressureSide::from_word);
    let remedy = "write: from inside, or: from outside";
    gland.from = reader.known(value, side, "is not a side of a ring", remedy);
}

fn set_dimension(
    gland: &mut GlandSpec,
    name: Option<GlandDimension>,
    keyed: &Keyed,
    reader: &mut Reader,
) {
    let Some(name) = name else { return };
    let known = gland.kind.facts().dimensions;
    if !known.contains(&name) {
        let words: Vec<&str> = known.iter().map(|d| d.word()).collect();
        return reader.diagnostics.error(
            keyed.key_span,
            format!("a {} gland has no {:?}", gland.kind.word(), name.word()),
            format!("its dimensions are {}", words.join(", ")),
        );
    }
    if gland.dimension(name).is_some() {
        return said_twice(name.word(), &keyed.value, reader);
    }
    if let Some((_, method)) = keyed.value.split_at_word("by") {
        return reader.diagnostics.error(
            method.span(),
            "a length of a gland carries its tolerance, not an instrument",
            "write it as 22.40±0.02",
        );
    }
    let lengths = reader.lengths;
    let read = reader.quantity(&keyed.value, |text| parse_dimension(text, lengths));
    gland.dimensions.extend(read.map(|typed| (name, typed)));
}

fn said_twice(what: &str, value: &Piece, reader: &mut Reader) {
    reader.diagnostics.error(
        value.span(),
        format!("{what} is given twice for this gland"),
        "keep the right one",
    );
}

fn report_unknown(field: &Piece, reader: &mut Reader) {
    let text = field.text();
    if let Some(keyed) = vocabulary::split_key(Context::Gland, field) {
        return reader.diagnostics.error(
            keyed.key_span,
            format!("nothing follows {:?}", keyed.key),
            "write the dimension, or take the field out",
        );
    }
    let first = text.split(' ').next().unwrap_or("");
    let meant = vocabulary::nearest(&[Context::Gland, Context::Duty], first);
    reader.unknown_word(field, meant, "a field of a gland", || {
        let keys = vocabulary::keys(Context::Gland).join(", ");
        format!(
            "write one of {keys}, static, moving, rotary; fields of the part stand before: gland"
        )
    });
}

/// Reads a gland as a note's gland line holds it: `piston ; bore 25.40 ; groove 22.40 ; width 2.4 ; static`.
///
/// The word `gland` may stand before the kind. A bare length has the declared unit.
///
/// # Errors
/// Every fault with its place and remedy.
pub fn read_gland(text: &str, lengths: Option<LengthUnit>) -> Result<GlandSpec, Vec<Diagnostic>> {
    let mut reader = Reader {
        lengths,
        ..Reader::default()
    };
    let start = if text.trim_start().starts_with("gland ") {
        text.len() - text.trim_start().len() + "gland ".len()
    } else {
        0
    };
    let pieces = lexer::fields(text, Span::new(start, text.len()));
    let mut pieces = pieces.iter();
    let mut gland = pieces
        .next()
        .and_then(|kind| gland_fields::begin(kind, &mut reader));
    if let Some(gland) = &mut gland {
        for piece in pieces {
            let _remark = gland_fields::set(gland, piece, &mut reader);
        }
    }
    let found = reader.diagnostics.finish(text);
    match gland {
        Some(gland) if found.is_empty() => Ok(gland),
        _ => Err(found),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::gland::{GlandDimension, GlandKind};

    #[test]
    fn a_gland_reads_as_in_a_note() {
        let text = "piston; bore 25.40; groove 22.40±0.02; width 2.4";
        let gland = read_gland(text, Some(LengthUnit::Mm)).expect("reads");
        assert_eq!(gland.kind, GlandKind::Piston);
        let groove = gland.dimension(GlandDimension::Groove).expect("given");
        assert!((groove.nominal.mm() - 22.40).abs() < 1e-9);
        assert!((groove.plus.mm() - 0.02).abs() < 1e-9);
        assert!(read_gland(&format!("gland {text}"), Some(LengthUnit::Mm)).is_ok());
        let faults = read_gland("pistn; bore 25.40", None).expect_err("no kind");
        assert!(faults[0].message.contains("piston"), "{faults:?}");
    }
}
