//! Readings of a setting judged: level, supply effect, lock-up, creep, scatter, and what stops the work.

use super::creep::{CreepCall, CreepLimit, CreepSeries, CreepVerdict, judge_creep};
use super::design::StageDesign;
use super::gauge::GaugeStanding;
use super::limits::{SettingLimit, SettingLimits};
use super::reading::{SettingReading, SupplyRating};
use super::trend::{DesignGroup, Trend, infer_design};
use crate::core::gland::Verdict;
use crate::core::quantity::{Pressure, PressureUnit};
use serde::Serialize;

/// Holds what is asked about a setting.
#[derive(Debug, Clone)]
pub struct SettingQuestion {
    /// Readings at lock-up.
    pub readings: Vec<SettingReading>,
    /// Seconds until the needle stood after a purge.
    pub lock_up_s: Option<f64>,
    /// The watched series after lock-up: seconds and bar.
    pub creep: Vec<(f64, f64)>,
    /// The gauge.
    pub gauge: GaugeStanding,
    /// The design, where it is known.
    pub design: Option<StageDesign>,
    /// Ratings of the parts of the unit.
    pub ratings: Vec<SupplyRating>,
    /// The limits.
    pub limits: SettingLimits,
}

/// Holds one check.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SettingCheck {
    /// What is checked.
    pub name: &'static str,
    /// The value.
    pub value: f64,
    /// Low end of the limit.
    pub low: f64,
    /// High end of the limit.
    pub high: f64,
    /// Unit of the three.
    pub unit: String,
    /// The verdict.
    pub verdict: Verdict,
    /// What the limit says.
    pub rule: String,
    /// Where it comes from, with how well it is known.
    pub source: String,
}

/// Names why the work stops.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum StopRule {
    /// Above the stop limit.
    Runaway,
    /// Above the recorded rating of a part.
    Rating,
}

/// Says that the work stops, and what to do first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stop {
    /// Why.
    pub rule: StopRule,
    /// The sentence.
    pub words: String,
}

/// Holds the judged setting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SettingReport {
    /// What stops the work; first of all.
    pub stops: Vec<Stop>,
    /// Worst verdict of the checks; `None` where nothing could be checked.
    pub verdict: Option<Verdict>,
    /// The checks.
    pub checks: Vec<SettingCheck>,
    /// What the verdict leaves out, because it was not read.
    pub not_checked: Vec<&'static str>,
    /// The design that the limits were taken for; `None`: any.
    pub design: Option<StageDesign>,
    /// What the trend of the readings says.
    pub trend: Option<Trend>,
    /// Readings put right for the gauge: supply and pressure in bar.
    pub corrected_bar: Vec<(f64, f64)>,
    /// The gauge in words.
    pub gauge: String,
    /// Whether the gauge is registered and checked in time.
    pub gauge_known: bool,
    /// Standard uncertainty of the level, in bar.
    pub level_sd_bar: f64,
    /// The watched series.
    pub creep: Option<CreepVerdict>,
    /// Name of the set of limits.
    pub limits: String,
    /// Points to see before relying on it.
    pub warnings: Vec<String>,
}

/// Standard uncertainty of one reading against another on the same gauge, in bar: friction of 5 N on 461 mm² as the
/// greatest error (±0.108 bar, uniform) and a needle read to 0.5 psi.
pub const READING_SD_BAR: f64 = 0.07;
/// The same in a watched series, where nothing moves: resolution and stiction of the needle.
const WATCHED_SD_BAR: f64 = 0.025;
/// A pressure typed as the limit itself is inside it, whatever the conversion of units leaves over.
const ROUND_OFF: f64 = 1e-9;
/// Supplies that agree within this share are one supply.
const SAME_SUPPLY: f64 = 0.03;

/// Finds what stops the work: a pressure above the stop limit, or above a recorded rating.
pub fn stops(question: &SettingQuestion) -> Vec<Stop> {
    let offset = question.gauge.offset_bar();
    let worst = question
        .readings
        .iter()
        .map(SettingReading::bar)
        .chain(question.creep.iter().map(|p| p.1))
        // The shown pressure counts as well, because an offset may be wrong.
        .fold(f64::NEG_INFINITY, |most, bar| {
            most.max(bar).max(bar - offset)
        });
    let supply = question
        .readings
        .iter()
        .map(SettingReading::supply_bar)
        .fold(f64::NEG_INFINITY, f64::max);
    let mut found = Vec::new();
    let stop = question.limits.stop_bar();
    if worst > stop {
        found.push(Stop {
            rule: StopRule::Runaway,
            words: format!(
                "STOP: {} is above the stop limit of {}. Close the supply first, then vent through the second stage or the relief valve; keep clear of hose and gauge. Do not touch the adjuster under pressure",
                shown(worst),
                shown(stop)
            ),
        });
    }
    for rating in &question.ratings {
        let (seen, on) = if rating.on_supply {
            (supply, "supply")
        } else {
            (worst, "intermediate pressure")
        };
        let rated = rating.rating.gauge_in(PressureUnit::Bar);
        if seen > rated {
            found.push(Stop {
                rule: StopRule::Rating,
                words: format!(
                    "STOP: the {on} of {} is above the recorded rating of the {} ({}). Close the supply first, then vent; do not pressurise it so again",
                    shown(seen),
                    rating.part,
                    shown(rated)
                ),
            });
        }
    }
    found
}

fn shown(bar: f64) -> String {
    let psi =
        Pressure::gauge(bar, PressureUnit::Bar).map_or(f64::NAN, |p| p.gauge_in(PressureUnit::Psi));
    format!("{bar:.1} bar ({psi:.0} psi)")
}

/// Judges a setting.
pub fn judge_setting(question: &SettingQuestion) -> SettingReport {
    let offset = question.gauge.offset_bar();
    let corrected: Vec<(f64, f64)> = question
        .readings
        .iter()
        .map(|reading| (reading.supply_bar(), reading.bar() - offset))
        .collect();
    let trend = two_supplies(&corrected)
        .then(|| infer_design(&corrected, READING_SD_BAR))
        .flatten();
    let design = question.design.or_else(|| named_design(trend.as_ref()));
    let belongs = creep_belongs(question);
    let creep = judge_creep(
        &CreepSeries {
            points: if belongs {
                question.creep.clone()
            } else {
                Vec::new()
            },
            reading_sd_bar: WATCHED_SD_BAR,
        },
        CreepLimit {
            bar_per_min: question.limits.creep_bar_per_min(),
        },
    );
    let maker = Checks {
        question,
        design,
        corrected: &corrected,
    };
    let checks = maker.all(trend.as_ref(), creep.as_ref());
    let stops = stops(question);
    SettingReport {
        verdict: worst(&stops, &checks),
        warnings: warnings(question, trend.as_ref(), (creep.as_ref(), belongs)),
        not_checked: not_checked(question, &checks, trend.is_some()),
        stops,
        checks,
        design,
        trend,
        corrected_bar: corrected,
        gauge: question.gauge.words(),
        gauge_known: question.gauge.is_known(),
        level_sd_bar: libm::hypot(question.gauge.sd_bar(), READING_SD_BAR),
        creep,
        limits: question.limits.name.clone(),
    }
}

/// Tells whether the watched series lies between half of the least reading and twice the greatest: one that does not was read
/// on something else, or in another unit.
fn creep_belongs(question: &SettingQuestion) -> bool {
    let read = || question.readings.iter().map(SettingReading::bar);
    let least = read().fold(f64::INFINITY, f64::min);
    let greatest = read().fold(0.0, f64::max);
    question.readings.is_empty()
        || question
            .creep
            .iter()
            .all(|(_, bar)| (0.5 * least..=2.0 * greatest).contains(bar))
}

fn two_supplies(points: &[(f64, f64)]) -> bool {
    let most = points.iter().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max);
    points.iter().any(|p| p.0 < most * (1.0 - SAME_SUPPLY))
}

/// A group of one design names it; the balanced pair share their limits, so that either serves.
fn named_design(trend: Option<&Trend>) -> Option<StageDesign> {
    match trend?.named? {
        DesignGroup::UnbalancedPiston => Some(StageDesign::UnbalancedPiston),
        DesignGroup::UnbalancedDiaphragm => Some(StageDesign::UnbalancedDiaphragm),
        DesignGroup::Balanced => Some(StageDesign::BalancedPiston),
    }
}

fn worst(stops: &[Stop], checks: &[SettingCheck]) -> Option<Verdict> {
    if !stops.is_empty() {
        return Some(Verdict::Reject);
    }
    let rank = |verdict: Verdict| match verdict {
        Verdict::Good => 0,
        Verdict::Marginal => 1,
        Verdict::Reject => 2,
    };
    checks.iter().map(|c| c.verdict).max_by_key(|v| rank(*v))
}

struct Checks<'q> {
    question: &'q SettingQuestion,
    design: Option<StageDesign>,
    corrected: &'q [(f64, f64)],
}

impl Checks<'_> {
    fn all(&self, trend: Option<&Trend>, creep: Option<&CreepVerdict>) -> Vec<SettingCheck> {
        let mut checks = self.levels();
        checks.extend(self.slope(trend));
        checks.extend(self.scatter());
        checks.extend(self.lock_up());
        checks.extend(self.creep(creep));
        checks
    }

    fn row(&self, limit: &str) -> Option<&SettingLimit> {
        self.question.limits.row(limit, self.design)
    }

    /// The level counts at the highest supply; an unbalanced diaphragm also at the lowest, where it stands highest.
    fn levels(&self) -> Vec<SettingCheck> {
        let high = self.corrected.iter().max_by(|a, b| a.0.total_cmp(&b.0));
        let low = self.corrected.iter().min_by(|a, b| a.0.total_cmp(&b.0));
        let mut checks: Vec<SettingCheck> = high
            .into_iter()
            .filter_map(|point| self.level("level at the highest supply", point.1))
            .collect();
        if self.design == Some(StageDesign::UnbalancedDiaphragm) && two_supplies(self.corrected) {
            checks.extend(low.and_then(|p| self.level("level at the lowest supply", p.1)));
        }
        checks
    }

    fn level(&self, name: &'static str, bar: f64) -> Option<SettingCheck> {
        let row = self.row("level")?;
        let value = in_unit(bar, &row.unit);
        let within = |row: &SettingLimit| {
            let value = in_unit(bar, &row.unit);
            (row.low - ROUND_OFF..=row.high + ROUND_OFF).contains(&value)
        };
        let alone = self
            .row("left alone")
            .filter(|alone| alone.design.is_some() == row.design.is_some());
        let verdict = if within(row) {
            Verdict::Good
        } else if alone.is_some_and(within) {
            Verdict::Marginal
        } else {
            Verdict::Reject
        };
        Some(check(name, value, row, verdict))
    }

    fn slope(&self, trend: Option<&Trend>) -> Option<SettingCheck> {
        let trend = trend?;
        // Without a stated design the slope has named it, and cannot be checked against it.
        self.question.design?;
        let row = self.row("slope")?;
        // Twice the doubt is allowed before a slope counts as outside.
        let slack = 2.0 * trend.slope_sd;
        let verdict = if (row.low..=row.high).contains(&trend.slope) {
            Verdict::Good
        } else if (row.low - slack..=row.high + slack).contains(&trend.slope) {
            Verdict::Marginal
        } else {
            Verdict::Reject
        };
        Some(check("supply effect", trend.slope, row, verdict))
    }

    fn scatter(&self) -> Option<SettingCheck> {
        let row = self.row("scatter")?;
        let spread = self
            .corrected
            .iter()
            .flat_map(|a| self.corrected.iter().map(move |b| (a, b)))
            .filter(|(a, b)| (a.0 - b.0).abs() <= SAME_SUPPLY * a.0.max(b.0))
            .map(|(a, b)| (a.1 - b.1).abs())
            .fold(0.0, f64::max);
        let repeated = self.corrected.len() > 1 && self.has_repeats();
        let value = in_unit(spread, &row.unit);
        repeated.then(|| {
            check(
                "scatter at one supply",
                value,
                row,
                at_most(value, row.high),
            )
        })
    }

    fn has_repeats(&self) -> bool {
        let points = self.corrected;
        (1..points.len()).any(|i| {
            points[..i]
                .iter()
                .any(|p| (p.0 - points[i].0).abs() <= SAME_SUPPLY * p.0.max(points[i].0))
        })
    }

    fn lock_up(&self) -> Option<SettingCheck> {
        let (row, value) = (self.row("lock-up")?, self.question.lock_up_s?);
        Some(check("lock-up", value, row, at_most(value, row.high)))
    }

    fn creep(&self, creep: Option<&CreepVerdict>) -> Option<SettingCheck> {
        let (row, creep) = (self.row("creep")?, creep?);
        let unit = row.unit.split('/').next().unwrap_or("bar");
        let value = in_unit(creep.bar_per_min * 15.0, unit);
        let verdict = match creep.call {
            CreepCall::Still => Verdict::Good,
            CreepCall::Wait => Verdict::Marginal,
            CreepCall::Creeps | CreepCall::Falls => Verdict::Reject,
        };
        Some(check("creep", value, row, verdict))
    }
}

/// Lists what a setting is judged by and was not read.
fn not_checked(
    question: &SettingQuestion,
    checks: &[SettingCheck],
    two_supplies: bool,
) -> Vec<&'static str> {
    let read = |name: &str| checks.iter().any(|c| c.name == name);
    [
        ("level", !question.readings.is_empty()),
        ("supply effect", two_supplies),
        ("lock-up", read("lock-up")),
        ("creep", read("creep")),
        ("gauge", question.gauge.is_known()),
    ]
    .into_iter()
    .filter_map(|(name, done)| (!done).then_some(name))
    .collect()
}

fn at_most(value: f64, high: f64) -> Verdict {
    /// A half more than the limit is still only marginal: the limits are recalled round figures.
    const SLACK: f64 = 1.5;
    if value <= high {
        Verdict::Good
    } else if value <= high * SLACK {
        Verdict::Marginal
    } else {
        Verdict::Reject
    }
}

fn check(name: &'static str, value: f64, row: &SettingLimit, verdict: Verdict) -> SettingCheck {
    SettingCheck {
        name,
        value,
        low: row.low,
        high: row.high,
        unit: row.unit.clone(),
        verdict,
        rule: row.words.clone(),
        source: format!("{} ({})", row.source, row.confidence),
    }
}

fn in_unit(bar: f64, unit: &str) -> f64 {
    match unit {
        "psi" => bar * PressureUnit::Bar.pascals() / PressureUnit::Psi.pascals(),
        _ => bar,
    }
}

fn warnings(
    question: &SettingQuestion,
    trend: Option<&Trend>,
    (creep, belongs): (Option<&CreepVerdict>, bool),
) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(trend) = trend {
        let stated = question.design.map(DesignGroup::of);
        match (stated, trend.named) {
            (Some(stated), Some(named)) if stated != named => notes.push(format!(
                "the readings fall or rise with the supply as a stage of another design would ({}): another inside than stated, a worn edge, or a slip of reading",
                named.words()
            )),
            (None, None) => notes.push(
                "the design cannot be told from these readings: read again with supplies further apart (near full, and near 35 bar)".to_owned(),
            ),
            _ => {}
        }
    } else {
        notes.push("one supply only: read at a high and a low supply, because the design and a worn seat show in the difference".to_owned());
    }
    match creep.map(|c| c.call) {
        None if !belongs => notes.push("the watched series lies far from the readings, so that it was not counted: look at its unit, or watch again".to_owned()),
        None => notes.push("creep not watched: read after 1, 5 and 15 minutes, over night for gear from store".to_owned()),
        Some(CreepCall::Creeps) => notes.push("it creeps: a dirty or ringed seat makes it creep and then free-flow; piston and spring hardly wear (common practice, no source)".to_owned()),
        Some(CreepCall::Falls) => notes.push("it falls: gas is lost downstream; look at hose, second stage and gauge before the seat".to_owned()),
        Some(CreepCall::Still | CreepCall::Wait) => {}
    }
    if question.lock_up_s.is_none() {
        notes.push("lock-up not timed: purge, and count until the needle stands".to_owned());
    }
    notes
}
