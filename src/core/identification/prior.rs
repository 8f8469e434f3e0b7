//! How common each family is taken to be before anything is measured.

use super::candidates::BETWEEN_SHARE;
use super::sold_size::SoldSize;
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::sizes::Standard;
use std::sync::{Arc, LazyLock};

/// The weight of each family's sizes, and the share of rings that are not listed at all.
///
/// The default takes every listed ring as equally common. A ring listed in several families counts the sum of their
/// weights; ISO 3601-1 size codes count nothing of their own, because they are the AS568 rings.
#[derive(Debug, Clone, PartialEq)]
pub struct Prior {
    weights: [f64; Standard::ALL.len()],
    /// Every listed ring counts alike, in however many families it is listed.
    by_ring: bool,
    /// Share of rings that are of no listed size, before anything is measured.
    pub unlisted: f64,
    /// Share of these that are of a listed section, with an inside diameter between two listed ones.
    pub between: f64,
    sold: Arc<[SoldSize]>,
}

/// How common the families are taken to be in the units of one country and time.
#[derive(Debug, Clone, PartialEq, serde::Deserialize, serde::Serialize)]
pub struct MadePrior {
    pub country: String,
    pub from: i32,
    pub to: i32,
    /// Weights of the families, as they are typed.
    pub weights: String,
    pub reason: String,
    pub source: String,
    pub confidence: Confidence,
}

static MADE: LazyLock<Vec<MadePrior>> =
    LazyLock::new(|| shipped_rows!("identification/priors.csv"));

/// Lists the countries of the shipped table.
pub fn countries() -> Vec<&'static str> {
    let mut words: Vec<&str> = MADE.iter().map(|row| row.country.as_str()).collect();
    words.dedup();
    words
}

/// Says what is wrong with a prior that was typed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PriorError {
    #[error("{found:?} is not a family of sizes: write one of {known}, unlisted or between")]
    UnknownFamily { found: String, known: String },
    /// The weight cannot be read.
    #[error(
        "{found:?} gives no weight: write family=number, as as568=3,jis-v=0 (unlisted between 0 and 0.9, between from 0 to 1)"
    )]
    BadWeight { found: String },
    #[error("every family has weight 0: leave at least one above it")]
    NothingLeft,
}

/// One ring in thirty of an old unit is taken as made to no list: a maker's own size. Recalled from practice, no source.
const UNLISTED_SHARE: f64 = 0.03;

/// A size that was seen in no list, and only lies between two that were, is taken as so much of one that was. Recalled.
const IMPLIED_WEIGHT: f64 = 0.2;

impl Default for Prior {
    fn default() -> Self {
        let weight = |standard| match standard {
            Standard::Iso3601 => 0.0,
            Standard::TradeImplied => IMPLIED_WEIGHT,
            Standard::As568
            | Standard::As568Boss
            | Standard::Iso3601Metric
            | Standard::JisP
            | Standard::JisG
            | Standard::JisV
            | Standard::Bs4518
            | Standard::TradeMetric => 1.0,
        };
        Self {
            weights: Standard::ALL.map(weight),
            by_ring: false,
            unlisted: UNLISTED_SHARE,
            between: BETWEEN_SHARE,
            sold: Arc::default(),
        }
    }
}

impl Prior {
    /// Takes every listed ring as equally likely, whatever families list it.
    pub fn none() -> Self {
        Self {
            by_ring: true,
            ..Self::default()
        }
    }

    /// Takes the families as the makers of a country used them in a year; `None` where nothing is known of the country.
    pub fn made(country: &str, year: i32) -> Option<(Self, &'static MadePrior)> {
        let rows = MADE
            .iter()
            .filter(|row| row.country == country.trim().to_lowercase());
        let row = rows.min_by_key(|row| (row.from - year).max(year - row.to).max(0))?;
        let prior = Self::default().with_words(&row.weights).ok()?;
        Some((prior, row))
    }

    /// Takes the families as words for where and when a model was made have them, such as `us 1962`.
    pub fn made_words(words: &str) -> Option<(Self, &'static MadePrior)> {
        let (country, year) = words.trim().split_once(' ')?;
        Self::made(country, year.trim().parse().ok()?)
    }

    /// Lists the priors of every country and time that is known.
    pub(crate) fn all_made() -> impl Iterator<Item = Self> {
        let read = |row: &MadePrior| Self::default().with_words(&row.weights).ok();
        MADE.iter().filter_map(read)
    }

    /// Tells whether it says more of the families than that nothing is known.
    pub(crate) fn prefers(&self) -> bool {
        let families = |prior: &Self| Self {
            unlisted: 0.0,
            between: 0.0,
            ..prior.clone()
        };
        families(self) != families(&Self::default())
    }

    /// Takes the sizes that are for sale here as rings that may come out of a unit, though no list has them.
    #[must_use]
    pub fn with_sold(mut self, sold: Arc<[SoldSize]>) -> Self {
        self.sold = sold;
        self
    }

    /// Returns the sizes that are for sale here.
    pub fn sold(&self) -> &Arc<[SoldSize]> {
        &self.sold
    }

    /// Tells whether nothing was said of how common families are.
    pub fn is_usual(&self) -> bool {
        *self == Self::default().with_sold(Arc::clone(&self.sold))
    }

    /// Lists the families with their weights, for showing.
    pub fn shown(&self) -> Vec<(Standard, f64)> {
        Standard::ALL
            .into_iter()
            .map(|s| (s, self.weight(s)))
            .collect()
    }

    /// Returns the weight of a ring that the families list.
    pub(crate) fn of_ring(&self, families: impl Iterator<Item = Standard>) -> f64 {
        let weight: f64 = families.map(|standard| self.weight(standard)).sum();
        if self.by_ring {
            f64::from(u8::from(weight > 0.0))
        } else {
            weight
        }
    }

    /// Changes weights as typed: `as568=3,jis-v=0,unlisted=0.1,between=0.9`.
    ///
    /// # Errors
    /// An unknown family, a weight that is no number of at least 0, or no weight left above 0.
    pub fn with_words(mut self, text: &str) -> Result<Self, PriorError> {
        for part in text.split(',').map(str::trim).filter(|p| !p.is_empty()) {
            let bad = || PriorError::BadWeight {
                found: part.to_owned(),
            };
            let (word, number) = part.split_once('=').ok_or_else(bad)?;
            let value: f64 = number.trim().parse().map_err(|_| bad())?;
            let most = match word.trim() {
                "unlisted" => 0.9,
                "between" => 1.0,
                _ => 1e6,
            };
            if !(0.0..=most).contains(&value) {
                return Err(bad());
            }
            let weight = match word.trim() {
                "unlisted" => &mut self.unlisted,
                "between" => &mut self.between,
                family => {
                    let standard = Standard::from_word(family);
                    let unknown = || PriorError::UnknownFamily {
                        found: family.to_owned(),
                        known: Standard::ALL.map(Standard::word).join(", "),
                    };
                    &mut self.weights[standard.ok_or_else(unknown)? as usize]
                }
            };
            *weight = value;
        }
        if self.weights.iter().all(|w| *w == 0.0) {
            return Err(PriorError::NothingLeft);
        }
        Ok(self)
    }

    /// Returns the weight of a size of the family.
    pub fn weight(&self, standard: Standard) -> f64 {
        self.weights[standard as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_table_reads_and_a_year_finds_its_row_or_the_nearest() {
        for row in MADE.iter() {
            assert!(Prior::default().with_words(&row.weights).is_ok(), "{row:?}");
            assert!(row.from <= row.to && !row.reason.is_empty() && !row.source.is_empty());
            // A family that is left out would weigh 1; ISO 3601-1 lists the sizes of others and weighs nothing of its own.
            for family in Standard::ALL.iter().filter(|f| **f != Standard::Iso3601) {
                let word = format!("{}=", family.word());
                let named = row
                    .weights
                    .split(',')
                    .any(|part| part.trim().starts_with(&word));
                assert!(named, "{word} is not in {row:?}");
            }
        }
        let (_, row) = Prior::made("US", 1962).expect("known");
        assert!(row.from <= 1962 && 1962 <= row.to);
        assert!(Prior::made("us", 1890).is_some());
        assert!(Prior::made("atlantis", 1962).is_none());
    }

    #[test]
    fn weights_are_changed_by_words_and_wrong_words_are_refused() {
        let prior = Prior::default()
            .with_words("as568=3, jis-v=0,unlisted=0.1,between=1")
            .expect("reads");
        assert!((prior.weight(Standard::As568) - 3.0).abs() < 1e-12);
        assert!(prior.weight(Standard::JisV).abs() < 1e-12);
        assert!((prior.unlisted - 0.1).abs() < 1e-12);
        assert!((prior.between - 1.0).abs() < 1e-12);
        for wrong in [
            "foo=1",
            "as568",
            "as568=-1",
            "as568=x",
            "unlisted=2",
            "between=1.5",
            "as568=NaN",
        ] {
            assert!(Prior::default().with_words(wrong).is_err(), "{wrong}");
        }
        let none = "as568=0,boss=0,iso=0,iso-metric=0,jis-p=0,jis-g=0,jis-v=0,bs4518=0,trade=0,trade-implied=0";
        assert_eq!(
            Prior::default().with_words(none),
            Err(PriorError::NothingLeft)
        );
    }
}
