//! How the rings of a polymer are stored and lubricated.

use super::gland_question::CAUTION;
use crate::core::elastomer::{
    LubricantRule, LubricatedGas, Polymer, PolymerFacts, Quarter, ShelfLife, lubricants,
};
use serde::Serialize;

/// Holds what is asked about the rings of a polymer.
#[derive(Debug, Clone, Copy)]
pub struct CareQuestion {
    /// The polymer.
    pub polymer: Polymer,
    /// Share of oxygen in per cent, where it was stated.
    pub oxygen_pct: Option<f64>,
    /// Quarter of cure, where it is known.
    pub cured: Option<Quarter>,
    /// This quarter.
    pub now: Quarter,
}

/// Holds what is known of storing and lubricating the rings of a polymer.
#[derive(Debug, Clone, Serialize)]
pub struct SealCareReport {
    /// What is known of the polymer.
    pub facts: &'static PolymerFacts,
    /// Whether the gas is treated as enriched.
    pub enriched: bool,
    /// Classes of lubricant, what suits first.
    pub lubricants: Vec<&'static LubricantRule>,
    /// Shelf life by each system; the two are never blended.
    pub shelf_lives: Vec<ShelfLifeShown>,
    /// Points to see before relying on it.
    pub warnings: Vec<String>,
}

/// Holds the shelf life by one system.
#[derive(Debug, Clone, Serialize)]
pub struct ShelfLifeShown {
    /// What the system gives.
    pub rule: &'static ShelfLife,
    /// First quarter in which the first life is over, where a cure date was given and there is an end.
    pub ends: Option<Quarter>,
    /// Whether it is over now.
    pub over: bool,
}

/// Above this share of oxygen a gas is treated as enriched: CGA usage, 23.5 %. Bodies differ, from 22 to 40 %.
pub const ENRICHED_PCT: f64 = 23.5;

/// Tells how the rings of a polymer are stored and lubricated.
pub fn seal_care(question: CareQuestion) -> SealCareReport {
    let enriched = question.oxygen_pct.is_some_and(|o| o > ENRICHED_PCT);
    let gas = if enriched {
        LubricatedGas::Enriched
    } else {
        LubricatedGas::Air
    };
    let shelf_lives = ShelfLife::of(question.polymer).into_iter().map(|rule| {
        let ends = question.cured.and_then(|cured| rule.ends(cured));
        ShelfLifeShown {
            rule,
            ends,
            over: ends.is_some_and(|end| question.now >= end),
        }
    });
    SealCareReport {
        facts: question.polymer.facts(),
        enriched,
        lubricants: lubricants(gas, Some(question.polymer)),
        shelf_lives: shelf_lives.collect(),
        warnings: warnings(&question, enriched),
    }
}

fn warnings(question: &CareQuestion, enriched: bool) -> Vec<String> {
    let mut notes = vec![
        "shelf life speaks of loose rings in store; it says nothing about life once fitted, nor about rings inside an old assembly, and a pass is no proof of quality".to_owned(),
        "store below 25 °C (ISO) or 38 °C (SAE), dry, dark, free of ozone, not hung, folded or stretched, in opaque polyethylene, one lot a bin".to_owned(),
    ];
    match question.oxygen_pct {
        None => notes.push(format!(
            "oxygen not given: air is taken; above {ENRICHED_PCT} % (CGA usage; other bodies say 22 to 40 %) other lubricants are called for"
        )),
        Some(_) if enriched => notes.push(format!(
            "above {ENRICHED_PCT} % of oxygen (CGA usage): clean and compatible, and kept so; partial-pressure filling exposes parts to 100 % whatever the mix"
        )),
        Some(_) => {}
    }
    let rating = if enriched {
        question.polymer.facts().enriched_gas
    } else {
        question.polymer.facts().breathing_air
    };
    match rating {
        Some(rating) if rating >= 3 => notes.push(format!(
            "{} is rated {rating} of 4 (4 unsuitable) in this gas: choose another polymer ({})",
            question.polymer,
            question.polymer.facts().confidence
        )),
        Some(_) => {}
        None => notes.push(format!(
            "no rating of {} in this gas is at hand",
            question.polymer
        )),
    }
    notes.push(CAUTION.to_owned());
    notes
}
