//! What a record tells of its own unit's settings: thickness of the shims and the pressure read with them.

use super::entry::ReadState;
use super::state::{ReadingState, UnitState};
use crate::core::gear::GearKind;
use crate::core::stage::{SettingReading, SupplyRating};
use serde::Serialize;

/// One setting of the unit as its record tells it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecordedSetting {
    /// Place of the reading in the record.
    pub entry: u32,
    /// When in the work it was read.
    pub state: ReadState,
    /// Thickness of all shims, in millimetres.
    pub place_mm: f64,
    pub supply_bar: f64,
    /// Pressure in bar, put right for the gauge.
    pub pressure_bar: f64,
    /// Whether it lies between two readings at other supplies.
    pub between: bool,
    /// Whether the gauge was registered and checked in time.
    pub gauge_known: bool,
}

/// The settings of a unit that can be compared, and those that cannot.
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
    /// Recorded ratings of the unit's parts, which bound what is set.
    pub ratings: Vec<SupplyRating>,
    /// The kind of gear, where the record says it.
    pub gear: Option<GearKind>,
}

/// Supplies that agree within this share are one supply.
const SAME_SUPPLY: f64 = 0.03;

/// Gathers the settings of the unit from its state, oldest first.
///
/// A setting is a reading with the shims that were fitted then. They are compared at one supply: `supply_bar`, else the highest
/// supply of the last reading; a reading at two supplies around it is taken between them. Readings from before a part was
/// fitted are left out, because another seat or spring makes another stage; so are readings that stopped the work. An entry that
/// a correction took back is no part of the state.
pub fn own_settings(state: &UnitState, supply_bar: Option<f64>) -> OwnSettings {
    let mut left_out = Vec::new();
    let mut sound: Vec<(&ReadingState, f64)> = Vec::new();
    for reading in &state.readings {
        match place_of(reading) {
            Ok(place_mm) => sound.push((reading, place_mm)),
            Err(why) => left_out.push(format!("entry {}: {why}", reading.said.entry)),
        }
    }
    let highest = |reading: &ReadingState| {
        let read = reading.said.what.readings.iter();
        read.map(SettingReading::supply_bar)
            .fold(f64::NAN, f64::max)
    };
    let supply = supply_bar.or_else(|| sound.last().map(|(reading, _)| highest(reading)));
    let mut used = Vec::new();
    for (reading, place_mm) in sound {
        let (said, wanted) = (&reading.said, supply.unwrap_or_default());
        match at_supply(&said.what.corrected_bar(), wanted) {
            Some((pressure_bar, between)) => used.push(RecordedSetting {
                entry: said.entry,
                state: said.what.state,
                place_mm,
                supply_bar: wanted,
                pressure_bar,
                between,
                gauge_known: said.what.gauge_known,
            }),
            None => left_out.push(format!(
                "entry {}: not read at {wanted:.0} bar of supply, nor on both sides of it",
                said.entry
            )),
        }
    }
    OwnSettings {
        job: state.job,
        supply_bar: supply,
        used,
        left_out,
        fitted: state.pack.as_ref().map(|pack| pack.what.words.clone()),
        ratings: state.supply_ratings(),
        gear: state.gear,
    }
}

/// The thickness of the shims that a reading was taken with, or why it does not count.
fn place_of(reading: &ReadingState) -> Result<f64, String> {
    let read = &reading.said.what;
    if read.not_tested.is_some() || read.readings.is_empty() {
        return Err("no pressure at a supply was read".to_owned());
    }
    if !read.stops.is_empty() {
        return Err("it stopped the work".to_owned());
    }
    if let Some((entry, part)) = &reading.before_part {
        return Err(format!("read before entry {entry} fitted a part ({part})"));
    }
    let pack = reading.pack.as_ref();
    pack.map(|pack| pack.total_mm)
        .ok_or_else(|| "no valid entry of shims precedes it".to_owned())
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
    use crate::core::job::{
        Correction, FittedPart, JobEntry, JobReading, JobRecord, PlaceList, SealedEntry, ShimPack,
    };
    use crate::core::stage::parse_setting;

    fn settings(entries: Vec<JobEntry>) -> OwnSettings {
        let seal = |(at, entry)| SealedEntry {
            place: u32::try_from(at).unwrap_or(0) + 1,
            added_at: String::new(),
            person: "A".to_owned(),
            entry,
            seal: String::new(),
        };
        let record = JobRecord {
            number: 1,
            model: "M".to_owned(),
            serial: "S".to_owned(),
            opened_at: String::new(),
            entries: entries.into_iter().enumerate().map(seal).collect(),
        };
        own_settings(&UnitState::of(&record, &PlaceList::default()), None)
    }

    fn reading(texts: &[&str]) -> JobEntry {
        let read = texts.iter().map(|t| parse_setting(t).expect("reads"));
        JobEntry::Reading(Box::new(JobReading {
            readings: read.collect(),
            ..JobReading::default()
        }))
    }

    fn shims(total_mm: f64) -> JobEntry {
        JobEntry::Shims(ShimPack {
            words: format!("{total_mm} mm"),
            total_mm,
        })
    }

    fn part() -> JobEntry {
        JobEntry::Part(FittedPart {
            part: "seat".to_owned(),
            spec: "new".to_owned(),
            lot: "1".to_owned(),
            count: 1,
            oxygen_clean: false,
            unlike: None,
            deviation: None,
        })
    }

    fn correct(of: u32, right: Option<JobEntry>) -> JobEntry {
        JobEntry::Correction(Correction {
            of,
            words: "a slip".to_owned(),
            right: right.map(Box::new),
        })
    }

    fn places(own: &OwnSettings) -> Vec<(u32, f64)> {
        own.used.iter().map(|s| (s.entry, s.place_mm)).collect()
    }

    #[test]
    fn a_reading_counts_with_the_stack_before_it_and_at_one_supply() {
        let own = settings(vec![
            reading(&["9 bar at 200 bar"]),
            shims(0.5),
            reading(&["9.2 bar at 198 bar", "8.4 bar at 40 bar"]),
            shims(0.75),
            reading(&["9.6 bar at 210 bar", "8.8 bar at 50 bar"]),
            reading(&["9.0 bar at 90 bar"]),
            reading(&["9.5 bar at 200 bar"]),
        ]);
        assert_eq!(places(&own), [(3, 0.5), (5, 0.75), (7, 0.75)]);
        // Between 210 and 50 bar: 8.8 + 150/160 · 0.8 = 9.55.
        assert!((own.used[1].pressure_bar - 9.55).abs() < 1e-9 && own.used[1].between);
        assert_eq!(own.left_out.len(), 2, "{:?}", own.left_out);
        assert_eq!(own.fitted.as_deref(), Some("0.75 mm"));
    }

    #[test]
    fn another_seat_is_another_stage_and_a_corrected_entry_does_not_count() {
        let own = settings(vec![
            shims(0.5),
            reading(&["9.2 bar at 200 bar"]),
            part(),
            reading(&["9.0 bar at 200 bar"]),
            reading(&["9.1 bar at 200 bar"]),
            correct(4, None),
        ]);
        assert_eq!(places(&own), [(5, 0.5)]);
        assert!(own.left_out.iter().any(|w| w.contains("fitted a part")));
    }

    #[test]
    fn a_corrected_stack_leaves_the_readings_after_it_without_a_place_unless_the_right_one_is_given()
     {
        let walk = |right: Option<JobEntry>| {
            settings(vec![
                shims(0.5),
                reading(&["9.2 bar at 200 bar"]),
                correct(1, right),
            ])
        };
        let withdrawn = walk(None);
        assert!(withdrawn.used.is_empty() && withdrawn.fitted.is_none());
        let right = walk(Some(shims(0.75)));
        assert_eq!(places(&right), [(2, 0.75)]);
        assert_eq!(right.fitted.as_deref(), Some("0.75 mm"));
    }
}
