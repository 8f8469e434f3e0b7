//! A check of a setting in the unit of whoever reads it.

use super::verdict::SettingCheck;
use crate::core::quantity::Spoken;

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
