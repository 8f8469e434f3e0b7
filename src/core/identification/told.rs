//! What each fact told of a place: the chain from what is listed to what is likely.

use super::belonging::Belonging;
use super::candidates::Candidates;
use super::model_odds::Regimes;
use super::place_odds::PlaceSums;
use super::ring_chance::RingChance;
use serde::{Deserialize, Serialize};

/// Names a fact that changes the odds of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fact {
    /// The country and the year, or a stated preference for families.
    Origin,
    /// The other models of the maker.
    Maker,
    /// The other rings of the model.
    OtherPlaces,
    /// The readings of the first unit.
    Readings,
    /// The readings of the other units.
    Siblings,
    Gland,
}

/// What one fact told.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Told {
    pub fact: Fact,
    /// By how much it changed the odds, in bits.
    pub bits: f64,
    /// The ring that leads once it is counted; `None` where no listed size leads.
    pub leader: Option<RingChance>,
}

/// A fact that told less is left out.
const LEAST_BITS: f64 = 0.01;

/// Counts the facts one after the other, the readings first.
pub(crate) fn chain(
    place: &PlaceSums<'_>,
    regimes: &Regimes,
    candidates: &Candidates,
) -> Vec<Told> {
    let flat = vec![1.0; candidates.listed.len()];
    let unlisted = candidates.unlisted;
    let first = place.rings.iter().flatten().next();
    let own = first.map_or((&flat, unlisted), |ring| {
        (&ring.chances, unlisted * ring.chance_unlisted())
    });
    let plain = candidates.plain_shares();
    let of_maker = Regimes {
        maker: regimes.maker,
        ..Regimes::NONE
    };
    let by = |known: &Regimes| place.belongs(&known.shares(candidates), candidates);
    let of_first = Belonging::of(own.0, own.1, plain, candidates);
    let steps = [
        (Fact::Readings, of_first),
        (Fact::Siblings, place.by_readings(plain, candidates)),
        (Fact::Gland, place.belongs(plain, candidates)),
        (Fact::Origin, by(&Regimes::NONE)),
        (Fact::Maker, by(&of_maker)),
        (Fact::OtherPlaces, by(regimes)),
    ];
    let mut before = Belonging::of(&flat, unlisted, plain, candidates);
    let mut told = Vec::new();
    for (fact, after) in steps {
        let bits = before.told_by(&after);
        if bits >= LEAST_BITS {
            let leader = after.best();
            let leader = leader.filter(|best| best.probability > after.unlisted);
            told.push(Told {
                fact,
                bits,
                leader: leader.map(|best| RingChance::of(best.ring, best.probability)),
            });
        }
        before = after;
    }
    told
}
