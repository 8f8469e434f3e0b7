//! Limits of a setting: a named set of common practice, which the user may edit.
//!
//! A row is for one kind of gear or, where its kind is empty, for every kind. The shipped rows are those of breathing first
//! stages; of the other kinds no limit is at hand. A table without the column `gear` was made before there were kinds, and
//! its rows are for breathing first stages.

use super::design::StageDesign;
use crate::core::confidence::Confidence;
use crate::core::gear::GearKind;
use crate::core::quantity::PressureUnit;
use serde::{Deserialize, Deserializer, Serialize};

/// A limit of a setting, with its source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SettingLimit {
    /// The set it belongs to.
    pub set: String,
    /// The kind of gear it is for; empty: any.
    #[serde(default, deserialize_with = "kind_of_cell")]
    pub gear: Option<GearKind>,
    /// What it limits: level, left alone, slope, lock-up, creep, scatter, stop, gauge check.
    pub limit: String,
    /// The design it is for; empty: any.
    #[serde(default)]
    pub design: Option<String>,
    pub low: f64,
    pub high: f64,
    /// Unit of both.
    pub unit: String,
    pub words: String,
    pub source: String,
    pub confidence: Confidence,
}

/// The limits of one named set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SettingLimits {
    /// Name of the set.
    pub name: String,
    rows: Vec<SettingLimit>,
}

/// Says which line of a table of limits is wrong, and why.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "line {line} of the limits: {reason}; the columns are set,gear,limit,design,low,high,unit,words,source,confidence, as `ringwright setting limits --format csv` prints them"
)]
pub struct LimitFault {
    /// The line, from 1.
    pub line: u64,
    pub reason: String,
}

const SHIPPED: &str = include_str!("../../../data/stage/setting_limits.csv");
/// What may be limited, and the units it may be given in.
const KINDS: [(&str, &[&str]); 8] = [
    ("level", &["psi", "bar"]),
    ("left alone", &["psi", "bar"]),
    ("slope", &["bar/bar"]),
    ("lock-up", &["s"]),
    ("creep", &["psi/15 min", "bar/15 min"]),
    ("scatter", &["psi", "bar"]),
    ("stop", &["psi", "bar"]),
    (GAUGE_CHECK, &["months"]),
];
/// Limits the gauge and not what is read on it, so that it is of no kind of gear.
const GAUGE_CHECK: &str = "gauge check";
const MINUTES_OF_CREEP: f64 = 15.0;

/// Reads a table of limits, the user's own or the shipped one; a row of the user stands before a shipped one.
///
/// # Errors
/// Names the first line that is wrong.
pub fn read_limits(text: &str) -> Result<SettingLimits, LimitFault> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let fault = |error: csv::Error| LimitFault {
        line: error.position().map_or(1, csv::Position::line),
        reason: error.to_string(),
    };
    let has_kinds = reader.headers().map_err(fault)?.iter().any(|h| h == "gear");
    let mut rows: Vec<SettingLimit> = Vec::new();
    for row in reader.deserialize() {
        let mut row: SettingLimit = row.map_err(fault)?;
        if !has_kinds && row.limit != GAUGE_CHECK {
            row.gear = Some(GearKind::FirstStage);
        }
        if let Some(reason) = wrong(&row) {
            let line = rows.len() as u64 + 2;
            return Err(LimitFault { line, reason });
        }
        rows.push(row);
    }
    let Some(first) = rows.first() else {
        return Err(LimitFault {
            line: 1,
            reason: "there is no row".to_owned(),
        });
    };
    Ok(SettingLimits {
        name: first.set.clone(),
        rows,
    })
}

fn kind_of_cell<'de, D: Deserializer<'de>>(cell: D) -> Result<Option<GearKind>, D::Error> {
    let words = Option::<String>::deserialize(cell)?;
    words
        .map(|words| GearKind::from_words(&words).map_err(serde::de::Error::custom))
        .transpose()
}

fn wrong(row: &SettingLimit) -> Option<String> {
    let Some((_, units)) = KINDS.iter().find(|(kind, _)| *kind == row.limit) else {
        let known: Vec<&str> = KINDS.iter().map(|(kind, _)| *kind).collect();
        return Some(format!(
            "{:?} is not a limit: {}",
            row.limit,
            known.join(", ")
        ));
    };
    if !units.contains(&row.unit.as_str()) {
        return Some(format!("{} is given in {}", row.limit, units.join(" or ")));
    }
    let design = row.design.as_deref();
    if design.is_some_and(|d| StageDesign::from_words(d).is_none()) {
        let known: Vec<&str> = StageDesign::ALL.iter().map(|d| d.words()).collect();
        return Some(format!(
            "the design is empty or one of {}",
            known.join(", ")
        ));
    }
    let sound = row.low.is_finite() && row.high.is_finite() && row.low < row.high;
    (!sound).then(|| "low must be below high".to_owned())
}

impl SettingLimit {
    /// Tells whether it is for a kind of gear.
    pub fn is_for(&self, gear: GearKind) -> bool {
        self.gear.is_none_or(|kind| kind == gear)
    }

    /// Tells whether it leaves no case to another row: same limit and design, and every kind of gear that the other is for.
    pub fn rules_out(&self, other: &Self) -> bool {
        let same = self.limit == other.limit && self.design == other.design;
        same && (self.gear.is_none() || self.gear == other.gear)
    }
}

impl SettingLimits {
    /// Returns the shipped set, common practice.
    ///
    /// # Panics
    /// Where the shipped table is broken; a test reads it.
    pub fn shipped() -> Self {
        match read_limits(SHIPPED) {
            Ok(limits) => limits,
            Err(fault) => panic!("shipped table stage/setting_limits.csv: {fault}"),
        }
    }

    /// Puts these limits before those of `rest`, which stand where these say nothing.
    #[must_use]
    pub fn before(mut self, rest: Self) -> Self {
        self.rows.extend(rest.rows);
        self
    }

    /// Lists every row, the first that is for a kind of gear and a design being the one that rules.
    pub fn rows(&self) -> &[SettingLimit] {
        &self.rows
    }

    /// Tells whether anything limits a kind of gear.
    pub fn know(&self, gear: GearKind) -> bool {
        self.rows
            .iter()
            .any(|row| row.is_for(gear) && row.limit != GAUGE_CHECK)
    }

    /// Returns the row of a limit for a kind of gear: that of the design, else that of any design.
    pub fn row(
        &self,
        limit: &str,
        gear: GearKind,
        design: Option<StageDesign>,
    ) -> Option<&SettingLimit> {
        let of = |wanted: Option<StageDesign>| {
            self.rows.iter().find(|row| {
                let named = row.design.as_deref().and_then(StageDesign::from_words);
                row.limit == limit && row.is_for(gear) && named == wanted
            })
        };
        design.and_then(|d| of(Some(d))).or_else(|| of(None))
    }

    /// Returns the ends of a limit of pressure in bar.
    pub fn bars(
        &self,
        limit: &str,
        gear: GearKind,
        design: Option<StageDesign>,
    ) -> Option<(f64, f64)> {
        let row = self.row(limit, gear, design)?;
        let factor = match row.unit.as_str() {
            "psi" | "psi/15 min" => PressureUnit::Psi.pascals() / PressureUnit::Bar.pascals(),
            _ => 1.0,
        };
        Some((row.low * factor, row.high * factor))
    }

    /// Returns the drift that is borne of a kind of gear, in bar a minute.
    pub fn creep_bar_per_min(&self, gear: GearKind) -> Option<f64> {
        let (_, high) = self.bars("creep", gear, None)?;
        Some(high / MINUTES_OF_CREEP)
    }

    /// Returns the pressure in bar beyond which everything stops, where the kind of gear has such a limit.
    pub fn stop_bar(&self, gear: GearKind) -> Option<f64> {
        self.bars("stop", gear, None).map(|(_, high)| high)
    }

    /// Returns how many months the check of a gauge stands, whatever it is used on.
    pub fn gauge_months(&self) -> u16 {
        let row = self.rows.iter().find(|row| row.limit == GAUGE_CHECK);
        let months = row.map_or(0.0, |row| row.high);
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to the range of the type"
        )]
        let months = months.clamp(0.0, 1200.0) as u16;
        months
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_table_is_sound_and_says_where_each_limit_comes_from() {
        let limits = SettingLimits::shipped();
        assert_eq!(limits.name, "common practice");
        for row in limits.rows() {
            assert!(!row.source.is_empty(), "{}", row.limit);
        }
        for (kind, _) in KINDS {
            assert!(limits.rows().iter().any(|row| row.limit == kind), "{kind}");
        }
        // 200 psi = 13.79 bar.
        let stop = limits.stop_bar(GearKind::FirstStage).expect("a stop limit");
        assert!((stop - 13.7895).abs() < 1e-3 && limits.gauge_months() == 12);
    }

    #[test]
    fn a_row_of_the_user_stands_before_the_shipped_one() {
        let own = "set,limit,design,low,high,unit,words,source,confidence\nours,stop,,0,12,bar,our hoses,our book,measured\n";
        let limits = read_limits(own)
            .expect("reads")
            .before(SettingLimits::shipped());
        assert_eq!(limits.stop_bar(GearKind::FirstStage), Some(12.0));
        assert!(
            limits
                .row(
                    "level",
                    GearKind::FirstStage,
                    Some(StageDesign::BalancedPiston)
                )
                .is_some()
        );
        assert_eq!(limits.name, "ours");
    }

    #[test]
    fn shipped_limits_are_those_of_breathing_first_stages_alone() {
        let limits = SettingLimits::shipped();
        assert!(limits.know(GearKind::FirstStage));
        for kind in &GearKind::ALL[1..] {
            assert!(!limits.know(*kind), "{kind}");
            assert_eq!(limits.stop_bar(*kind), None);
            assert_eq!(limits.creep_bar_per_min(*kind), None);
        }
    }

    #[test]
    fn a_table_without_kinds_is_for_breathing_first_stages_and_an_empty_kind_is_for_all() {
        let old = "set,limit,design,low,high,unit,words,source,confidence\nours,stop,,0,12,bar,,,memory\n";
        let old = read_limits(old).expect("reads");
        assert_eq!(old.stop_bar(GearKind::FirstStage), Some(12.0));
        assert_eq!(old.stop_bar(GearKind::Pneumatic), None);
        let new = "set,limit,gear,low,high,unit,words,source,confidence\nours,stop,Welding,0,2,bar,,,memory\nours,stop,,0,9,bar,,,memory\n";
        let new = read_limits(new)
            .expect("reads")
            .before(SettingLimits::shipped());
        assert_eq!(new.stop_bar(GearKind::GasRegulator), Some(2.0));
        assert_eq!(new.stop_bar(GearKind::Pneumatic), Some(9.0));
        assert_eq!(new.stop_bar(GearKind::FirstStage), Some(9.0));
    }

    #[test]
    fn a_wrong_line_is_named() {
        for (row, why) in [
            ("ours,stop,,0,12,mm,,,memory", "given in"),
            ("ours,halt,,0,12,bar,,,memory", "not a limit"),
            ("ours,stop,,12,0,bar,,,memory", "below"),
            ("ours,stop,turbine,0,12,bar,,,memory", "design"),
            ("ours,stop,,x,12,bar,,,memory", "float"),
        ] {
            let text = format!("set,limit,design,low,high,unit,words,source,confidence\n{row}\n");
            let fault = read_limits(&text).expect_err(row);
            assert!(
                fault.line == 2 && fault.to_string().contains(why),
                "{fault}"
            );
        }
        let kind = "set,gear,limit,design,low,high,unit,words,source,confidence\nours,penumatic,stop,,0,1,bar,,,memory\n";
        let fault = read_limits(kind).expect_err("no kind");
        assert!(
            fault.line == 2 && fault.to_string().contains("did you mean \"pneumatic\"?"),
            "{fault}"
        );
    }
}
