//! The class of a gas: what it asks of parts, lubricants and cleaning.

use super::doubt::{Doubt, per_cent};
use super::judge::Judge;
use super::reading::read_gas;
use super::threshold::OxygenThreshold;
use serde::Serialize;

/// Says what is known of the gas that a unit is used with.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "lowercase", tag = "gas")]
pub enum GasService {
    /// Air, or a mix like it with no more oxygen than the threshold.
    Air,
    /// More oxygen than the threshold.
    Enriched {
        /// The highest share that was named, where one was.
        share: Option<f64>,
    },
    /// A known gas or mix that is not air and has no more oxygen than the threshold.
    Other { words: String },
    /// Not settled: treated as enriched until somebody settles it.
    Unsettled {
        /// The highest share that was named, where one was.
        share: Option<f64>,
        /// Why; at least one reason.
        doubts: Vec<Doubt>,
    },
}

/// What somebody said of a gas.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct GasStatement {
    /// The gas in words.
    pub words: Option<String>,
    /// Share of oxygen in it, 0 to 1.
    pub oxygen: Option<f64>,
}

impl GasStatement {
    /// Judges it by a threshold.
    pub fn judge(&self, threshold: &OxygenThreshold) -> GasService {
        GasService::judge(self.words.as_deref(), self.oxygen, threshold)
    }

    /// Returns it as written, where anything was said: "EAN32", "nitrox, 32 % oxygen".
    pub fn said(&self) -> Option<String> {
        let share = self
            .oxygen
            .map(|share| format!("{} oxygen", per_cent(share)));
        let said: Vec<String> = self.words.clone().into_iter().chain(share).collect();
        (!said.is_empty()).then(|| said.join(", "))
    }

    /// Returns it as written, or that it is not recorded.
    pub fn words(&self) -> String {
        self.said()
            .unwrap_or_else(|| "a gas that is not recorded".to_owned())
    }
}

impl GasService {
    /// Judges what a note says of the gas: its words and, where it is stated, its share of oxygen.
    ///
    /// A stated share is one more reading. It fills in what a name leaves open (nitrox, trimix); where it and the words name
    /// different shares the highest counts, and where these lie on both sides of the threshold the gas is unsettled.
    ///
    /// ```
    /// use ringwright::core::gas::{GasService, OxygenThreshold};
    /// let threshold = OxygenThreshold::default();
    /// assert_eq!(GasService::judge(Some("air"), None, &threshold), GasService::Air);
    /// let nitrox = GasService::judge(Some("nitrox 32"), None, &threshold);
    /// assert_eq!(nitrox, GasService::Enriched { share: Some(0.32) });
    /// assert!(GasService::judge(Some("air?"), None, &threshold).asks_oxygen_care());
    /// ```
    pub fn judge(gas: Option<&str>, oxygen: Option<f64>, threshold: &OxygenThreshold) -> Self {
        let words = gas.map(str::trim).filter(|words| !words.is_empty());
        let mut read = read_gas(words.unwrap_or_default());
        if let Some(stated) = oxygen {
            if words.is_none() {
                read.soft.clear();
                read.may_be_air = true;
            }
            read.state(stated);
        }
        let statement = GasStatement {
            words: words.map(str::to_owned),
            oxygen,
        };
        let judge = Judge {
            read: &read,
            threshold: threshold.share,
        };
        judge.service(&statement)
    }

    /// Tells whether parts and lubricants are chosen, and cleaned, as for oxygen-enriched gas.
    pub const fn asks_oxygen_care(&self) -> bool {
        matches!(self, Self::Enriched { .. } | Self::Unsettled { .. })
    }

    /// Orders gases by what they ask of parts, the most demanding first.
    pub const fn rank(&self) -> u8 {
        match self {
            Self::Enriched { .. } => 0,
            Self::Unsettled { .. } => 1,
            Self::Other { .. } => 2,
            Self::Air => 3,
        }
    }

    /// Returns the highest share of oxygen that was named above the threshold.
    pub const fn share(&self) -> Option<f64> {
        match self {
            Self::Enriched { share } | Self::Unsettled { share, .. } => *share,
            Self::Air | Self::Other { .. } => None,
        }
    }

    /// Says of a gas that is not settled why, what is done meanwhile, and what settles it.
    pub fn unsettled_words(&self) -> Option<String> {
        let Self::Unsettled { doubts, .. } = self else {
            return None;
        };
        let why: Vec<String> = doubts.iter().map(ToString::to_string).collect();
        let remedy = doubts.first().map(Doubt::remedy).unwrap_or_default();
        Some(format!(
            "the gas is not settled ({}): it is treated as oxygen-enriched; {remedy}",
            why.join("; ")
        ))
    }
}

impl std::fmt::Display for GasService {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Air => f.write_str("air"),
            Self::Enriched { share: None } => f.write_str("oxygen-enriched gas"),
            Self::Enriched { share: Some(share) } => {
                write!(f, "oxygen-enriched gas ({} oxygen)", per_cent(*share))
            }
            Self::Other { words } => f.write_str(words),
            Self::Unsettled { .. } => {
                f.write_str("a gas that is not settled, treated as oxygen-enriched")
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn judged(gas: &str, oxygen: Option<f64>) -> GasService {
        GasService::judge(Some(gas), oxygen, &OxygenThreshold::default())
    }

    #[test]
    fn a_stated_share_fills_in_what_a_name_leaves_open_and_else_is_one_more_reading() {
        let enriched = |share| GasService::Enriched { share: Some(share) };
        assert_eq!(judged("nitrox", Some(0.36)), enriched(0.36));
        assert_eq!(judged("nitrox", Some(0.21)), GasService::Air);
        assert!(matches!(
            judged("trimix", Some(0.18)),
            GasService::Other { .. }
        ));
        assert_eq!(judged("oxygen", Some(0.93)), enriched(1.0));
        for (gas, share, highest) in [("air", 0.32, 0.32), ("nitrox 99", 0.0, 0.99)] {
            let GasService::Unsettled { share, doubts } = judged(gas, Some(share)) else {
                panic!("{gas} is settled");
            };
            assert_eq!(share, Some(highest));
            assert!(
                matches!(doubts[0], Doubt::Contradiction { .. }),
                "{doubts:?}"
            );
        }
    }

    #[test]
    fn the_threshold_decides_and_nothing_said_is_not_settled() {
        let default = OxygenThreshold::default();
        let loose = OxygenThreshold::of_share(0.40);
        let judge = |gas, oxygen, threshold| GasService::judge(gas, oxygen, threshold);
        assert_eq!(judge(Some("air"), Some(0.32), &loose), GasService::Air);
        assert_eq!(judge(Some("air"), Some(0.235), &default), GasService::Air);
        assert_eq!(judge(None, Some(0.21), &default), GasService::Air);
        assert_eq!(
            judge(None, Some(0.32), &default),
            GasService::Enriched { share: Some(0.32) }
        );
        assert!(matches!(
            judge(None, Some(0.1), &default),
            GasService::Other { .. }
        ));
        for nothing in [None, Some(""), Some(" - ")] {
            assert_eq!(
                judge(nothing, None, &default),
                GasService::Unsettled {
                    share: None,
                    doubts: vec![Doubt::NotRecorded]
                }
            );
        }
    }

    #[test]
    fn an_unsettled_gas_says_why_and_what_settles_it() {
        let words = judged("oxigen", None).unsettled_words().unwrap_or_default();
        assert_eq!(
            words,
            "the gas is not settled (\"oxigen\" is not understood): it is treated as oxygen-enriched; did you mean oxygen?"
        );
    }
}
