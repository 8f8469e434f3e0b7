//! Rings of several units that should be of one size: whether they can be, and which size it is then.

use super::candidates::{Candidate, Candidates};
use super::evidence::{BAND_95, Evidence};
use super::likelihood::FAR_FROM_LISTED;
use super::look::{first_look, fit};
use super::posterior::{Identification, RankedRing, identify_only, ranking};
use crate::core::measurement::Measurand;
use crate::core::quantity::Length;
use crate::core::sizes::{class_b_inside_diameter, class_b_section};
use crate::core::uncertainty::{log_sum_exp, normal_log_density};

/// Weighs every ring against the readings of several units at once, as if all were of one size.
///
/// The units' likelihoods are multiplied under one prior: each is a ring of its own with its own wear and its own place
/// in the tolerance, and the size is what they share. For "not a listed size" the shared size is unknown too; its
/// integral is taken by Laplace's method about the size that suits all readings best.
pub fn identify_together(evidences: &[Evidence], candidates: &Candidates) -> Identification {
    if let [one] = evidences {
        return identify_only(one, candidates);
    }
    let mut weights = Vec::new();
    for (ring, candidate) in candidates.listed.iter().enumerate() {
        if let Some((log_likelihood, misfit)) = all_fit(candidate, evidences) {
            weights.push((Some(ring), candidate.log_prior + log_likelihood, misfit));
        }
    }
    if let Some(unlisted) = unlisted_weight(evidences, candidates) {
        weights.push((None, unlisted, 0.0));
    }
    let total = log_sum_exp(weights.iter().map(|(_, weight, _)| *weight));
    let share = |weight: f64| {
        if total == f64::NEG_INFINITY {
            0.0
        } else {
            libm::exp(weight - total)
        }
    };
    let mut unlisted = if weights.is_empty() { 1.0 } else { 0.0 };
    let mut rings = Vec::new();
    for (ring, weight, misfit_sigma) in weights {
        let probability = share(weight);
        match ring {
            None => unlisted += probability,
            Some(ring) => rings.push(RankedRing {
                ring,
                probability,
                misfit_sigma,
            }),
        }
    }
    ranking(rings, unlisted)
}

/// Says how much worse one shared size explains two sets of rings than a size for each: twice the difference of the
/// greatest log likelihoods.
///
/// For rings of one size the statistic follows the chi-square law with two degrees of freedom (inside diameter and
/// section; Wilks, Annals of Mathematical Statistics 9 (1938) 60), so that [`THREE_SIGMA`] is passed once in 370
/// times. It weighs every reading with its instrument, the wear of every ring and the tolerance, and it grows without
/// bound only as far as a slip of a reading does not explain the difference. On simulated rings of one size with slips
/// in one reading of 200 it is passed once in 50 to 500 times (`tests/bench/together.rs`).
pub fn disagreement(first: &[Evidence], second: &[Evidence]) -> f64 {
    let both: Vec<Evidence> = first.iter().chain(second).cloned().collect();
    match (best_size(first), best_size(second), best_size(&both)) {
        (Some(a), Some(b), Some(shared)) => {
            2.0 * (a.log_likelihood + b.log_likelihood - shared.log_likelihood).max(0.0)
        }
        _ => f64::INFINITY,
    }
}

/// The value of the statistic that rings of one size pass once in 370 times, as three standard deviations of a normal
/// law are: −2 ln 0.0027.
pub const THREE_SIGMA: f64 = 11.829;

fn all_fit(candidate: &Candidate, evidences: &[Evidence]) -> Option<(f64, f64)> {
    let mut log_likelihood = 0.0;
    let (mut square, mut count) = (0.0, 0.0);
    for evidence in evidences {
        first_look(candidate, evidence, FAR_FROM_LISTED)?;
    }
    for evidence in evidences {
        let fit = fit(candidate, evidence)?;
        let readings = evidence.observations.len() as f64;
        log_likelihood += fit.log_likelihood;
        square += fit.misfit * fit.misfit * readings;
        count += readings;
    }
    Some((log_likelihood, libm::sqrt(square / count)))
}

/// Holds the size that suits readings best, in millimetres.
#[derive(Debug, Clone, Copy)]
struct BestSize {
    d1: f64,
    d2: f64,
    log_likelihood: f64,
}

/// Makes a candidate of a size that no list names, with the general-purpose tolerance of ISO 3601-1 class B.
fn of_size(d1: f64, d2: f64) -> Option<Candidate> {
    if d1 <= 0.0 || d2 <= 0.0 {
        return None;
    }
    let sd1 = class_b_inside_diameter(Length::from_mm(d1)?).mm() / BAND_95;
    let sd2 = class_b_section(Length::from_mm(d2)?).mm() / BAND_95;
    Some(Candidate {
        d1,
        d2,
        var1: sd1 * sd1,
        var2: sd2 * sd2,
        log_prior: 0.0,
    })
}

/// Finds the size that suits the readings of all rings best, in the broad wear mode, by a search in shrinking steps.
fn best_size(evidences: &[Evidence]) -> Option<BestSize> {
    const FIRST_STEP: f64 = 0.4;
    const LAST_STEP: f64 = 0.002;
    let weigh = |d1: f64, d2: f64| {
        let candidate = of_size(d1, d2)?;
        let mut log_likelihood = 0.0;
        for evidence in evidences {
            log_likelihood += first_look(&candidate, evidence, FAR_FROM_LISTED)?.log_likelihood;
        }
        Some(BestSize {
            d1,
            d2,
            log_likelihood,
        })
    };
    let mut best = evidences
        .iter()
        .map(rough_size)
        .filter_map(|(d1, d2)| weigh(d1, d2))
        .max_by(|a, b| a.log_likelihood.total_cmp(&b.log_likelihood))?;
    let mut step = FIRST_STEP;
    while step > LAST_STEP {
        // Along the axes, and along the line on which the outside diameter stays.
        let moves = [(1.0, 0.0), (0.0, 0.25), (2.0, -1.0), (0.5, -0.25)];
        let better = moves
            .iter()
            .flat_map(|(x, y)| [(step * x, step * y), (-step * x, -step * y)])
            .filter_map(|(x, y)| weigh(best.d1 + x, best.d2 + y))
            .max_by(|a, b| a.log_likelihood.total_cmp(&b.log_likelihood))
            .filter(|found| found.log_likelihood > best.log_likelihood);
        match better {
            Some(found) => best = found,
            None => step *= 0.5,
        }
    }
    Some(best)
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
/// taken as a quadratic form H, whose integral is 2π/√det H.
fn unlisted_weight(evidences: &[Evidence], candidates: &Candidates) -> Option<f64> {
    const STEP1: f64 = 0.04;
    const STEP2: f64 = 0.01;
    let best = best_size(evidences)?;
    let at = |i: f64, j: f64| {
        let candidate = of_size(best.d1 + i * STEP1, best.d2 + j * STEP2)?;
        evidences
            .iter()
            .map(|evidence| fit(&candidate, evidence).map(|f| f.log_likelihood))
            .sum::<Option<f64>>()
    };
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
            + normal_log_density(best.d1 - part.d1, part.var1 + peak1)
            + normal_log_density(best.d2 - part.d2, part.var2 + peak2)
    }));
    Some(prior + top + libm::log(std::f64::consts::TAU) - 0.5 * libm::log(determinant))
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

    fn candidates() -> Candidates {
        Candidates::new(SizeTable::shipped(), &Prior::default())
    }

    fn leader(found: &Identification) -> (String, f64) {
        let table = SizeTable::shipped();
        let first = &found.ranked[0];
        let code = table.codes(&table.rings()[first.ring])[0].clone();
        (code, first.probability)
    }

    #[test]
    fn three_units_of_one_size_are_surer_than_one() {
        let units = [
            ring("12.80 mm by caliper", "1.72 mm by caliper"),
            ring("12.84 mm by caliper", "1.70 mm by caliper"),
            ring("12.76 mm by caliper", "1.73 mm by caliper"),
        ];
        let candidates = candidates();
        let alone = leader(&identify_together(&units[..1], &candidates));
        let together = leader(&identify_together(&units, &candidates));
        assert_eq!(together.0, "AS568-012");
        assert!(together.1 > alone.1, "{together:?} against {alone:?}");
    }

    #[test]
    fn the_odds_of_all_rings_and_of_none_sum_to_one() {
        let units = [
            ring("12.80 mm by caliper", "1.72 mm by caliper"),
            ring("12.84 mm by caliper", "1.70 mm by caliper"),
        ];
        let found = identify_together(&units, &candidates());
        let sum: f64 = found.ranked.iter().map(|r| r.probability).sum();
        // Rings below one in ten thousand are left out of the ranking; a hundred of them can be.
        assert!((sum + found.unlisted_probability - 1.0).abs() < 0.01);
    }

    #[test]
    fn laplaces_integral_agrees_with_the_closed_form_for_one_ring() {
        // Two independent ways to one number: the broad densities are integrated in closed form when a ring is weighed
        // alone, and by Laplace's method when rings are weighed together. The first takes the predictions as linear over
        // the whole breadth of a density and the peak by its wear modes, the second takes the peak as normal: half a
        // unit of log odds (a factor of 1.6) is allowed, as neither is exact.
        let candidates = candidates();
        for (od, cs) in [
            ("12.80 mm by caliper", "1.72 mm by caliper"),
            ("23.30 mm by caliper", "2.50 mm by caliper"),
            ("16.00 mm by scan", "2.20 mm by gauge"),
        ] {
            let one = ring(od, cs);
            let closed = log_sum_exp(
                candidates
                    .background
                    .iter()
                    .filter_map(|broad| Some(broad.log_prior + fit(broad, &one)?.log_likelihood)),
            );
            let laplace = unlisted_weight(&[one], &candidates).expect("a peak");
            assert!(
                (closed - laplace).abs() < 0.5,
                "{od}: {closed} against {laplace}"
            );
        }
    }

    #[test]
    fn rings_of_one_size_agree_and_rings_of_two_sizes_do_not() {
        let first = ring("12.80 mm by caliper", "1.72 mm by caliper");
        let alike = ring("12.90 mm by caliper", "1.69 mm by caliper");
        // One dash number larger: the inside diameter of AS568-013 is 1.58 mm greater.
        let larger = ring("14.35 mm by caliper", "1.72 mm by caliper");
        let apart = |a: &[Evidence], b: &[Evidence]| disagreement(a, b);
        let (first, alike, larger) = ([first], [alike], [larger]);
        assert!(apart(&first, &alike) < THREE_SIGMA);
        assert!(apart(&first, &larger) > THREE_SIGMA);
        assert!((apart(&first, &larger) - apart(&larger, &first)).abs() < 0.1);
    }

    #[test]
    fn more_units_tell_a_stranger_more_surely() {
        let ours = [
            ring("12.80 mm by caliper", "1.72 mm by caliper"),
            ring("12.90 mm by caliper", "1.69 mm by caliper"),
            ring("12.75 mm by caliper", "1.73 mm by caliper"),
        ];
        let stranger = [ring("13.60 mm by caliper", "1.72 mm by caliper")];
        assert!(disagreement(&ours, &stranger) > disagreement(&ours[..1], &stranger));
    }

    #[test]
    fn an_unlisted_size_that_two_units_share_is_called_unlisted() {
        // 20.70 mm inside, 3.10 mm section: no listed ring lies within 0.3 mm in the section at that diameter.
        let units = [
            ring("26.86 mm by scan", "3.09 mm by gauge"),
            ring("26.90 mm by scan", "3.10 mm by gauge"),
            ring("26.88 mm by scan", "3.09 mm by gauge"),
        ];
        let found = identify_together(&units, &candidates());
        let alone = identify_together(&units[..1], &candidates());
        assert!(
            found.unlisted_probability > alone.unlisted_probability,
            "{} against {}",
            found.unlisted_probability,
            alone.unlisted_probability
        );
    }
}
