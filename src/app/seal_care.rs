//! How the rings of a polymer are stored and lubricated.

use crate::core::caution::{Caution, Warnings};
use crate::core::elastomer::{
    LubricantRule, LubricatedGas, OxygenThreshold, Polymer, PolymerFacts, Quarter, ShelfLife,
    lubricants,
};
use serde::Serialize;

/// Holds what is asked about the rings of a polymer.
#[derive(Debug, Clone)]
pub struct CareQuestion {
    /// The polymer.
    pub polymer: Polymer,
    /// Share of oxygen in per cent, where it was stated.
    pub oxygen_pct: Option<f64>,
    /// Above which share a gas is treated as enriched.
    pub threshold: OxygenThreshold,
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
    /// Above which share it would be, and by whom.
    pub threshold: OxygenThreshold,
    /// Classes of lubricant, what suits first.
    pub lubricants: Vec<&'static LubricantRule>,
    /// Shelf life by each system; the two are never blended.
    pub shelf_lives: Vec<ShelfLifeShown>,
    /// Points to see before relying on it.
    pub warnings: Warnings,
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

/// Tells how the rings of a polymer are stored and lubricated.
pub fn seal_care(question: CareQuestion) -> SealCareReport {
    const PERCENT: f64 = 100.0;
    let share = question.oxygen_pct.map(|oxygen| oxygen / PERCENT);
    let enriched = share.is_some_and(|share| share > question.threshold.share);
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
        warnings: Warnings::new(points(&question, enriched), Caution::Gland),
        threshold: question.threshold,
    }
}

fn points(question: &CareQuestion, enriched: bool) -> Vec<String> {
    let mut notes = vec![
        "shelf life speaks of loose rings in store; it says nothing about life once fitted, nor about rings inside an old assembly, and a pass is no proof of quality".to_owned(),
        "store below 25 °C (ISO) or 38 °C (SAE), dry, dark, free of ozone, not hung, folded or stretched, in opaque polyethylene, one lot a bin".to_owned(),
    ];
    match question.oxygen_pct {
        None => notes.push(format!(
            "oxygen not given: air is taken; above {} other lubricants are called for; bodies draw that line elsewhere: {}",
            question.threshold,
            others(&question.threshold)
        )),
        Some(_) if enriched => notes.push(format!(
            "more oxygen than {}: clean and compatible, and kept so; partial-pressure filling exposes parts to 100 % whatever the mix",
            question.threshold
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
    notes
}

/// Lists the thresholds of other bodies.
fn others(threshold: &OxygenThreshold) -> String {
    let known = OxygenThreshold::known().iter();
    let others: Vec<String> = known
        .filter(|other| other.name != threshold.name)
        .map(ToString::to_string)
        .collect();
    others.join(", ")
}
