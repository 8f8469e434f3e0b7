//! Values of one quantity from several units, combined by their uncertainties.
//!
//! Weights are 1/u². The largest group of neighbouring values counts whose χ² is not rarer than three standard
//! deviations: honest scatter is set apart in 0.27 % of draws, whatever the number of units.

use crate::core::uncertainty::chi_square_survival;

/// The value that one unit gives, with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnitValue {
    /// The unit's place in the list of units.
    pub unit: usize,
    pub value: f64,
    /// Its standard uncertainty; above zero.
    pub uncertainty: f64,
}

/// The combined value of the units that agree, and the units that stand apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Pooled {
    /// Mean of the agreeing units, weighted by 1/u².
    pub value: f64,
    /// Standard uncertainty of that mean, 1/√Σ(1/u²).
    pub uncertainty: f64,
    /// Units that agree, in their order.
    pub agree: Vec<usize>,
    /// Groups of units that stand apart, farthest first.
    pub apart: Vec<Apart>,
    /// Whether another group of as many units agrees as well, so that the values do not say which one holds.
    pub has_rival: bool,
}

/// Says how far a group of units, which agree among themselves, stands from the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    pub units: Vec<usize>,
    /// Their weighted mean.
    pub value: f64,
    /// That mean less the mean of the units that agree.
    pub difference: f64,
    /// The difference in combined standard uncertainties.
    pub sigmas: f64,
}

/// Values agree unless honest ones scatter so much less often than this: 1 − 0.9973, three standard deviations of the normal
/// law, once in 370 groups, however many units there are.
pub const APART_PROBABILITY: f64 = 0.002_699_796;

impl Pooled {
    /// Tells whether the units that agree are more than all others together, and no other group is as large.
    pub fn is_decided(&self) -> bool {
        !self.has_rival && self.agree.len() > self.units_apart()
    }

    /// Counts the units that stand apart.
    pub fn units_apart(&self) -> usize {
        self.apart.iter().map(|group| group.units.len()).sum()
    }
}

/// Combines values by the weighted mean, and sets apart those that differ too much to be averaged.
///
/// Values agree when their scatter about their weighted mean, χ² = Σ((x − mean)/u)² with one degree of freedom less than
/// there are values, is not rarer than [`APART_PROBABILITY`]. The largest group of neighbouring values that agree is
/// averaged; of groups equally large the one with the least χ², then the one with the least uncertainty. The rest are parted
/// in the same way on either side of it. Formulas: weighted mean, its uncertainty and the test of scatter as for comparisons
/// of laboratories (M. G. Cox, Metrologia 39 (2002) 589, procedure A; the largest consistent subset, Metrologia 44 (2007)
/// 187; both recalled), with a stricter level.
///
/// Returns `None` for no values, or an uncertainty that is not above zero.
pub fn pool(values: &[UnitValue]) -> Option<Pooled> {
    if values
        .iter()
        .any(|one| one.uncertainty.is_nan() || one.uncertainty <= 0.0)
    {
        return None;
    }
    let mut sorted: Vec<UnitValue> = values.to_vec();
    sorted.sort_by(|a, b| a.value.total_cmp(&b.value).then(a.unit.cmp(&b.unit)));
    let (from, main, has_rival) = largest(&sorted)?;
    let to = from + main.units.len();
    let mut groups = Vec::new();
    part(&sorted[..from], &mut groups);
    part(&sorted[to..], &mut groups);
    let mut apart: Vec<Apart> = groups
        .into_iter()
        .map(|group| {
            let difference = group.mean - main.mean;
            Apart {
                units: group.units,
                value: group.mean,
                difference,
                sigmas: difference.abs() / group.uncertainty.hypot(main.uncertainty),
            }
        })
        .collect();
    apart.sort_by(|a, b| b.sigmas.total_cmp(&a.sigmas).then(a.units.cmp(&b.units)));
    Some(Pooled {
        value: main.mean,
        uncertainty: main.uncertainty,
        agree: main.units,
        apart,
        has_rival,
    })
}

/// Neighbouring values with their weighted mean.
struct Group {
    units: Vec<usize>,
    mean: f64,
    uncertainty: f64,
    chi_square: f64,
}

impl Group {
    fn of(values: &[UnitValue]) -> Self {
        let weight = |one: &UnitValue| 1.0 / (one.uncertainty * one.uncertainty);
        let total: f64 = values.iter().map(weight).sum();
        let mean = values
            .iter()
            .map(|one| weight(one) * one.value)
            .sum::<f64>()
            / total;
        let square = |one: &UnitValue| weight(one) * (one.value - mean) * (one.value - mean);
        let mut units: Vec<usize> = values.iter().map(|one| one.unit).collect();
        units.sort_unstable();
        Self {
            units,
            mean,
            uncertainty: 1.0 / libm::sqrt(total),
            chi_square: values.iter().map(square).sum(),
        }
    }

    fn agrees(&self) -> bool {
        chi_square_survival(self.chi_square, self.units.len() - 1) >= APART_PROBABILITY
    }
}

/// Finds the largest group of neighbours that agree: where it begins, the group, and whether another is as large.
fn largest(sorted: &[UnitValue]) -> Option<(usize, Group, bool)> {
    (1..=sorted.len()).rev().find_map(|size| {
        let windows = sorted.windows(size).map(Group::of).enumerate();
        let agreeing: Vec<(usize, Group)> = windows.filter(|(_, group)| group.agrees()).collect();
        let has_rival = agreeing.len() > 1;
        let least = agreeing.into_iter().min_by(|(_, a), (_, b)| {
            a.chi_square
                .total_cmp(&b.chi_square)
                .then(a.uncertainty.total_cmp(&b.uncertainty))
        });
        least.map(|(from, group)| (from, group, has_rival))
    })
}

/// Parts sorted values into groups that agree.
fn part(sorted: &[UnitValue], groups: &mut Vec<Group>) {
    if let Some((from, group, _)) = largest(sorted) {
        let to = from + group.units.len();
        groups.push(group);
        part(&sorted[..from], groups);
        part(&sorted[to..], groups);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::uncertainty::normal_quantile;
    use rand_core::Rng;
    use rand_pcg::Pcg64;

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
        assert_eq!(pooled.apart[0].units, [1]);
        assert!(pooled.is_decided());
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
    fn the_limit_of_two_units_is_three_combined_standard_uncertainties() {
        let apart = |difference: f64| {
            let two = values(&[(10.0, 0.1), (10.0 + difference, 0.1)]);
            pool(&two).expect("a mean").apart.len()
        };
        // The level is rounded to nine decimals, which moves the limit by less than a millionth.
        let limit = 3.0 * 0.1_f64.hypot(0.1);
        assert_eq!(apart(limit - 1e-6), 0);
        assert_eq!(apart(limit + 1e-6), 1);
    }

    #[test]
    fn two_variants_of_two_units_are_two_groups_and_nothing_is_decided() {
        let pooled = pool(&values(&[
            (12.8, 0.1),
            (13.8, 0.1),
            (12.9, 0.1),
            (13.7, 0.1),
        ]))
        .expect("a mean");
        assert_eq!(pooled.agree.len(), 2);
        assert_eq!(pooled.apart.len(), 1, "the other two agree with each other");
        assert_eq!(pooled.apart[0].units.len(), 2);
        assert!(pooled.has_rival && !pooled.is_decided());
    }

    #[test]
    fn a_chain_of_values_that_agree_by_pairs_only_is_not_decided() {
        let pooled = pool(&values(&[(10.0, 0.1), (10.4, 0.1), (10.8, 0.1)])).expect("a mean");
        assert_eq!(pooled.agree.len(), 2);
        assert!(pooled.has_rival && !pooled.is_decided());
    }

    #[test]
    fn a_second_group_that_agrees_is_named_as_one() {
        let pooled = pool(&values(&[
            (12.8, 0.1),
            (13.8, 0.1),
            (12.9, 0.1),
            (13.7, 0.1),
            (12.85, 0.1),
            (11.0, 0.1),
        ]))
        .expect("a mean");
        assert_eq!(pooled.agree, [0, 2, 4]);
        let groups: Vec<&[usize]> = pooled.apart.iter().map(|a| a.units.as_slice()).collect();
        assert_eq!(groups, [&[5][..], &[1, 3][..]]);
        assert!(!pooled.is_decided(), "three of six are no majority");
    }

    #[test]
    fn honest_scatter_is_set_apart_once_in_370_groups() {
        // Truth known, values drawn by the normal law with the stated uncertainties: the share of groups with anything
        // apart is 0.27 % by the meaning of the level. Of 40 000 groups 108 ± 10.4 (binomial); four of those are allowed.
        let mut random = Pcg64::new(4, 0x0a02_bdbf_7bb3_c0a7_ac28_fa16_a64a_bf96);
        let mut normal = || {
            let bits = random.next_u64() >> 11;
            normal_quantile((bits as f64 + 0.5) / (1_u64 << 53) as f64)
        };
        let groups = 40_000;
        for units in [2, 4, 9] {
            let mut apart = 0;
            for _ in 0..groups {
                let drawn: Vec<(f64, f64)> = (0..units)
                    .map(|unit| {
                        let uncertainty = 0.08 + 0.02 * f64::from(unit % 4);
                        (14.9 + uncertainty * normal(), uncertainty)
                    })
                    .collect();
                apart += u32::from(!pool(&values(&drawn)).expect("a mean").apart.is_empty());
            }
            assert!(
                (66..=150).contains(&apart),
                "{units} units: {apart} of {groups}"
            );
        }
    }

    #[test]
    fn nothing_pools_to_nothing_and_one_value_to_itself() {
        assert_eq!(pool(&[]), None);
        let one = pool(&values(&[(2.5, 0.2)])).expect("a mean");
        assert_eq!((one.value, one.uncertainty), (2.5, 0.2));
        assert!(one.is_decided());
        assert_eq!(pool(&values(&[(2.5, 0.0)])), None);
    }
}
