//! How sure the ring of a line is, in words.

use super::ring_alternates::ToFit;
use super::ring_evidence::{RingEvidence, RingNext};
use super::ring_part::DECIDED;
use crate::core::count::counted;
use crate::core::identification::{Fact, Identification, NextFact, RingChance, RingFit};
use crate::core::sizes::SizeTable;

/// The most other rings that are named.
const MOST: usize = 2;
/// Odds from here on are worth a word.
const SHOWN: f64 = 0.01;

/// Says why a ring is the one to fit: "does the job 99.8 %; the very size 56 %; ISO 3601-1 30x1.8 serves as well (4 units
/// measured)".
pub(super) fn fit_words(fit: &RingFit, evidence: &RingEvidence, measured: usize) -> String {
    let mut words = vec![format!(
        "{} does the job {}; exactly this size {}",
        SizeTable::shipped().first_code(fit.ring),
        chance(fit.chance),
        chance(fit.very_size)
    )];
    let as_well: Vec<&str> = evidence
        .serves_as_well
        .iter()
        .map(RingChance::code)
        .take(MOST)
        .collect();
    match as_well.as_slice() {
        [] => {}
        [one] => words.push(format!("{one} serves as well")),
        many => words.push(format!("{} serve as well", many.join(" and "))),
    }
    format!("{} ({} measured)", words.join("; "), units(measured))
}

/// Says why nothing is decided, and what would decide it.
pub(super) fn undecided_words(
    one: Option<&ToFit>,
    evidence: &RingEvidence,
    measured: usize,
) -> String {
    let mut words = Vec::new();
    match one {
        None => words.push("NOT DECIDED: no listed ring comes near, or the readings contradict each other: measure \
            again".to_owned()),
        Some(one) if one.rejected => words.push("NOT DECIDED, the gland rejects the likely rings".to_owned()),
        Some(one) => words.push(format!(
            "NOT DECIDED, measure more (decided from {:.0} %): {} does the job {}",
            DECIDED * 100.0,
            SizeTable::shipped().first_code(one.fit.ring),
            chance(one.fit.chance)
        )),
    }
    let likely = evidence
        .made_for_odds
        .iter()
        .filter(|ring| ring.probability >= SHOWN)
        .take(MOST + 1);
    let mut odds: Vec<String> = likely
        .map(|ring| format!("{} {}", ring.code(), chance(ring.probability)))
        .collect();
    if evidence.made_for_unlisted >= SHOWN {
        let sold = evidence.sold().map_or_else(String::new, |ring| {
            format!(" (as {}, {})", ring.size.name(), ring.size.sold_words())
        });
        odds.push(format!(
            "no listed size {}{sold}",
            chance(evidence.made_for_unlisted)
        ));
    }
    if !odds.is_empty() {
        words.push(format!("made for {}", odds.join(", ")));
    }
    words.extend(evidence.ask_first.first().and_then(ask_words));
    words.extend(evidence.measure_next.as_ref().map(next_words));
    format!("{} ({} measured)", words.join("; "), units(measured))
}

/// Names the size that leads, with its odds.
pub(super) fn leader_words(odds: &Identification) -> String {
    let first = odds.ranked.first();
    match first.filter(|first| first.probability > odds.unlisted_probability) {
        Some(first) => format!(
            "{} ({})",
            SizeTable::shipped().first_code(first.ring),
            percent(first.probability)
        ),
        None => format!("no listed size ({})", percent(odds.unlisted_probability)),
    }
}

/// Says which fact would tell most beside the ring itself.
fn ask_words(next: &NextFact) -> Option<String> {
    let what = match next.fact {
        Fact::Origin => "write `made COUNTRY YEAR` in the note",
        Fact::OtherPlaces => "record the other rings of the unit",
        Fact::Gland => "measure its groove",
        Fact::Maker | Fact::Readings | Fact::Siblings => return None,
    };
    Some(format!("{what} ({})", worth(next.gain_bits)))
}

/// Says which reading would tell most: "of the ring, the section by the whole ring flat between two faces would tell most (worth it): 1.75 if
/// AS568-012, 1.86 if JIS B 2401 P9".
fn next_words(next: &RingNext) -> String {
    let reads: Vec<String> = next
        .would_read
        .iter()
        .take(MOST + 1)
        .map(|(code, value)| format!("{value:.2} if {code}"))
        .collect();
    let reads = if reads.is_empty() {
        String::new()
    } else {
        format!(": {}", reads.join(", "))
    };
    format!(
        "of the ring, the {} by {} would tell most ({}){reads}",
        next.reading,
        next.label,
        worth(next.bits)
    )
}

/// Writes a chance in per cent, to the tenth where it is near to certain, and never as certain.
pub(super) fn chance(chance: f64) -> String {
    const NEAR: f64 = 0.95;
    const MOST_SAID: f64 = 0.999;
    const LEAST_SAID: f64 = 0.01;
    if chance > MOST_SAID {
        ">99.9 %".to_owned()
    } else if chance >= NEAR {
        format!("{:.1} %", chance * 100.0)
    } else if chance < LEAST_SAID {
        "<1 %".to_owned()
    } else {
        format!("{:.0} %", chance * 100.0)
    }
}

/// Says in words what a reading or a fact tells, by the bits that it is expected to tell.
pub fn worth(bits: f64) -> &'static str {
    match bits {
        bits if bits >= 1.0 => "settles it",
        bits if bits >= 0.3 => "worth it",
        _ => "tells little",
    }
}

/// Writes a probability as a whole percentage that never claims certainty.
pub(super) fn percent(probability: f64) -> String {
    const LEAST: f64 = 0.01;
    if probability < LEAST {
        "<1 %".to_owned()
    } else if probability > 1.0 - LEAST {
        ">99 %".to_owned()
    } else {
        format!("{:.0} %", probability * 100.0)
    }
}

/// Writes a length in millimetres to the hundredth.
pub(super) fn mm(value: f64) -> String {
    format!("{value:.2} mm")
}

/// Writes how many units there are.
pub(super) fn units(count: usize) -> String {
    counted(count, "unit", "units")
}
