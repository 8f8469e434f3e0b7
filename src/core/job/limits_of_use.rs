//! The limits within which a unit is released: gas, supply, depth, temperature.

use super::mentioned::mentioned;
use crate::core::gas::{Doubt, GasService, OxygenThreshold};
use crate::core::quantity::Pressure;
use unicode_normalization::UnicodeNormalization;

/// Holds what the limits of use say.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitsOfUse {
    /// As typed.
    pub words: String,
    /// The greatest pressure that they name.
    pub supply: Option<Pressure>,
    /// The gases that they name, each in its words.
    pub gases: Vec<(String, GasService)>,
    /// Numbers whose unit they do not give.
    pub unread: Vec<String>,
}

impl LimitsOfUse {
    /// Reads limits; pieces between commas and semicolons name a gas, or quantities.
    pub fn read(words: &str, threshold: &OxygenThreshold) -> Self {
        // Figures of other scripts are figures as well.
        let plain: String = words.nfkc().collect();
        let words = plain.as_str();
        let mut limits = Self {
            words: words.trim().to_owned(),
            supply: mentioned(words).greatest(),
            gases: Vec::new(),
            unread: Vec::new(),
        };
        for piece in words.split([',', ';']).map(str::trim) {
            match named_gas(piece, threshold) {
                Some(service) => limits.gases.push((piece.to_owned(), service)),
                None => limits.unread.extend(mentioned(piece).unread),
            }
        }
        limits
    }
}

/// The gas that words name, or nearly name; `None` where they are about something else.
fn named_gas(words: &str, threshold: &OxygenThreshold) -> Option<GasService> {
    let service = GasService::judge(Some(words), None, threshold);
    let GasService::Unsettled { doubts, .. } = &service else {
        return Some(service);
    };
    let names_none = doubts
        .iter()
        .any(|doubt| matches!(doubt, Doubt::NoGas | Doubt::NotRecorded));
    let nearly = doubts
        .iter()
        .any(|doubt| matches!(doubt, Doubt::LeftOver { near: Some(_), .. }));
    let shares = service.share().is_some();
    (!names_none || nearly || shares).then_some(service)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_name_gases_and_quantities_and_other_words_are_neither() {
        let read = |words: &str| LimitsOfUse::read(words, &OxygenThreshold::default());
        let usual = read("air, 200 bar, pool and shallow training to 10 m");
        assert_eq!(usual.gases, [("air".to_owned(), GasService::Air)]);
        assert!(usual.unread.is_empty() && usual.supply.is_some());
        for words in [
            "cold water to 4 C",
            "12 months",
            "200 bar",
            "with a second stage",
            "no ice diving",
        ] {
            assert!(
                read(words).gases.is_empty(),
                "{words}: {:?}",
                read(words).gases
            );
        }
        for words in [
            "oxygen",
            "EAN36",
            "air or EAN36",
            "oxigen",
            "nitrox",
            "50 % O2",
        ] {
            assert!(
                read(words)
                    .gases
                    .iter()
                    .any(|(_, gas)| gas.asks_oxygen_care()),
                "{words}"
            );
        }
    }
}
