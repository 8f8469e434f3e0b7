//! Seals: what to order a ring in, and how it is stored and lubricated.

use crate::core::caution::{Caution, Warnings};
use crate::core::confidence::Confidence;
use crate::core::elastomer::{
    ElastomerChoice, LubricantRule, LubricatedGas, Polymer, PolymerFacts, Quarter, Rating,
    SealDuty, ShelfLife, lubricants,
};
use crate::core::gas::{GasService, GasStatement, OxygenThreshold};
use crate::core::gland::Duty;
use crate::core::quantity::TemperatureRange;
use serde::Serialize;

/// What is asked: the work of the ring.
#[derive(Debug, Clone)]
pub struct MaterialQuestion {
    pub duty: SealDuty,
    pub temperature: Option<TemperatureRange>,
    /// Above which share of oxygen a gas is treated as enriched.
    pub threshold: OxygenThreshold,
}

/// The choice, and what is known of every polymer in that duty.
#[derive(Debug, Clone, Serialize)]
pub struct MaterialReport {
    pub service: GasService,
    pub choice: ElastomerChoice,
    /// Every polymer, the suitable ones first.
    pub polymers: Vec<PolymerShown>,
    /// Classes of lubricant for the choice, what suits first.
    pub lubricants: Vec<&'static LubricantRule>,
    /// Points to see before ordering.
    pub warnings: Warnings,
}

/// A polymer held against gas, temperature and motion of the duty.
#[derive(Debug, Clone, Serialize)]
pub struct PolymerShown {
    pub polymer: Polymer,
    pub name: &'static str,
    /// Rating in the gas, where it is known.
    pub rating: Option<Rating>,
    /// What speaks against it; empty where nothing known does.
    pub against: Vec<String>,
    pub source: &'static str,
    pub confidence: Confidence,
}

/// Tells what to order a ring in, and what not and why.
pub fn seal_material(question: &MaterialQuestion) -> MaterialReport {
    let duty = &question.duty;
    let choice = ElastomerChoice::of(duty, &question.threshold);
    let service = GasService::judge(duty.gas.as_deref(), duty.oxygen, &question.threshold);
    let shown = Polymer::all().map(|facts| shown(facts, question, &service));
    let mut polymers: Vec<PolymerShown> = shown.collect();
    polymers.sort_by_key(|p| (p.against.len(), p.rating.is_none(), p.rating));
    let rules = LubricatedGas::of(&service);
    let mut warnings: Vec<String> = service.unsettled_words().into_iter().collect();
    warnings.extend(choice.cautions.iter().cloned());
    let chosen = polymers.iter().find(|p| Some(p.polymer) == choice.polymer);
    for point in chosen.iter().flat_map(|p| &p.against) {
        warnings.push(format!("against the choice: {point}"));
    }
    if question.temperature.is_none() {
        warnings.push("temperature not given: no range was checked".to_owned());
    }
    warnings.push("ratings and ranges are for standard compounds, from memory: the compound's maker has the last word".to_owned());
    MaterialReport {
        lubricants: rules.map_or_else(Vec::new, |gas| lubricants(gas, choice.polymer)),
        service,
        choice,
        polymers,
        warnings: Warnings::new(warnings, Caution::Gland),
    }
}

/// Shows one polymer in a gas.
fn shown(
    facts: &'static PolymerFacts,
    question: &MaterialQuestion,
    service: &GasService,
) -> PolymerShown {
    let judged = facts.polymer.in_gas(service);
    let mut against = Vec::new();
    if matches!(judged.rating, None | Some(Rating::Unsuitable)) {
        against.push(judged.reason);
    }
    let moves = matches!(question.duty.motion, Some(Duty::Moving | Duty::Rotary));
    if moves && matches!(facts.polymer, Polymer::Vmq | Polymer::Fvmq) {
        against.push("tears and wears: not for moving parts (recalled)".to_owned());
    }
    if facts.polymer == Polymer::Ptfe {
        against.push("no rubber: it does not spring back; for back-up rings (recalled)".to_owned());
    }
    if let Some(range) = question.temperature {
        let (coldest, hottest) = (range.coldest.celsius(), range.hottest.celsius());
        if let Some(least) = facts.temp_min_c.filter(|least| coldest < *least) {
            against.push(format!("stiff below {least} °C"));
        }
        if let Some(most) = facts.temp_max_c.filter(|most| hottest > *most) {
            against.push(format!("not for more than {most} °C"));
        }
    }
    PolymerShown {
        polymer: facts.polymer,
        name: &facts.name,
        rating: judged.rating,
        against,
        source: &facts.source,
        confidence: facts.confidence,
    }
}

/// What is asked about the rings of a polymer.
#[derive(Debug, Clone)]
pub struct CareQuestion {
    pub polymer: Polymer,
    /// The gas, where anything was said of it.
    pub gas: Option<GasStatement>,
    /// Above which share a gas is treated as enriched.
    pub threshold: OxygenThreshold,
    /// Quarter of cure, where it is known.
    pub cured: Option<Quarter>,
    pub now: Quarter,
}

/// What is known of storing and lubricating the rings of a polymer.
#[derive(Debug, Clone, Serialize)]
pub struct SealCareReport {
    pub facts: &'static PolymerFacts,
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

/// The shelf life by one system.
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
    let judged = question.polymer.in_gas(service);
    let mut notes = match judged.rating {
        Some(Rating::Unsuitable) => vec![format!(
            "{}: choose another polymer ({})",
            judged.reason, judged.confidence
        )],
        None => vec![judged.reason],
        Some(Rating::Suits | Rating::SecondChoice) => Vec::new(),
    };
    if service.asks_oxygen_care() {
        notes.push(format!(
            "more oxygen than {}: clean and compatible, and kept so; partial-pressure filling exposes parts to 100 % whatever the mix; bodies draw that line elsewhere: {}",
            question.threshold,
            others(&question.threshold)
        ));
    }
    notes.extend(service.unsettled_words());
    notes.extend([
        "store below 25 °C (ISO 2230, recalled) or 38 °C (SAE ARP5316, recalled), dry, dark, free of ozone, not hung, folded or stretched, in opaque polyethylene, one lot a bin".to_owned(),
        "shelf life speaks of loose rings in store; it says nothing about life once fitted, nor about rings inside an old assembly, and a pass is no proof of quality".to_owned(),
    ]);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::quantity::parse_temperature_range;

    fn asked(gas: &str, temperature: &str) -> MaterialReport {
        seal_material(&MaterialQuestion {
            duty: SealDuty {
                gas: Some(gas.to_owned()),
                ..SealDuty::default()
            },
            temperature: parse_temperature_range(temperature).ok().map(|t| t.value),
            threshold: OxygenThreshold::default(),
        })
    }

    #[test]
    fn the_choice_follows_the_gas_and_every_polymer_is_told() {
        let (air, nitrox) = (asked("air", "0..40 C"), asked("nitrox 40", "0..40 C"));
        assert_eq!(air.choice.polymer, Some(Polymer::Nbr));
        assert_eq!(nitrox.choice.polymer, Some(Polymer::Fkm));
        assert_eq!(air.polymers.len(), Polymer::all().count());
        let nbr = |report: &MaterialReport| {
            let found = report.polymers.iter().find(|p| p.polymer == Polymer::Nbr);
            found.map(|p| p.against.clone())
        };
        assert_eq!(nbr(&air), Some(Vec::new()));
    }

    #[test]
    fn silicone_is_not_for_moving_parts_and_ptfe_is_no_rubber() {
        let question = |motion| MaterialQuestion {
            duty: SealDuty {
                gas: Some("air".to_owned()),
                motion,
                ..SealDuty::default()
            },
            temperature: None,
            threshold: OxygenThreshold::default(),
        };
        let against = |motion, polymer| {
            let report = seal_material(&question(motion));
            let found = report.polymers.into_iter().find(|p| p.polymer == polymer);
            found.map_or_else(String::new, |p| p.against.join("; "))
        };
        assert!(against(Some(Duty::Moving), Polymer::Vmq).contains("moving"));
        assert!(!against(Some(Duty::Static), Polymer::Vmq).contains("moving"));
        assert!(against(None, Polymer::Ptfe).contains("no rubber"));
    }

    #[test]
    fn cold_beyond_the_range_of_a_polymer_speaks_against_it() {
        let report = asked("nitrox 40", "-60..40 C");
        assert!(
            report
                .warnings
                .points
                .iter()
                .any(|w| w.starts_with("against the choice: stiff below"))
        );
    }
}
