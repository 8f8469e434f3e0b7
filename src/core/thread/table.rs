//! The listed threads.

use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::gear::GearKind;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// Names a series of threads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum ThreadSeries {
    /// ISO metric, coarse pitch.
    #[serde(rename = "metric coarse")]
    MetricCoarse,
    /// ISO metric, fine pitch.
    #[serde(rename = "metric fine")]
    MetricFine,
    /// Unified, coarse.
    #[serde(rename = "UNC")]
    Unc,
    /// Unified, fine.
    #[serde(rename = "UNF")]
    Unf,
    /// Unified, extra fine.
    #[serde(rename = "UNEF")]
    Unef,
    /// Unified, constant pitch.
    #[serde(rename = "UN")]
    Un,
    /// Pipe, parallel, 55°.
    #[serde(rename = "G")]
    G,
    /// Pipe, taper, 55°.
    #[serde(rename = "R")]
    R,
    /// Pipe, taper, 60°.
    #[serde(rename = "NPT")]
    Npt,
    /// Cylinder threads of the 55° form.
    #[serde(rename = "W")]
    W,
    /// Gas outlets of the 60° form.
    #[serde(rename = "NGO")]
    Ngo,
    /// Pipe, parallel, 60°.
    #[serde(rename = "NPSM")]
    Npsm,
    /// Trapezoidal.
    #[serde(rename = "Tr")]
    Tr,
}

/// One listed thread.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ListedThread {
    pub series: ThreadSeries,
    /// How it is written: `M10x1`, `3/8-24 UNF`, `G 1/8`.
    pub size: String,
    pitch: f64,
    unit: PitchUnit,
    /// Basic major diameter in millimetres; of a taper thread at the plane that the taper is counted from.
    pub major_mm: f64,
    /// Basic minor diameter of the inner thread in millimetres, there.
    pub minor_mm: f64,
    /// Angle between the flanks in degrees.
    pub angle_deg: f64,
    /// Growth of the diameter over the length, 1/16 as 0.0625; 0 of a parallel thread.
    pub taper: f64,
    to_small_end: Option<f64>,
    to_large_end: Option<f64>,
    usual_in: Option<String>,
    /// What it is used for, where something is known.
    #[serde(rename = "use")]
    pub used_for: Option<String>,
    pub source: String,
    pub confidence: Confidence,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum PitchUnit {
    Mm,
    Tpi,
}

const INCH_MM: f64 = 25.4;
/// What stands between the kinds of gear of a row.
const BETWEEN: &str = " | ";

static ROWS: LazyLock<Vec<ListedThread>> = LazyLock::new(|| shipped_rows!("threads/threads.csv"));

impl ListedThread {
    /// Lists every thread.
    pub fn all() -> &'static [Self] {
        &ROWS
    }

    /// Finds a thread by how it is written, without regard to case and spaces.
    pub fn find(size: &str) -> Option<&'static Self> {
        let plain = |text: &str| text.to_lowercase().replace(' ', "");
        let wanted = plain(size);
        ROWS.iter().find(|row| plain(&row.size) == wanted)
    }

    /// Returns the pitch in millimetres.
    pub fn pitch_mm(&self) -> f64 {
        match self.unit {
            PitchUnit::Mm => self.pitch,
            PitchUnit::Tpi => INCH_MM / self.pitch,
        }
    }

    /// Returns the threads to the inch, where the thread is defined by them.
    pub fn threads_per_inch(&self) -> Option<f64> {
        (self.unit == PitchUnit::Tpi).then_some(self.pitch)
    }

    /// Tells whether the diameter grows over the length.
    pub fn is_taper(&self) -> bool {
        self.taper > 0.0
    }

    /// Returns how far the diameter changes from the plane it is given at to the small and to the large end, in millimetres.
    pub(super) fn reach_mm(&self) -> (f64, f64) {
        let reach = |pitches: Option<f64>| pitches.unwrap_or(0.0) * self.pitch_mm() * self.taper;
        (reach(self.to_small_end), reach(self.to_large_end))
    }

    /// Tells whether the thread is usual on a kind of gear.
    pub fn is_usual_in(&self, gear: GearKind) -> bool {
        let kinds = self.usual_in.as_deref().unwrap_or("");
        kinds.split(BETWEEN).any(|kind| kind == gear.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_a_thread_and_stands_once() {
        let rows = ListedThread::all();
        assert_eq!(rows.len(), 505);
        for (at, row) in rows.iter().enumerate() {
            assert!(
                !rows[..at].iter().any(|r| r.size == row.size),
                "{}",
                row.size
            );
            let depth = row.major_mm - row.minor_mm;
            // One pitch deep (trapezoidal and 60°: 1.08 P) to 1.6 P (taper pipe).
            let share = depth / row.pitch_mm();
            assert!((0.99..1.61).contains(&share), "{}: {share}", row.size);
            let reaches = row.to_small_end.is_some() && row.to_large_end.is_some();
            assert_eq!(row.is_taper(), reaches, "{}", row.size);
            assert!(!row.source.is_empty());
            for kind in row.usual_in.iter().flat_map(|kinds| kinds.split(BETWEEN)) {
                assert!(
                    GearKind::ALL.iter().any(|gear| gear.word() == kind),
                    "{kind}"
                );
            }
        }
    }

    #[test]
    fn a_thread_is_found_as_it_is_written() {
        let found = |size: &str| ListedThread::find(size).map(ListedThread::pitch_mm);
        assert_eq!(found("m10x1"), Some(1.0));
        assert_eq!(found("G1/8"), Some(25.4 / 28.0));
        assert_eq!(found("3/8-25 UNF"), None);
    }
}
