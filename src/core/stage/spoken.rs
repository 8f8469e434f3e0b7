//! The unit in which whoever reads the answer writes small pressures.

use super::verdict::SettingCheck;
use crate::core::quantity::PressureUnit;

/// Names the unit of the reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Spoken {
    /// Bar, and every other metric unit.
    #[default]
    Bar,
    /// Pounds per square inch.
    Psi,
}

impl Spoken {
    /// Hears the unit in what was typed: the first pressure that names one decides.
    ///
    /// ```
    /// use ringwright::core::stage::Spoken;
    /// assert_eq!(Spoken::of(["9.8bar at 3000 psi"]), Spoken::Bar);
    /// assert_eq!(Spoken::of(["0.50 mm: 142 psi"]), Spoken::Psi);
    /// ```
    pub fn of<'t>(typed: impl IntoIterator<Item = &'t str>) -> Self {
        let words = typed.into_iter().flat_map(|text| {
            text.split(|c: char| !c.is_alphabetic())
                .map(str::to_lowercase)
        });
        let mut named = words.filter_map(|word| match word.as_str() {
            "psi" | "psig" | "psia" | "ksi" => Some(Self::Psi),
            "bar" | "mbar" | "barg" | "mpa" | "kpa" => Some(Self::Bar),
            _ => None,
        });
        named.next().unwrap_or_default()
    }

    /// Returns its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bar => "bar",
            Self::Psi => "psi",
        }
    }

    /// Returns how many of it a bar is.
    pub fn of_bar(self, bar: f64) -> f64 {
        let unit = match self {
            Self::Bar => PressureUnit::Bar,
            Self::Psi => PressureUnit::Psi,
        };
        bar * PressureUnit::Bar.pascals() / unit.pascals()
    }
}

impl SettingCheck {
    /// Returns the check in the unit of the reader; a check that is no pressure stays as it is.
    #[must_use]
    pub fn spoken(&self, spoken: Spoken) -> Self {
        /// Limits are round in their own unit: no more digits than that are meant.
        const DIGITS: f64 = 100.0;
        let mut words = self.unit.splitn(2, '/');
        let unit = words.next().unwrap_or("").trim();
        let behind = words.next();
        let is_slope = behind == Some("bar");
        let from = match unit {
            "psi" => Spoken::Psi,
            "bar" if !is_slope => Spoken::Bar,
            _ => return self.clone(),
        };
        if from == spoken {
            return self.clone();
        }
        let factor = spoken.of_bar(1.0) / from.of_bar(1.0);
        let turned = |value: f64| (value * factor * DIGITS).round() / DIGITS;
        Self {
            value: turned(self.value),
            low: turned(self.low),
            high: turned(self.high),
            unit: match behind {
                Some(behind) => format!("{}/{behind}", spoken.word()),
                None => spoken.word().to_owned(),
            },
            ..self.clone()
        }
    }
}
