//! Where the edges of a ring roughly are: several starts, of which the fine fit takes the best.

use super::hole::RAYS;
use super::polar::{STEP, Samples, Surroundings};
use super::series::{Radii, median, quantile};

/// Rough places of both edges on each ray, in samples.
#[derive(Debug, Clone)]
pub(super) struct Rough {
    pub(super) inner: Vec<f64>,
    pub(super) outer: Vec<f64>,
}

/// A way to start: what part of a ray's steepest rise on the way out of the ring is taken for its edge.
#[derive(Debug, Clone, Copy)]
pub(super) struct Start(f64);

impl Start {
    /// The first clear rise passes shadows, which come later; the steepest one passes the patches of a ring under talc, or a hole
    /// that lies wholly in shadow.
    pub(super) const ALL: [Self; 2] = [Self(0.16), Self(0.9)];

    /// Finds rough edges. `root`: a view as roots, `shape`: the hole's plain outline, `section`: both in samples.
    pub(super) fn find(
        self,
        around: &Surroundings,
        root: &Samples,
        shape: &[f64],
        section: f64,
    ) -> Option<Rough> {
        /// Orders of the outline from turn to turn.
        const ORDERS: [usize; 5] = [1, 2, 2, 3, 3];
        let sigma = around.sigma.max(0.05 * section);
        let slopes = root.along_ring(around.sigma_rays).slope(sigma);
        let mut middle: Vec<f64> = shape.iter().map(|r| r + 0.5 * section).collect();
        let mut rough = None;
        for order in ORDERS {
            let edge = |way| self.rises(&slopes, &middle, way, section)?.smooth(order);
            let (inner, outer) = (edge(Way::In)?, edge(Way::Out)?);
            let both = inner.iter().zip(&outer);
            middle = both.map(|(a, b)| f64::midpoint(*a, *b)).collect();
            rough = Some(Rough { inner, outer });
        }
        rough
    }

    /// Gives the first place on each ray where the light rises clearly towards the paper.
    fn rises(self, slopes: &Samples, middle: &[f64], way: Way, section: f64) -> Option<Radii> {
        let (start, end) = (-((0.12 * section) as i64), (1.9 * section) as i64 + 4);
        let sign = way.sign();
        let line = |k: usize| -> Vec<f32> {
            let from = middle[k].round() as i64;
            let rise = |o: i64| {
                let at = usize::try_from(from + sign as i64 * o).ok()?;
                slopes.row(k).get(at).map(|v| sign as f32 * v)
            };
            (start..end).map(|o| rise(o).unwrap_or(-1.0)).collect()
        };
        let lines: Vec<Vec<f32>> = (0..RAYS).map(line).collect();
        let top = |line: &Vec<f32>| line.iter().fold(-1.0_f32, |a, &b| a.max(b));
        let mut tops: Vec<f64> = lines.iter().map(|line| f64::from(top(line))).collect();
        let usual = quantile(&mut tops, 0.8) as f32;
        let rays = lines.iter().enumerate();
        let places: Vec<f64> = rays
            .map(|(k, line)| {
                let least = (self.0 as f32 * top(line)).max(0.05 * usual);
                let peak = |w: &[f32]| w[1] >= w[0] && w[1] > w[2] && w[1] > least;
                let at = line.windows(3).position(peak);
                at.map_or(f64::NAN, |at| {
                    middle[k].round() + sign * (at as i64 + 1 + start) as f64
                })
            })
            .collect();
        let found = places.iter().filter(|p| p.is_finite()).count();
        (found * 10 >= RAYS * 3).then(|| Radii::even(places))
    }
}

/// Names a way along a ray, from the middle of the section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// To the middle of the ring.
    In,
    /// Away from it.
    Out,
}

impl Way {
    pub(super) fn sign(self) -> f64 {
        match self {
            Self::In => -1.0,
            Self::Out => 1.0,
        }
    }
}

impl Rough {
    /// Gives the mean section, in points.
    pub(super) fn section(&self) -> f64 {
        let both = self.outer.iter().zip(&self.inner);
        let mut widths: Vec<f64> = both.map(|(o, i)| o - i).collect();
        median(&mut widths) * STEP
    }
}
