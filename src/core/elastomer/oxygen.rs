//! From which share of oxygen on a gas is treated as enriched, and what the words for a gas say.

use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// Holds the share of oxygen above which gear is to be clean and compatible, and whose threshold it is.
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
    /// Where it comes from.
    pub source: String,
    /// How well it is known.
    pub confidence: Confidence,
}

static THRESHOLDS: LazyLock<Vec<OxygenThreshold>> = LazyLock::new(|| {
    shipped_rows(
        "elastomers/oxygen_thresholds.csv",
        include_str!("../../../data/elastomers/oxygen_thresholds.csv"),
    )
});

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

/// Says what is known of the gas that a unit is used with.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "lowercase", tag = "gas")]
pub enum GasService {
    /// No more oxygen than the threshold.
    Air,
    /// More oxygen than the threshold.
    Enriched {
        /// The share of oxygen, where it was said.
        share: Option<f64>,
    },
    /// A gas for which no rule is at hand.
    Other {
        /// The words.
        words: String,
    },
    /// Nothing was said.
    Unknown,
}

impl GasService {
    /// Judges what a note says of the gas: the share of oxygen where it is stated, else the words; where both name a share and
    /// differ, the greater one, which asks for more care.
    ///
    /// ```
    /// use ringwright::core::elastomer::{GasService, OxygenThreshold};
    /// let threshold = OxygenThreshold::default();
    /// assert_eq!(GasService::judge(Some("air"), None, &threshold), GasService::Air);
    /// let nitrox = GasService::judge(Some("nitrox 32"), None, &threshold);
    /// assert_eq!(nitrox, GasService::Enriched { share: Some(0.32) });
    /// ```
    pub fn judge(gas: Option<&str>, oxygen: Option<f64>, threshold: &OxygenThreshold) -> Self {
        let by_share = |share: f64| {
            if share > threshold.share {
                Self::Enriched { share: Some(share) }
            } else {
                Self::Air
            }
        };
        let words = gas.map(str::trim).filter(|words| !words.is_empty());
        match (oxygen, words) {
            (Some(share), words) => match words.and_then(read_gas) {
                Some(Stated::Share(said)) => by_share(share.max(said)),
                Some(Stated::SomeEnrichment) | None => by_share(share),
            },
            (None, None) => Self::Unknown,
            (None, Some(words)) => match read_gas(words) {
                Some(Stated::Share(share)) => by_share(share),
                Some(Stated::SomeEnrichment) => Self::Enriched { share: None },
                None => Self::Other {
                    words: words.to_owned(),
                },
            },
        }
    }
}

enum Stated {
    Share(f64),
    SomeEnrichment,
}

/// The share of oxygen in clean dry air.
const AIR_SHARE: f64 = 0.2095;

fn read_gas(words: &str) -> Option<Stated> {
    let lower = words.to_lowercase();
    let letters: Vec<&str> = lower
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty())
        .collect();
    let has = |names: &[&str]| letters.iter().any(|word| names.contains(word));
    let percent = lower
        .split(|c: char| !(c.is_ascii_digit() || c == '.'))
        .filter_map(|number| number.parse::<f64>().ok())
        .find(|number| (15.0..=100.0).contains(number));
    if has(&["nitrox", "ean", "enriched", "eanx"]) {
        return Some(percent.map_or(Stated::SomeEnrichment, |p| Stated::Share(p / 100.0)));
    }
    if has(&["oxygen", "o"]) && !has(&["air"]) {
        return Some(Stated::Share(percent.map_or(1.0, |p| p / 100.0)));
    }
    has(&["air"]).then_some(Stated::Share(AIR_SHARE))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn judged(gas: &str) -> GasService {
        GasService::judge(Some(gas), None, &OxygenThreshold::default())
    }

    #[test]
    fn the_words_of_the_trade_are_read() {
        for air in [
            "air",
            "Breathing air",
            "compressed AIR",
            "nitrox 21",
            "EAN 22",
        ] {
            assert_eq!(judged(air), GasService::Air, "{air}");
        }
        for (gas, share) in [
            ("EAN32", 0.32),
            ("nitrox 40 %", 0.4),
            ("oxygen", 1.0),
            ("O2", 1.0),
            ("oxygen 93 %", 0.93),
        ] {
            assert_eq!(
                judged(gas),
                GasService::Enriched { share: Some(share) },
                "{gas}"
            );
        }
        assert_eq!(judged("enriched air"), GasService::Enriched { share: None });
        assert!(matches!(judged("trimix"), GasService::Other { .. }));
        assert!(matches!(judged("CO2"), GasService::Other { .. }));
    }

    #[test]
    fn the_stated_share_outranks_the_word_and_the_threshold_decides() {
        let default = OxygenThreshold::default();
        let loose = OxygenThreshold::of_share(0.40);
        let judge = |share, threshold| GasService::judge(Some("air"), Some(share), threshold);
        assert_eq!(
            judge(0.32, &default),
            GasService::Enriched { share: Some(0.32) }
        );
        assert_eq!(judge(0.32, &loose), GasService::Air);
        assert_eq!(judge(0.235, &default), GasService::Air);
        let nitrox = GasService::judge(Some("nitrox 99"), Some(0.0), &default);
        assert_eq!(nitrox, GasService::Enriched { share: Some(0.99) });
        assert_eq!(loose.name, "46 CFR 197.326 and NOAA practice");
        assert_eq!(OxygenThreshold::of_share(0.28).name, "your own");
        assert_eq!(GasService::judge(None, None, &default), GasService::Unknown);
    }

    #[test]
    fn the_default_threshold_is_a_known_one() {
        assert_eq!(OxygenThreshold::default().to_string(), "23.5 % (CGA usage)");
        assert!(THRESHOLDS.is_sorted_by(|a, b| a.share < b.share));
    }
}
