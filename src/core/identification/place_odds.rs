//! The rings of one place of a model, in all units where it was looked at: what belongs there, and what came out.

use super::belonging::Belonging;
use super::candidates::Candidates;
use super::evidence::Evidence;
use super::families::{RegimeOdds, sorted_sum};
use super::foreign::FOREIGN_SHARE;
use super::found_ring::FoundRing;
use super::gland_evidence::{GlandEvidence, GlandFactors};
use super::identifier::{Care, Identifier};
use super::together::{SharedSize, shared_unlisted};
use std::sync::Arc;

/// What was found at one place of a model: the rings of its units, and their glands, which are one.
#[derive(Debug, Clone, Default)]
pub struct PlaceEvidence {
    /// What is known of the ring of each unit; `None` where nothing was read of it or said.
    pub rings: Vec<Option<Evidence>>,
    /// Which unit of the model each is of, in the same order; empty where no hand read rings of two places.
    pub units: Vec<usize>,
    /// The gland as each unit shows it.
    pub glands: Vec<GlandEvidence>,
}

/// What the readings and glands of one place say of every size, the families not asked.
pub(crate) struct PlaceSums<'c> {
    pub(crate) gland: Option<Arc<GlandFactors>>,
    /// The ring of each unit, where anything is known of it.
    pub(crate) rings: Vec<Option<FoundRing<'c>>>,
    /// How likely all readings are if this listed ring belongs here; the likeliest has 1.
    pub(crate) readings: Vec<f64>,
    /// The same with the gland.
    pub(crate) listed: Vec<f64>,
    /// The same for any size that no list has, its share among all rings counted in.
    pub(crate) unlisted: f64,
    /// Where the readings have it, if no list has the size.
    pub(crate) unlisted_size: Option<SharedSize>,
    pub(crate) log_scale: f64,
}

/// A size with less than this share does not change what belongs here or what came out, whatever the other places say of its family.
const MAY_BELONG: f64 = 1e-4;

impl<'c> PlaceSums<'c> {
    pub(crate) fn new(place: &PlaceEvidence, identifier: &mut Identifier<'c>, care: Care) -> Self {
        let candidates = identifier.candidates();
        let pooled = GlandEvidence::pooled(&place.glands);
        let gland = pooled.map(|gland| Arc::new(GlandFactors::new(&gland, candidates)));
        let mut found = |evidence: &Evidence| {
            let within = match &gland {
                Some(gland) => evidence.clone().within(gland),
                None => evidence.clone(),
            };
            FoundRing::new(within, identifier, care)
        };
        let rings = place.rings.iter();
        let mut sums = Self {
            rings: rings.map(|ring| ring.as_ref().map(&mut found)).collect(),
            gland,
            readings: Vec::new(),
            listed: Vec::new(),
            unlisted: 0.0,
            unlisted_size: None,
            log_scale: 0.0,
        };
        sums.add_up(candidates);
        if care == Care::Whole {
            sums.refine(identifier);
        }
        sums
    }

    /// Sums up a ring that stands for itself, in the gland that it came with.
    pub(crate) fn of_one(evidence: &Evidence, identifier: &mut Identifier<'c>) -> Self {
        let gland = evidence.gland.iter();
        let place = PlaceEvidence {
            rings: vec![Some(evidence.clone())],
            glands: gland.map(|factors| factors.gland.clone()).collect(),
            ..PlaceEvidence::default()
        };
        Self::new(&place, identifier, Care::Whole)
    }

    /// Weighs what may belong here in full for every ring. A first look is enough for a size that only one ring knows of; where the
    /// gland or the other units say that it belongs here, it must be right for the ring of which they say it.
    fn refine(&mut self, identifier: &mut Identifier<'c>) {
        let candidates = identifier.candidates();
        let belongs = self.belongs(candidates.neighbours().shares(), candidates);
        let likely: Vec<usize> = belongs.at_least(MAY_BELONG).collect();
        let mut changed = false;
        for ring in self.rings.iter_mut().flatten() {
            changed |= ring.refine(&likely, identifier);
        }
        if changed {
            self.add_up(candidates);
        }
    }

    fn add_up(&mut self, candidates: &Candidates) {
        let mut found: Vec<&FoundRing<'_>> = self.rings.iter().flatten().collect();
        // In one order, whatever order the notes came in, so that the sums are the same to the last digit.
        found.sort_by(|a, b| a.order(b));
        let each = 0..candidates.listed.len();
        let log = |at| found.iter().map(|ring| libm::log(ring.chances[at])).sum();
        let mut logs: Vec<f64> = each.map(log).collect();
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        // No listed ring comes near: then all weigh nothing.
        let best = if best == f64::NEG_INFINITY { 0.0 } else { best };
        for log in &mut logs {
            *log = libm::exp(*log - best);
        }
        let (size, unlisted) = self.unlisted(&found, candidates);
        let scale = sorted_sum(found.iter().map(|ring| ring.log_scale));
        self.unlisted = libm::exp(unlisted - best);
        self.unlisted_size = size;
        self.log_scale = best + scale;
        self.listed.clone_from(&logs);
        if let Some(gland) = &self.gland {
            for (at, weight) in self.listed.iter_mut().enumerate() {
                *weight *= gland.of_listed(at);
            }
        }
        self.readings = logs;
    }

    /// Weighs that no list has the size that belongs here: the logarithm, with its share among all rings.
    fn unlisted(
        &self,
        found: &[&FoundRing<'_>],
        candidates: &Candidates,
    ) -> (Option<SharedSize>, f64) {
        let share = libm::log(candidates.unlisted);
        let (own, strange) = (1.0 - FOREIGN_SHARE, |ring: &FoundRing<'_>| ring.strange);
        match found {
            [] => (None, share),
            [one] => {
                let suited = own * one.unlisted * one.unlisted_suit + strange(one);
                let size = SharedSize::of_one(&one.evidence);
                (size, share + libm::log(suited))
            }
            many => {
                let evidences: Vec<&Evidence> = many.iter().map(|ring| &ring.evidence).collect();
                // A ring that is far from the shared size counts as a foreign one.
                let floors: Vec<f64> = many
                    .iter()
                    .map(|ring| libm::log(ring.strange / own) + ring.log_scale)
                    .collect();
                let scale = sorted_sum(many.iter().map(|ring| ring.log_scale));
                let Some(shared) = shared_unlisted(&evidences, &floors, candidates) else {
                    let strangers = sorted_sum(many.iter().map(|ring| libm::log(ring.strange)));
                    return (None, share + strangers);
                };
                let suit = self
                    .gland
                    .as_ref()
                    .map_or(1.0, |g| g.of_size(shared.d1, shared.d2));
                let log = shared.log_weight - scale + many.len() as f64 * libm::log(own);
                (Some(shared), log + libm::log(suit))
            }
        }
    }

    /// Says how likely each regime makes what was found here.
    pub(crate) fn seen(&self, candidates: &Candidates) -> RegimeOdds {
        candidates
            .families()
            .seen(&self.listed, candidates.unlisted, self.unlisted)
    }

    /// Returns the odds of what belongs here, each listed ring being as common as its share.
    pub(crate) fn belongs(&self, shares: &[f64], candidates: &Candidates) -> Belonging {
        Belonging::of(&self.listed, self.unlisted, shares, candidates)
    }

    /// The same by the readings alone.
    pub(crate) fn by_readings(&self, shares: &[f64], candidates: &Candidates) -> Belonging {
        Belonging::of(&self.readings, self.unlisted, shares, candidates)
    }
}
