//! The rings of one model weighed as one: what each place was made for, and what came out of each unit.

use super::belonging::Belonging;
use super::candidates::Candidates;
use super::families::{REGIMES, RegimeOdds, sorted_sum};
use super::fit::{RingFit, SURE, fits};
use super::found_ring::{CameOut, FoundRing};
use super::identifier::{Care, Identifier};
use super::next_fact::{NextFact, rank_next_facts};
use super::next_reading::{NextReading, rank_next_readings};
use super::note_errors::NoteErrors;
use super::place_odds::{PlaceEvidence, PlaceSums};
use super::posterior::{
    Contender, GLAND_ALONE, GlandVerdict, Identification, LEAST_PROBABILITY, ranking,
};
use super::ring_chance::{RankedRing, RingOdds};
use super::sold_size::SoldRing;
use super::told::{Told, chain};
use crate::core::measurement::Instruments;
use crate::core::uncertainty::log_sum_exp;

/// What is known of the rings of one model.
#[derive(Debug, Clone, Default)]
pub struct ModelEvidence {
    pub places: Vec<PlaceEvidence>,
    /// What the other models of its maker say together of the families that he used ([`Candidates::by_the_maker`]).
    pub maker: RegimeOdds,
}

/// What was found out about one place.
#[derive(Debug, Clone)]
pub struct PlaceOdds {
    /// What the place was made for.
    pub made_for: Identification,
    /// What came out of each unit; `None` where nothing was read of the ring or said.
    pub rings: Vec<Option<Identification>>,
    /// The listed rings that do the job, best first.
    pub fits: Vec<RingFit>,
    /// Readings that could still be taken of one unit's ring, most telling a minute first; none where a ring surely does the job.
    pub next: Vec<NextReading>,
    /// Facts that could still be told, most telling first; none where a ring surely does the job.
    pub ask: Vec<NextFact>,
    /// What each fact told, in the order in which they were counted.
    pub told: Vec<Told>,
}

/// Weighs the rings of a model: exactly, because places are independent once the regime of families is given, and units once the
/// size is that belongs to a place. The work grows with the number of rings.
pub fn weigh_model(
    model: &ModelEvidence,
    identifier: &mut Identifier<'_>,
    instruments: &Instruments,
) -> Vec<PlaceOdds> {
    let candidates = identifier.candidates();
    let places = place_sums(model, identifier);
    let regimes = regimes_of_places(model, &places, candidates);
    let each = places.iter().zip(regimes);
    each.map(|(place, regimes)| place_odds(place, &regimes, candidates, instruments))
        .collect()
}

/// Sums up every place, its readings corrected by what a first look at the other rings of a unit tells of the hand that read them.
fn place_sums<'c>(model: &ModelEvidence, identifier: &mut Identifier<'c>) -> Vec<PlaceSums<'c>> {
    let corrected = corrected(model, identifier);
    let places = corrected.as_deref().unwrap_or(&model.places).iter();
    places
        .map(|place| PlaceSums::new(place, identifier, Care::Whole))
        .collect()
}

/// Returns the places with their readings corrected by what the other rings of a unit say; `None` where nothing changes.
pub(super) fn corrected(
    model: &ModelEvidence,
    identifier: &mut Identifier<'_>,
) -> Option<Vec<PlaceEvidence>> {
    if model.places.len() < 2 {
        return None;
    }
    let candidates = identifier.candidates();
    let each = model.places.iter();
    let sums: Vec<PlaceSums<'_>> = each
        .map(|place| PlaceSums::new(place, identifier, Care::FirstLook))
        .collect();
    let mut errors = NoteErrors::new(candidates);
    let regimes = regimes_of_places(model, &sums, candidates);
    for (at, ((place, sum), regimes)) in model.places.iter().zip(&sums).zip(regimes).enumerate() {
        let belongs = sum.belongs(&regimes.shares(candidates), candidates);
        for (ring, unit) in sum.rings.iter().zip(&place.units) {
            if let Some(ring) = ring {
                let out = ring.came_out(&belongs, candidates);
                errors.hear(at, *unit, &ring.evidence, &out);
            }
        }
    }
    let mut changed = false;
    let mut places = model.places.clone();
    for (at, place) in places.iter_mut().enumerate() {
        for (ring, unit) in place.rings.iter_mut().zip(&place.units) {
            let own = ring.as_ref();
            if let told @ Some(_) = own.and_then(|ring| errors.corrected(at, *unit, ring)) {
                *ring = told;
                changed = true;
            }
        }
    }
    changed.then_some(places)
}

/// Says for each place what the maker and the other places tell of the regime.
fn regimes_of_places(
    model: &ModelEvidence,
    places: &[PlaceSums<'_>],
    candidates: &Candidates,
) -> Vec<Regimes> {
    let seen: Vec<RegimeOdds> = places.iter().map(|place| place.seen(candidates)).collect();
    let each = 0..places.len();
    each.map(|at| Regimes {
        maker: model.maker,
        others: without(&seen, at),
    })
    .collect()
}

/// Says how likely each regime makes everything that was found in a model; for the other models of its maker.
pub fn regimes_of(model: &ModelEvidence, identifier: &mut Identifier<'_>) -> RegimeOdds {
    let candidates = identifier.candidates();
    let places = place_sums(model, identifier);
    let seen: Vec<RegimeOdds> = places.iter().map(|place| place.seen(candidates)).collect();
    without(&seen, usize::MAX)
}

/// What others than the place itself say of the regime.
pub(crate) struct Regimes {
    /// The other models of the maker.
    pub(crate) maker: RegimeOdds,
    /// The other places of the model.
    pub(crate) others: RegimeOdds,
}

impl Regimes {
    /// Stands where nothing else is known of the model.
    pub(crate) const NONE: Self = Self {
        maker: [0.0; REGIMES],
        others: [0.0; REGIMES],
    };

    /// Returns the share of each listed ring before the place is looked at.
    pub(crate) fn shares(&self, candidates: &Candidates) -> Vec<f64> {
        let regimes = self.with(candidates.families().before());
        candidates.families().ring_shares(&regimes)
    }

    /// Returns the odds of the regimes before the place is looked at, these being their shares before anything was seen.
    pub(crate) fn with(&self, before: RegimeOdds) -> RegimeOdds {
        let mut regimes = before;
        for (own, (maker, others)) in regimes.iter_mut().zip(self.maker.iter().zip(self.others)) {
            *own += maker + others;
        }
        regimes
    }
}

fn without(seen: &[RegimeOdds], out: usize) -> RegimeOdds {
    std::array::from_fn(|regime| {
        let others = seen.iter().enumerate().filter(|(at, _)| *at != out);
        sorted_sum(others.map(|(_, odds)| odds[regime]))
    })
}

fn place_odds(
    place: &PlaceSums<'_>,
    regimes: &Regimes,
    candidates: &Candidates,
    instruments: &Instruments,
) -> PlaceOdds {
    let shares = regimes.shares(candidates);
    let belongs = place.belongs(&shares, candidates);
    let made_for = made_for(place, &belongs);
    let named = |ring| named(ring, &belongs, &made_for, candidates);
    let rings = place.rings.iter().map(|ring| ring.as_ref().map(named));
    let rings: Vec<Option<Identification>> = rings.collect();
    let families = candidates.families();
    let groups = families.group_shares(&regimes.with(families.before()));
    let fits = fits(place, &belongs, &groups, candidates);
    let open = fits.first().is_none_or(|best| best.chance < SURE);
    let (next, ask) = if open {
        let next = next(place, &belongs, &rings, instruments);
        (next, rank_next_facts(place, regimes, candidates))
    } else {
        (Vec::new(), Vec::new())
    };
    PlaceOdds {
        made_for,
        next,
        ask,
        rings,
        fits,
        told: chain(place, regimes, candidates),
    }
}

/// Ranks what could still be read of the first unit whose ring may be the right one.
fn next(
    place: &PlaceSums<'_>,
    belongs: &Belonging,
    rings: &[Option<Identification>],
    instruments: &Instruments,
) -> Vec<NextReading> {
    let right = |named: &Option<Identification>| {
        let misfit = named.as_ref().map(|named| named.misfit_probability);
        misfit.is_some_and(|misfit| misfit <= 0.5)
    };
    let mut found = place.rings.iter().zip(rings);
    let first = found.find(|(_, named)| right(named));
    let Some(ring) = first.and_then(|(ring, _)| ring.as_ref()) else {
        return Vec::new();
    };
    let listed = ring.field.contenders.iter().filter(|c| c.is_listed);
    let contenders: Vec<Contender<'_>> = listed
        .map(|c| Contender {
            log_weight: libm::log(belongs.listed[c.at]),
            fit: c.fit.clone(),
            ..*c
        })
        .collect();
    rank_next_readings(&contenders, &ring.evidence, instruments)
}

fn made_for(place: &PlaceSums<'_>, belongs: &Belonging) -> Identification {
    let likely = belongs.at_least(LEAST_PROBABILITY);
    let ranked = likely.map(|ring| RankedRing {
        ring,
        probability: belongs.listed[ring],
        misfit_sigma: misfit(place, ring),
    });
    ranking(ranked.collect(), belongs.unlisted)
}

/// Returns the root mean square of the misfits of all units' readings.
fn misfit(place: &PlaceSums<'_>, ring: usize) -> f64 {
    let (mut square, mut count) = (0.0, 0.0);
    for found in place.rings.iter().flatten() {
        let own = found.field.contenders.iter().find(|c| c.at == ring);
        if let Some(contender) = own {
            square += contender.fit.misfit * contender.fit.misfit;
            count += 1.0;
        }
    }
    if count > 0.0 {
        libm::sqrt(square / count)
    } else {
        0.0
    }
}

/// Names the ring that came out of a unit, by the odds of what belongs at its place.
fn named(
    ring: &FoundRing<'_>,
    belongs: &Belonging,
    made_for: &Identification,
    candidates: &Candidates,
) -> Identification {
    let out = ring.came_out(belongs, candidates);
    let of = |at: usize| ring.field.contenders.iter().find(|c| c.at == at);
    let ranked = out.listed.iter().map(|(at, odds)| RankedRing {
        ring: *at,
        probability: *odds,
        misfit_sigma: of(*at).map_or(0.0, |c| c.fit.misfit),
    });
    let mut slips = vec![0.0; ring.evidence.observations.len()];
    for contender in &ring.field.contenders {
        let odds = if contender.is_listed {
            out.listed
                .iter()
                .find(|(at, _)| *at == contender.at)
                .map_or(0.0, |(_, odds)| *odds)
        } else {
            out.unlisted * ring.share_of_unlisted(contender)
        };
        for (slip, own) in slips.iter_mut().zip(contender.fit.slips) {
            *slip += odds * own;
        }
    }
    let sold = sold_rings(ring, &out, candidates);
    let of_sold: f64 = sold.iter().map(|one| one.probability).sum();
    Identification {
        slip_probabilities: slips,
        sold,
        made_for: made_for.ranked.clone(),
        foreign_probability: out.foreign,
        misfit_probability: out.misfit,
        ..ranking(ranked.collect(), out.unlisted - of_sold)
    }
}

/// Ranks the sizes that are sold here by their share of what no list has.
fn sold_rings(ring: &FoundRing<'_>, out: &CameOut, candidates: &Candidates) -> Vec<SoldRing> {
    let sold = ring.field.contenders.iter().filter_map(|contender| {
        Some(SoldRing {
            size: candidates.sold_at(contender.at)?.clone(),
            probability: out.unlisted * ring.share_of_unlisted(contender),
            misfit_sigma: contender.fit.misfit,
        })
    });
    let mut sold: Vec<SoldRing> = sold
        .filter(|ring| ring.probability >= LEAST_PROBABILITY)
        .collect();
    sold.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    sold
}

/// Names one ring alone: what came out, what its place was made for, and how the two agree.
pub(crate) fn named_alone(place: &PlaceSums<'_>, candidates: &Candidates) -> Identification {
    let shares = Regimes::NONE.shares(candidates);
    let belongs = place.belongs(&shares, candidates);
    let made_for = made_for(place, &belongs);
    let Some(ring) = place.rings.iter().flatten().next() else {
        return made_for;
    };
    let named = named(ring, &belongs, &made_for, candidates);
    let regimes = place.seen(candidates);
    let before = candidates.families().before();
    Identification {
        gland: verdict(place, ring, &named, &shares, candidates),
        log_evidence: place.log_scale + log_sum_exp(regimes.iter().zip(before).map(|(r, b)| r + b)),
        ..named
    }
}

/// Compares what the ring says with what the gland says.
fn verdict(
    place: &PlaceSums<'_>,
    ring: &FoundRing<'_>,
    named: &Identification,
    shares: &[f64],
    candidates: &Candidates,
) -> Option<GlandVerdict> {
    let gland = place.gland.as_ref()?;
    let mut found = vec![0.0; candidates.listed.len()];
    for (at, likelihood) in &ring.listed {
        found[*at] = *likelihood;
    }
    let unlisted = candidates.unlisted * ring.unlisted;
    let best = Belonging::of(&found, unlisted, shares, candidates).best();
    let suit = |(ring, share): (usize, &f64)| RingOdds {
        ring,
        probability: (1.0 - candidates.unlisted) * share * gland.of_listed(ring),
    };
    let mut suits: Vec<RingOdds> = shares.iter().enumerate().map(suit).collect();
    suits.sort_unstable_by(|a, b| {
        let odds = b.probability.total_cmp(&a.probability);
        odds.then(a.ring.cmp(&b.ring))
    });
    suits.truncate(GLAND_ALONE);
    Some(GlandVerdict {
        foreign_probability: named.foreign_probability.min(1.0),
        misfit_probability: named.misfit_probability.min(1.0),
        ring_alone: best.filter(|_| !ring.evidence.observations.is_empty()),
        gland_alone: suits,
    })
}
