//! Names the rings of a note.

use super::identify::{RingAnswer, RingNamer};
use super::question::RingQuestion;
use crate::core::exchange::{CandidateItem, NamedItem};
use crate::core::identification::{Identification, RingChance};
use crate::core::note::Entry;
use crate::core::quantity::{Length, as_optional_mm};
use serde::Serialize;

/// The name that one ring was given.
#[derive(Debug, Clone, Default, Serialize)]
pub struct RingNamed {
    /// Its place in the order of removal.
    pub order: u32,
    pub section: String,
    pub position: String,
    /// Every code of the most probable ring; empty where it could not be named.
    pub codes: Vec<String>,
    #[serde(rename = "id_mm", serialize_with = "as_optional_mm")]
    pub id: Option<Length>,
    #[serde(rename = "cs_mm", serialize_with = "as_optional_mm")]
    pub cross_section: Option<Length>,
    pub probability: Option<f64>,
    /// The next ring and its probability.
    pub next: Option<(String, f64)>,
    /// What its place was most likely made for, all units of the model counted.
    pub made_for: Option<RingChance>,
    /// Probability that it is not the ring which the place was made for.
    pub foreign_probability: Option<f64>,
    /// Probability that it is not, and does not do its job either.
    pub misfit_probability: Option<f64>,
    /// What to measure next, or why the ring could not be named.
    pub advice: String,
}

impl RingNamed {
    /// Says that the ring is not the one which its place was made for, where that is more likely than not.
    fn tell_misfit(&mut self) {
        const PROBABLY: f64 = 0.5;
        let misfit = self.misfit_probability.filter(|odds| *odds > PROBABLY);
        if let Some((odds, made_for)) = misfit.zip(self.made_for.as_ref()) {
            let words = format!(
                "somebody fitted a wrong ring here ({:.0} % sure): the place was made for {} ({:.0} %)",
                (100.0 * odds).min(99.0),
                made_for.code(),
                (100.0 * made_for.probability).min(99.0)
            );
            self.advice = if self.advice.is_empty() {
                words
            } else {
                format!("{words}; {}", self.advice)
            };
        }
    }

    fn nameless(entry: &Entry) -> Self {
        Self {
            order: entry.order,
            section: entry.section.clone(),
            position: entry.position.clone(),
            ..Self::default()
        }
    }
}

/// Names the ring of an entry at a moment (ISO 8601), and returns what the book is to keep of it.
pub(in crate::app) fn name_ring(
    entry: &Entry,
    of_model: Option<&Identification>,
    namer: &RingNamer,
    made_at: &str,
) -> (RingNamed, Option<NamedItem>) {
    let mut named = RingNamed::nameless(entry);
    if entry.readings.is_empty() {
        named.advice = entry.stated_size.as_ref().map_or_else(
            || "not measured: measure it before it is lost".to_owned(),
            |stated| format!("not measured; {:?} is stated", stated.text),
        );
        return (named, None);
    }
    let question = RingQuestion::of(entry);
    let named_by = of_model.map_or_else(
        || namer.name(&question),
        |ring| namer.name_in(&question, ring),
    );
    let answer = match named_by {
        Ok(answer) => answer,
        Err(error) => {
            named.advice = error.to_string();
            return (named, None);
        }
    };
    if let Some(first) = answer.candidates.first() {
        named.codes.clone_from(&first.codes);
        named.id = Some(first.size.id);
        named.cross_section = Some(first.size.section);
        named.probability = Some(first.probability);
    }
    if let Some(ring) = of_model {
        named.made_for.clone_from(&answer.made_for);
        named.foreign_probability = Some(ring.foreign_probability);
        named.misfit_probability = Some(ring.misfit_probability);
    }
    let next = answer.candidates.get(1);
    named.next = next.and_then(|next| Some((next.codes.first()?.clone(), next.probability)));
    named.advice = advice(&answer);
    named.tell_misfit();
    let candidates = answer.candidates.into_iter().map(|one| CandidateItem {
        codes: one.codes,
        id_nm: one.size.id.nm(),
        section_nm: one.size.section.nm(),
        probability: one.probability,
        misfit_sigma: one.misfit_sigma,
    });
    let kept = NamedItem {
        removal: entry.order,
        made_at: made_at.to_owned(),
        made_by: concat!("ringwright ", env!("CARGO_PKG_VERSION")).to_owned(),
        unlisted_probability: answer.unlisted_probability,
        candidates: candidates.collect(),
    };
    (named, Some(kept))
}

/// Says what would tell more, where the rings are not told apart, and what the readings warn of.
fn advice(answer: &RingAnswer) -> String {
    let mut words: Vec<String> = answer
        .warnings
        .points
        .iter()
        .filter(|warning| !warning.contains("without its method"))
        .cloned()
        .collect();
    if let (false, Some(next)) = (
        answer.cannot_separate.is_empty(),
        answer.measure_next.first(),
    ) {
        words.push(format!(
            "measure next: {} by {}",
            next.measurand.word(),
            next.label
        ));
    }
    words.join("; ")
}
