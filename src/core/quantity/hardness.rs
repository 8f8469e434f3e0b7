//! Hardness of rubber and plastics, always with its scale.

use super::error::QuantityError;
use super::scalar::ScalarForm;
use super::typed::Typed;
use serde::{Deserialize, Serialize};

/// Names a hardness scale; a number on one scale means nothing on another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum HardnessScale {
    /// Shore A durometer (ISO 48-4, ASTM D2240): rings.
    #[serde(rename = "Shore A")]
    ShoreA,
    /// Shore D durometer (ISO 48-4, ASTM D2240): seats.
    #[serde(rename = "Shore D")]
    ShoreD,
    /// International rubber hardness degrees (ISO 48-2); near Shore A, not equal to it.
    #[serde(rename = "IRHD")]
    Irhd,
}

/// A hardness with its scale. Range: 0 to 100.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Hardness {
    /// Points on the scale.
    pub value: f64,
    pub scale: HardnessScale,
}

impl Hardness {
    /// Makes a Shore A hardness; `None` outside 0 to 100.
    pub fn shore_a(value: f64) -> Option<Self> {
        Self::new(value, HardnessScale::ShoreA)
    }

    /// Makes a hardness on a scale; `None` outside 0 to 100.
    pub fn new(value: f64, scale: HardnessScale) -> Option<Self> {
        (0.0..=100.0)
            .contains(&value)
            .then_some(Self { value, scale })
    }
}

impl HardnessScale {
    /// Returns the words in which the scale is shown and stored.
    pub const fn words(self) -> &'static str {
        match self {
            Self::ShoreA => "Shore A",
            Self::ShoreD => "Shore D",
            Self::Irhd => "IRHD",
        }
    }

    /// Finds a scale by the words in which it is stored.
    pub fn from_words(words: &str) -> Option<Self> {
        [Self::ShoreA, Self::ShoreD, Self::Irhd]
            .into_iter()
            .find(|scale| scale.words() == words)
    }
}

impl std::fmt::Display for Hardness {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.value, self.scale.words())
    }
}

const FORM: ScalarForm = ScalarForm {
    quantity: "hardness",
    example: "70A, 70 Shore A, 65 Shore D or 70 IRHD",
    known: "A or Shore A or duro, D or Shore D, IRHD",
    missing: "scale",
    range: "0 to 100",
};

/// Reads a hardness such as `70A`, `70 Shore A`, `70 duro`, `65D`, `70 IRHD`.
///
/// # Errors
/// Says what cannot be read, where and what to write; a number without scale is refused.
pub fn parse_hardness(text: &str) -> Result<Typed<Hardness>, QuantityError> {
    let scalar = FORM.split(text)?;
    let Some(scale) = hardness_scale(scalar.unit) else {
        return Err(FORM.bad_unit(&scalar, text));
    };
    FORM.within(&scalar, text, Hardness::new(scalar.number, scale))
}

/// Finds the scale of a word such as `A`, `Sh A`, `duro`.
pub(crate) fn hardness_scale(word: &str) -> Option<HardnessScale> {
    let word: String = word
        .to_lowercase()
        .chars()
        .filter(|c| !matches!(c, ' ' | '.' | '-' | '°'))
        .collect();
    Some(match word.as_str() {
        "a" | "shorea" | "sha" | "sh" | "shore" | "duro" | "durometer" | "duroa"
        | "shoreadurometer" => HardnessScale::ShoreA,
        "d" | "shored" | "shd" | "durod" => HardnessScale::ShoreD,
        "irhd" | "irh" => HardnessScale::Irhd,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_told_apart() {
        let read = |t| parse_hardness(t).expect("reads").value.scale;
        for text in [
            "70A",
            "70 A",
            "70 Shore A",
            "70 Sh A",
            "70 duro",
            "70 shore",
        ] {
            assert_eq!(read(text), HardnessScale::ShoreA, "{text}");
        }
        assert_eq!(read("65D"), HardnessScale::ShoreD);
        assert_eq!(read("70 IRHD"), HardnessScale::Irhd);
        assert!(parse_hardness("70").is_err());
        assert!(parse_hardness("170A").is_err());
        assert!(parse_hardness("-1 IRHD").is_err());
    }
}
