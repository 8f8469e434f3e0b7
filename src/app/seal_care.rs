//! How the rings of a polymer are stored and lubricated.

use crate::core::caution::{Caution, Warnings};
use crate::core::elastomer::{
    Fitness, LubricantRule, LubricatedGas, Polymer, PolymerFacts, Quarter, ShelfLife, lubricants,
};
use crate::core::gas::{GasService, GasStatement, OxygenThreshold};
use serde::Serialize;

/// Holds what is asked about the rings of a polymer.
#[derive(Debug, Clone)]
pub struct CareQuestion {
    /// The polymer.
    pub polymer: Polymer,
    /// The gas, where anything was said of it.
    pub gas: Option<GasStatement>,
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
    /// What the gas is.
    pub service: GasService,
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
pub fn seal_care(question: &CareQuestion) -> SealCareReport {
    let threshold = &question.threshold;
    let service = question.gas.clone().unwrap_or_default().judge(threshold);
    let shelf_lives = ShelfLife::of(question.polymer).into_iter().map(|rule| {
        let ends = question.cured.and_then(|cured| rule.ends(cured));
        ShelfLifeShown {
            rule,
            ends,
            over: ends.is_some_and(|end| question.now >= end),
        }
    });
    let rules = LubricatedGas::of(&service);
    SealCareReport {
        facts: question.polymer.facts(),
        enriched: service.asks_oxygen_care(),
        lubricants: rules.map_or_else(Vec::new, |gas| lubricants(gas, Some(question.polymer))),
        shelf_lives: shelf_lives.collect(),
        warnings: Warnings::new(points(question, &service), Caution::Gland),
        threshold: threshold.clone(),
        service,
    }
}

fn points(question: &CareQuestion, service: &GasService) -> Vec<String> {
    let mut notes = vec![
        "shelf life speaks of loose rings in store; it says nothing about life once fitted, nor about rings inside an old assembly, and a pass is no proof of quality".to_owned(),
        "store below 25 °C (ISO 2230, recalled) or 38 °C (SAE ARP5316, recalled), dry, dark, free of ozone, not hung, folded or stretched, in opaque polyethylene, one lot a bin".to_owned(),
    ];
    notes.extend(service.unsettled_words());
    if service.asks_oxygen_care() {
        notes.push(format!(
            "more oxygen than {}: clean and compatible, and kept so; partial-pressure filling exposes parts to 100 % whatever the mix; bodies draw that line elsewhere: {}",
            question.threshold,
            others(&question.threshold)
        ));
    }
    let judged = question.polymer.in_gas(service);
    match judged.fitness {
        Fitness::Unsuitable => notes.insert(
            0,
            format!(
                "{}: choose another polymer ({})",
                judged.reason, judged.confidence
            ),
        ),
        Fitness::NotKnown => notes.insert(0, judged.reason),
        Fitness::Suits => {}
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
