//! What the readers of lines, fields and cells share.

use super::diagnostic::Diagnostics;
use super::piece::Piece;
use super::vocabulary::{Context, split_key};
use crate::core::near_word::did_you_mean;
use crate::core::quantity::{LengthUnit, QuantityError, Span};

/// What the readers of lines, fields and cells share: the declared unit, and what was found wrong.
#[derive(Debug, Default)]
pub(super) struct Reader {
    pub(super) diagnostics: Diagnostics,
    /// The unit of bare lengths.
    pub(super) lengths: Option<LengthUnit>,
    /// Where the field being read stands; used for hints about forgotten semicolons.
    pub(super) context: Context,
}

impl Reader {
    /// Reads a quantity from a piece; what cannot be read becomes a diagnostic at its place.
    pub(super) fn quantity<T>(
        &mut self,
        value: &Piece,
        read: impl FnOnce(&str) -> Result<T, QuantityError>,
    ) -> Option<T> {
        let read = read(value.text());
        if let Err(error) = &read
            && !self.misses_semicolon(value)
        {
            self.diagnostics.quantity(value.place(error.span), error);
        }
        read.ok()
    }

    /// Gives on what a piece was found to mean; a piece that means nothing is reported as `what`.
    pub(super) fn known<T>(
        &mut self,
        value: &Piece,
        found: Option<T>,
        what: &str,
        remedy: &str,
    ) -> Option<T> {
        if found.is_none() {
            let message = format!("{:?} {what}", value.text());
            self.diagnostics.error(value.span(), message, remedy);
        }
        found
    }

    /// Reports a first word that begins nothing known; `known` says what to write where no word is near.
    pub(super) fn unknown_word(
        &mut self,
        piece: &Piece,
        meant: Option<&str>,
        what: &str,
        known: impl FnOnce() -> String,
    ) {
        let first = piece.text().split(' ').next().unwrap_or("");
        self.diagnostics.error(
            piece.place(Span::new(0, first.len())),
            format!("{first:?} is not {what}{}", did_you_mean(meant)),
            meant.map_or_else(known, |meant| format!("write {meant}")),
        );
    }

    /// Reports a key inside a value that cannot be read: a semicolon was forgotten. Tells whether there is one.
    pub(super) fn misses_semicolon(&mut self, value: &Piece) -> bool {
        let Some(key) = self.key_inside(value) else {
            return false;
        };
        let word = key.text().split(' ').next().unwrap_or("").to_owned();
        self.diagnostics.error(
            key.place(Span::new(0, word.len())),
            format!("{word:?} begins a new field here"),
            format!("put a semicolon before it: … ; {}", key.text()),
        );
        true
    }

    fn key_inside(&self, value: &Piece) -> Option<Piece> {
        let starts = value.text().match_indices(' ').map(|(at, _)| at + 1);
        starts
            .map(|at| value.part(at..value.text().len()))
            .find(|rest| {
                split_key(self.context, rest).is_some_and(|keyed| {
                    keyed
                        .value
                        .text()
                        .starts_with(|c: char| c.is_ascii_digit() || c == '.')
                })
            })
    }
}

/// Makes text of the bytes of a file: UTF-8, or UTF-16 where a byte order mark says so.
///
/// Bytes that are neither become U+FFFD, which reading the note then reports at its place.
pub fn decode(bytes: &[u8]) -> String {
    let words = |bytes: &[u8], word: fn([u8; 2]) -> u16| -> String {
        let units = bytes.chunks(2).map(|pair| match pair {
            [a, b] => word([*a, *b]),
            _ => u16::MAX,
        });
        char::decode_utf16(units)
            .map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER))
            .collect()
    };
    match bytes {
        [0xff, 0xfe, rest @ ..] => words(rest, u16::from_le_bytes),
        [0xfe, 0xff, rest @ ..] => words(rest, u16::from_be_bytes),
        _ => String::from_utf8_lossy(bytes).into_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_orders_of_utf_16_and_utf_8_read_alike() {
        assert_eq!(decode(b"\xff\xfeo\0d\0"), "od");
        assert_eq!(decode(b"\xfe\xff\0o\0d"), "od");
        assert_eq!(decode("ø 9".as_bytes()), "ø 9");
        assert_eq!(decode(b"\xd8 9"), "\u{fffd} 9");
    }
}
