//! What was measured on a ring, with what, and what was typed.

use crate::core::quantity::{Length, LengthUnit, Mass, QuantityError, parse_mass, parse_readings};
use serde::{Deserialize, Serialize};

/// Names what is measured on a ring.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Measurand {
    /// Inside diameter.
    Id,
    /// Outside diameter.
    Od,
    /// Cross-section; on a used ring its height, the smaller way across, in the direction in which it was squeezed.
    Cs,
    /// Width of the section, across the height.
    Width,
    /// Length of the ring, cut and laid straight.
    #[serde(rename = "cut")]
    CutLength,
    /// Mass.
    Mass,
    /// Height of several equal rings stacked flat on each other; it counts as that of one.
    Stack,
}

impl Measurand {
    /// Lists every measurand of a single ring with the word that selects it; a stack needs several.
    pub const ALL: [(Self, &'static str); 6] = [
        (Self::Id, "id"),
        (Self::Od, "od"),
        (Self::Cs, "cs"),
        (Self::Width, "width"),
        (Self::CutLength, "cut"),
        (Self::Mass, "mass"),
    ];

    const STACK: &'static str = "stack";

    /// Returns the word.
    pub fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(m, _)| *m == self)
            .map_or(Self::STACK, |(_, word)| word)
    }

    /// Finds the measurand of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        let lower = word.trim().to_lowercase();
        let single = Self::ALL.iter().find(|(_, w)| *w == lower).map(|(m, _)| *m);
        single.or_else(|| (lower == Self::STACK).then_some(Self::Stack))
    }

    /// Returns the name in words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Id => "inside diameter",
            Self::Od => "outside diameter",
            Self::Cs => "section",
            Self::Width => "section width",
            Self::CutLength => "cut length",
            Self::Mass => "mass",
            Self::Stack => "stack height",
        }
    }
}

/// Holds the repeated readings of one measurand by one method.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// What was measured.
    pub measurand: Measurand,
    /// Readings in millimetres, or in grams for a mass; at least one.
    pub values: Vec<f64>,
    /// The instrument's word (`caliper`), or empty where none was named.
    pub method: String,
    /// What was typed.
    pub typed: String,
}

impl Reading {
    /// Reads `12.90 12.95 mm by caliper`.
    ///
    /// The word behind "by" is kept as typed; whether it names a known instrument is settled by
    /// [`Instruments`](super::Instruments).
    ///
    /// # Errors
    /// Says what cannot be read, where (bytes of `text`), and what to write.
    pub fn parse(
        measurand: Measurand,
        text: &str,
        declared: Option<LengthUnit>,
    ) -> Result<Self, QuantityError> {
        let (values, method) = match text.split_once(" by ") {
            Some((values, method)) => (values, method.trim().to_lowercase()),
            None => (text, String::new()),
        };
        let values = if measurand == Measurand::Mass {
            vec![parse_mass(values)?.value]
                .into_iter()
                .map(Mass::grams)
                .collect()
        } else {
            let lengths = parse_readings(values, declared)?.value;
            lengths.into_iter().map(Length::mm).collect()
        };
        Ok(Self {
            measurand,
            values,
            method,
            typed: text.trim().to_owned(),
        })
    }

    /// Tells whether the repeated readings lie further apart than a tenth of their mean: one of them holds a slip.
    pub fn lie_far_apart(&self) -> bool {
        const WIDEST_SPREAD: f64 = 0.10;
        let least = self.values.iter().copied().fold(f64::INFINITY, f64::min);
        let greatest = self.values.iter().copied().fold(0.0, f64::max);
        greatest - least > WIDEST_SPREAD * self.mean()
    }

    /// Returns the step of the last digit that was written, in millimetres or grams: 1 for "13 mm", 0.01 for "12.80 mm". A fraction
    /// of an inch is read to a 64th, however it was reduced. Of several readings the finest counts, because noughts are left away.
    pub fn resolution(&self) -> f64 {
        let values = self.typed.split(" by ").next().unwrap_or_default();
        let steps = values.split_whitespace().filter_map(|word| {
            let number = word.trim_end_matches(|c: char| !c.is_ascii_digit());
            if number.contains('/') {
                return Some(SIXTY_FOURTH_MM);
            }
            let (written, step) = written_number(number)?;
            // What was typed may be in any unit: the reading says by what it was multiplied.
            let nearest = self.values.iter().map(|value| value / written);
            nearest
                .filter(|unit| *unit > 0.0)
                .map(|unit| unit * step)
                .reduce(f64::min)
        });
        steps.reduce(f64::min).unwrap_or(0.0)
    }

    /// Returns the mean of the repeated readings, in millimetres or grams.
    pub fn mean(&self) -> f64 {
        self.values.iter().sum::<f64>() / self.values.len() as f64
    }
}

const SIXTY_FOURTH_MM: f64 = 25.4 / 64.0;

/// Reads a number with the step of its last digit: `12.80` has 0.01.
fn written_number(word: &str) -> Option<(f64, f64)> {
    let plain = word.replace(',', ".");
    let value: f64 = plain.parse().ok()?;
    let decimals = plain.split_once('.').map_or(0, |(_, behind)| behind.len());
    let step = (0..decimals).fold(1.0, |step, _| step / 10.0);
    (value > 0.0).then_some((value, step))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_digit_that_was_written_is_the_resolution() {
        let step = |text: &str| {
            Reading::parse(Measurand::Od, text, None)
                .expect("reads")
                .resolution()
        };
        for (text, mm) in [
            ("13 mm", 1.0),
            ("12.8 mm", 0.1),
            ("12.80 mm by caliper", 0.01),
            ("12.80 13 mm", 0.01),
            ("0.504 in", 0.0254),
            ("1/2 in", 0.396_875),
            ("1 1/16 in", 0.396_875),
            ("33/64 in", 0.396_875),
        ] {
            assert!(
                (step(text) - mm).abs() < 0.02 * mm,
                "{text}: {}",
                step(text)
            );
        }
    }

    #[test]
    fn readings_keep_their_values_method_and_text() {
        let text = "12.80 12.85 mm by Caliper";
        let reading = Reading::parse(Measurand::Od, text, None).expect("reads");
        assert_eq!(reading.values, [12.80, 12.85]);
        assert_eq!(reading.method, "caliper");
        assert_eq!(reading.typed, text);
        assert!((reading.mean() - 12.825).abs() < 1e-12);
        let mass = Reading::parse(Measurand::Mass, "0.12 g by scale", None).expect("reads");
        assert_eq!(mass.values, [0.12]);
        assert!(Reading::parse(Measurand::Id, "9.25", None).is_err());
    }
}
