//! A closed outline as radius over angle, fitted so that nicks, dust and neighbours do not move it.

use std::f64::consts::TAU;

/// A Fourier series of a radius over the angle: mean, then a cosine and a sine for each order.
#[derive(Debug, Clone, PartialEq)]
pub struct Series(Vec<f64>);

/// Radius and its slope over the angle.
#[derive(Debug, Clone, Copy)]
pub(super) struct RadiusAt {
    pub(super) radius: f64,
    pub(super) slope: f64,
}

impl Series {
    /// Makes the series of a circle about the origin.
    #[cfg(test)]
    pub(super) fn circle(radius: f64) -> Self {
        Self(vec![radius])
    }

    /// Gives the radius at an angle.
    pub fn radius(&self, angle: f64) -> f64 {
        self.at(angle).radius
    }

    pub(super) fn at(&self, angle: f64) -> RadiusAt {
        let (mut radius, mut slope) = (self.0[0], 0.0);
        for (order, pair) in (1_u32..).zip(self.0[1..].chunks_exact(2)) {
            let order = f64::from(order);
            let (sin, cos) = (order * angle).sin_cos();
            radius += pair[0] * cos + pair[1] * sin;
            slope += order * (pair[1] * cos - pair[0] * sin);
        }
        RadiusAt { radius, slope }
    }

    pub(super) fn mean(&self) -> f64 {
        self.0[0]
    }

    /// The first order: how far the outline's middle lies from the origin, along x and along y.
    pub(super) fn shift(&self) -> [f64; 2] {
        [
            self.0.get(1).copied().unwrap_or(0.0),
            self.0.get(2).copied().unwrap_or(0.0),
        ]
    }

    /// Gives the length of the outline over pi: the diameter of the ring laid round. A bent ring keeps its length.
    pub(super) fn girth_diameter(&self) -> f64 {
        const STEPS: u32 = 1440;
        let lengths = (0..STEPS).map(|k| {
            let at = self.at(f64::from(k) * TAU / f64::from(STEPS));
            at.radius.hypot(at.slope)
        });
        lengths.sum::<f64>() / f64::from(STEPS) * 2.0
    }

    /// Gives the extent across a direction (Feret diameter).
    pub(super) fn extent(&self, direction: f64) -> f64 {
        const STEPS: u32 = 360;
        let (mut low, mut high) = (f64::MAX, f64::MIN);
        for k in 0..STEPS {
            let angle = f64::from(k) * TAU / f64::from(STEPS);
            let along = self.radius(angle) * (angle - direction).cos();
            low = low.min(along);
            high = high.max(along);
        }
        high - low
    }

    /// Gives how oval the outline is: greatest less least extent, over their mean.
    pub(super) fn ovality(&self) -> f64 {
        let extents: Vec<f64> = (0..60)
            .map(|k| self.extent(f64::from(k) * TAU / 120.0))
            .collect();
        let low = extents.iter().copied().fold(f64::MAX, f64::min);
        let high = extents.iter().copied().fold(f64::MIN, f64::max);
        (high - low) / (extents.iter().sum::<f64>() / 60.0)
    }
}

/// Radii over angles, some of them missing (not finite).
#[derive(Debug, Clone)]
pub(super) struct Radii {
    pub(super) angles: Vec<f64>,
    pub(super) values: Vec<f64>,
}

/// A fitted outline and how well it fits.
#[derive(Debug, Clone)]
pub(super) struct Fitted {
    pub(super) series: Series,
    /// Scatter of the radii about the series, from the middle of the residuals.
    pub(super) scatter: f64,
    /// Standard error of the mean radius; neighbouring rays see the same pixels, three of them count as one.
    pub(super) standard_error: f64,
    /// Weight of each radius in the fit, nought where it is missing or lies off.
    pub(super) kept: Vec<f64>,
    /// Radius less series; not finite where the radius is missing.
    pub(super) residuals: Vec<f64>,
}

impl Fitted {
    pub(super) fn share_kept(&self, least: f64) -> f64 {
        let kept = self.kept.iter().filter(|&&weight| weight > least).count();
        kept as f64 / self.kept.len() as f64
    }
}

/// Rounds of reweighting, at most. The first of them fit a circle, then an ellipse, to the three quarters of the radii that lie
/// nearest: a ring is nearly round, so that a neighbour along a sixth of its outline is left out before it can bend the fit.
const ROUNDS: usize = 40;
const PLAIN_ORDERS: [usize; 6] = [1, 1, 1, 2, 2, 2];
const NEAREST: f64 = 0.75;
/// A change of every term by less, in scatters, ends the rounds.
const SETTLED: f64 = 0.003;
/// Where Tukey's weight ends, in scatters (his usual 4.685, rounded down).
const REACH: f64 = 4.5;

impl Radii {
    /// Takes radii at evenly spread angles.
    pub(super) fn even(values: Vec<f64>) -> Self {
        let count = values.len() as f64;
        let angles = (0..values.len()).map(|k| k as f64 * TAU / count).collect();
        Self { angles, values }
    }

    /// Fits a series by Tukey's weights. `floor`: a scatter below it counts as it.
    pub(super) fn fit(&self, order: usize, floor: f64) -> Option<Fitted> {
        let terms = 1 + 2 * order;
        let there = |v: &f64| f64::from(u8::from(v.is_finite()));
        let mut kept: Vec<f64> = self.values.iter().map(there).collect();
        if kept.iter().sum::<f64>() < (4 * terms) as f64 {
            return None;
        }
        let basis = self.basis(order);
        let mut coefficients = vec![0.0; terms];
        let mut residuals = vec![f64::NAN; self.values.len()];
        let (mut scatter, mut variance) = (floor, 0.0);
        for round in 0..ROUNDS {
            let plain = PLAIN_ORDERS.get(round);
            let used = plain.map_or(terms, |order| terms.min(1 + 2 * order));
            let before = coefficients.clone();
            coefficients.fill(0.0);
            let row = |k: usize| &basis[k * terms..][..used];
            let solution = solution(
                used,
                (0..kept.len()).map(|k| (row(k), kept[k], self.values[k])),
            )?;
            coefficients[..used].copy_from_slice(&solution.terms);
            variance = solution.first_variance;
            for (k, residual) in residuals.iter_mut().enumerate() {
                let fit: f64 = row(k).iter().zip(&coefficients).map(|(b, c)| b * c).sum();
                *residual = self.values[k] - fit;
            }
            let sizes = residuals.iter().filter(|r| r.is_finite());
            let mut sizes: Vec<f64> = sizes.map(|r| r.abs()).collect();
            let nearest = quantile(&mut sizes, NEAREST).max(floor);
            scatter = (1.4826 * median(&mut sizes)).max(floor);
            for (weight, residual) in kept.iter_mut().zip(&residuals) {
                *weight = if !residual.is_finite() {
                    0.0
                } else if round + 1 < PLAIN_ORDERS.len() {
                    f64::from(u8::from(residual.abs() <= nearest))
                } else {
                    tukey(residual / scatter / REACH)
                };
            }
            let changes = before.iter().zip(&coefficients);
            let change = changes.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            if round > PLAIN_ORDERS.len() && change < SETTLED * scatter {
                break;
            }
        }
        Some(Fitted {
            series: Series(coefficients),
            scatter,
            standard_error: scatter * (3.0 * variance).sqrt(),
            kept,
            residuals,
        })
    }

    /// Fits and gives the radii of the series at the same angles.
    pub(super) fn smooth(&self, order: usize) -> Option<Vec<f64>> {
        let series = self.fit(order, 1.0)?.series;
        Some(self.angles.iter().map(|&a| series.radius(a)).collect())
    }

    fn basis(&self, order: usize) -> Vec<f64> {
        let row = |angle: f64| {
            let terms = (1..=order).flat_map(move |n| {
                let (sin, cos) = (n as f64 * angle).sin_cos();
                [cos, sin]
            });
            std::iter::once(1.0).chain(terms)
        };
        self.angles.iter().flat_map(|&angle| row(angle)).collect()
    }
}

/// Gives Tukey's weight: one in the middle, nought from 1 on.
pub(super) fn tukey(part: f64) -> f64 {
    (1.0 - part.abs().min(1.0).powi(2)).powi(2)
}

/// Gives the middle value, nought of none; the order of the values is lost.
pub(super) fn median(values: &mut [f64]) -> f64 {
    quantile(values, 0.5)
}

/// Gives the value below which a share of the values lies, nought of none; the order of the values is lost.
pub(super) fn quantile(values: &mut [f64], share: f64) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let at = ((values.len() - 1) as f64 * share).round() as usize;
    *values.select_nth_unstable_by(at, f64::total_cmp).1
}

/// What the normal equations of a weighted fit come to.
struct Solution {
    terms: Vec<f64>,
    /// Of the first term, for a scatter of one.
    first_variance: f64,
}

/// Solves the normal equations (Gauss and Jordan; they are positive, so that no rows need to change places). `rows`: terms, weight
/// and value of each.
fn solution<'r>(
    terms: usize,
    rows: impl Iterator<Item = (&'r [f64], f64, f64)>,
) -> Option<Solution> {
    // Beside the squares stand the right side and, for the variance, the first unit vector.
    let wide = terms + 2;
    let mut table = vec![0.0; terms * wide];
    for (line, weight, value) in rows.filter(|row| row.1 > 0.0) {
        for (sums, a) in table.chunks_exact_mut(wide).zip(line) {
            let weighted = weight * a;
            for (sum, b) in sums.iter_mut().zip(line) {
                *sum += weighted * b;
            }
            sums[terms] += weighted * value;
        }
    }
    table[wide - 1] = 1.0;
    for i in 0..terms {
        let pivot = table[i * wide + i] + 1e-9;
        let row: Vec<f64> = table[i * wide..][..wide]
            .iter()
            .map(|v| v / pivot)
            .collect();
        for (_, other) in table
            .chunks_exact_mut(wide)
            .enumerate()
            .filter(|(j, _)| *j != i)
        {
            let factor = other[i];
            for (cell, v) in other.iter_mut().zip(&row) {
                *cell -= factor * v;
            }
        }
        table[i * wide..][..wide].copy_from_slice(&row);
    }
    let column = |at: usize| table.chunks_exact(wide).map(move |row| row[at]);
    let found = column(terms).all(f64::is_finite);
    found.then(|| Solution {
        terms: column(terms).collect(),
        first_variance: table[wide - 1],
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn oval(angle: f64) -> f64 {
        10.0 + 0.3 * (2.0 * angle).cos() - 0.1 * (3.0 * angle).sin()
    }

    #[test]
    fn a_neighbour_along_a_sixth_of_the_outline_does_not_move_it() {
        let rough = |k: u32| 0.05 * (f64::from(k) * 2.39996).sin();
        let radius = |k: u32| oval(f64::from(k) * TAU / 720.0) + rough(k);
        let mut radii = Radii::even((0..720).map(radius).collect());
        for radius in &mut radii.values[100..220] {
            *radius += 1.5;
        }
        let fitted = radii.fit(6, 1e-4).expect("fits");
        for k in 0..36 {
            let angle = f64::from(k) * TAU / 36.0;
            let off = fitted.series.radius(angle) - oval(angle);
            assert!(off.abs() < 0.01, "{angle} {off} {}", fitted.scatter);
        }
        assert!((fitted.share_kept(0.2) - 5.0 / 6.0).abs() < 0.02);
    }

    #[test]
    fn missing_radii_are_left_out_and_too_few_give_nothing() {
        let mut radii = Radii::even(vec![5.0; 720]);
        for k in (0..720).filter(|k| k % 6 != 0) {
            radii.values[k] = f64::NAN;
        }
        let fitted = radii.fit(2, 1e-6).expect("120 are enough for five terms");
        assert!((fitted.series.mean() - 5.0).abs() < 1e-6);
        radii.values[..710].fill(f64::NAN);
        assert!(radii.fit(2, 1e-6).is_none());
    }

    #[test]
    fn the_girth_of_a_bent_circle_is_its_length() {
        assert!((Series::circle(4.0).girth_diameter() - 8.0).abs() < 1e-12);
        // An ellipse with half axes 1.1 and 0.9: perimeter by Ramanujan's second formula.
        let (a, b) = (1.1_f64, 0.9_f64);
        let h = ((a - b) / (a + b)).powi(2);
        let perimeter =
            std::f64::consts::PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()));
        let radius = |t: f64| a * b / (b * t.cos()).hypot(a * t.sin());
        let radii = Radii::even(
            (0..720)
                .map(|k| radius(f64::from(k) * TAU / 720.0))
                .collect(),
        );
        let fitted = radii.fit(6, 1e-9).expect("fits");
        let length = fitted.series.girth_diameter() * std::f64::consts::PI;
        assert!((length - perimeter).abs() < 1e-4, "{length} {perimeter}");
        assert!((fitted.series.ovality() - 0.2).abs() < 1e-3);
    }
}
