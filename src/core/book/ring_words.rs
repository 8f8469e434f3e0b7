//! How sure the ring of a line is, in words.

use super::odds_words::{units, worth};
use super::ring_alternates::ToFit;
use super::ring_evidence::{RingChance, RingEvidence, RingNext};
use super::ring_odds::code;
use super::ring_part::DECIDED;
use crate::core::identification::{Fact, NextFact, RingFit};

/// The most other rings that are named.
const MOST: usize = 2;
/// Odds from here on are worth a word.
const SHOWN: f64 = 0.01;

/// Says why a ring is the one to fit: "does the job 99.8 %; the very size 56 %; ISO 3601-1 30x1.8 serves as well (4 units
/// measured)".
pub(super) fn fit_words(fit: &RingFit, evidence: &RingEvidence, measured: usize) -> String {
    let mut words = vec![format!(
        "{} does the job {}; exactly this size {}",
        code(fit.ring),
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
            code(one.fit.ring),
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

/// Says which fact would tell something at once, without a tool.
fn ask_words(next: &NextFact) -> Option<String> {
    let what = match next.fact {
        Fact::Origin => "write `made COUNTRY YEAR` in the note",
        Fact::OtherPlaces => "record the other rings of the unit",
        Fact::Maker | Fact::Readings | Fact::Siblings | Fact::Gland => return None,
    };
    Some(format!(
        "{what}, without a tool ({})",
        worth(next.gain_bits)
    ))
}

/// Says which reading would tell most: "the section by the whole ring flat between two faces would tell most (worth it): 1.75 if
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
        "the {} by {} would tell most ({}){reads}",
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
