//! The section of a ring that is stretched or pressed together.

use super::column::{larger, smaller};
use super::geometry::Seat;

/// Names the law by which a stretched ring loses section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SectionLaw {
    /// Constant volume and a round section: W'²(D + W') = W²(d1 + W).
    Nominal,
    /// The published stretch-loss curve, which takes more from the section: for the least squeeze.
    Least,
    /// Constant volume, with the section gained by a ring that is pressed together: for the greatest squeeze.
    Greatest,
    /// A share (0 to 1) of the way from [`SectionLaw::Least`] to [`SectionLaw::Greatest`], for sampling.
    Between(f64),
}

/// Names the two laws and where they come from, for the report.
pub const LAWS: &str = "nominal and greatest section by constant volume, W'^2 (D + W') = W^2 (d1 + W) (Apple Rubber, \
    round section); least section by the published stretch-loss curve (ISO 3601-2 fit, recalled, not confirmed in a \
    source: its branches meet at 3 %)";

/// Returns the loss of section in per cent for a stretch in per cent, by the published curve.
///
/// R = 0.01 + 1.06 S − 0.10 S² for 0 < S ≤ 3; R = 0.56 + 0.59 S − 0.0046 S² for 3 < S < 25. Beyond 25 % the curve ends;
/// the loss at 25 % is returned, and constant volume governs where it takes more. Source: fit of ISO 3601-2, recalled;
/// the branches meet at 3 % (2.290 and 2.289), which supports the constants.
///
/// ```
/// assert!((ringwright::core::gland::stretch_loss(3.0) - 2.29).abs() < 1e-9);
/// ```
#[allow(clippy::inline_always, reason = "compiled for the widest registers")]
#[inline(always)]
pub fn stretch_loss(stretch_pct: f64) -> f64 {
    const KNEE: f64 = 3.0;
    const END: f64 = 25.0;
    /// Loss at the knee by the first branch; the second never falls below it, so that the curve does not step down.
    const AT_KNEE: f64 = 2.29;
    /// The constant 0.01 is a remainder of the fit: below 0.05 % of stretch the curve goes straight to zero, so that a ring
    /// that is not stretched loses nothing and the worst case does not step.
    const STEEPEST: f64 = 1.26;
    let s = larger(stretch_pct, 0.0);
    let fit = smaller(0.01 + 1.06 * s - 0.10 * s * s, STEEPEST * s);
    let t = smaller(s, END);
    let beyond = larger(0.56 + 0.59 * t - 0.0046 * t * t, AT_KNEE);
    if s <= KNEE { fit } else { beyond }
}

/// Returns the section W' of a ring of constant volume whose inside diameter becomes `diameter`.
///
/// Solves W'²(D + W') = W²(d1 + W) exactly (Newton's method from the thin-ring value W √(d1/D)). All in one unit.
pub fn constant_volume_inside(id: f64, section: f64, diameter: f64) -> f64 {
    solve(id, section, diameter, 1.0)
}

/// Returns the section W' of a ring of constant volume whose outside diameter becomes `diameter`.
///
/// Solves W'²(H − W') = W²(d1 + W). All in one unit.
pub fn constant_volume_outside(id: f64, section: f64, diameter: f64) -> f64 {
    solve(id, section, diameter, -1.0)
}

/// Solves w²(diameter + sign·w) = W²(d1 + W) for w.
fn solve(id: f64, section: f64, diameter: f64, sign: f64) -> f64 {
    const STEPS: usize = 12;
    /// Newton's method squares its error: a step of this share leaves about 1e-16.
    const ENOUGH: f64 = 1e-8;
    let volume = section * section * (id + section);
    let mut w = section;
    for _ in 0..STEPS {
        let slope = w * (2.0 * diameter + sign * 3.0 * w);
        if slope <= 0.0 {
            return section;
        }
        let step = (w * w * (diameter + sign * w) - volume) / slope;
        w -= step;
        if step.abs() <= ENOUGH * section {
            break;
        }
    }
    if w.is_finite() && w > 0.0 { w } else { section }
}

/// Holds the diameters that settle how a ring is stretched or pressed together.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    inside: Option<f64>,
    outside: Option<f64>,
    centre: Option<f64>,
}

impl Place {
    pub(super) const fn of(seat: &Seat) -> Self {
        Self {
            inside: seat.inside,
            outside: seat.outside,
            centre: seat.centre,
        }
    }
}

/// Returns the section of a ring on a seat, by a law.
///
/// Outside compression leaves the nominal section as it is, because published tables form it so; the greatest section gains
/// by constant volume. Between two walls (a rod gland) the greatest section is that of constant volume on the middle of the
/// seat, W'² (D + H)/2 = W² (d1 + W): the mean-line form of the stretch, and free of a step where the ring begins to be
/// stretched. A ring on a mean diameter (a dovetail) follows the mean-line form.
pub(super) fn seated_section(id: f64, section: f64, place: Place, law: SectionLaw) -> f64 {
    let Place {
        inside,
        outside,
        centre,
    } = place;
    let on_mean_line = |mean: f64| section * libm::sqrt((id + section) / mean);
    let stretch_pct = match (inside, centre) {
        (Some(diameter), _) => 100.0 * (diameter - id) / id,
        (None, Some(mean)) => 100.0 * (mean / (id + section) - 1.0),
        (None, None) => 0.0,
    };
    let nominal = match (inside, centre) {
        (Some(diameter), _) if stretch_pct > 0.0 => constant_volume_inside(id, section, diameter),
        (None, Some(mean)) if stretch_pct > 0.0 => on_mean_line(mean),
        _ => section,
    };
    let least = || nominal.min(section * (1.0 - stretch_loss(stretch_pct) / 100.0));
    let greatest = || {
        let by_volume = match (inside, outside, centre) {
            (Some(inside), Some(outside), _) => on_mean_line(f64::midpoint(inside, outside)),
            (Some(_), None, _) if stretch_pct > 0.0 => nominal,
            (Some(diameter), None, _) => constant_volume_inside(id, section, diameter),
            (None, Some(diameter), _) if diameter < id + 2.0 * section => {
                constant_volume_outside(id, section, diameter)
            }
            (None, None, Some(mean)) => on_mean_line(mean),
            _ => section,
        };
        by_volume.max(nominal)
    };
    match law {
        SectionLaw::Nominal => nominal,
        SectionLaw::Least => least(),
        SectionLaw::Greatest => greatest(),
        SectionLaw::Between(share) => {
            let least = least();
            least + share * (greatest() - least)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_stretch_loss_curve_gives_its_printed_values() {
        // Check values of the fit (ISO 3601-2, recalled): 1, 2, 3, 4, 5, 10, 15, 20, 25 % stretch. Printed to three decimals.
        for (stretch, loss) in [
            (1.0, 0.97),
            (2.0, 1.73),
            (3.0, 2.29),
            (4.0, 2.846),
            (5.0, 3.395),
            (10.0, 6.0),
            (15.0, 8.375),
            (20.0, 10.52),
            (25.0, 12.435),
        ] {
            assert!(
                (stretch_loss(stretch) - loss).abs() < 6e-4,
                "{stretch}: {}",
                stretch_loss(stretch)
            );
        }
    }

    #[test]
    fn constant_volume_keeps_the_volume() {
        let (id, w, d) = (20.0, 1.78, 21.0);
        let stretched = constant_volume_inside(id, w, d);
        assert!((stretched * stretched * (d + stretched) - w * w * (id + w)).abs() < 1e-10);
        let h = 23.0;
        let pressed = constant_volume_outside(id, w, h);
        assert!((pressed * pressed * (h - pressed) - w * w * (id + w)).abs() < 1e-10);
        assert!(pressed > w && stretched < w);
    }

    #[test]
    fn five_per_cent_of_stretch_takes_what_the_published_examples_say() {
        // Thin ring: 1 - 1/sqrt(1.05) = 2.41 %; ID = 20 W, exact: 2.25 %; both printed to the hundredth of a per cent.
        let loss = |id: f64, w: f64| 100.0 * (1.0 - constant_volume_inside(id, w, 1.05 * id) / w);
        assert!((loss(1e6, 1.0) - 2.41).abs() < 0.005);
        assert!((loss(20.0, 1.0) - 2.25).abs() < 0.01, "{}", loss(20.0, 1.0));
        // 20 x 1.78 at 5 %: 2.1 % printed to the tenth.
        assert!((loss(20.0, 1.78) - 2.1).abs() < 0.1, "{}", loss(20.0, 1.78));
    }
}
