//! Readings of a setting judged: level, supply effect, lock-up, creep, scatter.

use super::creep::{CreepCall, CreepLimit, CreepVerdict, judge_creep};
use super::design::StageDesign;
use super::gauge::GaugeStanding;
use super::limits::{SettingLimit, SettingLimits};
use super::reading::{SettingReading, SupplyRating};
use super::stop::{OutletBound, Stop, stops};
use super::trend::{DesignGroup, Trend, infer_design, slope_alone};
use super::warning::SettingWarning;
use crate::core::gear::GearKind;
use crate::core::gland::Verdict;
use crate::core::quantity::PressureUnit;
use crate::core::quantity::Spoken;
use crate::core::word::words;
use serde::Serialize;

/// What is asked about a setting.
#[derive(Debug, Clone)]
pub struct SettingQuestion {
    /// Readings at lock-up.
    pub readings: Vec<SettingReading>,
    /// Seconds until the needle stood after a purge.
    pub lock_up_s: Option<f64>,
    /// The watched series after lock-up: seconds and bar.
    pub creep: Vec<(f64, f64)>,
    pub gauge: GaugeStanding,
    /// The kind of gear, as stated or as the job's record says; `None` where nobody said, see [`SettingQuestion::kind`].
    pub gear: Option<GearKind>,
    pub design: Option<StageDesign>,
    /// Ratings of the parts of the unit.
    pub ratings: Vec<SupplyRating>,
    pub limits: SettingLimits,
}

impl SettingQuestion {
    /// Returns the kind of gear that the setting is judged as.
    pub fn kind(&self) -> GearKind {
        self.gear.unwrap_or(GearKind::ASSUMED)
    }
}

/// Names what of a setting is checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum CheckName {
    /// The level at the highest supply.
    #[serde(rename = "level at the highest supply")]
    HighLevel,
    /// The level at the lowest supply.
    #[serde(rename = "level at the lowest supply")]
    LowLevel,
    /// How the level changes with the supply.
    #[serde(rename = "supply effect")]
    SupplyEffect,
    /// How far readings at one supply lie apart.
    #[serde(rename = "scatter at one supply")]
    Scatter,
    /// Time until the needle stands.
    #[serde(rename = "lock-up")]
    LockUp,
    /// The rise after lock-up.
    #[serde(rename = "creep")]
    Creep,
}

words!(CheckName {
    HighLevel => "level at the highest supply",
    LowLevel => "level at the lowest supply",
    SupplyEffect => "supply effect",
    Scatter => "scatter at one supply",
    LockUp => "lock-up",
    Creep => "creep",
});

impl std::fmt::Display for CheckName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}

/// Names what a setting is judged by and was not read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Unread {
    Level,
    /// Readings at a high and a low supply.
    #[serde(rename = "supply effect")]
    SupplyEffect,
    /// The time of lock-up.
    LockUp,
    /// The watched needle.
    Creep,
    /// A gauge of the register, checked in time.
    Gauge,
}

/// A figure of a setting held against its limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SettingCheck {
    pub name: CheckName,
    pub value: f64,
    /// Low end of the limit.
    pub low: f64,
    /// High end of the limit.
    pub high: f64,
    /// Unit of the three.
    pub unit: String,
    pub verdict: Verdict,
    /// What the limit says.
    pub rule: String,
    /// Where it comes from, with how well it is known.
    pub source: String,
}

impl SettingCheck {
    /// Returns the check in the unit of the reader; a check that is no pressure stays as it is.
    #[must_use]
    pub fn spoken(&self, spoken: Spoken) -> Self {
        /// Limits are round in their own unit: no more digits than that are meant.
        const DIGITS: f64 = 100.0;
        let mut words = self.unit.splitn(2, '/');
        let unit = words.next().unwrap_or("").trim();
        let behind = words.next();
        let is_slope = behind == Some("bar");
        let from = match unit {
            "psi" => Spoken::Psi,
            "bar" if !is_slope => Spoken::Bar,
            _ => return self.clone(),
        };
        if from == spoken {
            return self.clone();
        }
        let factor = spoken.of_bar(1.0) / from.of_bar(1.0);
        let turned = |value: f64| (value * factor * DIGITS).round() / DIGITS;
        Self {
            value: turned(self.value),
            low: turned(self.low),
            high: turned(self.high),
            unit: match behind {
                Some(behind) => format!("{}/{behind}", spoken.word()),
                None => spoken.word().to_owned(),
            },
            ..self.clone()
        }
    }
}

/// The judged setting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SettingReport {
    /// What stops the work; first of all.
    pub stops: Vec<Stop>,
    /// Worst verdict of the checks; `None` where nothing could be checked.
    pub verdict: Option<Verdict>,
    pub checks: Vec<SettingCheck>,
    /// What the verdict leaves out, because it was not read.
    pub not_checked: Vec<Unread>,
    /// The kind of gear that it was judged as.
    pub gear: GearKind,
    /// Whether somebody stated the kind; else it was judged as [`GearKind::ASSUMED`].
    pub gear_stated: bool,
    /// Whether there are limits for the kind; without them only the recorded ratings were checked.
    pub limits_of_kind: bool,
    /// What bounds the pressure behind the seat.
    pub bounded_by: OutletBound,
    /// The recorded ratings that were checked, as they were typed.
    pub ratings: Vec<String>,
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
    /// The unit in which the readings were typed.
    #[serde(skip)]
    pub spoken: Spoken,
    /// The unit in which the supply was typed.
    #[serde(skip)]
    pub supply_spoken: Spoken,
    /// Points to see before relying on it.
    pub warnings: Vec<SettingWarning>,
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

/// Judges a setting.
pub fn judge_setting(question: &SettingQuestion) -> SettingReport {
    let judged = Judged::of(question);
    let (stops, checks) = (stops(question), judged.checks());
    let typed = || question.readings.iter().map(|r| r.text.as_str());
    let gear = question.kind();
    SettingReport {
        verdict: worst(&stops, &checks),
        warnings: judged.warnings(),
        not_checked: judged.not_checked(),
        gear,
        gear_stated: question.gear.is_some(),
        limits_of_kind: question.limits.know(gear),
        bounded_by: judged.bound,
        ratings: question.ratings.iter().map(|r| r.text.clone()).collect(),
        stops,
        checks,
        design: judged.design,
        trend: judged.trend,
        corrected_bar: judged.corrected,
        gauge: question.gauge.words(),
        gauge_known: question.gauge.is_known(),
        level_sd_bar: libm::hypot(question.gauge.sd_bar(), READING_SD_BAR),
        creep: judged.creep,
        limits: question.limits.name.clone(),
        spoken: Spoken::of(typed()),
        supply_spoken: Spoken::of_supply(typed()),
    }
}

/// The slopes of the designs are known of breathing first stages alone; of other gear the slope is told and names nothing.
fn trend_of(gear: GearKind, points: &[(f64, f64)]) -> Option<Trend> {
    if !two_supplies(points) {
        return None;
    }
    match gear {
        GearKind::FirstStage => infer_design(points, READING_SD_BAR),
        _ => slope_alone(points, READING_SD_BAR),
    }
}

/// A series is judged where its kind of gear has a limit.
fn creep_of(question: &SettingQuestion) -> Option<CreepVerdict> {
    let bar_per_min = question.limits.creep_bar_per_min(question.kind())?;
    let limit = CreepLimit { bar_per_min };
    judge_creep(&question.creep, WATCHED_SD_BAR, limit)
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
    checks.iter().map(|check| check.verdict).max()
}

/// A setting with what was found of it: what is checked, and what is warned of.
pub(super) struct Judged<'q> {
    pub(super) question: &'q SettingQuestion,
    /// The design that was stated, else the one that the trend names.
    design: Option<StageDesign>,
    /// Readings put right for the gauge: supply and pressure in bar.
    corrected: Vec<(f64, f64)>,
    pub(super) trend: Option<Trend>,
    pub(super) creep: Option<CreepVerdict>,
    /// Whether the watched series belongs to the readings.
    pub(super) belongs: bool,
    pub(super) bound: OutletBound,
}

impl<'q> Judged<'q> {
    fn of(question: &'q SettingQuestion) -> Self {
        let (gear, belongs) = (question.kind(), creep_belongs(question));
        let corrected = question.gauge.put_right(&question.readings);
        let trend = trend_of(gear, &corrected);
        Self {
            question,
            design: question.design.or_else(|| named_design(trend.as_ref())),
            corrected,
            trend,
            creep: creep_of(question).filter(|_| belongs),
            belongs,
            bound: OutletBound::of(gear, &question.limits, &question.ratings),
        }
    }

    fn checks(&self) -> Vec<SettingCheck> {
        let mut checks = self.levels();
        let others = [self.slope(), self.scatter(), self.lock_up(), self.creep()];
        checks.extend(others.into_iter().flatten());
        checks
    }

    fn row(&self, limit: &str) -> Option<&SettingLimit> {
        self.question
            .limits
            .row(limit, self.question.kind(), self.design)
    }

    /// The level counts at the highest supply; an unbalanced diaphragm also at the lowest, where it stands highest.
    fn levels(&self) -> Vec<SettingCheck> {
        let high = self.corrected.iter().max_by(|a, b| a.0.total_cmp(&b.0));
        let low = self.corrected.iter().min_by(|a, b| a.0.total_cmp(&b.0));
        let mut checks: Vec<SettingCheck> = high
            .into_iter()
            .filter_map(|point| self.level(CheckName::HighLevel, point.1))
            .collect();
        if self.design == Some(StageDesign::UnbalancedDiaphragm) && two_supplies(&self.corrected) {
            checks.extend(low.and_then(|p| self.level(CheckName::LowLevel, p.1)));
        }
        checks
    }

    fn level(&self, name: CheckName, bar: f64) -> Option<SettingCheck> {
        let row = self.row("level")?;
        let value = in_unit(bar, &row.unit);
        let within = |row: &SettingLimit| {
            let value = in_unit(bar, &row.unit);
            (row.low - ROUND_OFF..=row.high + ROUND_OFF).contains(&value)
        };
        let alone = self
            .row("left alone")
            .filter(|alone| alone.design.is_some() == row.design.is_some());
        let verdict = graded(within(row), alone.is_some_and(within));
        Some(check(name, value, row, verdict))
    }

    fn slope(&self) -> Option<SettingCheck> {
        let trend = self.trend.as_ref()?;
        // A slope that has named the design cannot be checked against it.
        if self.question.design.is_none() && !trend.odds.is_empty() {
            return None;
        }
        let row = self.row("slope")?;
        // Twice the doubt is allowed before a slope counts as outside.
        let slack = 2.0 * trend.slope_sd;
        let within = |slack: f64| (row.low - slack..=row.high + slack).contains(&trend.slope);
        let verdict = graded(within(0.0), within(slack));
        Some(check(CheckName::SupplyEffect, trend.slope, row, verdict))
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
        repeated.then(|| check(CheckName::Scatter, value, row, at_most(value, row.high)))
    }

    fn has_repeats(&self) -> bool {
        let points = &self.corrected;
        (1..points.len()).any(|i| {
            points[..i]
                .iter()
                .any(|p| (p.0 - points[i].0).abs() <= SAME_SUPPLY * p.0.max(points[i].0))
        })
    }

    fn lock_up(&self) -> Option<SettingCheck> {
        let (row, value) = (self.row("lock-up")?, self.question.lock_up_s?);
        Some(check(
            CheckName::LockUp,
            value,
            row,
            at_most(value, row.high),
        ))
    }

    fn creep(&self) -> Option<SettingCheck> {
        let (row, creep) = (self.row("creep")?, self.creep.as_ref()?);
        let unit = row.unit.split('/').next().unwrap_or("bar");
        let value = in_unit(creep.bar_per_min * 15.0, unit);
        let verdict = match creep.call {
            CreepCall::Still => Verdict::Good,
            CreepCall::Wait => Verdict::Marginal,
            CreepCall::Creeps | CreepCall::Falls => Verdict::Reject,
        };
        Some(check(CheckName::Creep, value, row, verdict))
    }

    /// Lists what a setting of this kind of gear is judged by and was not read.
    fn not_checked(&self) -> Vec<Unread> {
        let (question, kind) = (self.question, self.question.kind());
        let flow = kind.needs_lock_up_and_creep();
        let watched = question.creep.len() > 1 && self.belongs;
        let (read, supplies) = (!question.readings.is_empty(), self.trend.is_some());
        [
            (Unread::Level, !kind.needs_cracking_effort(), read),
            (Unread::SupplyEffect, kind.needs_two_supplies(), supplies),
            (Unread::LockUp, flow, question.lock_up_s.is_some()),
            (Unread::Creep, flow, watched),
            (Unread::Gauge, true, question.gauge.is_known()),
        ]
        .into_iter()
        .filter_map(|(unread, asked, done)| (asked && !done).then_some(unread))
        .collect()
    }
}

fn at_most(value: f64, high: f64) -> Verdict {
    /// A half more than the limit is still only marginal: the limits are recalled round figures.
    const SLACK: f64 = 1.5;
    graded(value <= high, value <= high * SLACK)
}

/// Grades what lies inside a limit, or inside what is borne beyond it.
fn graded(inside: bool, borne: bool) -> Verdict {
    match (inside, borne) {
        (true, _) => Verdict::Good,
        (false, true) => Verdict::Marginal,
        (false, false) => Verdict::Reject,
    }
}

fn check(name: CheckName, value: f64, row: &SettingLimit, verdict: Verdict) -> SettingCheck {
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
