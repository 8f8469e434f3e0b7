//! Threads that are easily taken for one another, and what tells them apart.

use super::made::{MadeDiameter, ThreadSide};
use super::table::ListedThread;
use serde::Serialize;

/// A thread that is easily taken for another one.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rival {
    pub size: String,
    /// In what the two differ, plainest first.
    pub signs: Vec<RivalSign>,
}

/// Names one thing in which two threads differ.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "sign")]
pub enum RivalSign {
    Pitch {
        /// That of the rival, in millimetres.
        pitch_mm: f64,
        /// After how many crests the two are half a pitch apart.
        apart_after: f64,
    },
    /// The crest diameter as made.
    Diameter {
        /// By how much that of the rival is larger, in millimetres.
        larger_mm: f64,
    },
    /// One is taper.
    Taper {
        /// Whether the rival is.
        rival_is_taper: bool,
    },
    /// The angle between the flanks.
    Angle {
        /// That of the rival, in degrees.
        angle_deg: f64,
    },
}

/// Threads are taken for each other where the diameters as made differ by no more than the larger of these, and the pitches by no
/// more than this share of the larger: then one starts in the other by hand. Common practice (G 1/8, M10x1, 3/8-24), no source.
const NEAR_MM: f64 = 0.3;
const NEAR_SHARE: f64 = 0.05;
const NEAR_PITCH_SHARE: f64 = 0.16;
/// Smaller differences are no sign.
const LEAST_MM: f64 = 0.005;
const LEAST_PITCH_SHARE: f64 = 1e-4;

impl Rival {
    /// Lists the threads that are easily taken for this one, nearest first.
    pub fn of(thread: &ListedThread, side: ThreadSide) -> Vec<Self> {
        let others = ListedThread::all().iter();
        let mut near: Vec<(f64, Self)> = others
            .filter(|other| other.size != thread.size)
            .filter_map(|other| {
                let distance = distance(thread, other, side)?;
                let rival = Self {
                    size: other.size.clone(),
                    signs: signs(thread, other, side),
                };
                Some((distance, rival))
            })
            .collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.size.cmp(&b.1.size)));
        near.into_iter().map(|(_, rival)| rival).collect()
    }
}

/// Says how near two threads are, 0 to 1 in each of diameter and pitch; `None` where they are not taken for each other.
fn distance(thread: &ListedThread, other: &ListedThread, side: ThreadSide) -> Option<f64> {
    let near = NEAR_MM.max(NEAR_SHARE * thread.major_mm.max(other.major_mm));
    let diameter = difference(thread, other, side).abs() / near;
    let (one, two) = (thread.pitch_mm(), other.pitch_mm());
    let pitch = (one - two).abs() / one.max(two) / NEAR_PITCH_SHARE;
    (diameter <= 1.0 && pitch <= 1.0).then(|| diameter.hypot(pitch))
}

fn difference(thread: &ListedThread, other: &ListedThread, side: ThreadSide) -> f64 {
    let made = |thread| MadeDiameter::of(thread, side).mean_mm;
    made(other) - made(thread)
}

fn signs(thread: &ListedThread, other: &ListedThread, side: ThreadSide) -> Vec<RivalSign> {
    let mut signs = Vec::new();
    let share = other.pitch_mm() / thread.pitch_mm() - 1.0;
    if share.abs() > LEAST_PITCH_SHARE {
        signs.push(RivalSign::Pitch {
            pitch_mm: other.pitch_mm(),
            apart_after: 0.5 / share.abs(),
        });
    }
    let larger = difference(thread, other, side);
    let is_taper = other.is_taper();
    if larger.abs() > LEAST_MM && is_taper == thread.is_taper() {
        signs.push(RivalSign::Diameter { larger_mm: larger });
    }
    if is_taper != thread.is_taper() {
        signs.push(RivalSign::Taper {
            rival_is_taper: is_taper,
        });
    }
    if (other.angle_deg - thread.angle_deg).abs() > f64::EPSILON {
        signs.push(RivalSign::Angle {
            angle_deg: other.angle_deg,
        });
    }
    signs
}
