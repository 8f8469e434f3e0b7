//! What is said of units whose ring, or whose gland, is another one.

use super::gland_variants::gland_differences;
use super::model_units::ModelUnits;
use super::part_line::{Conflict, ConflictAbout};
use super::ring_places::{MISFIT, RingPlace, RingVariant};
use super::ring_words::{leader_words, percent};
use crate::core::identification::Identification;

/// Units are said not to agree where a ring is neither surely right nor surely wrong: this far from either.
const OPEN: f64 = 0.1;

/// Names what stands against the ring that is listed, or why none is.
pub(super) fn conflicts(
    place: &RingPlace<'_>,
    decided: bool,
    units: &ModelUnits<'_>,
) -> Vec<Conflict> {
    let Some(leader) = place.leading() else {
        return tie(place, units).into_iter().collect();
    };
    let mut conflicts = Vec::new();
    conflicts.extend(if decided { None } else { open(leader, units) });
    if conflicts.is_empty() {
        conflicts.extend(strangers(leader, units));
    }
    let others = place.variants.iter();
    let others = others.filter(|other| !std::ptr::eq(*other, leader));
    conflicts.extend(others.map(|other| another_variant(other, leader, units)));
    conflicts
}

/// As many units with one gland as with another.
fn tie(place: &RingPlace<'_>, units: &ModelUnits<'_>) -> Option<Conflict> {
    let most = place.variants.first()?.agreeing().len();
    let (mut all, mut made_for) = (Vec::new(), Vec::new());
    for variant in place.variants.iter().filter(|v| v.agreeing().len() == most) {
        let own = units_of(variant);
        let named = units.named(&own);
        made_for.push(format!(
            "{named}: made for {}",
            leader_words(&variant.odds.made_for)
        ));
        all.extend(own);
    }
    let words = format!(
        "two different glands in as many units each ({}), so no size is listed: another variant? Measure one more unit, or \
            ask for one variant alone",
        made_for.join("; ")
    );
    Some(units.conflict(ConflictAbout::Size, &all, words))
}

/// Says that the units of one variant do not agree, and that it is open which of them has the right ring.
fn open(leader: &RingVariant<'_>, units: &ModelUnits<'_>) -> Option<Conflict> {
    let found: Vec<(usize, &Identification)> = leader.found().collect();
    let doubtful = |found: &Identification| (OPEN..1.0 - OPEN).contains(&found.misfit_probability);
    let differ = found.len() > 1 && found.iter().any(|(_, found)| doubtful(found));
    differ.then(|| {
        let words: Vec<String> = found
            .iter()
            .map(|(unit, found)| format!("{}: {}", units.named(&[*unit]), leader_words(found)))
            .collect();
        let all: Vec<usize> = found.iter().map(|(unit, _)| *unit).collect();
        let words = format!(
            "the units disagree, and which of them has the right ring is open ({}): another variant, or a wrong \
                ring fitted? Measure the gland, or one more unit",
            words.join("; ")
        );
        units.conflict(ConflictAbout::Size, &all, words)
    })
}

/// Names the units out of which another ring came than the place was made for.
fn strangers(leader: &RingVariant<'_>, units: &ModelUnits<'_>) -> Vec<Conflict> {
    let agreeing = leader.agreeing();
    let wrong = leader
        .found()
        .filter(|(_, found)| found.misfit_probability > MISFIT);
    wrong
        .map(|(unit, found)| {
            let readings = leader.differences(&[unit], leader, &agreeing);
            let readings = if readings.is_empty() {
                String::new()
            } else {
                format!(" ({})", readings.join(", "))
            };
            let words = format!(
                "{} held a wrong ring ({} sure), most likely {}; the place was made for {}{readings}. Fit what is \
                    listed, not what came out; if that unit is of another variant, measure its gland",
                units.named(&[unit]),
                percent(found.misfit_probability),
                other_words(found, &leader.odds.made_for),
                leader_words(&leader.odds.made_for),
            );
            units.conflict(ConflictAbout::Foreign, &[unit], words)
        })
        .collect()
}

/// Names the likeliest ring that came out and is not the one which the place was made for.
fn other_words(came_out: &Identification, made_for: &Identification) -> String {
    let right = made_for.ranked.first().map(|first| first.ring);
    let mut other = came_out.clone();
    other.ranked.retain(|ranked| Some(ranked.ring) != right);
    leader_words(&other)
}

/// Says what a variant with another gland was made for.
fn another_variant(
    other: &RingVariant<'_>,
    leader: &RingVariant<'_>,
    units: &ModelUnits<'_>,
) -> Conflict {
    let own = units_of(other);
    let mut readings = other.differences(&own, leader, &leader.agreeing());
    // Between the glands of two variants, each by its first unit.
    let glands = other.glands().next().zip(leader.glands().next());
    readings.extend(glands.map_or_else(Vec::new, |(own, its)| gland_differences(own, its)));
    let words = format!(
        "the gland of {} differs, made for {} ({}): another variant? It does not count for the listed size",
        units.named(&own),
        leader_words(&other.odds.made_for),
        readings.join(", ")
    );
    units.conflict(ConflictAbout::Size, &own, words)
}

fn units_of(variant: &RingVariant<'_>) -> Vec<usize> {
    let mut units: Vec<usize> = variant.members.iter().map(|member| member.unit).collect();
    units.sort_unstable();
    units
}
