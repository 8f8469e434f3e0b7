//! Values of one quantity from several units, combined by their uncertainties.

/// Holds the value that one unit gives, with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnitValue {
    /// The unit's place in the list of units.
    pub unit: usize,
    /// The value.
    pub value: f64,
    /// Its standard uncertainty; above zero.
    pub uncertainty: f64,
}

/// Holds the combined value of the units that agree, and the units that stand apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Pooled {
    /// Mean of the agreeing units, weighted by 1/u².
    pub value: f64,
    /// Standard uncertainty of that mean, 1/√Σ(1/u²).
    pub uncertainty: f64,
    /// Units that agree, in their order.
    pub agree: Vec<usize>,
    /// Units that stand apart, farthest first.
    pub apart: Vec<Apart>,
}

/// Says how far one unit stands from the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// The unit's place in the list of units.
    pub unit: usize,
    /// Its value less the mean of the units that agree.
    pub difference: f64,
    /// The difference in combined standard uncertainties.
    pub sigmas: f64,
}

/// A unit stands apart when it differs from the mean of the others by more combined standard uncertainties than this;
/// an honest value does so once in 370 times (normal law).
pub const APART_SIGMAS: f64 = 3.0;

/// Combines values by the weighted mean, and sets apart those that differ too much to be averaged.
///
/// Each value is tested against the weighted mean of the others, with the combined standard uncertainty
/// √(u² + u²(mean)); the one farthest out is set apart and the test begins again, until all that are left agree or only
/// one is left. Two units that disagree leave the one with the smaller uncertainty, and the caller must say that it was a
/// tie. Formulas: weighted mean and its uncertainty, JCGM 100:2008 annex H.3 and G.2 (combination of independent values).
///
/// Returns `None` for no values.
pub fn pool(values: &[UnitValue]) -> Option<Pooled> {
    let mut left: Vec<UnitValue> = values.to_vec();
    let mut out: Vec<UnitValue> = Vec::new();
    while left.len() > 1 {
        let farthest = (0..left.len())
            .map(|at| (at, sigmas_from_others(&left, at)))
            .max_by(|a, b| {
                let tie = left[a.0].uncertainty.total_cmp(&left[b.0].uncertainty);
                a.1.total_cmp(&b.1).then(tie)
            })
            .filter(|(_, sigmas)| *sigmas > APART_SIGMAS);
        let Some((at, _)) = farthest else { break };
        out.push(left.remove(at));
    }
    let (value, uncertainty) = weighted_mean(&left)?;
    let mut apart: Vec<Apart> = out
        .into_iter()
        .map(|one| {
            let difference = one.value - value;
            Apart {
                unit: one.unit,
                difference,
                sigmas: difference.abs() / one.uncertainty.hypot(uncertainty),
            }
        })
        .collect();
    apart.sort_by(|a, b| b.sigmas.total_cmp(&a.sigmas).then(a.unit.cmp(&b.unit)));
    Some(Pooled {
        value,
        uncertainty,
        agree: left.iter().map(|one| one.unit).collect(),
        apart,
    })
}

fn sigmas_from_others(values: &[UnitValue], at: usize) -> f64 {
    let others: Vec<UnitValue> = values
        .iter()
        .enumerate()
        .filter(|(place, _)| *place != at)
        .map(|(_, one)| *one)
        .collect();
    weighted_mean(&others).map_or(0.0, |(mean, uncertainty)| {
        (values[at].value - mean).abs() / values[at].uncertainty.hypot(uncertainty)
    })
}

fn weighted_mean(values: &[UnitValue]) -> Option<(f64, f64)> {
    let weight = |one: &UnitValue| 1.0 / (one.uncertainty * one.uncertainty);
    let total: f64 = values.iter().map(weight).sum();
    let sum: f64 = values.iter().map(|one| weight(one) * one.value).sum();
    (total > 0.0).then(|| (sum / total, 1.0 / libm::sqrt(total)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values(list: &[(f64, f64)]) -> Vec<UnitValue> {
        list.iter()
            .enumerate()
            .map(|(unit, (value, uncertainty))| UnitValue {
                unit,
                value: *value,
                uncertainty: *uncertainty,
            })
            .collect()
    }

    #[test]
    fn the_weighted_mean_is_that_of_the_textbooks() {
        // By hand: weights 100 and 25, mean (100·10.0 + 25·10.2)/125 = 10.04, uncertainty 1/√125 = 0.089443. Exact
        // arithmetic but for rounding, so one part in 10^12.
        let pooled = pool(&values(&[(10.0, 0.1), (10.2, 0.2)])).expect("a mean");
        assert!((pooled.value - 10.04).abs() < 1e-12);
        assert!((pooled.uncertainty - 0.089_442_719_099_991_6).abs() < 1e-12);
        assert!(pooled.apart.is_empty());
    }

    #[test]
    fn equal_uncertainties_give_the_plain_mean_over_root_n() {
        let pooled = pool(&values(&[(1.9, 0.3), (2.0, 0.3), (2.1, 0.3)])).expect("a mean");
        assert_eq!(pooled.agree.len(), 3);
        assert!((pooled.value - 2.0).abs() < 1e-12);
        assert!((pooled.uncertainty - 0.3 / 3.0_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn one_unit_that_differs_is_set_apart_and_not_averaged() {
        let pooled = pool(&values(&[
            (12.8, 0.1),
            (13.7, 0.1),
            (12.9, 0.1),
            (12.85, 0.1),
        ]))
        .expect("a mean");
        assert_eq!(pooled.agree, [0, 2, 3]);
        assert!((pooled.value - 12.85).abs() < 1e-12);
        assert_eq!(pooled.apart.len(), 1);
        assert_eq!(pooled.apart[0].unit, 1);
        assert!((pooled.apart[0].difference - 0.85).abs() < 1e-12);
        // 0.85/√(0.1² + 0.1²/3) = 7.361
        assert!((pooled.apart[0].sigmas - 7.361).abs() < 1e-3);
    }

    #[test]
    fn a_wild_value_does_not_drive_out_the_others() {
        let pooled = pool(&values(&[(12.8, 0.1), (99.0, 0.1), (12.9, 0.1)])).expect("a mean");
        assert_eq!(pooled.agree, [0, 2]);
    }

    #[test]
    fn the_limit_is_three_combined_standard_uncertainties() {
        let apart = |difference: f64| {
            let two = values(&[(10.0, 0.1), (10.0 + difference, 0.1)]);
            pool(&two).expect("a mean").apart.len()
        };
        let limit = 3.0 * 0.1_f64.hypot(0.1);
        assert_eq!(apart(limit - 1e-9), 0);
        assert_eq!(apart(limit + 1e-9), 1);
    }

    #[test]
    fn nothing_pools_to_nothing_and_one_value_to_itself() {
        assert_eq!(pool(&[]), None);
        let one = pool(&values(&[(2.5, 0.2)])).expect("a mean");
        assert_eq!((one.value, one.uncertainty), (2.5, 0.2));
    }
}
