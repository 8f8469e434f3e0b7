//! What a listed thread truly measures: made within its tolerance, and worn.

use super::table::{ListedThread, ThreadSeries};
use serde::{Deserialize, Serialize};

/// Says which diameter of a thread is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ThreadSide {
    /// The outside of a male thread.
    Male,
    /// The inside of a female thread.
    Female,
}

/// The crest diameter to be expected of a listed thread, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MadeDiameter {
    pub mean_mm: f64,
    /// Its standard deviation over pieces as they are found.
    pub sd_mm: f64,
    /// The least diameter that the tolerance allows.
    pub least_mm: f64,
    pub greatest_mm: f64,
}

/// Crests wear by some hundredths; estimated, no source.
const WORN_MM: f64 = 0.02;
const WORN_SD_MM: f64 = 0.03;
/// A thread is made somewhere in its tolerance: four standard deviations are its width (a 95 % band), as of rings.
const BAND_SDS: f64 = 4.0;

impl MadeDiameter {
    /// Returns the crest diameter to be expected of a thread.
    ///
    /// ISO 965-1 (formulas recalled; P in millimetres, results in micrometres): deviation of a male thread g, es = 15 + 11 P; its
    /// tolerance of grade 6, Td = 180 P^(2/3) − 3.15/√P; of the female thread 6H, TD1 = 433 P − 190 P^1.22 below 1 mm and
    /// 230 P^0.7 from there. They stand for the other series too, whose tolerances are near; those of 55° have no deviation.
    pub fn of(thread: &ListedThread, side: ThreadSide) -> Self {
        let pitch = thread.pitch_mm();
        let (greatest, least) = match side {
            ThreadSide::Male => {
                let top = thread.major_mm - deviation_mm(thread);
                (top, top - male_tolerance_mm(pitch))
            }
            ThreadSide::Female => (
                thread.minor_mm + female_tolerance_mm(pitch),
                thread.minor_mm,
            ),
        };
        let worn = match side {
            ThreadSide::Male => -WORN_MM,
            ThreadSide::Female => WORN_MM,
        };
        let (small, large) = thread.reach_mm();
        // A reading falls anywhere between the ends of a taper: a uniform spread has a standard deviation of width/√12.
        let spread = (small + large) / libm::sqrt(12.0);
        let made = (greatest - least) / BAND_SDS;
        Self {
            mean_mm: f64::midpoint(greatest, least) + worn + (large - small) / 2.0,
            sd_mm: libm::sqrt(made * made + WORN_SD_MM * WORN_SD_MM + spread * spread),
            least_mm: least - small,
            greatest_mm: greatest + large,
        }
    }
}

fn deviation_mm(thread: &ListedThread) -> f64 {
    match thread.series {
        ThreadSeries::G | ThreadSeries::R | ThreadSeries::W => 0.0,
        _ => (15.0 + 11.0 * thread.pitch_mm()) / 1000.0,
    }
}

fn male_tolerance_mm(pitch: f64) -> f64 {
    (180.0 * libm::cbrt(pitch * pitch) - 3.15 / libm::sqrt(pitch)) / 1000.0
}

fn female_tolerance_mm(pitch: f64) -> f64 {
    if pitch < 1.0 {
        (433.0 * pitch - 190.0 * libm::pow(pitch, 1.22)) / 1000.0
    } else {
        230.0 * libm::pow(pitch, 0.7) / 1000.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_are_the_printed_ones_of_metric_threads() {
        // ISO 965-2 limits of M10x1.5 and M8x1 (recalled): male 6g 9.732 to 9.968 and 7.794 to 7.974; female 6H minor 8.376 to
        // 8.676 and 6.917 to 7.153. The standard rounds tolerances to preferred numbers: 0.01 mm.
        for (size, male, female) in [
            ("M10x1.5", (9.732, 9.968), (8.376, 8.676)),
            ("M8x1", (7.794, 7.974), (6.917, 7.153)),
        ] {
            let thread = ListedThread::find(size).expect("listed");
            for (side, (least, greatest)) in
                [(ThreadSide::Male, male), (ThreadSide::Female, female)]
            {
                let made = MadeDiameter::of(thread, side);
                assert!((made.least_mm - least).abs() < 0.01, "{size}: {made:?}");
                assert!(
                    (made.greatest_mm - greatest).abs() < 0.01,
                    "{size}: {made:?}"
                );
            }
        }
    }
}
