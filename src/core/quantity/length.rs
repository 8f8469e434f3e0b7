//! Lengths, kept as whole nanometres.

use super::error::QuantityErrorKind as Kind;
use super::number::Exact;
use serde::{Deserialize, Serialize};

/// A length as whole nanometres, so that inch and millimetre sizes meet without round-off.
///
/// One inch is exactly 25.4 mm (international inch), that is 25,400,000 nm; every thousandth and every 64th of an
/// inch is a whole number of nanometres. Range: ±1000 m, which `f64` also holds exactly.
///
/// ```
/// use ringwright::core::quantity::Length;
/// let section = Length::from_nm(1_778_000);
/// assert_eq!(section.inch(), 0.070);
/// assert_eq!(section.mm(), 1.778);
/// ```
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Length(i64);

/// Nanometres in one millimetre.
pub const NM_PER_MM: i64 = 1_000_000;
/// Nanometres in one inch (exact).
pub const NM_PER_INCH: i64 = 25_400_000;
const LIMIT_NM: i64 = 1_000_000_000_000;

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0);

    /// Makes a length from whole nanometres; beyond ±1000 m it is held at that limit.
    pub const fn from_nm(nm: i64) -> Self {
        if nm > LIMIT_NM {
            Self(LIMIT_NM)
        } else if nm < -LIMIT_NM {
            Self(-LIMIT_NM)
        } else {
            Self(nm)
        }
    }

    /// Makes a length from millimetres, rounded to the nearest nanometre.
    ///
    /// Returns `None` for a value that is not finite or lies beyond ±1000 m.
    pub fn from_mm(mm: f64) -> Option<Self> {
        let nm = mm * NM_PER_MM as f64;
        #[allow(
            clippy::cast_possible_truncation,
            reason = "the range is checked first"
        )]
        (nm.abs() <= LIMIT_NM as f64).then(|| Self(nm.round() as i64))
    }

    /// Returns whole nanometres.
    pub const fn nm(self) -> i64 {
        self.0
    }

    /// Returns millimetres.
    pub fn mm(self) -> f64 {
        self.0 as f64 / NM_PER_MM as f64
    }

    /// Returns millimetres with at most four decimals (a tenth of a micrometre), as machine output carries them.
    pub fn mm_rounded(self) -> f64 {
        const TENTH_OF_A_MICROMETRE_NM: i64 = 100;
        let tenths =
            (self.0 + self.0.signum() * TENTH_OF_A_MICROMETRE_NM / 2) / TENTH_OF_A_MICROMETRE_NM;
        tenths as f64 / (NM_PER_MM / TENTH_OF_A_MICROMETRE_NM) as f64
    }

    /// Returns inches.
    pub fn inch(self) -> f64 {
        self.0 as f64 / NM_PER_INCH as f64
    }

    pub(crate) fn from_exact(number: Exact, unit: LengthUnit) -> Option<Self> {
        let nm = number.times(i128::from(unit.nm()));
        let nm = i64::try_from(nm).ok()?;
        (nm.abs() <= LIMIT_NM).then_some(Self(nm))
    }
}

impl std::ops::Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::from_nm(self.0 + other.0)
    }
}

impl std::ops::Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::from_nm(self.0 - other.0)
    }
}

/// Names the units in which a length may be typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LengthUnit {
    Mm,
    /// Inch, 25.4 mm.
    In,
    /// Thousandth of an inch.
    Thou,
    Micrometre,
    Cm,
    M,
}

impl LengthUnit {
    /// The spellings that are read, for messages.
    pub const KNOWN: &'static str = "mm, in, \", thou, mil, um, cm, m";

    /// Returns the nanometres of one unit.
    pub const fn nm(self) -> i64 {
        match self {
            Self::Mm => NM_PER_MM,
            Self::In => NM_PER_INCH,
            Self::Thou => NM_PER_INCH / 1000,
            Self::Micrometre => 1000,
            Self::Cm => 10 * NM_PER_MM,
            Self::M => 1000 * NM_PER_MM,
        }
    }

    /// Returns the short name in which the unit is printed.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::In => "in",
            Self::Thou => "thou",
            Self::Micrometre => "um",
            Self::Cm => "cm",
            Self::M => "m",
        }
    }

    /// Finds the unit of a spelling, whatever its case.
    pub fn from_word(word: &str) -> Option<Self> {
        // "M5" is a thread, and so may "5 M" be.
        if word == "M" {
            return None;
        }
        let word = word.trim_end_matches('.').to_lowercase();
        Some(match word.as_str() {
            "mm" | "мм" | "毫米" | "ｍｍ" | "millimetre" | "millimetres" | "millimeter"
            | "millimeters" => Self::Mm,
            "in" | "inch" | "inches" | "\"" | "″" | "”" | "''" => Self::In,
            "thou" | "mil" | "mils" => Self::Thou,
            "um" | "µm" | "μm" | "micron" | "microns" => Self::Micrometre,
            "cm" | "см" => Self::Cm,
            "m" => Self::M,
            _ => return None,
        })
    }

    pub(crate) fn unknown(found: &str) -> Kind {
        const WORDS: [&str; 8] = ["mm", "in", "inch", "thou", "mil", "um", "cm", "m"];
        let lower = found.to_lowercase();
        let meant = WORDS
            .iter()
            .map(|w| (strsim::osa_distance(w, &lower), *w))
            .min()
            .filter(|(d, w)| *d == 1 && w.len() > 1)
            .map(|(_, w)| w.to_owned());
        Kind::UnknownUnit {
            found: found.to_owned(),
            quantity: "length",
            known: Self::KNOWN,
            meant,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_thousandth_and_64th_of_an_inch_is_whole_nanometres() {
        assert_eq!(NM_PER_INCH % 1000, 0);
        assert_eq!(NM_PER_INCH % 64, 0);
    }

    #[test]
    fn millimetres_round_to_the_nearest_nanometre() {
        assert_eq!(Length::from_mm(9.25), Some(Length::from_nm(9_250_000)));
        assert_eq!(Length::from_mm(f64::NAN), None);
        assert_eq!(Length::from_mm(2e6), None);
    }
}
