//! How common each family is taken to be before anything is measured.

use crate::core::sizes::Standard;

/// Holds the weight of each family's sizes, and the share of rings that are not listed at all.
///
/// The default takes every listed ring as equally common. A ring listed in several families counts the sum of their
/// weights; ISO 3601-1 size codes count nothing of their own, because they are the AS568 rings.
#[derive(Debug, Clone, PartialEq)]
pub struct Prior {
    weights: [f64; Standard::ALL.len()],
    /// Share of rings that are of no listed size, before anything is measured.
    pub unlisted: f64,
}

/// Says what is wrong with a prior that was typed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PriorError {
    /// The word is no family.
    #[error("{found:?} is no family of sizes: write one of {known}, or unlisted")]
    UnknownFamily {
        /// The word found.
        found: String,
        /// The families.
        known: String,
    },
    /// The weight cannot be read.
    #[error(
        "{found:?} gives no weight: write family=number, as as568=3,jis-v=0 (unlisted between 0 and 0.9)"
    )]
    BadWeight {
        /// The text found.
        found: String,
    },
    /// Nothing is left.
    #[error("every family has weight 0: leave at least one above it")]
    NothingLeft,
}

/// One ring in thirty of an old unit is taken as made to no list: a maker's own size. Recalled from practice, no source.
const UNLISTED_SHARE: f64 = 0.03;

impl Default for Prior {
    fn default() -> Self {
        let weight = |standard| f64::from(u8::from(standard != Standard::Iso3601));
        Self {
            weights: Standard::ALL.map(weight),
            unlisted: UNLISTED_SHARE,
        }
    }
}

impl Prior {
    /// Changes weights as typed: `as568=3,jis-v=0,unlisted=0.1`.
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
            if word.trim() == "unlisted" {
                if !(0.0..=0.9).contains(&value) {
                    return Err(bad());
                }
                self.unlisted = value;
                continue;
            }
            if !(0.0..=1e6).contains(&value) {
                return Err(bad());
            }
            let known = || Standard::ALL.map(Standard::word).join(", ");
            let standard = Standard::from_word(word).ok_or_else(|| PriorError::UnknownFamily {
                found: word.trim().to_owned(),
                known: known(),
            })?;
            self.weights[Self::index(standard)] = value;
        }
        if self.weights.iter().all(|w| *w == 0.0) {
            return Err(PriorError::NothingLeft);
        }
        Ok(self)
    }

    /// Returns the weight of a size of the family.
    pub fn weight(&self, standard: Standard) -> f64 {
        self.weights[Self::index(standard)]
    }

    fn index(standard: Standard) -> usize {
        Standard::ALL
            .iter()
            .position(|s| *s == standard)
            .unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_are_changed_by_words_and_wrong_words_are_refused() {
        let prior = Prior::default()
            .with_words("as568=3, jis-v=0,unlisted=0.1")
            .expect("reads");
        assert!((prior.weight(Standard::As568) - 3.0).abs() < 1e-12);
        assert!(prior.weight(Standard::JisV).abs() < 1e-12);
        assert!((prior.unlisted - 0.1).abs() < 1e-12);
        for wrong in [
            "foo=1",
            "as568",
            "as568=-1",
            "as568=x",
            "unlisted=2",
            "as568=NaN",
        ] {
            assert!(Prior::default().with_words(wrong).is_err(), "{wrong}");
        }
        let none = "as568=0,boss=0,iso=0,iso-metric=0,jis-p=0,jis-g=0,jis-v=0,bs4518=0";
        assert_eq!(
            Prior::default().with_words(none),
            Err(PriorError::NothingLeft)
        );
    }
}
