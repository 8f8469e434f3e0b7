//! A straight line through readings with their doubt.

use serde::Serialize;

/// A straight line `y = level + slope (x − centre)` with the standard uncertainties of both.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Line {
    /// Mean of the places.
    pub centre: f64,
    /// Value at the centre.
    pub level: f64,
    /// Standard uncertainty of the level.
    pub level_sd: f64,
    pub slope: f64,
    /// Standard uncertainty of the slope.
    pub slope_sd: f64,
}

impl Line {
    /// Returns the value at a place with its standard uncertainty.
    pub fn at(&self, x: f64) -> (f64, f64) {
        let reach = x - self.centre;
        let sd = libm::hypot(self.level_sd, reach * self.slope_sd);
        (self.level + self.slope * reach, sd)
    }
}

/// Fits a line by least squares through points that all have the standard uncertainty `sd`.
///
/// `prior`: what is held of the slope beforehand, as mean and standard uncertainty; without it two different places are
/// needed. The prior counts as one more observation of the slope (Gelman et al., Bayesian Data Analysis, 14.8, recalled).
pub fn fit_line(points: &[(f64, f64)], sd: f64, prior: Option<(f64, f64)>) -> Option<Line> {
    let count = points.len() as f64;
    if points.is_empty() {
        return None;
    }
    let mean = |pick: fn(&(f64, f64)) -> f64| points.iter().map(pick).sum::<f64>() / count;
    let (centre, level) = (mean(|p| p.0), mean(|p| p.1));
    let spread: f64 = points
        .iter()
        .map(|(x, _)| (x - centre) * (x - centre))
        .sum();
    let product: f64 = points.iter().map(|(x, y)| (x - centre) * (y - level)).sum();
    let (mut weight, mut pull) = (spread / (sd * sd), product / (sd * sd));
    if let Some((mean, doubt)) = prior {
        weight += 1.0 / (doubt * doubt);
        pull += mean / (doubt * doubt);
    }
    (weight > 0.0).then(|| Line {
        centre,
        level,
        level_sd: sd / libm::sqrt(count),
        slope: pull / weight,
        slope_sd: libm::sqrt(1.0 / weight),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_exact_points_is_found_and_its_doubt_is_that_of_the_textbook() {
        // Simple regression (Draper and Smith, Applied Regression Analysis, ch. 1): sd(slope) = s/√Sxx, here 0.1/√2.
        let line = fit_line(&[(0.0, 1.0), (1.0, 3.0), (2.0, 5.0)], 0.1, None).expect("a line");
        assert!((line.slope - 2.0).abs() < 1e-12 && (line.level - 3.0).abs() < 1e-12);
        assert!((line.slope_sd - 0.1 / 2_f64.sqrt()).abs() < 1e-12);
        assert!((line.at(2.0).1 - (0.01_f64 / 3.0 + 0.01 / 2.0).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn one_point_needs_a_prior() {
        assert!(fit_line(&[(1.0, 3.0)], 0.1, None).is_none());
        let line = fit_line(&[(1.0, 3.0)], 0.1, Some((2.0, 0.5))).expect("a line");
        assert!((line.slope - 2.0).abs() < 1e-12 && (line.slope_sd - 0.5).abs() < 1e-12);
    }
}
