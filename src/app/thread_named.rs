//! Names a thread from its pitch and a diameter.

use crate::core::caution::Caution;
use crate::core::confidence::Confidence;
use crate::core::gear::GearKind;
use crate::core::gland::PortThread;
use crate::core::thread::{
    ListedThread, Rival, ThreadCandidate, ThreadPitch, ThreadReadings, ThreadSide,
};
use serde::Serialize;

/// The threads that readings point to.
#[derive(Debug, Clone, Serialize)]
pub struct ThreadReport {
    /// Which diameter was read, where one was.
    pub side: Option<ThreadSide>,
    /// That diameter in millimetres.
    pub diameter_mm: Option<f64>,
    /// The pitch as read, in millimetres.
    pub pitch_mm: Option<f64>,
    /// Its standard uncertainty.
    pub pitch_sd_mm: Option<f64>,
    /// What the unit is, where that was said.
    pub gear: Option<GearKind>,
    /// The likeliest threads, likeliest first.
    pub threads: Vec<ThreadLine>,
    /// Probability of all other listed threads together.
    pub others_listed: f64,
    /// Probability of a thread that is in no table.
    pub none_listed: f64,
    /// Threads that are easily taken for the likeliest one, nearest first.
    pub rivals: Vec<Rival>,
    /// What to read next; `None` where one thread is settled.
    pub next: Option<NextThreadReading>,
    pub cautions: Vec<Caution>,
}

/// One listed thread with its odds.
#[derive(Debug, Clone, Serialize)]
pub struct ThreadLine {
    /// The thread.
    #[serde(flatten)]
    pub thread: &'static ListedThread,
    /// Its pitch in millimetres.
    pub pitch_mm: f64,
    pub probability: f64,
    /// By how many standard deviations the diameter differs from what is expected.
    pub diameter_sigmas: Option<f64>,
    /// By how many the pitch does.
    pub pitch_sigmas: Option<f64>,
    /// The port with ring and groove that is cut for such a thread, where one is listed.
    pub port: Option<&'static PortThread>,
    /// What says how common the series is, and how well that is known.
    pub common_by: Option<(&'static str, Confidence)>,
}

/// Names what to read next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum NextThreadReading {
    /// A diameter over the crests.
    Diameter,
    /// The pitch.
    Pitch,
    /// The diameter at both ends, for a taper.
    Taper,
    /// The angle between the flanks, by gauge.
    Angle,
    /// The pitch again, over more crests.
    MoreCrests,
}

/// Threads below this are told together.
const LEAST_SHOWN: f64 = 1e-3;
const MOST_SHOWN: usize = 12;
/// One thread is settled from here on.
const SETTLED: f64 = 0.95;

impl ThreadReport {
    /// Tells whether a listed thread is likelier than none.
    pub fn is_found(&self) -> bool {
        let best = self.threads.first();
        best.is_some_and(|line| line.probability > self.none_listed)
    }
}

/// Names a thread from what was read of it.
pub fn name_thread(readings: &ThreadReadings) -> ThreadReport {
    let odds = readings.odds();
    let side = readings.diameter.map(|(side, _)| side);
    let threads: Vec<ThreadLine> = odds
        .candidates
        .iter()
        .filter(|candidate| candidate.probability >= LEAST_SHOWN)
        .take(MOST_SHOWN)
        .map(line)
        .collect();
    let shown: f64 = threads.iter().map(|line| line.probability).sum();
    let rivals = threads.first().map_or_else(Vec::new, |line| {
        Rival::of(line.thread, side.unwrap_or(ThreadSide::Male))
    });
    ThreadReport {
        side,
        diameter_mm: readings.diameter.map(|(_, read)| read.nominal.mm()),
        pitch_mm: readings.pitch.map(ThreadPitch::mm),
        pitch_sd_mm: readings.pitch.map(ThreadPitch::sd_mm),
        gear: readings.gear,
        next: next(readings, &threads),
        others_listed: (1.0 - shown - odds.none_listed).max(0.0),
        none_listed: odds.none_listed,
        rivals,
        threads,
        cautions: vec![Caution::Thread],
    }
}

fn line(candidate: &ThreadCandidate) -> ThreadLine {
    ThreadLine {
        thread: candidate.thread,
        pitch_mm: candidate.thread.pitch_mm(),
        probability: candidate.probability,
        diameter_sigmas: candidate.diameter_sigmas,
        pitch_sigmas: candidate.pitch_sigmas,
        port: PortThread::from_word(&candidate.thread.size),
        common_by: candidate.thread.series.common_by(),
    }
}

/// Chooses what would part the two likeliest threads.
fn next(readings: &ThreadReadings, threads: &[ThreadLine]) -> Option<NextThreadReading> {
    if readings.pitch.is_none() {
        return Some(NextThreadReading::Pitch);
    }
    if readings.diameter.is_none() {
        return Some(NextThreadReading::Diameter);
    }
    let [first, second, ..] = threads else {
        return None;
    };
    if first.probability >= SETTLED {
        return None;
    }
    let (one, other) = (first.thread, second.thread);
    if one.is_taper() != other.is_taper() && readings.taper.is_none() {
        return Some(NextThreadReading::Taper);
    }
    let angles_differ = (one.angle_deg - other.angle_deg).abs() > f64::EPSILON;
    if angles_differ && readings.angle_deg.is_none() {
        return Some(NextThreadReading::Angle);
    }
    Some(NextThreadReading::MoreCrests)
}
