//! The limits within which a unit is released: gas, supply, depth, temperature.

use super::mentioned::mentioned;
use crate::core::elastomer::{GasService, OxygenThreshold};
use crate::core::quantity::Pressure;

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

/// The gas that words name; `None` where no word of them is a gas.
fn named_gas(words: &str, threshold: &OxygenThreshold) -> Option<GasService> {
    match GasService::judge(Some(words), None, threshold) {
        GasService::Other { .. } | GasService::Unknown => None,
        named => Some(named),
    }
}
