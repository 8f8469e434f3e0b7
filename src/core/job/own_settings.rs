//! What a record tells of its own unit's settings: thickness of the shims and the pressure read with them.

use super::entry::{JobEntry, ReadState};
use super::record::{JobRecord, SealedEntry};
use serde::Serialize;

/// Holds one setting of the unit as its record tells it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecordedSetting {
    /// Place of the reading in the record.
    pub entry: u32,
    /// When in the work it was read.
    pub state: ReadState,
    /// Thickness of all shims, in millimetres.
    pub place_mm: f64,
    /// Supply in bar.
    pub supply_bar: f64,
    /// Pressure in bar, put right for the gauge.
    pub pressure_bar: f64,
    /// Whether it lies between two readings at other supplies.
    pub between: bool,
    /// Whether the gauge was registered and checked in time.
    pub gauge_known: bool,
}

/// Holds the settings of a unit that can be compared, and those that cannot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OwnSettings {
    /// Number of the job.
    pub job: i64,
    /// Supply at which they are compared, in bar; `None` where nothing was read.
    pub supply_bar: Option<f64>,
    /// Settings, oldest first.
    pub used: Vec<RecordedSetting>,
    /// Readings that do not count, with the reason.
    pub left_out: Vec<String>,
    /// The shims that are fitted, as they were written.
    pub fitted: Option<String>,
}

/// Supplies that agree within this share are one supply.
const SAME_SUPPLY: f64 = 0.03;

/// A reading with the stack that it was read with, before a supply is chosen.
struct Candidate<'r> {
    sealed: &'r SealedEntry,
    place_mm: f64,
    points: Vec<(f64, f64)>,
    gauge_known: bool,
}

/// Gathers the settings of the unit from its record, oldest first.
///
/// A setting is a reading with the stack recorded last before it. They are compared at one supply: `supply_bar`, else the highest
/// supply of the last reading; a reading at two supplies around it is taken between them. Readings from before a part was
/// fitted are left out, because another seat or spring makes another stage; so are corrected entries, because a correction is
/// words, and readings that stopped the work.
pub fn own_settings(record: &JobRecord, supply_bar: Option<f64>) -> OwnSettings {
    let mut gathered = Gathered {
        record,
        candidates: Vec::new(),
        left_out: Vec::new(),
        stack: None,
    };
    for sealed in &record.entries {
        gathered.take(sealed);
    }
    let highest = |c: &Candidate<'_>| c.points.iter().map(|p| p.0).fold(f64::NAN, f64::max);
    let supply = supply_bar.or_else(|| gathered.candidates.last().map(highest));
    let mut used = Vec::new();
    let mut left_out = gathered.left_out;
    for candidate in &gathered.candidates {
        match supply.and_then(|supply| at_supply(&candidate.points, supply)) {
            Some((pressure_bar, between)) => used.push(RecordedSetting {
                entry: candidate.sealed.place,
                state: state_of(&candidate.sealed.entry),
                place_mm: candidate.place_mm,
                supply_bar: supply.unwrap_or_default(),
                pressure_bar,
                between,
                gauge_known: candidate.gauge_known,
            }),
            None => left_out.push(format!(
                "entry {}: not read at {:.0} bar of supply, nor on both sides of it",
                candidate.sealed.place,
                supply.unwrap_or_default()
            )),
        }
    }
    OwnSettings {
        job: record.number,
        supply_bar: supply,
        used,
        left_out,
        fitted: gathered.stack.map(|(words, _)| words),
    }
}

fn state_of(entry: &JobEntry) -> ReadState {
    match entry {
        JobEntry::Reading { state, .. } => *state,
        _ => ReadState::Between,
    }
}

struct Gathered<'r> {
    record: &'r JobRecord,
    candidates: Vec<Candidate<'r>>,
    left_out: Vec<String>,
    stack: Option<(String, f64)>,
}

impl<'r> Gathered<'r> {
    fn take(&mut self, sealed: &'r SealedEntry) {
        let place = sealed.place;
        match &sealed.entry {
            JobEntry::Part { part, .. } => {
                for old in self.candidates.drain(..) {
                    self.left_out.push(format!(
                        "entry {}: read before entry {place} fitted a part ({part})",
                        old.sealed.place
                    ));
                }
            }
            JobEntry::Shims { words, total_mm } => {
                self.stack = (!self.is_corrected(place)).then(|| (words.clone(), *total_mm));
            }
            JobEntry::Reading { .. } => match self.candidate(sealed) {
                Ok(candidate) => self.candidates.push(candidate),
                Err(why) => self.left_out.push(format!("entry {place}: {why}")),
            },
            _ => {}
        }
    }

    fn is_corrected(&self, place: u32) -> bool {
        self.record
            .said()
            .any(|entry| matches!(entry, JobEntry::Correction { of, .. } if *of == place))
    }

    fn candidate(&self, sealed: &'r SealedEntry) -> Result<Candidate<'r>, &'static str> {
        let JobEntry::Reading {
            readings,
            stops,
            not_tested,
            gauge_known,
            ..
        } = &sealed.entry
        else {
            return Err("no reading");
        };
        if not_tested.is_some() || readings.is_empty() {
            return Err("no pressure at a supply was read");
        }
        if self.is_corrected(sealed.place) {
            return Err("corrected in words: give what is right with --setting");
        }
        if !stops.is_empty() {
            return Err("it stopped the work");
        }
        let Some((_, place_mm)) = &self.stack else {
            return Err("no sound entry of shims stands before it");
        };
        let raw = || readings.iter().map(|r| (r.supply_bar(), r.bar())).collect();
        Ok(Candidate {
            sealed,
            place_mm: *place_mm,
            points: sealed.entry.corrected_bar().unwrap_or_else(raw),
            gauge_known: *gauge_known,
        })
    }
}

/// The pressure at a supply: read there, or between the nearest readings on both sides; with whether it is between.
fn at_supply(points: &[(f64, f64)], supply: f64) -> Option<(f64, bool)> {
    let near: Vec<f64> = points
        .iter()
        .filter(|p| (p.0 - supply).abs() <= SAME_SUPPLY * supply)
        .map(|p| p.1)
        .collect();
    if !near.is_empty() {
        return Some((near.iter().sum::<f64>() / near.len() as f64, false));
    }
    let below = points.iter().filter(|p| p.0 < supply);
    let above = points.iter().filter(|p| p.0 > supply);
    let low = below.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let high = above.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let share = (supply - low.0) / (high.0 - low.0);
    Some((low.1 + share * (high.1 - low.1), true))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::stage::{GaugeStanding, parse_setting};

    fn record(entries: Vec<JobEntry>) -> JobRecord {
        let seal = |(at, entry)| SealedEntry {
            place: u32::try_from(at).unwrap_or(0) + 1,
            added_at: String::new(),
            person: "A".to_owned(),
            entry,
            seal: String::new(),
        };
        JobRecord {
            number: 1,
            model: "M".to_owned(),
            serial: "S".to_owned(),
            opened_at: String::new(),
            entries: entries.into_iter().enumerate().map(seal).collect(),
        }
    }

    fn reading(texts: &[&str]) -> JobEntry {
        JobEntry::Reading {
            state: ReadState::Between,
            readings: texts
                .iter()
                .map(|t| parse_setting(t).expect("reads"))
                .collect(),
            creep: Vec::new(),
            lock_up_s: None,
            gauge: String::new(),
            gauge_known: false,
            creep_call: None,
            verdict: None,
            said: Vec::new(),
            stops: Vec::new(),
            not_tested: None,
            standing: Some(GaugeStanding::Unnamed),
        }
    }

    fn shims(total_mm: f64) -> JobEntry {
        JobEntry::Shims {
            words: format!("{total_mm} mm"),
            total_mm,
        }
    }

    fn part() -> JobEntry {
        JobEntry::Part {
            part: "seat".to_owned(),
            spec: "new".to_owned(),
            lot: "1".to_owned(),
            unlike: None,
        }
    }

    fn places(own: &OwnSettings) -> Vec<(u32, f64)> {
        own.used.iter().map(|s| (s.entry, s.place_mm)).collect()
    }

    #[test]
    fn a_reading_counts_with_the_stack_before_it_and_at_one_supply() {
        let own = own_settings(
            &record(vec![
                reading(&["9 bar at 200 bar"]),
                shims(0.5),
                reading(&["9.2 bar at 198 bar", "8.4 bar at 40 bar"]),
                shims(0.75),
                reading(&["9.6 bar at 210 bar", "8.8 bar at 50 bar"]),
                reading(&["9.0 bar at 90 bar"]),
                reading(&["9.5 bar at 200 bar"]),
            ]),
            None,
        );
        assert_eq!(places(&own), [(3, 0.5), (5, 0.75), (7, 0.75)]);
        // Between 210 and 50 bar: 8.8 + 150/160 · 0.8 = 9.55.
        assert!((own.used[1].pressure_bar - 9.55).abs() < 1e-9 && own.used[1].between);
        assert_eq!(own.left_out.len(), 2, "{:?}", own.left_out);
        assert_eq!(own.fitted.as_deref(), Some("0.75 mm"));
    }

    #[test]
    fn another_seat_is_another_stage_and_a_corrected_entry_does_not_count() {
        let own = own_settings(
            &record(vec![
                shims(0.5),
                reading(&["9.2 bar at 200 bar"]),
                part(),
                reading(&["9.0 bar at 200 bar"]),
                reading(&["9.1 bar at 200 bar"]),
                JobEntry::Correction {
                    of: 4,
                    words: "it was 8.9 bar".to_owned(),
                },
            ]),
            None,
        );
        assert_eq!(places(&own), [(5, 0.5)]);
        assert!(own.left_out[0].contains("corrected") || own.left_out[1].contains("corrected"));
        assert!(own.left_out.iter().any(|w| w.contains("fitted a part")));
    }

    #[test]
    fn a_corrected_stack_leaves_the_readings_after_it_without_a_place() {
        let own = own_settings(
            &record(vec![
                shims(0.5),
                reading(&["9.2 bar at 200 bar"]),
                JobEntry::Correction {
                    of: 1,
                    words: "0.75 mm".to_owned(),
                },
            ]),
            None,
        );
        assert!(own.used.is_empty() && own.fitted.is_none());
    }
}
