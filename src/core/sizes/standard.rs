//! The families of listed ring sizes.

use crate::core::word::Word;
use serde::{Deserialize, Serialize};

/// Names a family of listed ring sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Standard {
    /// SAE AS568 dash numbers 001 to 475, inch.
    #[serde(rename = "AS568")]
    As568,
    /// SAE AS568 dash numbers 901 to 932 for tube-fitting bosses, inch.
    #[serde(rename = "AS568-9xx")]
    As568Boss,
    /// ISO 3601-1 size codes 001 to 475: the AS568 rings in rounded millimetres.
    #[serde(rename = "ISO 3601-1")]
    Iso3601,
    /// ISO 3601-1 metric series, sections 1.8 to 7.0 mm.
    #[serde(rename = "ISO 3601-1 metric")]
    Iso3601Metric,
    /// JIS B 2401 P, for moving and static use.
    #[serde(rename = "JIS B 2401 P")]
    JisP,
    /// JIS B 2401 G, for static use.
    #[serde(rename = "JIS B 2401 G")]
    JisG,
    /// JIS B 2401 V, for vacuum flanges.
    #[serde(rename = "JIS B 2401 V")]
    JisV,
    /// BS 4518 metric.
    #[serde(rename = "BS 4518")]
    Bs4518,
    /// Whole- and half-millimetre rings that shops stock and no standard here lists, seen in lists, drawings or charts.
    #[serde(rename = "trade metric")]
    TradeMetric,
    /// Sizes that the steps of those lists imply between the sizes seen.
    #[serde(rename = "trade metric, implied")]
    TradeImplied,
}

impl Standard {
    /// Lists every family in the order of the tables.
    pub const ALL: [Self; 10] = [
        Self::As568,
        Self::As568Boss,
        Self::Iso3601,
        Self::Iso3601Metric,
        Self::JisP,
        Self::JisG,
        Self::JisV,
        Self::Bs4518,
        Self::TradeMetric,
        Self::TradeImplied,
    ];

    /// The name that is shown, the word on the command line, and what stands before a size's own code; in the order of the tables.
    const WORDS: [[&'static str; 3]; 10] = [
        ["AS568", "as568", "AS568-"],
        ["AS568-9xx", "boss", "AS568-"],
        ["ISO 3601-1", "iso", "ISO 3601-1 "],
        ["ISO 3601-1 metric", "iso-metric", "ISO 3601-1 "],
        ["JIS B 2401 P", "jis-p", "JIS B 2401 "],
        ["JIS B 2401 G", "jis-g", "JIS B 2401 "],
        ["JIS B 2401 V", "jis-v", "JIS B 2401 "],
        ["BS 4518", "bs4518", "BS 4518 "],
        ["trade metric", "trade", "metric "],
        ["trade metric, implied", "trade-implied", "metric "],
    ];

    /// Returns the name that is shown.
    pub const fn name(self) -> &'static str {
        Self::WORDS[self as usize][0]
    }

    /// Returns the short word that selects the family on the command line.
    pub const fn word(self) -> &'static str {
        Self::WORDS[self as usize][1]
    }

    /// Returns what stands before a size's own code in its full code.
    pub const fn code_prefix(self) -> &'static str {
        Self::WORDS[self as usize][2]
    }

    /// Finds the family of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        let lower = word.trim().to_lowercase();
        Self::ALL.into_iter().find(|s| s.word() == lower)
    }

    /// Tells whether a body published the family.
    pub const fn is_published(self) -> bool {
        !matches!(self, Self::TradeMetric | Self::TradeImplied)
    }
}

impl Word for Standard {
    fn words() -> Vec<&'static str> {
        Self::ALL.map(Self::word).to_vec()
    }

    fn of_word(word: &str) -> Option<Self> {
        Self::from_word(word)
    }
}

impl std::fmt::Display for Standard {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}
