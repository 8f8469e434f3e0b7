//! Names an unlabelled ring from its readings.

use super::meaning::{age_in_words, disagreement, named_slip, rivals_differ};
use super::question::RingQuestion;
use super::sold_here::{likeliest_sold, sold_words};
use crate::core::book::UnitRecord;
use crate::core::caution::{Caution, Warnings};
use crate::core::identification::{
    Age, Candidates, Evidence, EvidenceError, GlandVerdict, Identification, Moulded, NextFact,
    NextReading, Prior, RingChance, identify,
};
use crate::core::measurement::{Condition, Instruments, Measurand, Reading, Rubber, SquashError};
use crate::core::quantity::{Hardness, Length};
use crate::core::sizes::{NominalSize, SizeTable};
use serde::Serialize;
use std::borrow::Cow;

/// The answer: ranked rings with their odds.
#[derive(Debug, Clone, Serialize)]
pub struct RingAnswer {
    /// The readings as they were typed, with what they count for.
    pub readings: Vec<ReadingUsed>,
    pub condition: Condition,
    /// Rings by falling probability.
    pub candidates: Vec<RingCandidate>,
    /// Probability that the ring is of no listed size.
    pub unlisted_probability: f64,
    /// Whether the readings contradict each other, so that nothing is named by them.
    pub contradiction: bool,
    /// What its place was most likely made for, the gland counted where one was given.
    pub made_for: Option<RingChance>,
    /// Every ring that its place may have been made for, likeliest first.
    pub made_for_odds: Vec<RingChance>,
    /// Groups of codes that the readings do not tell apart.
    pub cannot_separate: Vec<Vec<String>>,
    /// Facts that would tell more and take no tool, most telling first.
    pub ask_first: Vec<NextFact>,
    /// Readings that would tell more, most telling first.
    pub measure_next: Vec<NextReading>,
    /// How ring and gland agree, where a gland was given.
    pub gland: Option<GlandVerdict>,
    /// What age has done to the ring.
    pub age: Option<Age>,
    /// The same in words; empty where nothing shows.
    pub age_in_words: Vec<String>,
    /// The ring as it was moulded, no list consulted.
    pub moulded: Option<Moulded>,
    /// Points to see before relying on the answer.
    pub warnings: Warnings,
}

/// One reading as it was used.
#[derive(Debug, Clone, Serialize)]
pub struct ReadingUsed {
    pub reading: &'static str,
    pub typed: String,
    /// The instrument in words.
    pub method: String,
    /// Mean with the instrument's bias taken off, in millimetres or grams.
    pub value: f64,
    /// Its standard uncertainty, in millimetres or grams.
    pub standard_uncertainty: f64,
    pub slip_probability: f64,
    /// Whether its values lie further apart than one ring's can.
    pub lie_far_apart: bool,
}

/// One listed ring with its odds.
#[derive(Debug, Clone, Serialize)]
pub struct RingCandidate {
    /// Place, 1 first.
    pub rank: usize,
    pub codes: Vec<String>,
    /// Suppliers that sell it, where no list has the size; then the only code is the size itself.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sold_by: Vec<String>,
    #[serde(flatten)]
    pub size: NominalSize,
    pub probability: f64,
    /// Root mean square of the misfits in standard deviations.
    pub misfit_sigma: f64,
}

/// Names rings; keeps the candidates with their prior, so that many rings can be named one after the other, and the
/// instruments that they are measured with.
#[derive(Debug, Clone)]
pub struct RingNamer {
    prior: Prior,
    candidates: Candidates,
    instruments: Instruments,
    hardness: Option<Hardness>,
}

/// A reading is called a likely slip from this probability on.
const LIKELY_SLIP: f64 = 0.5;
/// The best ring fits badly from this root mean square misfit on; one in a thousand honest sets of readings does.
const BAD_FIT_SIGMA: f64 = 2.6;

impl RingNamer {
    /// Makes a namer with a prior.
    pub fn new(prior: &Prior) -> Self {
        Self {
            prior: prior.clone(),
            candidates: Candidates::new(SizeTable::shipped(), prior),
            instruments: Instruments::shipped().clone(),
            hardness: None,
        }
    }

    /// Takes other instruments than the shipped ones.
    #[must_use]
    pub fn with_instruments(mut self, instruments: Instruments) -> Self {
        self.instruments = instruments;
        self
    }

    /// Says how hard the rubber is, so that squeezing instruments read it less or more small.
    ///
    /// # Errors
    /// The hardness is not Shore A from 20 to 95, or so low that an instrument's squash is unknown.
    pub fn with_hardness(mut self, hardness: Hardness) -> Result<Self, SquashError> {
        self.hardness = Some(hardness);
        self.instruments.for_rubber(&Rubber::of(hardness))?;
        Ok(self)
    }

    /// Returns the candidates for the rings of units: as common as where and when these were made, unless a prior was asked for.
    pub(super) fn candidates_for(&self, units: &[UnitRecord]) -> Cow<'_, Candidates> {
        match UnitRecord::prior_for(units, &self.prior) {
            Cow::Borrowed(_) => Cow::Borrowed(&self.candidates),
            Cow::Owned(prior) => Cow::Owned(Candidates::new(SizeTable::shipped(), &prior)),
        }
    }

    /// Returns the instruments.
    pub fn instruments(&self) -> &Instruments {
        &self.instruments
    }

    /// Returns the instruments as they read this ring. Its own section and diameter can lie beyond the law of squash only
    /// where the readings are absurd; then the squash at the table's section stands in.
    pub(super) fn instruments_for(&self, readings: &[Reading]) -> Cow<'_, Instruments> {
        let Some(hardness) = self.hardness else {
            return Cow::Borrowed(&self.instruments);
        };
        let read = |measurand: Measurand| {
            let reading = readings.iter().find(|r| r.measurand == measurand)?;
            Length::from_mm(reading.mean()).filter(|length| *length > Length::ZERO)
        };
        let section = read(Measurand::Cs).or_else(|| read(Measurand::Width));
        let thickness = section.unwrap_or(Length::ZERO);
        let mean_diameter = read(Measurand::Od)
            .map(|od| od - thickness)
            .or_else(|| read(Measurand::Id).map(|id| id + thickness))
            .filter(|diameter| *diameter > Length::ZERO);
        let rubber = Rubber {
            hardness,
            section,
            mean_diameter,
        };
        self.instruments
            .for_rubber(&rubber)
            .or_else(|_| self.instruments.for_rubber(&Rubber::of(hardness)))
            .map_or(Cow::Borrowed(&self.instruments), Cow::Owned)
    }

    /// Names one ring by its readings and by what else is known of it.
    ///
    /// # Errors
    /// Nothing at all, too many readings, an unknown method, or a reading that is not positive.
    pub fn name(&self, question: &RingQuestion) -> Result<RingAnswer, EvidenceError> {
        let instruments = self.instruments_for(&question.readings);
        let evidence = question.evidence(&self.candidates, &instruments)?;
        let found = identify(&evidence, &self.candidates, &instruments);
        Ok(self.told(question, &evidence, found, &instruments))
    }

    /// Names one ring of a model, as all its rings together name it; what age has done to it and what to measure next are told
    /// by its own readings.
    ///
    /// # Errors
    /// Nothing at all, too many readings, an unknown method, or a reading that is not positive.
    pub fn name_in(
        &self,
        question: &RingQuestion,
        ring: &Identification,
    ) -> Result<RingAnswer, EvidenceError> {
        let instruments = self.instruments_for(&question.readings);
        let evidence = question.evidence(&self.candidates, &instruments)?;
        let alone = identify(&evidence, &self.candidates, &instruments);
        let found = Identification {
            next: alone.next,
            age: alone.age,
            moulded: alone.moulded,
            log_evidence: alone.log_evidence,
            gland: alone.gland.map(|verdict| GlandVerdict {
                foreign_probability: ring.foreign_probability,
                misfit_probability: ring.misfit_probability,
                ..verdict
            }),
            ..ring.clone()
        };
        Ok(self.told(question, &evidence, found, &instruments))
    }

    /// Puts what was found into an answer, with what is to be seen first.
    fn told(
        &self,
        question: &RingQuestion,
        evidence: &Evidence,
        mut found: Identification,
        instruments: &Instruments,
    ) -> RingAnswer {
        let have = &question.have;
        found
            .next
            .retain(|next| have.is_empty() || have.iter().any(|h| h == next.method));
        let rivals = question.gland.as_ref();
        let first = [
            rivals.and_then(|spec| rivals_differ(spec, &found)),
            found.gland.as_ref().and_then(disagreement),
            named_slip(question, &found, &self.candidates, instruments),
        ];
        let mut answer = answer(question, evidence, found, instruments);
        let first = first.into_iter().flatten();
        answer.warnings.points.splice(0..0, first);
        answer
    }

    /// Returns the candidates with their prior.
    pub fn candidates(&self) -> &Candidates {
        &self.candidates
    }
}

fn answer(
    question: &RingQuestion,
    evidence: &Evidence,
    found: Identification,
    instruments: &Instruments,
) -> RingAnswer {
    let contradiction = found.contradicts_itself();
    let group = found.cannot_separate.iter().filter(|_| !contradiction);
    let group: Vec<String> = group
        .map(|place| SizeTable::shipped().first_code(found.ranked[*place].ring))
        .collect();
    let readings = readings_used(question, evidence, &found, instruments);
    let (candidates, made_for) = if contradiction {
        (Vec::new(), Vec::new())
    } else {
        let made_for = RingChance::worth_showing(&found.made_for);
        (candidates(&found), made_for)
    };
    RingAnswer {
        warnings: Warnings::new(points(&found, &readings), Caution::Named),
        contradiction,
        readings,
        condition: question.condition,
        made_for: made_for.first().cloned(),
        made_for_odds: made_for,
        cannot_separate: Some(group)
            .filter(|group| !group.is_empty())
            .into_iter()
            .collect(),
        ask_first: found.ask,
        measure_next: found.next,
        unlisted_probability: found.unlisted_probability,
        gland: found.gland,
        age_in_words: found.age.as_ref().map(age_in_words).unwrap_or_default(),
        age: found.age,
        moulded: found.moulded,
        candidates,
    }
}

/// Ranks the listed rings and the sizes that are sold here by falling probability.
fn candidates(found: &Identification) -> Vec<RingCandidate> {
    let listed = found.ranked.iter().map(|ranked| {
        let named = RingChance::of(ranked.ring, ranked.probability);
        RingCandidate {
            rank: 0,
            codes: named.codes,
            sold_by: Vec::new(),
            size: named.size,
            probability: ranked.probability,
            misfit_sigma: ranked.misfit_sigma,
        }
    });
    let sold = found.sold.iter().map(|ring| RingCandidate {
        rank: 0,
        codes: vec![ring.size.name()],
        sold_by: ring.size.suppliers.clone(),
        size: ring.size.nominal,
        probability: ring.probability,
        misfit_sigma: ring.misfit_sigma,
    });
    let mut candidates: Vec<RingCandidate> = listed.chain(sold).collect();
    candidates.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    for (rank, candidate) in (1..).zip(&mut candidates) {
        candidate.rank = rank;
    }
    candidates
}

fn readings_used(
    question: &RingQuestion,
    evidence: &Evidence,
    found: &Identification,
    instruments: &Instruments,
) -> Vec<ReadingUsed> {
    question
        .readings
        .iter()
        .zip(&evidence.observations)
        .zip(&found.slip_probabilities)
        .map(|((reading, observation), slip)| ReadingUsed {
            reading: reading.measurand.word(),
            typed: reading.typed.clone(),
            method: instruments
                .find(&reading.method, reading.measurand)
                .map_or_else(|_| reading.method.clone(), |i| i.label.to_owned()),
            value: observation.value,
            standard_uncertainty: libm::sqrt(observation.variance),
            slip_probability: *slip,
            lie_far_apart: reading.lie_far_apart(),
        })
        .collect()
}

fn points(found: &Identification, readings: &[ReadingUsed]) -> Vec<String> {
    let mut warnings = Vec::new();
    for reading in readings.iter().filter(|r| r.lie_far_apart) {
        warnings.push(format!(
            "the values of the {} reading {:?} lie far apart, and their mean is taken: measure again, one of them may be a slip of \
             the hand or the pen",
            reading.reading, reading.typed
        ));
    }
    for reading in readings.iter().filter(|r| r.slip_probability > LIKELY_SLIP) {
        warnings.push(format!(
            "the {} reading {:?} agrees with no ring that the others allow: measure it again",
            reading.reading, reading.typed
        ));
    }
    if found.contradicts_itself() {
        let first = readings
            .iter()
            .max_by(|a, b| a.slip_probability.total_cmp(&b.slip_probability));
        let repeat = first.map_or_else(String::new, |reading| {
            format!(
                "; the {} ({:?}) is the first to repeat",
                reading.reading, reading.typed
            )
        });
        warnings.push(format!(
            "the readings contradict each other: no ring, listed or not, has them all. Nothing is named; take them again{repeat}"
        ));
        return warnings;
    }
    let sold = likeliest_sold(found);
    warnings.extend(sold.map(sold_words));
    match found.ranked.first() {
        _ if sold.is_some() => {}
        None => warnings.push("no listed ring comes near these readings: check units and readings".to_owned()),
        Some(first)
            if found.unlisted_probability > first.probability
                && found.unlisted_probability < 0.5 =>
        {
            warnings.push(
                "many listed rings suit what is known: measure the outside diameter and the section as well"
                    .to_owned(),
            );
        }
        Some(first) if found.unlisted_probability > first.probability => warnings.push(
            "a ring of no listed size is more likely than any listed one: a maker's own size, or a wrong reading"
                .to_owned(),
        ),
        Some(first) if first.misfit_sigma > BAD_FIT_SIGMA => warnings.push(
            "even the best ring fits the readings badly: measure again, or say --condition rough".to_owned(),
        ),
        Some(_) => {}
    }
    if readings.iter().any(|r| r.method == "not stated") {
        warnings.push(
            "a reading without its method counts for little: add \"by caliper\", \"by flat\", \"by scan\""
                .to_owned(),
        );
    }
    warnings
}
