//! Limits of a setting: a named set of common practice, which the user may edit.

use super::design::StageDesign;
use crate::core::confidence::Confidence;
use crate::core::quantity::PressureUnit;
use serde::{Deserialize, Serialize};

/// Holds one limit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SettingLimit {
    /// The set it belongs to.
    pub set: String,
    /// What it limits: level, left alone, slope, lock-up, creep, scatter, stop, gauge check.
    pub limit: String,
    /// The design it is for; empty: any.
    #[serde(default)]
    pub design: Option<String>,
    /// Low end.
    pub low: f64,
    /// High end.
    pub high: f64,
    /// Unit of both.
    pub unit: String,
    /// What it says.
    pub words: String,
    /// Where it comes from.
    pub source: String,
    /// How well it is known.
    pub confidence: Confidence,
}

/// Holds the limits of one named set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SettingLimits {
    /// Name of the set.
    pub name: String,
    rows: Vec<SettingLimit>,
}

/// Says which line of a table of limits is wrong, and why.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "line {line} of the limits: {reason}; the columns are set,limit,design,low,high,unit,words,source,confidence, as `ringwright setting limits --format csv` prints them"
)]
pub struct LimitFault {
    /// The line, from 1.
    pub line: u64,
    /// Why.
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
    ("gauge check", &["months"]),
];
const MINUTES_OF_CREEP: f64 = 15.0;

/// Reads a table of limits, the user's own or the shipped one; a row of the user stands before a shipped one.
///
/// # Errors
/// Names the first line that is wrong.
pub fn read_limits(text: &str) -> Result<SettingLimits, LimitFault> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let mut rows: Vec<SettingLimit> = Vec::new();
    for row in reader.deserialize() {
        let row: SettingLimit = row.map_err(|error| LimitFault {
            line: error.position().map_or(1, csv::Position::line),
            reason: error.to_string(),
        })?;
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

fn wrong(row: &SettingLimit) -> Option<String> {
    let Some((_, units)) = KINDS.iter().find(|(kind, _)| *kind == row.limit) else {
        let known: Vec<&str> = KINDS.iter().map(|(kind, _)| *kind).collect();
        return Some(format!("{:?} is no limit: {}", row.limit, known.join(", ")));
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

    /// Lists every row, the first of a kind and design being the one that rules.
    pub fn rows(&self) -> &[SettingLimit] {
        &self.rows
    }

    /// Returns the row of a limit: that of the design, else that of any design.
    pub fn row(&self, limit: &str, design: Option<StageDesign>) -> Option<&SettingLimit> {
        let of = |wanted: Option<StageDesign>| {
            self.rows.iter().find(|row| {
                let named = row.design.as_deref().and_then(StageDesign::from_words);
                row.limit == limit && named == wanted
            })
        };
        design.and_then(|d| of(Some(d))).or_else(|| of(None))
    }

    /// Returns the ends of a limit of pressure in bar.
    pub fn bars(&self, limit: &str, design: Option<StageDesign>) -> Option<(f64, f64)> {
        let row = self.row(limit, design)?;
        let factor = match row.unit.as_str() {
            "psi" | "psi/15 min" => PressureUnit::Psi.pascals() / PressureUnit::Bar.pascals(),
            _ => 1.0,
        };
        Some((row.low * factor, row.high * factor))
    }

    /// Returns the drift that is borne, in bar a minute.
    pub fn creep_bar_per_min(&self) -> f64 {
        self.bars("creep", None)
            .map_or(0.0, |(_, high)| high / MINUTES_OF_CREEP)
    }

    /// Returns the pressure in bar beyond which everything stops.
    pub fn stop_bar(&self) -> f64 {
        self.bars("stop", None).map_or(0.0, |(_, high)| high)
    }

    /// Returns how many months the check of a gauge stands.
    pub fn gauge_months(&self) -> u16 {
        let months = self.row("gauge check", None).map_or(0.0, |row| row.high);
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
        assert!((limits.stop_bar() - 13.7895).abs() < 1e-3 && limits.gauge_months() == 12);
    }

    #[test]
    fn a_row_of_the_user_stands_before_the_shipped_one() {
        let own = "set,limit,design,low,high,unit,words,source,confidence\nours,stop,,0,12,bar,our hoses,our book,measured\n";
        let limits = read_limits(own)
            .expect("reads")
            .before(SettingLimits::shipped());
        assert!((limits.stop_bar() - 12.0).abs() < 1e-12);
        assert!(
            limits
                .row("level", Some(StageDesign::BalancedPiston))
                .is_some()
        );
        assert_eq!(limits.name, "ours");
    }

    #[test]
    fn a_wrong_line_is_named() {
        for (row, why) in [
            ("ours,stop,,0,12,mm,,,memory", "given in"),
            ("ours,halt,,0,12,bar,,,memory", "no limit"),
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
    }
}
