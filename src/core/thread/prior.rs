//! How common each thread is on a kind of gear.

use super::table::{ListedThread, ThreadSeries};
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::gear::GearKind;
use serde::Deserialize;
use std::sync::LazyLock;

/// One row of the table: how common a thread of the series is on each kind of gear, as a ratio.
#[derive(Debug, Deserialize)]
struct SeriesPrior {
    series: ThreadSeries,
    #[serde(rename = "breathing first stage")]
    first_stage: f64,
    #[serde(rename = "breathing second stage")]
    second_stage: f64,
    #[serde(rename = "welding or industrial gas regulator")]
    gas_regulator: f64,
    pneumatic: f64,
    other: f64,
    source: String,
    confidence: Confidence,
}

static ROWS: LazyLock<Vec<SeriesPrior>> = LazyLock::new(|| shipped_rows!("threads/priors.csv"));

/// A thread that the table calls usual on the gear is so many times as common as another of its series; recalled, no source.
const USUAL: f64 = 4.0;

impl SeriesPrior {
    fn on(&self, gear: GearKind) -> f64 {
        match gear {
            GearKind::FirstStage => self.first_stage,
            GearKind::SecondStage => self.second_stage,
            GearKind::GasRegulator => self.gas_regulator,
            GearKind::Pneumatic => self.pneumatic,
            GearKind::Other => self.other,
        }
    }
}

impl ThreadSeries {
    /// Returns what says how common the threads of the series are, and how well that is known.
    pub fn common_by(self) -> Option<(&'static str, Confidence)> {
        let row = ROWS.iter().find(|row| row.series == self)?;
        Some((&row.source, row.confidence))
    }
}

/// Returns how common a thread is on a kind of gear, as a ratio; where the kind is not stated, on the mean of all.
pub(super) fn weight(thread: &ListedThread, gear: Option<GearKind>) -> f64 {
    let row = ROWS.iter().find(|row| row.series == thread.series);
    let on = |gear: GearKind| {
        let usual = if thread.is_usual_in(gear) { USUAL } else { 1.0 };
        usual * row.map_or(1.0, |row| row.on(gear))
    };
    gear.map_or_else(
        || {
            let sum: f64 = GearKind::ALL.into_iter().map(on).sum();
            sum / GearKind::ALL.len() as f64
        },
        on,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_series_of_the_table_has_its_row() {
        for thread in ListedThread::all() {
            assert_eq!(
                ROWS.iter()
                    .filter(|row| row.series == thread.series)
                    .count(),
                1,
                "{:?}",
                thread.series
            );
        }
        for row in &*ROWS {
            assert!(!row.source.is_empty() && row.confidence == Confidence::Memory);
            assert!(GearKind::ALL.into_iter().all(|gear| row.on(gear) > 0.0));
        }
    }

    #[test]
    fn a_port_of_a_regulator_is_more_common_there_than_elsewhere() {
        let port = ListedThread::find("3/8-24 UNF").expect("listed");
        let on = |gear| weight(port, Some(gear));
        assert!(on(GearKind::FirstStage) > 4.0 * on(GearKind::Pneumatic));
    }
}
