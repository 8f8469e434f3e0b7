//! The size that several rings share where no list has it.

use super::candidates::{Candidate, Candidates};
use super::evidence::Evidence;
use super::families::sorted_sum;
use super::likelihood::LinearModel;
use super::wear::{WearMode, WearModes};
use super::weighing::{Gathering, Seen, block_cells, block_size};
use crate::core::measurement::Measurand;
use crate::core::quantity::Length;
use crate::core::sizes::{class_b_inside_diameter, class_b_section};
use crate::core::uncertainty::{log_sum_exp, normal_log_density};

/// A size that no list has, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SharedSize {
    pub(crate) d1: f64,
    pub(crate) d2: f64,
    /// How likely all readings are if the rings share a size that no list has, whichever it is: the logarithm, with its share.
    pub(crate) log_weight: f64,
}

impl SharedSize {
    /// Takes the size that the readings of one ring give by themselves.
    pub(crate) fn of_one(evidence: &Evidence) -> Option<Self> {
        if evidence.observations.is_empty() {
            return None;
        }
        let (d1, d2) = rough_size(evidence);
        Some(Self {
            d1,
            d2,
            log_weight: f64::NEG_INFINITY,
        })
    }
}

/// The rings of several units, those that were measured in one way together.
struct Rings<'e> {
    ways: Vec<Way<'e>>,
}

/// The rings that were measured in one way, each with what it counts for if it is a foreign one.
struct Way<'e> {
    like: &'e Evidence,
    rings: Vec<(Seen, f64)>,
}

/// What the rings should read about one size: how well a reading tells it changes little from there to a size near by, and the
/// reading itself in proportion.
struct Around<'r> {
    size: (f64, f64),
    ways: Vec<(&'r Way<'r>, Blocks)>,
}

/// The blocks of some wear modes for one size, with what a millimetre of inside diameter and of section changes.
struct Blocks {
    cells: Vec<f64>,
    slopes: Vec<[f64; 2]>,
    count: usize,
}

impl<'e> Rings<'e> {
    fn of(evidences: &[&'e Evidence], floors: &[f64]) -> Self {
        let mut ways: Vec<Way<'e>> = Vec::new();
        for (evidence, floor) in evidences.iter().zip(floors) {
            let ring = (Seen::new(evidence), *floor);
            match ways.iter_mut().find(|way| way.like.is_read_as(evidence)) {
                Some(way) => way.rings.push(ring),
                None => ways.push(Way {
                    like: evidence,
                    rings: vec![ring],
                }),
            }
        }
        Self { ways }
    }

    fn around(
        &self,
        d1: f64,
        d2: f64,
        modes: fn(&'static WearModes) -> &'static [WearMode],
    ) -> Option<Around<'_>> {
        let candidate = of_size(d1, d2)?;
        let ways = self.ways.iter().map(|way| {
            let blocks = Blocks::of(&candidate, way.like, modes(way.like.wear))?;
            Some((way, blocks))
        });
        Some(Around {
            size: (d1, d2),
            ways: ways.collect::<Option<_>>()?,
        })
    }
}

impl Around<'_> {
    /// Sums what each ring makes of a size, no ring less likely than a foreign one.
    fn weigh(&self, d1: f64, d2: f64) -> Option<f64> {
        if d1 <= 0.0 || d2 <= 0.0 {
            return None;
        }
        let away = [d1 - self.size.0, d2 - self.size.1];
        let each = self.ways.iter().flat_map(|(way, blocks)| {
            let cells = blocks.at(away);
            way.rings.iter().map(move |(seen, floor)| {
                let mut gathering = Gathering::new(false);
                gathering.take(&cells, seen);
                gathering.log_likelihood().max(*floor)
            })
        });
        Some(sorted_sum(each))
    }
}

impl Blocks {
    fn of(candidate: &Candidate, evidence: &Evidence, modes: &[WearMode]) -> Option<Self> {
        let (mut cells, mut slopes) = (Vec::new(), Vec::new());
        for mode in modes {
            let model = LinearModel::new(candidate, evidence, mode)?;
            block_cells(&model, mode.log_weight + evidence.log_honest, &mut cells);
            slopes.extend(model.by_size());
        }
        Some(Self {
            cells,
            slopes,
            count: evidence.observations.len(),
        })
    }

    /// Returns the blocks for a size that is so far away.
    fn at(&self, away: [f64; 2]) -> Vec<f64> {
        let mut cells = self.cells.clone();
        let size = block_size(self.count);
        let modes = cells.chunks_exact_mut(size);
        for (block, slopes) in modes.zip(self.slopes.chunks_exact(self.count.max(1))) {
            for (predicted, slope) in block.iter_mut().zip(slopes) {
                *predicted += slope[0] * away[0] + slope[1] * away[1];
            }
        }
        cells
    }
}

/// Guesses where the search begins: the middle of what each ring gives by itself.
fn middle(evidences: &[&Evidence]) -> (f64, f64) {
    let rough: Vec<(f64, f64)> = evidences.iter().map(|e| rough_size(e)).collect();
    let median = |mut all: Vec<f64>| {
        all.sort_unstable_by(f64::total_cmp);
        all[all.len() / 2]
    };
    (
        median(rough.iter().map(|size| size.0).collect()),
        median(rough.iter().map(|size| size.1).collect()),
    )
}

/// Makes a candidate of a size that no list names, with the general-purpose tolerance of ISO 3601-1 class B.
fn of_size(d1: f64, d2: f64) -> Option<Candidate> {
    if d1 <= 0.0 || d2 <= 0.0 {
        return None;
    }
    let of_id = class_b_inside_diameter(Length::from_mm(d1)?);
    let of_section = class_b_section(Length::from_mm(d2)?);
    Some(Candidate::new(d1, d2, of_id, of_section))
}

/// Finds the size that suits the readings of all rings best, in the broad wear modes, by a search in shrinking steps; once more about
/// what was found, where the readings answer to the size as they do there.
fn best_size(rings: &Rings<'_>, d1: f64, d2: f64) -> Option<(f64, f64)> {
    let broad = |wear: &'static WearModes| wear.broad.as_slice();
    let first = climb(&rings.around(d1, d2, broad)?)?;
    climb(&rings.around(first.0, first.1, broad)?)
}

fn climb(around: &Around<'_>) -> Option<(f64, f64)> {
    const FIRST_STEP: f64 = 0.4;
    const LAST_STEP: f64 = 0.004;
    let mut at = around.size;
    let mut best = around.weigh(at.0, at.1)?;
    let mut step = FIRST_STEP;
    while step > LAST_STEP {
        // Along the axes, and along the line on which the outside diameter stays.
        let moves = [(1.0, 0.0), (0.0, 0.25), (2.0, -1.0), (0.5, -0.25)];
        let places = moves
            .iter()
            .flat_map(|(x, y)| [(step * x, step * y), (-step * x, -step * y)]);
        let weighed = places.filter_map(|(x, y)| {
            let place = (at.0 + x, at.1 + y);
            Some((place, around.weigh(place.0, place.1)?))
        });
        match weighed
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .filter(|(_, log)| *log > best)
        {
            Some((place, log)) => (at, best) = (place, log),
            None => step *= 0.5,
        }
    }
    Some(at)
}

/// Guesses a ring's inside diameter and section from its readings, to begin the search with.
fn rough_size(evidence: &Evidence) -> (f64, f64) {
    /// The commonest section of small rings, where none was read.
    const USUAL_SECTION_MM: f64 = 1.78;
    let read = |measurand: Measurand| {
        evidence
            .observations
            .iter()
            .find(|o| o.measurand == measurand)
            .map(|o| o.value)
    };
    let (id, od) = (read(Measurand::Id), read(Measurand::Od));
    let d2 = match (read(Measurand::Cs), read(Measurand::Width)) {
        (Some(height), Some(width)) => libm::sqrt(height * width),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => match (id, od) {
            (Some(id), Some(od)) if od > id => 0.5 * (od - id),
            _ => USUAL_SECTION_MM,
        },
    };
    let cut = read(Measurand::CutLength).map(|length| length / std::f64::consts::PI - d2);
    let d1 = id.or(od.map(|od| od - 2.0 * d2)).or(cut).unwrap_or(d2);
    (d1.max(0.5 * d2), d2)
}

/// Integrates over every size that no list names, by Laplace's method: the log likelihood about its greatest value is
/// taken as a quadratic form H, whose integral is 2π/√det H. A ring counts for no less than its floor: as a foreign one.
pub(crate) fn shared_unlisted(
    evidences: &[&Evidence],
    floors: &[f64],
    candidates: &Candidates,
) -> Option<SharedSize> {
    const STEP1: f64 = 0.04;
    const STEP2: f64 = 0.01;
    let rings = Rings::of(evidences, floors);
    let (d1, d2) = middle(evidences);
    let (d1, d2) = best_size(&rings, d1, d2)?;
    let narrow = rings.around(d1, d2, |wear| wear.modes.as_slice())?;
    let at = |i: f64, j: f64| narrow.weigh(d1 + i * STEP1, d2 + j * STEP2);
    let top = at(0.0, 0.0)?;
    let second = |a: f64, b: f64, step: f64| (2.0 * top - a - b) / (step * step);
    let h11 = second(at(1.0, 0.0)?, at(-1.0, 0.0)?, STEP1);
    let h22 = second(at(0.0, 1.0)?, at(0.0, -1.0)?, STEP2);
    let h12 =
        (at(1.0, -1.0)? + at(-1.0, 1.0)? - at(1.0, 1.0)? - at(-1.0, -1.0)?) / (4.0 * STEP1 * STEP2);
    let determinant = h11 * h22 - h12 * h12;
    // Readings that leave one dimension open give no peak; the prior's own width bounds the integral then.
    if h11 <= 0.0 || h22 <= 0.0 || determinant <= 0.0 {
        return None;
    }
    // A density of the background can be as narrow as the peak; both being normal, their product integrates to the
    // density of a normal law of the sum of their variances.
    let (peak1, peak2) = (h22 / determinant, h11 / determinant);
    let prior = log_sum_exp(candidates.background.iter().map(|part| {
        part.log_prior
            + normal_log_density(d1 - part.d1, part.var1 + peak1)
            + normal_log_density(d2 - part.d2, part.var2 + peak2)
    }));
    let log_weight = prior + top + libm::log(std::f64::consts::TAU) - 0.5 * libm::log(determinant);
    Some(SharedSize { d1, d2, log_weight })
}

#[cfg(test)]
mod tests {
    use super::super::prior::Prior;
    use super::*;
    use crate::core::measurement::{Condition, Instruments, Reading};
    use crate::core::sizes::SizeTable;

    fn ring(od: &str, cs: &str) -> Evidence {
        let readings: Vec<Reading> = [(Measurand::Od, od), (Measurand::Cs, cs)]
            .into_iter()
            .map(|(measurand, text)| Reading::parse(measurand, text, None).expect("reads"))
            .collect();
        Evidence::new(&readings, Condition::Used, None, Instruments::shipped()).expect("counts")
    }

    #[test]
    fn laplaces_integral_agrees_with_the_closed_form_for_one_ring() {
        // Two independent ways to one number: the broad densities are integrated in closed form when a ring is weighed
        // alone, and by Laplace's method when rings are weighed together. The first takes the predictions as linear over
        // the whole breadth of a density and the peak by its wear modes, the second takes the peak as normal: half a
        // unit of log odds (a factor of 1.6) is allowed, as neither is exact.
        let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
        for (od, cs) in [
            ("12.80 mm by caliper", "1.72 mm by caliper"),
            ("23.30 mm by caliper", "2.50 mm by caliper"),
            ("16.00 mm by scan", "2.20 mm by gauge"),
        ] {
            let one = ring(od, cs);
            let fit = |broad: &Candidate| {
                let blocks = Blocks::of(broad, &one, &one.wear.modes).expect("a model");
                let mut gathering = Gathering::new(false);
                gathering.take(&blocks.cells, &Seen::new(&one));
                broad.log_prior + gathering.log_likelihood()
            };
            let closed = log_sum_exp(candidates.background.iter().map(fit));
            let never = [f64::NEG_INFINITY];
            let laplace = shared_unlisted(&[&one], &never, &candidates)
                .expect("a peak")
                .log_weight;
            assert!(
                (closed - laplace).abs() < 0.5,
                "{od}: {closed} against {laplace}"
            );
        }
    }
}
