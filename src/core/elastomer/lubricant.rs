//! Which class of lubricant suits a gas and a polymer, and which never.

use super::lubricant_words::{LubricantWords, read_lubricant};
use super::polymer::Polymer;
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::gas::GasService;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// Says what a lubricant is to a gas.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LubricantVerdict {
    /// May be used, sparingly.
    Suits,
    /// Another is better.
    Avoid,
    /// Must not be used.
    Never,
}

/// Names a class of lubricant; which product belongs to it, its maker says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LubricantClass {
    /// Silicone grease or oil.
    SiliconeGrease,
    /// Grease or oil of the PFPE or PCTFE type.
    HalogenatedGrease,
    /// Mineral, animal or vegetable oil or grease.
    Hydrocarbon,
    SpraySilicone,
    /// No lubricant.
    Dry,
}

/// What one class of lubricant is to a gas, and to one polymer where that changes it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LubricantRule {
    pub lubricant: LubricantClass,
    /// The class in words.
    pub name: String,
    gas: LubricatedGas,
    /// The polymer that the rule is about; every polymer where `None`.
    pub polymer: Option<Polymer>,
    pub verdict: LubricantVerdict,
    pub reason: String,
    pub source: String,
    pub confidence: Confidence,
}

/// Names the gas by what it asks of a lubricant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LubricatedGas {
    /// Not enriched.
    Air,
    /// More oxygen than the threshold in use.
    Enriched,
}

impl LubricatedGas {
    /// Returns by which rules a gas is lubricated; there are none for gases other than air and enriched gas, and one that is
    /// not settled counts as enriched.
    pub const fn of(service: &GasService) -> Option<Self> {
        match service {
            GasService::Air => Some(Self::Air),
            GasService::Enriched { .. } | GasService::Unsettled { .. } => Some(Self::Enriched),
            GasService::Other { .. } => None,
        }
    }
}

static ROWS: LazyLock<Vec<LubricantRule>> =
    LazyLock::new(|| shipped_rows!("elastomers/lubricants.csv"));

/// Lists every class of lubricant once, as it is to a gas and a polymer; a rule for the polymer goes before the general one.
///
/// What suits stands first.
pub fn lubricants(gas: LubricatedGas, polymer: Option<Polymer>) -> Vec<&'static LubricantRule> {
    let mut chosen: Vec<&LubricantRule> = Vec::new();
    for rule in ROWS.iter().filter(|rule| rule.gas == gas) {
        if rule.polymer.is_some() && rule.polymer != polymer {
            continue;
        }
        match chosen.iter_mut().find(|c| c.lubricant == rule.lubricant) {
            Some(general) if rule.polymer.is_some() => *general = rule,
            Some(_) => {}
            None => chosen.push(rule),
        }
    }
    chosen.sort_by_key(|rule| rule.verdict);
    chosen
}

/// What a lubricant that somebody named is to a gas.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LubricantJudgement {
    /// Its class, where the words name one; of several the one that suits least.
    pub class: Option<LubricantClass>,
    /// What it is to the gas and the polymers; `None` where no rule is at hand, which is no praise.
    pub verdict: Option<LubricantVerdict>,
    pub reason: String,
    /// Where the rule comes from, where there is one.
    pub source: Option<String>,
    pub confidence: Option<Confidence>,
    /// The known name that is nearest to words that are not understood.
    pub near: Option<&'static str>,
}

impl LubricantJudgement {
    fn none(class: Option<LubricantClass>, near: Option<&'static str>, reason: String) -> Self {
        Self {
            class,
            verdict: None,
            reason,
            source: None,
            confidence: None,
            near,
        }
    }
}

/// Judges the lubricant that words name, in a gas and on polymers; of several classes and polymers the worst verdict counts.
///
/// A gas that is not settled counts as enriched. Nothing is called suitable for a gas without rules, nor where words are left
/// over that may name something else; what must never be used stays so whatever stands beside it.
///
/// ```
/// use ringwright::core::elastomer::{LubricantVerdict, judge_lubricant};
/// use ringwright::core::gas::{GasService, OxygenThreshold};
/// let oxygen = GasService::judge(Some("oxygen"), None, &OxygenThreshold::default());
/// let judged = judge_lubricant("silicon grease", &oxygen, &[]);
/// assert_eq!(judged.verdict, Some(LubricantVerdict::Never));
/// ```
pub fn judge_lubricant(
    words: &str,
    service: &GasService,
    polymers: &[Polymer],
) -> LubricantJudgement {
    let read = read_lubricant(words);
    if read.classes.is_empty() {
        let meant = read.near.map_or_else(
            || "write its kind, as silicone grease, PFPE grease, none".to_owned(),
            |near| format!("did you mean {near}?"),
        );
        let reason = format!("{words:?} is not a known lubricant: {meant}");
        return LubricantJudgement::none(None, read.near, reason);
    }
    let Some(gas) = LubricatedGas::of(service) else {
        let reason = format!("no lubricant rule covers {service}: ask the supplier");
        return LubricantJudgement::none(read.classes.first().copied(), None, reason);
    };
    let worst = worst_rule(&read.classes, gas, polymers);
    match worst {
        Some(rule) if read.left_over.is_empty() || rule.verdict == LubricantVerdict::Never => {
            LubricantJudgement {
                class: Some(rule.lubricant),
                verdict: Some(rule.verdict),
                reason: rule.reason.clone(),
                source: Some(rule.source.clone()),
                confidence: Some(rule.confidence),
                near: None,
            }
        }
        _ => not_understood(&read),
    }
}

fn worst_rule(
    classes: &[LubricantClass],
    gas: LubricatedGas,
    polymers: &[Polymer],
) -> Option<&'static LubricantRule> {
    let mut rules = lubricants(gas, None);
    rules.extend(
        polymers
            .iter()
            .flat_map(|polymer| lubricants(gas, Some(*polymer))),
    );
    let named = rules
        .into_iter()
        .filter(|rule| classes.contains(&rule.lubricant));
    named.max_by_key(|rule| rule.verdict)
}

fn not_understood(read: &LubricantWords) -> LubricantJudgement {
    let reason = format!(
        "{:?} is not understood beside the lubricant: write its kind alone, as PFPE grease",
        read.left_over.join(" ")
    );
    LubricantJudgement::none(read.classes.first().copied(), read.near, reason)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::gas::OxygenThreshold;

    fn verdict(
        gas: LubricatedGas,
        polymer: Option<Polymer>,
        class: LubricantClass,
    ) -> LubricantVerdict {
        let rules = lubricants(gas, polymer);
        rules
            .iter()
            .find(|r| r.lubricant == class)
            .expect("the class")
            .verdict
    }

    #[test]
    fn silicone_grease_is_for_air_alone_and_not_for_silicone_rubber() {
        use LubricatedGas::{Air, Enriched};
        assert_eq!(
            verdict(Air, Some(Polymer::Nbr), LubricantClass::SiliconeGrease),
            LubricantVerdict::Suits
        );
        assert_eq!(
            verdict(Air, Some(Polymer::Vmq), LubricantClass::SiliconeGrease),
            LubricantVerdict::Avoid
        );
        assert_eq!(
            verdict(Enriched, None, LubricantClass::SiliconeGrease),
            LubricantVerdict::Never
        );
    }

    #[test]
    fn every_gas_has_one_class_that_suits_and_no_hydrocarbon() {
        for gas in [LubricatedGas::Air, LubricatedGas::Enriched] {
            assert_eq!(lubricants(gas, None)[0].verdict, LubricantVerdict::Suits);
            assert_eq!(
                verdict(gas, None, LubricantClass::Hydrocarbon),
                LubricantVerdict::Never
            );
        }
    }

    fn judged(words: &str, gas: &str) -> LubricantJudgement {
        let service = GasService::judge(Some(gas), None, &OxygenThreshold::default());
        judge_lubricant(words, &service, &[])
    }

    #[test]
    fn words_are_read_and_judged_by_the_gas() {
        use LubricantVerdict::{Avoid, Never, Suits};
        for (words, gas, verdict) in [
            ("silicone grease", "air", Some(Suits)),
            ("Silicon grease, sparingly", "air", Some(Suits)),
            ("silicone grease", "EAN32", Some(Never)),
            ("silicone grease", "oxigen", Some(Never)),
            ("silicone grease", "acetylene", None),
            ("PFPE grease", "oxygen", Some(Suits)),
            ("a little PFPE oil", "the usual", Some(Suits)),
            ("mineral oil", "air", Some(Never)),
            ("vaseline", "air", Some(Never)),
            ("PFPE grease over mineral oil", "oxygen", Some(Never)),
            ("PFPE grease with secret sauce", "oxygen", None),
            ("dry", "oxygen", Some(Avoid)),
            ("none", "air", Some(Avoid)),
            ("wonder lube", "air", None),
            ("", "air", None),
        ] {
            assert_eq!(judged(words, gas).verdict, verdict, "{words} in {gas}");
        }
        let silicone_rubber = judge_lubricant(
            "silicone grease",
            &GasService::Air,
            &[Polymer::Nbr, Polymer::Vmq],
        );
        assert_eq!(silicone_rubber.verdict, Some(Avoid));
    }

    #[test]
    fn a_misspelt_lubricant_is_not_judged_and_the_name_that_was_meant_is_told() {
        let slip = judged("silcone grease", "air");
        assert_eq!((slip.class, slip.verdict), (None, None));
        assert_eq!(slip.near, Some("silicone grease"));
        assert!(slip.reason.ends_with("did you mean silicone grease?"));
    }
}
