//! A straight line through places, some of which lie off.

use super::series::{median, tukey};

/// A line: place = at zero + slope times step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    pub(super) at_zero: f64,
    pub(super) slope: f64,
    /// Standard error of the slope.
    pub(super) slope_error: f64,
    /// Scatter about the line.
    pub(super) scatter: f64,
}

/// Fits a line by Tukey's weights; `None` of fewer than five points that count.
pub(super) fn line(points: &[[f64; 2]]) -> Option<Line> {
    let mut weights = vec![1.0; points.len()];
    let mut fitted = None;
    for _ in 0..12 {
        let sum = |of: &dyn Fn(&[f64; 2]) -> f64| {
            let pairs = points.iter().zip(&weights);
            pairs.map(|(point, weight)| weight * of(point)).sum::<f64>()
        };
        let total = sum(&|_| 1.0);
        if total < 5.0 {
            return None;
        }
        let (mean_x, mean_y) = (sum(&|p| p[0]) / total, sum(&|p| p[1]) / total);
        let square = sum(&|p| (p[0] - mean_x).powi(2));
        let slope = sum(&|p| (p[0] - mean_x) * (p[1] - mean_y)) / square;
        let at_zero = mean_y - slope * mean_x;
        let off: Vec<f64> = points
            .iter()
            .map(|p| p[1] - at_zero - slope * p[0])
            .collect();
        let mut sizes: Vec<f64> = off.iter().map(|o| o.abs()).collect();
        let scatter = (1.4826 * median(&mut sizes)).max(1e-9);
        for (weight, off) in weights.iter_mut().zip(off) {
            *weight = tukey(off / (4.5 * scatter));
        }
        fitted = Some(Line {
            at_zero,
            slope,
            slope_error: scatter / square.sqrt(),
            scatter,
        });
    }
    fitted.filter(|line| line.slope.is_finite())
}
