//! From which share of oxygen on a gas is treated as enriched.

use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// The share of oxygen above which gear is to be clean and compatible, and whose threshold it is.
///
/// Bodies differ; the program shows the one it used. The default is 23.5 % (CGA usage).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OxygenThreshold {
    /// The share, 0 to 1; a gas with more is enriched.
    pub share: f64,
    /// Whose it is.
    pub name: String,
    /// What it means there.
    pub note: String,
    pub source: String,
    pub confidence: Confidence,
}

static THRESHOLDS: LazyLock<Vec<OxygenThreshold>> =
    LazyLock::new(|| shipped_rows!("gas/oxygen_thresholds.csv"));

/// The share that is taken where the user names none.
const DEFAULT_SHARE: f64 = 0.235;
/// Two shares are the same when they agree to this.
const SAME_SHARE: f64 = 1e-6;

impl OxygenThreshold {
    /// Returns the threshold of a share: a known one with its name, or the user's own.
    pub fn of_share(share: f64) -> Self {
        THRESHOLDS
            .iter()
            .find(|known| (known.share - share).abs() < SAME_SHARE)
            .cloned()
            .unwrap_or_else(|| Self {
                share,
                name: "your own".to_owned(),
                note: "set by you".to_owned(),
                source: "as typed".to_owned(),
                confidence: Confidence::Memory,
            })
    }

    /// Lists the thresholds that are known.
    pub fn known() -> &'static [Self] {
        &THRESHOLDS
    }
}

impl Default for OxygenThreshold {
    fn default() -> Self {
        Self::of_share(DEFAULT_SHARE)
    }
}

impl std::fmt::Display for OxygenThreshold {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "{} % ({})",
            (self.share * 1000.0).round() / 10.0,
            self.name
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_default_threshold_is_a_known_one() {
        assert_eq!(OxygenThreshold::default().to_string(), "23.5 % (CGA usage)");
        assert!(THRESHOLDS.is_sorted_by(|a, b| a.share < b.share));
        let loose = OxygenThreshold::of_share(0.40);
        assert_eq!(loose.name, "46 CFR 197.326 and NOAA practice");
        assert_eq!(OxygenThreshold::of_share(0.28).name, "your own");
    }
}
