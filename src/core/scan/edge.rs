//! Where an edge is to a fraction of a point: a blurred step fitted to the light along each ray.

use super::coarse::Way;
use super::hole::RAYS;
use super::polar::Samples;
use super::series::median;
use std::f64::consts::PI;

/// The spread of an edge: that of a disc (defocus) where it is wide, normal where it is narrow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spread {
    /// Standard deviation, in samples.
    pub(super) sigma: f64,
}

impl Spread {
    /// A wider one is of defocus: a lens with a round stop spreads a point to a disc.
    const DISC_FROM: f64 = 2.5;

    /// Gives the share of light at a distance from the edge.
    fn at(self, x: f64) -> f64 {
        if self.sigma >= Self::DISC_FROM {
            let q = (x / (2.0 * self.sigma)).clamp(-1.0, 1.0);
            0.5 + (q * (1.0 - q * q).sqrt() + q.asin()) / PI
        } else {
            libm::erfc(-x / self.sigma / std::f64::consts::SQRT_2) / 2.0
        }
    }
}

/// One edge of a ring on each ray.
#[derive(Debug, Clone)]
pub(super) struct Edge {
    /// Place in samples; not finite where none was found.
    pub(super) places: Vec<f64>,
    pub(super) spread: Spread,
}

/// Fits one edge near first places. `section` in samples.
pub(super) fn fit_edge(
    level: &Samples,
    slopes: &Samples,
    near: &[f64],
    way: Way,
    section: f64,
) -> Option<Edge> {
    let spread = spread_of(level, &clearest(slopes, near)?, near, way, section)?;
    let fit = StepFit::new(level, spread, way, section);
    let places = near
        .iter()
        .enumerate()
        .map(|(k, &place)| fit.place(k, place).unwrap_or(f64::NAN))
        .collect();
    Some(Edge { places, spread })
}

/// Gives the quarter of the rays whose edge is clearest.
fn clearest(slopes: &Samples, near: &[f64]) -> Option<Vec<usize>> {
    let mut rays: Vec<usize> = (0..RAYS).filter(|&k| near[k].is_finite()).collect();
    if rays.len() < 60 {
        return None;
    }
    let slope = |k: usize| slopes.row(k)[near[k].round() as usize].abs();
    rays.sort_by(|&a, &b| slope(b).total_cmp(&slope(a)).then(a.cmp(&b)));
    rays.truncate((rays.len() / 4).max(40));
    Some(rays)
}

/// Samples a step of the stacked profile is apart.
const FINE: f64 = 0.25;

/// Finds the spread of this ring's edge from its clearest rays, laid over each other at their half level.
fn spread_of(
    level: &Samples,
    rays: &[usize],
    near: &[f64],
    way: Way,
    section: f64,
) -> Option<Spread> {
    let reach = (0.48 * section / FINE) as usize;
    if reach < 8 {
        return None;
    }
    let mut middles: Vec<f64> = rays.iter().map(|&k| near[k]).collect();
    let mut width = 1.0;
    for _ in 0..3 {
        let profile: Vec<f64> = (0..=2 * reach)
            .map(|i| {
                let offset = way.sign() * (i as f64 - reach as f64) * FINE;
                let places = rays.iter().zip(&middles);
                let mut values: Vec<f64> = places
                    .map(|(&k, middle)| level.between(k, middle + offset))
                    .collect();
                median(&mut values)
            })
            .collect();
        let rise = Rise::of(&profile);
        width = rise.place(0.75) - rise.place(0.25);
        let moved = rise.place(0.5) - reach as f64 * FINE;
        for middle in &mut middles {
            *middle += way.sign() * moved;
        }
    }
    // Quartiles between the points of 40 % slope: 1.504 standard deviations for a disc, 1.083 for a normal spread.
    let (disc, normal) = (width / 1.504, width / 1.083);
    let sigma = if disc > 2.2 { disc } else { normal };
    Some(Spread {
        sigma: sigma.max(0.8),
    })
}

/// The part of a profile that rises fast; slow slopes beside it are shadow and shading.
struct Rise<'p> {
    profile: &'p [f64],
    low: usize,
    high: usize,
}

impl<'p> Rise<'p> {
    fn of(profile: &'p [f64]) -> Self {
        let last = profile.len() - 1;
        let slope: Vec<f64> = (0..=last)
            .map(|i| {
                let (a, b) = (i.saturating_sub(3), (i + 3).min(last));
                (profile[b] - profile[a]) / (b - a) as f64
            })
            .collect();
        let middle = last / 4..=last - last / 4;
        let top = middle
            .max_by(|&a, &b| slope[a].total_cmp(&slope[b]))
            .unwrap_or(last / 2);
        let (mut low, mut high) = (top, top);
        while low > 0 && slope[low] > 0.4 * slope[top] {
            low -= 1;
        }
        while high < last && slope[high] > 0.4 * slope[top] {
            high += 1;
        }
        Self { profile, low, high }
    }

    /// Gives where a part of the rise is reached, in samples from the start of the profile.
    fn place(&self, part: f64) -> f64 {
        let (from, to) = (self.profile[self.low], self.profile[self.high]);
        let level = from + part * (to - from);
        let at = (self.low..self.high).find(|&j| self.profile[j + 1] >= level);
        let at = at.unwrap_or(self.high.saturating_sub(1));
        let step = self.profile[at + 1] - self.profile[at];
        let within = if step.abs() > 1e-12 {
            (level - self.profile[at]) / step
        } else {
            0.5
        };
        (at as f64 + within) * FINE
    }
}

/// One shape of the step, moved by so many samples from the middle of the window.
struct Template {
    moved: f64,
    shape: Vec<f64>,
    mean: f64,
    square: f64,
}

impl Template {
    fn new(moved: f64, half: i64, spread: Spread) -> Self {
        let shape: Vec<f64> = (-half..=half)
            .map(|i| spread.at(i as f64 - moved))
            .collect();
        let mean = shape.iter().sum::<f64>() / shape.len() as f64;
        let square = shape.iter().map(|v| (v - mean).powi(2)).sum();
        Self {
            moved,
            shape,
            mean,
            square,
        }
    }

    /// Gives the height of the step that fits best.
    fn height(&self, window: &[f64], mean: f64) -> f64 {
        let pairs = self.shape.iter().zip(window);
        let product: f64 = pairs.map(|(a, b)| (a - self.mean) * (b - mean)).sum();
        product / self.square
    }
}

/// Fits level + step · spread, after the slopes on either side of the edge were taken off.
struct StepFit<'s> {
    level: &'s Samples,
    spread: Spread,
    way: Way,
    section: f64,
    half: i64,
    templates: Vec<Template>,
    /// Integral of the spread: a ramp that begins at the blurred edge, every twentieth of a sample.
    ramp: Vec<f64>,
}

const RAMP_STEP: f64 = 0.05;

/// What slopes on either side of the edge, a sample.
#[derive(Clone, Copy)]
struct Slopes {
    ring: f64,
    paper: f64,
}

impl<'s> StepFit<'s> {
    fn new(level: &'s Samples, spread: Spread, way: Way, section: f64) -> Self {
        let half = ((2.6 * spread.sigma).ceil() as i64).max(4);
        let apart = (0.2 * spread.sigma).max(0.25);
        let steps = (1.6 * spread.sigma / apart) as i64;
        let templates = (-steps..=steps)
            .map(|i| Template::new(i as f64 * apart, half, spread))
            .collect();
        let reach = ((half as f64 + 3.0 * spread.sigma + 4.0) / RAMP_STEP) as i64;
        let ramp = (-reach..reach)
            .scan(0.0, |sum, i| {
                *sum += spread.at(i as f64 * RAMP_STEP) * RAMP_STEP;
                Some(*sum)
            })
            .collect();
        Self {
            level,
            spread,
            way,
            section,
            half,
            templates,
            ramp,
        }
    }

    /// Finds the edge on one ray near a place; `None` where the best fit is the farthest that was tried.
    fn place(&self, k: usize, near: f64) -> Option<f64> {
        if !near.is_finite() {
            return None;
        }
        let sign = self.way.sign();
        let raw: Vec<f64> = (-self.half..=self.half)
            .map(|i| self.level.between(k, near + sign * i as f64))
            .collect();
        let mut edge = near;
        let mut slopes: Option<Slopes> = None;
        for _ in 0..3 {
            let beyond = sign * (near - edge);
            let window: Vec<f64> = match slopes {
                None => raw.clone(),
                Some(slopes) => raw
                    .iter()
                    .zip(-self.half..)
                    .map(|(value, i)| {
                        let x = i as f64 + beyond;
                        let up = self.ramp_at(x);
                        value - slopes.paper * up - slopes.ring * (x - up)
                    })
                    .collect(),
            };
            let (moved, height) = self.best(&window)?;
            edge = near + sign * moved;
            slopes = Some(self.slopes(k, edge, height));
        }
        Some(edge)
    }

    /// Gives how far from the middle of the window the step fits best, and its height.
    fn best(&self, window: &[f64]) -> Option<(f64, f64)> {
        let mean = window.iter().sum::<f64>() / window.len() as f64;
        let heights: Vec<f64> = self
            .templates
            .iter()
            .map(|t| t.height(window, mean))
            .collect();
        let explained = |j: usize| heights[j] * heights[j] * self.templates[j].square;
        let top = (0..heights.len())
            .filter(|&j| heights[j] > 0.0)
            .max_by(|&a, &b| explained(a).total_cmp(&explained(b)))?;
        if top == 0 || top + 1 == heights.len() {
            return None;
        }
        let (before, here, after) = (explained(top - 1), explained(top), explained(top + 1));
        let curve = before - 2.0 * here + after;
        let part = if curve.abs() > 0.0 {
            (0.5 * (before - after) / curve).clamp(-1.0, 1.0)
        } else {
            0.0
        };
        let apart = self.templates[1].moved - self.templates[0].moved;
        Some((self.templates[top].moved + part * apart, heights[top]))
    }

    fn ramp_at(&self, x: f64) -> f64 {
        let at = x / RAMP_STEP + self.ramp.len() as f64 / 2.0;
        self.ramp[at.clamp(0.0, self.ramp.len() as f64 - 1.0) as usize]
    }

    /// Slopes of penumbra and shading, taken outside the blurred edge; a free slope beside the step would be the step.
    fn slopes(&self, k: usize, edge: f64, height: f64) -> Slopes {
        let beyond = 2.1 * self.spread.sigma + 1.0;
        let most = 1.2 * height / self.section;
        Slopes {
            paper: self
                .slope(k, edge, [beyond, beyond + 0.35 * self.section])
                .clamp(0.0, most),
            ring: self
                .slope(k, edge, [-beyond - 0.22 * self.section, -beyond])
                .clamp(-most, most),
        }
    }

    fn slope(&self, k: usize, edge: f64, reach: [f64; 2]) -> f64 {
        let count = ((reach[1] - reach[0]) as usize).max(4);
        let (mut product, mut square) = (0.0, 0.0);
        for i in 0..count {
            let u = i as f64 - (count as f64 - 1.0) / 2.0;
            let place = edge + self.way.sign() * (reach[0] + i as f64);
            product += u * self.level.between(k, place);
            square += u * u;
        }
        product / square
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rays with an edge at a place, blurred by a disc, dark inside, with a penumbra outside that rises slowly.
    fn rays(edge: f64, sigma: f64, penumbra: f64) -> Samples {
        let spread = Spread { sigma };
        let line: Vec<f32> = (0..200)
            .map(|i| {
                let x = f64::from(i) - edge;
                let shade = if penumbra > 0.0 {
                    0.15 * (1.0 - (x / penumbra).clamp(0.0, 1.0))
                } else {
                    0.0
                };
                (0.04 + (0.76 - shade) * spread.at(x)) as f32
            })
            .collect();
        Samples {
            length: line.len(),
            values: line.repeat(RAYS),
        }
    }

    #[test]
    fn an_edge_is_found_to_a_twentieth_of_its_blur_with_and_without_a_penumbra() {
        for (sigma, penumbra) in [(1.5, 0.0), (6.0, 0.0), (6.0, 60.0)] {
            let level = rays(100.3, sigma, penumbra);
            let slopes = level.slope(2.4);
            let near = vec![101.0; RAYS];
            let edge = fit_edge(&level, &slopes, &near, Way::Out, 80.0).expect("an edge");
            let off = edge.places[0] - 100.3;
            assert!(
                off.abs() < 0.05 * sigma.max(2.0),
                "{sigma} {penumbra}: {off}"
            );
            assert!(
                (edge.spread.sigma / sigma - 1.0).abs() < 0.25,
                "{:?}",
                edge.spread
            );
        }
    }
}
