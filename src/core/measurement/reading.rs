//! What was measured on a ring, with what, and what was typed.

use crate::core::quantity::{
    Length, LengthUnit, QuantityError, Span, parse_dimension, parse_mass, parse_readings,
};
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

/// The repeated readings of one measurand by one method.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    pub measurand: Measurand,
    /// Readings in millimetres, or in grams for a mass; at least one.
    pub values: Vec<f64>,
    /// The instrument's word (`caliper`), or empty where none was named.
    pub method: String,
    pub typed: String,
}

impl Reading {
    /// Reads `12.90 12.95 mm by caliper`, or with its own standard uncertainty `12.873 mm u 0.021 mm by scan`.
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
        let (values, own) = split_own(values);
        if let Some(own) = own {
            read_own(own).map_err(|error| error.shifted(values.len() + OWN.len()))?;
        }
        let values = if measurand == Measurand::Mass {
            vec![parse_mass(values)?.value.grams()]
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
        let words = split_own(self.written()).0.split_whitespace();
        let steps = words.filter_map(|word| {
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

    /// Returns the standard uncertainty that was stated with the reading, in millimetres; it stands in place of the instrument's.
    pub fn own_uncertainty(&self) -> Option<f64> {
        let own = split_own(self.written()).1?;
        read_own(own).ok().map(Length::mm)
    }

    /// Returns what was typed before the instrument.
    fn written(&self) -> &str {
        self.typed.split(" by ").next().unwrap_or_default()
    }

    /// Returns the mean of the repeated readings, in millimetres or grams.
    pub fn mean(&self) -> f64 {
        self.values.iter().sum::<f64>() / self.values.len() as f64
    }
}

/// Stands between a reading and its own standard uncertainty (u, the letter of the Guide, JCGM 100:2008, 2.3.1).
const OWN: &str = " u ";
/// Nothing on a bench is known better than the first, and what is known worse than the second is no reading.
const OWN_RANGE_MM: std::ops::RangeInclusive<f64> = 0.001..=0.5;

fn split_own(values: &str) -> (&str, Option<&str>) {
    match values.split_once(OWN) {
        Some((values, own)) => (values, Some(own)),
        None => (values, None),
    }
}

fn read_own(text: &str) -> Result<Length, QuantityError> {
    let own = parse_dimension(text, None)?.value.nominal;
    if OWN_RANGE_MM.contains(&own.mm()) {
        return Ok(own);
    }
    let range = "a reading's own uncertainty (0.001 to 0.5 mm)";
    let whole = Span::new(0, text.len());
    Err(QuantityError::out_of_range(text, whole, range))
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
    fn a_reading_may_state_its_own_uncertainty() {
        let read = |text: &str| Reading::parse(Measurand::Od, text, None);
        let reading = read("12.873 mm u 0.021 mm by scan").expect("reads");
        assert_eq!(
            (reading.values.as_slice(), reading.method.as_str()),
            ([12.873].as_slice(), "scan")
        );
        assert_eq!(reading.own_uncertainty(), Some(0.021));
        assert!((reading.resolution() - 0.001).abs() < 1e-9);
        assert_eq!(
            read("12.87 mm by scan").expect("reads").own_uncertainty(),
            None
        );
        for (wrong, start) in [
            ("12.873 mm u 0.021 by scan", 12),
            ("12.873 mm u 0 mm", 12),
            ("12.873 mm u 2 mm", 12),
        ] {
            let error = read(wrong).expect_err(wrong);
            assert_eq!(error.span.start, start, "{wrong}");
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
