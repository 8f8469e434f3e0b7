//! The label of a bag, a bin or a unit: what it says, and the plain form in which its code holds it.
//!
//! The plain form is one line: `RW1`, the kind, then `name=value` fields, separated by `|`, and at the end `#` and two check
//! digits: `RW1|bag|model=Fellwater Tarn|part=o-ring|size=AS568-012|id=9.25|cs=1.78|qty=2#41`. In a value, `%`, `|`, `#`, `=`
//! and control characters are written as `%` and two hexadecimal digits for each byte of UTF-8. Lengths are millimetres.
//!
//! The check digits are those that bring the whole to 1 modulo 97, the scheme of ISO 7064 MOD 97-10 with bytes for digits:
//! with r = (256·r + byte) mod 97 over all bytes before `#`, the digits are 98 − (100·r mod 97), written with two places.
//! Every wrong byte and every swap of two neighbours is found, as long as the two bytes differ by less than 97, which all
//! printable ASCII does.
//!
//! Kinds: bag, bin, unit. Names: model, line, section, part, at, size, also, id, cs, of (material), bin, lot, cured, before (use
//! before), qty, state, unit, variant, owner, for, gas, rated, day; a reader passes over names that it does not know.

use crate::core::word::words;
use serde::Serialize;
use std::fmt::Write;

/// Says what a label is stuck on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum LabelKind {
    /// A bag with the parts for one place.
    Bag,
    /// A drawer or bin of one size.
    Bin,
    Unit,
}

words!(LabelKind {
    Bag => "bag",
    Bin => "bin",
    Unit => "unit",
});

/// What a printed label says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Label {
    pub kind: LabelKind,
    /// What it says, in the order in which it says it: names of small letters, and values.
    pub fields: Vec<(String, String)>,
}

/// Says why a text is no label.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LabelError {
    /// It does not begin as a label does.
    #[error(
        "this is not a label of the form RW1|kind|name=value…#nn: scan it again, or type all of it"
    )]
    NoLabel,
    /// The check digits are missing or wrong.
    #[error(
        "the check digits are wrong ({found}, not {right}): a character is wrong; scan it again or compare it with the label"
    )]
    Check {
        found: String,
        /// What belongs there.
        right: String,
    },
    /// A field cannot be read.
    #[error("the field {0:?} is not of the form name=value")]
    Field(String),
}

const MARK: &str = "RW1";

impl Label {
    /// Makes a label; empty values are left out.
    pub fn new<'f>(kind: LabelKind, fields: impl IntoIterator<Item = (&'f str, String)>) -> Self {
        let fields = fields
            .into_iter()
            .filter(|(_, value)| !value.trim().is_empty());
        Self {
            kind,
            fields: fields
                .map(|(name, value)| (name.to_owned(), value.trim().to_owned()))
                .collect(),
        }
    }

    /// Returns the value of a field.
    pub fn field(&self, name: &str) -> Option<&str> {
        let found = self.fields.iter().find(|(known, _)| known == name);
        found.map(|(_, value)| value.as_str())
    }

    /// Writes the plain form.
    ///
    /// ```
    /// use ringwright::core::book::{Label, LabelKind};
    /// let label = Label::new(LabelKind::Bin, [("size", "AS568-012".to_owned()), ("qty", "7".to_owned())]);
    /// assert_eq!(Label::read(&label.plain()), Ok(label));
    /// ```
    pub fn plain(&self) -> String {
        let mut text = format!("{MARK}|{}", self.kind.word());
        for (name, value) in &self.fields {
            let _ = write!(text, "|{}={}", coded(name), coded(value));
        }
        let digits = check_digits(&text);
        format!("{text}#{digits}")
    }

    /// Reads the plain form.
    ///
    /// # Errors
    /// Says whether the text is no label, or which of its characters cannot be trusted.
    pub fn read(text: &str) -> Result<Self, LabelError> {
        let text = text.trim();
        let (body, found) = text.rsplit_once('#').ok_or(LabelError::NoLabel)?;
        let mut parts = body.split('|');
        if parts.next() != Some(MARK) {
            return Err(LabelError::NoLabel);
        }
        let right = check_digits(body);
        if found != right {
            let found = found.to_owned();
            return Err(LabelError::Check { found, right });
        }
        let word = parts.next().unwrap_or_default();
        let kind = LabelKind::from_word(word).filter(|kind| kind.word() == word);
        let kind = kind.ok_or(LabelError::NoLabel)?;
        let field = |part: &str| {
            let (name, value) = part.split_once('=')?;
            Some((decoded(name)?, decoded(value)?))
        };
        let fields = parts
            .map(|part| field(part).ok_or_else(|| LabelError::Field(part.to_owned())))
            .collect::<Result<_, _>>()?;
        Ok(Self { kind, fields })
    }
}

fn check_digits(text: &str) -> String {
    const MODULUS: u32 = 97;
    let rest = text
        .bytes()
        .fold(0, |rest, byte| (256 * rest + u32::from(byte)) % MODULUS);
    format!("{:02}", 98 - 100 * rest % MODULUS)
}

fn coded(value: &str) -> String {
    let mut out = String::new();
    for character in value.chars() {
        if matches!(character, '%' | '|' | '#' | '=') || character.is_control() {
            for byte in character.encode_utf8(&mut [0; 4]).bytes() {
                let _ = write!(out, "%{byte:02X}");
            }
        } else {
            out.push(character);
        }
    }
    out
}

fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = text.as_bytes();
    while let Some((first, after)) = rest.split_first() {
        if *first == b'%' {
            let digits = std::str::from_utf8(after.get(..2)?).ok()?;
            bytes.push(u8::from_str_radix(digits, 16).ok()?);
            rest = &after[2..];
        } else {
            bytes.push(*first);
            rest = after;
        }
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn bag() -> Label {
        Label::new(
            LabelKind::Bag,
            [
                ("model", "Fellwater Tarn".to_owned()),
                ("size", "AS568-012".to_owned()),
            ],
        )
    }

    #[test]
    fn the_check_brings_the_whole_to_one_modulo_97() {
        let plain = bag().plain();
        let (body, digits) = plain.rsplit_once('#').expect("has digits");
        let rest = body
            .bytes()
            .fold(0, |rest, byte| (256 * rest + u64::from(byte)) % 97);
        let digits: u64 = digits.parse().expect("digits");
        assert_eq!((100 * rest + digits) % 97, 1);
    }

    #[test]
    fn every_wrong_character_and_every_swap_is_found() {
        let plain = bag().plain();
        let end = plain.rfind('#').expect("has digits");
        for at in 0..end {
            for wrong in b' '..=b'~' {
                let mut bytes = plain.clone().into_bytes();
                if bytes[at] != wrong {
                    bytes[at] = wrong;
                    let text = String::from_utf8(bytes).expect("ASCII");
                    assert!(Label::read(&text).is_err(), "{text}");
                }
            }
            let mut bytes = plain.clone().into_bytes();
            if at + 1 < end && bytes[at] != bytes[at + 1] {
                bytes.swap(at, at + 1);
                let text = String::from_utf8(bytes).expect("ASCII");
                assert!(Label::read(&text).is_err(), "{text}");
            }
        }
    }

    proptest! {
        #[test]
        fn a_label_survives_its_plain_form(name in "[a-z]{1,8}", value in "\\PC{1,60}") {
            let label = Label::new(LabelKind::Unit, [(name.as_str(), value)]);
            prop_assert_eq!(Label::read(&label.plain()), Ok(label));
        }

        #[test]
        fn no_text_makes_reading_fail_otherwise_than_by_saying_so(text in "\\PC{0,80}") {
            let _ = Label::read(&text);
            let _ = Label::read(&format!("RW1|bag|{text}"));
        }
    }
}
