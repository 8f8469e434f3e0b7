//! The odds of every listed thread from what was read.

use super::made::{MadeDiameter, ThreadSide};
use super::pitch::{ThreadPitch, stated_sd};
use super::prior::weight;
use super::table::ListedThread;
use crate::core::gear::GearKind;
use crate::core::quantity::Dimension;
use crate::core::uncertainty::{log_sum_exp, normal_log_density};

/// What was read of a thread.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ThreadReadings {
    /// The crest diameter, and of which side; a stated ± is its doubt.
    pub diameter: Option<(ThreadSide, Dimension)>,
    pub pitch: Option<ThreadPitch>,
    /// Whether the diameter was seen to grow over the length; `None` where nobody looked.
    pub taper: Option<bool>,
    /// The angle between the flanks in degrees, by gauge.
    pub angle_deg: Option<f64>,
    /// What the unit is, where that is known.
    pub gear: Option<GearKind>,
}

/// A listed thread with its odds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreadCandidate {
    pub thread: &'static ListedThread,
    pub probability: f64,
    /// By how many standard deviations the diameter differs from what is expected.
    pub diameter_sigmas: Option<f64>,
    /// By how many the pitch does.
    pub pitch_sigmas: Option<f64>,
}

/// The odds of all listed threads; with those of a thread that is not listed they are one.
#[derive(Debug, Clone, PartialEq)]
pub struct ThreadOdds {
    /// Every thread, likeliest first.
    pub candidates: Vec<ThreadCandidate>,
    /// The probability that it is none of them.
    pub none_listed: f64,
}

/// One thread of thirty is in no table (estimated, no source); it may have any diameter and pitch of the table's range, each decade as
/// probable as another.
const NOT_LISTED: f64 = 0.03;
const DIAMETERS_MM: (f64, f64) = (1.5, 170.0);
const PITCHES_MM: (f64, f64) = (0.3, 6.5);
/// A caliper over the crests of metal reads to some hundredths, between the crests of a female thread less well; recalled, no source.
const MALE_SD_MM: f64 = 0.03;
const FEMALE_SD_MM: f64 = 0.05;
/// Who looks for a taper is mistaken so often; estimated, no source.
const TAPER_MISREAD: f64 = 0.03;
/// A flank gauge tells five degrees apart; estimated, no source.
const ANGLE_SD_DEG: f64 = 1.5;
/// Flanks of a thread that is not listed have any angle from 30° to 60°.
const ANGLES_DEG: f64 = 30.0;

impl ThreadReadings {
    /// Computes the odds of every listed thread.
    pub fn odds(&self) -> ThreadOdds {
        let threads = ListedThread::all();
        let weights: Vec<f64> = threads.iter().map(|t| weight(t, self.gear)).collect();
        let total: f64 = weights.iter().sum();
        let logs: Vec<f64> = threads
            .iter()
            .zip(&weights)
            .map(|(thread, weight)| {
                libm::log(weight / total * (1.0 - NOT_LISTED)) + self.log_likelihood(thread)
            })
            .collect();
        let unlisted = libm::log(NOT_LISTED) + self.log_likelihood_unlisted();
        let sum = log_sum_exp(logs.iter().copied().chain([unlisted]));
        let mut candidates: Vec<ThreadCandidate> = threads
            .iter()
            .zip(&logs)
            .map(|(thread, log)| ThreadCandidate {
                thread,
                probability: libm::exp(log - sum),
                diameter_sigmas: self.diameter_sigmas(thread),
                pitch_sigmas: self.pitch.map(|p| (p.mm() - thread.pitch_mm()) / p.sd_mm()),
            })
            .collect();
        candidates.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        ThreadOdds {
            candidates,
            none_listed: libm::exp(unlisted - sum),
        }
    }

    /// Returns by how much the diameter differs from what is expected of a thread, and the variance of that.
    fn expected_diameter(&self, thread: &ListedThread) -> Option<(f64, f64)> {
        let (side, read) = self.diameter?;
        let own = match side {
            ThreadSide::Male => MALE_SD_MM,
            ThreadSide::Female => FEMALE_SD_MM,
        };
        let sd = stated_sd(read).unwrap_or(own);
        let made = MadeDiameter::of(thread, side);
        let variance = made.sd_mm * made.sd_mm + sd * sd;
        Some((read.nominal.mm() - made.mean_mm, variance))
    }

    fn diameter_sigmas(&self, thread: &ListedThread) -> Option<f64> {
        let (off, variance) = self.expected_diameter(thread)?;
        Some(off / libm::sqrt(variance))
    }

    fn log_likelihood(&self, thread: &ListedThread) -> f64 {
        let diameter = self
            .expected_diameter(thread)
            .map_or(0.0, |(off, variance)| normal_log_density(off, variance));
        let pitch = self.pitch.map_or(0.0, |p| p.log_density(thread.pitch_mm()));
        let taper = self.taper.map_or(0.0, |seen| {
            libm::log(if seen == thread.is_taper() {
                1.0 - TAPER_MISREAD
            } else {
                TAPER_MISREAD
            })
        });
        let angle = self.angle_deg.map_or(0.0, |angle| {
            normal_log_density(angle - thread.angle_deg, ANGLE_SD_DEG * ANGLE_SD_DEG)
        });
        diameter + pitch + taper + angle
    }

    fn log_likelihood_unlisted(&self) -> f64 {
        let any = |value: f64, (from, to): (f64, f64)| -libm::log(value * libm::log(to / from));
        let diameter = self.diameter.map_or(0.0, |(_, read)| {
            any(read.nominal.mm().max(DIAMETERS_MM.0), DIAMETERS_MM)
        });
        let pitch = self.pitch.map_or(0.0, |p| any(p.mm(), PITCHES_MM));
        let taper = self.taper.map_or(0.0, |_| libm::log(0.5));
        let angle = self.angle_deg.map_or(0.0, |_| -libm::log(ANGLES_DEG));
        diameter + pitch + taper + angle
    }
}
