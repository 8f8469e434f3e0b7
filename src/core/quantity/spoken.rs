//! The unit in which whoever reads the answer writes small pressures.

use super::pressure::PressureUnit;
use serde::Serialize;

/// Names the unit of the reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
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
    /// use ringwright::core::quantity::Spoken;
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

    /// Hears the unit in what was typed of the supply, behind "at".
    pub fn of_supply<'t>(typed: impl IntoIterator<Item = &'t str>) -> Self {
        let behind = typed.into_iter();
        Self::of(behind.filter_map(|text| text.split_once(" at ").map(|(_, supply)| supply)))
    }

    /// Tells the unit in which somebody wrote a pressure, where its text is not at hand: the one in which it is a round number.
    ///
    /// ```
    /// use ringwright::core::quantity::Spoken;
    /// assert_eq!(Spoken::written(206.842_718_795), Spoken::Psi);
    /// assert_eq!(Spoken::written(200.0), Spoken::Bar);
    /// ```
    pub fn written(bar: f64) -> Self {
        /// Gauges are read to a twentieth of a psi at best.
        const PARTS: f64 = 20.0;
        const ROUND_OFF: f64 = 1e-6;
        let is_round = |value: f64| (value - value.round()).abs() < ROUND_OFF;
        if is_round(Self::Psi.of_bar(bar) * PARTS) && !is_round(bar * PARTS) {
            Self::Psi
        } else {
            Self::Bar
        }
    }

    /// Says a pressure in this unit.
    pub const fn say(self, bar: f64) -> SpokenPressure {
        SpokenPressure { bar, spoken: self }
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

/// A pressure with the unit of whoever reads of it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpokenPressure {
    pub bar: f64,
    pub spoken: Spoken,
}

impl std::fmt::Display for SpokenPressure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let places = f.precision().unwrap_or(0);
        let value = self.spoken.of_bar(self.bar);
        write!(f, "{value:.places$} {}", self.spoken.word())
    }
}
