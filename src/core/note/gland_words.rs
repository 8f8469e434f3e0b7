//! A gland on its own, in the words of a note's gland line.

use super::diagnostic::Diagnostic;
use super::gland_fields;
use super::lexer;
use super::reader::Reader;
use crate::core::gland::GlandSpec;
use crate::core::quantity::{LengthUnit, Span};

/// Reads a gland as a note's gland line holds it: `piston ; bore 25.40 ; groove 22.40 ; width 2.4 ; static`.
///
/// The word `gland` may stand before the kind. A bare length has the declared unit.
///
/// # Errors
/// Every fault with its place and remedy.
pub fn read_gland(text: &str, lengths: Option<LengthUnit>) -> Result<GlandSpec, Vec<Diagnostic>> {
    let mut reader = Reader::new();
    reader.lengths = lengths;
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
