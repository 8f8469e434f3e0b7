//! The rings of all places of a model, weighed as one model.

use super::gather::{Gathered, Member};
use super::gland_variants::gland_differences;
use super::part_length::PartLength;
use super::stated_rings::stated_ring;
use crate::core::gland::GlandSpec;
use crate::core::identification::{
    Candidates, Evidence, GlandEvidence, Identification, Identifier, ModelEvidence, Observation,
    PlaceEvidence, PlaceOdds, RegimeOdds, StatedFact, regimes_of, weigh_model,
};
use crate::core::measurement::{Instruments, Measurand};
use crate::core::note::{Entry, PartKind};

/// What all units say of the ring of one place.
#[derive(Debug, Clone)]
pub struct RingPlace<'u> {
    /// The gland of the place in each of its variants, that with most units first; one where the glands are alike.
    pub variants: Vec<RingVariant<'u>>,
    /// Why readings could not be used.
    pub faults: Vec<String>,
}

/// The units whose gland is one, with what is known of their rings.
#[derive(Debug, Clone)]
pub struct RingVariant<'u> {
    pub members: Vec<Member<'u>>,
    /// The odds; its rings are those of the members.
    pub odds: PlaceOdds,
    /// Readings with their instrument's bias taken off, by unit.
    observations: Vec<(usize, Observation)>,
}

/// A place while its units are being put together.
struct Draft<'u> {
    variants: Vec<Vec<(Member<'u>, Option<Evidence>)>>,
    faults: Vec<String>,
}

/// Weighs the rings of a model: one answer for each part that is a ring, in the order of the parts.
pub fn ring_places<'u>(
    gathered: &[Gathered<'u>],
    identifier: &mut Identifier<'_>,
    instruments: &Instruments,
    maker: RegimeOdds,
) -> Vec<Option<RingPlace<'u>>> {
    let mut drafts = drafts(gathered, identifier.candidates(), instruments);
    let mut weighed = |drafts: &[Option<Draft<'_>>]| {
        let model = model_evidence(drafts, maker);
        weigh_model(&model, identifier, instruments)
    };
    let mut odds = weighed(&drafts);
    if move_strangers(&mut drafts, &odds) {
        odds = weighed(&drafts);
    }
    let mut odds = odds.into_iter();
    drafts
        .into_iter()
        .map(|draft| Some(draft?.finished(&mut odds)))
        .collect()
}

/// Says how likely each regime of families makes the rings of a model; for the other models of its maker.
pub fn regimes_seen(
    gathered: &[Gathered<'_>],
    identifier: &mut Identifier<'_>,
    instruments: &Instruments,
) -> RegimeOdds {
    let drafts = drafts(gathered, identifier.candidates(), instruments);
    regimes_of(&model_evidence(&drafts, RegimeOdds::default()), identifier)
}

fn drafts<'u>(
    gathered: &[Gathered<'u>],
    candidates: &Candidates,
    instruments: &Instruments,
) -> Vec<Option<Draft<'u>>> {
    let each = gathered.iter();
    each.map(|part| (part.kind == PartKind::Ring).then(|| Draft::of(part, candidates, instruments)))
        .collect()
}

fn model_evidence(drafts: &[Option<Draft<'_>>], maker: RegimeOdds) -> ModelEvidence {
    let variants = drafts.iter().flatten().flat_map(|draft| &draft.variants);
    let places = variants.map(|members| {
        let members = members.iter();
        let glands = members.clone().filter_map(|(m, _)| m.entry.gland.as_ref());
        PlaceEvidence {
            rings: members.clone().map(|(_, read)| read.clone()).collect(),
            units: members.map(|(member, _)| member.unit).collect(),
            glands: glands.filter_map(GlandEvidence::new).collect(),
        }
    });
    ModelEvidence {
        places: places.collect(),
        maker,
    }
}

/// Gathers what a note says of a ring by itself: its readings, and what is stated of its size.
fn evidence(
    entry: &Entry,
    candidates: &Candidates,
    instruments: &Instruments,
) -> Result<Option<Evidence>, String> {
    let condition = entry.condition_or_used();
    let polymer = entry.polymer.as_ref().map(|p| p.value);
    let stated = stated_ring(entry).filter(|rings| !rings.is_empty());
    let read = if entry.readings.is_empty() {
        stated.is_some().then(|| Evidence::of_no_reading(condition))
    } else {
        let read = Evidence::new(&entry.readings, condition, polymer, instruments);
        Some(read.map_err(|error| error.to_string())?)
    };
    let Some(rings) = stated else {
        return Ok(read);
    };
    let stated = StatedFact {
        rings,
        dimensions: Vec::new(),
    };
    Ok(read.map(|read| read.with_stated(&stated, candidates)))
}

impl<'u> Draft<'u> {
    /// Parts the units by their glands; those that recorded none go with most of the others.
    fn of(part: &Gathered<'u>, candidates: &Candidates, instruments: &Instruments) -> Self {
        let mut draft = Self {
            variants: Vec::new(),
            faults: Vec::new(),
        };
        let mut plain = Vec::new();
        for member in &part.members {
            let entry = member.entry;
            let read = evidence(entry, candidates, instruments).unwrap_or_else(|fault| {
                draft.faults.push(fault);
                None
            });
            let Some(gland) = &entry.gland else {
                plain.push((*member, read));
                continue;
            };
            let alike = |known: &&mut Vec<(Member<'u>, Option<Evidence>)>| {
                let first = known.iter().find_map(|(m, _)| m.entry.gland.as_ref());
                first.is_some_and(|first| gland_differences(first, gland).is_empty())
            };
            match draft.variants.iter_mut().find(alike) {
                Some(known) => known.push((*member, read)),
                None => draft.variants.push(vec![(*member, read)]),
            }
        }
        let largest = draft
            .variants
            .iter_mut()
            .max_by_key(|variant| variant.len());
        match largest {
            Some(largest) => largest.extend(plain),
            None => draft.variants.push(plain),
        }
        draft
    }

    fn finished(self, odds: &mut impl Iterator<Item = PlaceOdds>) -> RingPlace<'u> {
        let each = self.variants.into_iter().zip(odds);
        let of = |(members, odds)| RingVariant::of(members, odds);
        let mut variants: Vec<RingVariant<'u>> = each.map(of).collect();
        variants.sort_by_key(|variant| std::cmp::Reverse(variant.agreeing().len()));
        RingPlace {
            variants,
            faults: self.faults,
        }
    }
}

/// Puts a unit without a gland of its own to the variant whose ring it has, where that of its own has another; tells whether any went.
fn move_strangers(drafts: &mut [Option<Draft<'_>>], odds: &[PlaceOdds]) -> bool {
    let mut from = 0;
    let mut moved = false;
    for draft in drafts.iter_mut().flatten() {
        let own = &odds[from..from + draft.variants.len()];
        from += draft.variants.len();
        for at in 0..own.len() {
            let mut place = 0;
            for ring in &own[at].rings {
                let (member, _) = &draft.variants[at][place];
                let to = ring.as_ref().filter(|_| member.entry.gland.is_none());
                let to = to.and_then(|ring| other_home(ring, own, at));
                match to {
                    Some(to) => {
                        let stranger = draft.variants[at].remove(place);
                        draft.variants[to].push(stranger);
                        moved = true;
                    }
                    None => place += 1,
                }
            }
        }
    }
    moved
}

/// Finds the variant that was made for the ring that came out of a unit, where its own was not.
fn other_home(ring: &Identification, variants: &[PlaceOdds], own: usize) -> Option<usize> {
    let out = ring.ranked.first()?;
    if ring.misfit_probability <= MISFIT {
        return None;
    }
    let leads = |odds: &PlaceOdds| {
        let first = odds.made_for.ranked.first();
        first.is_some_and(|first| first.ring == out.ring)
    };
    (0..variants.len()).find(|at| *at != own && leads(&variants[*at]))
}

/// A ring is called a wrong one where that is more likely than not.
pub(super) const MISFIT: f64 = 0.5;

impl<'u> RingPlace<'u> {
    /// Returns the variant that speaks for the model: that with most units; `None` on a tie, or where nothing is known.
    pub fn leading(&self) -> Option<&RingVariant<'u>> {
        match self.variants.as_slice() {
            [first, second, ..] if first.agreeing().len() == second.agreeing().len() => None,
            variants => variants.first(),
        }
    }

    /// Tells whether the ring of any unit was measured.
    pub fn is_measured(&self) -> bool {
        self.variants
            .iter()
            .any(|variant| !variant.observations.is_empty())
    }
}

impl<'u> RingVariant<'u> {
    fn of(members: Vec<(Member<'u>, Option<Evidence>)>, odds: PlaceOdds) -> Self {
        let read = members
            .iter()
            .filter_map(|(m, evidence)| Some((m.unit, evidence.as_ref()?)));
        let observations = read
            .flat_map(|(unit, evidence)| evidence.observations.iter().map(move |one| (unit, *one)));
        Self {
            observations: observations.collect(),
            members: members.into_iter().map(|(member, _)| member).collect(),
            odds,
        }
    }

    /// Lists the measured units with what came out of them.
    pub fn found(&self) -> impl Iterator<Item = (usize, &Identification)> {
        let each = self.members.iter().zip(&self.odds.rings);
        each.filter(|(member, _)| !member.entry.readings.is_empty())
            .filter_map(|(member, found)| Some((member.unit, found.as_ref()?)))
    }

    /// Lists the measured units whose ring does what the place was made for.
    pub fn agreeing(&self) -> Vec<usize> {
        let agree = self
            .found()
            .filter(|(_, found)| found.misfit_probability <= MISFIT);
        let mut units: Vec<usize> = agree.map(|(unit, _)| unit).collect();
        units.sort_unstable();
        units
    }

    /// Lists the glands of its units.
    pub fn glands(&self) -> impl Iterator<Item = &'u GlandSpec> {
        self.members
            .iter()
            .filter_map(|member| member.entry.gland.as_ref())
    }

    /// Returns the mean of one measurand over some units with its standard uncertainty.
    ///
    /// The mean is weighted by 1/u² of the instruments; where the units scatter more than the instruments explain, as worn
    /// rings do, the uncertainty is widened by the ratio of the two (Birge, Physical Review 40 (1932) 207).
    pub fn pooled(&self, measurand: Measurand, units: &[usize]) -> Option<(f64, f64)> {
        let own = self.observations.iter();
        let own = own.filter(|(unit, one)| units.contains(unit) && one.measurand == measurand);
        let read: Vec<&Observation> = own.map(|(_, one)| one).collect();
        let total: f64 = read.iter().map(|o| 1.0 / o.variance).sum();
        if read.is_empty() || total <= 0.0 {
            return None;
        }
        let mean = read.iter().map(|o| o.value / o.variance).sum::<f64>() / total;
        let square: f64 = read
            .iter()
            .map(|o| (o.value - mean) * (o.value - mean) / o.variance)
            .sum();
        let birge = match read.len() {
            1 => 1.0,
            many => libm::sqrt(square / (many - 1) as f64).max(1.0),
        };
        Some((mean, birge / libm::sqrt(total)))
    }

    /// Writes the pooled readings of some units in words: `od 12.84 ±0.05 mm, cs 1.77 ±0.03 mm`.
    pub fn pooled_words(&self, units: &[usize]) -> String {
        let words: Vec<String> = Measurand::ALL
            .iter()
            .filter_map(|(measurand, word)| {
                let (mean, uncertainty) = self.pooled(*measurand, units)?;
                let unit = unit_of(*measurand);
                Some(format!("{word} {mean:.2} ±{uncertainty:.2} {unit}"))
            })
            .collect();
        words.join(", ")
    }

    /// Lists the pooled lengths of some units.
    pub fn pooled_lengths(&self, units: &[usize]) -> Vec<PartLength> {
        let lengths = Measurand::ALL.iter();
        lengths
            .filter(|(measurand, _)| *measurand != Measurand::Mass)
            .filter_map(|(measurand, word)| {
                let (mean, _) = self.pooled(*measurand, units)?;
                PartLength::pooled(word, mean)
            })
            .collect()
    }

    /// Says by how much the pooled readings of some units differ from those of another variant or other units.
    pub fn differences(&self, units: &[usize], other: &Self, theirs: &[usize]) -> Vec<String> {
        Measurand::ALL
            .iter()
            .filter_map(|(measurand, word)| {
                let (own, _) = self.pooled(*measurand, units)?;
                let (theirs, _) = other.pooled(*measurand, theirs)?;
                let unit = unit_of(*measurand);
                Some(format!("{word} {own:.2} against {theirs:.2} {unit}"))
            })
            .collect()
    }
}

fn unit_of(measurand: Measurand) -> &'static str {
    if measurand == Measurand::Mass {
        "g"
    } else {
        "mm"
    }
}
