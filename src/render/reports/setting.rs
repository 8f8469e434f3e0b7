//! The pages of judged readings, of the gauges, of the limits and of what a stage should do.

use super::warning;
use crate::app::stage::expected::ExpectedReport;
use crate::app::stage::setting::{GaugeReport, JudgedSetting, LimitsReport};
use crate::core::gear::GearKind;
use crate::core::gland::Verdict;
use crate::core::quantity::{Pressure, PressureUnit, Spoken};
use crate::core::stage::{
    CreepCall, CreepVerdict, Gauge, GaugeStanding, OutletBound, SettingCheck, SettingLimit,
    SettingReport, Trend, Unread, warming_bar_per_kelvin,
};
use crate::render::words::day;
use crate::render::{
    Cell, Column, DECISION, Document, Report, Sheet, Table, both, fixed, in_rows, on_page,
    percent_of, sheet, table,
};

/// Writes a small pressure in the unit of the reader.
pub(super) fn small(bar: f64, spoken: Spoken) -> String {
    format!("{} {}", small_figure(bar, spoken), spoken.word())
}

/// Writes the figure alone: a tenth of a psi, or a hundredth of a bar.
pub(super) fn small_figure(bar: f64, spoken: Spoken) -> String {
    let places = match spoken {
        Spoken::Bar => 2,
        Spoken::Psi => 1,
    };
    fixed(spoken.of_bar(bar), places)
}

/// Writes a small pressure with its doubt.
pub(super) fn doubted(bar: f64, sd: f64, spoken: Spoken) -> String {
    format!("{} ± {}", small_figure(bar, spoken), small(sd, spoken))
}

/// Adds what names a pressure: in the unit of the reader, and where everything is shown in both.
pub(super) fn in_unit(
    page: &mut Document,
    spoken: Spoken,
    write: impl Fn(&mut Document, &dyn Fn(f64) -> String),
) {
    page.in_short(|page| write(page, &|bar| small(bar, spoken)));
    page.rest(|page| {
        write(page, &|bar| {
            let other = match spoken {
                Spoken::Bar => Spoken::Psi,
                Spoken::Psi => Spoken::Bar,
            };
            format!("{} ({})", small(bar, spoken), small(bar, other))
        });
    });
}

impl Report for JudgedSetting {
    fn lay_out(&self, page: &mut Document) {
        let stops = self.setting.stops.iter().map(|stop| {
            let mut row = vec![Cell::Empty; 7];
            (row[0], row[5], row[6]) = ("stop".into(), "STOP".into(), (&stop.words).into());
            row
        });
        let checks = sheet(&CHECKS, &self.setting.checks);
        page.rows(Sheet {
            rows: stops.chain(checks.rows).collect(),
            ..checks
        });
        setting_blocks(&self.setting, page, 1);
        if let Some(from) = &self.from_record {
            page.text(format!(
                "The readings are those of job {}, entry {} ({}, by {}, {}).",
                from.job,
                from.entry,
                from.state.word(),
                from.person,
                day(&from.added_at)
            ));
        }
        page.cautions(&self.cautions);
        page.fits(DECISION);
    }
}

/// Lays a judged setting out; `level` is that of its heading.
pub(super) fn setting_blocks(setting: &SettingReport, page: &mut Document, level: u8) {
    in_unit(page, setting.spoken, |page, said| {
        page.heading(level, headline(setting, said));
    });
    for stop in &setting.stops {
        page.caution(stop.words.clone());
    }
    if !setting.not_checked.is_empty() {
        let unread: Vec<&str> = setting.not_checked.iter().map(|u| unread(*u)).collect();
        page.text(format!("NOT checked: {}.", unread.join(", ")));
    }
    if let Some(trend) = &setting.trend {
        page.text(trend_words(trend, setting));
        page.reasons(|page| page.text(odds_words(trend)));
    }
    let checks = setting.checks.iter();
    let checks: Vec<_> = checks.map(|c| c.spoken(setting.spoken)).collect();
    page.table(table(&CHECKS, &checks));
    if let Some(creep) = &setting.creep {
        page.text(creep_words(creep, setting.spoken));
    }
    if let Some(kelvin) = warmed(setting).filter(|_| setting.creep.is_some()) {
        let kelvin = small(kelvin, setting.spoken);
        let words = format!(
            "Warming by 1 K alone raises trapped gas here by {kelvin}: let the temperature settle, out of the sun."
        );
        page.rest(|page| page.text(words));
    }
    page.brief(
        setting
            .warnings
            .iter()
            .map(|found| warning::words(found, setting.spoken)),
    );
    page.if_room(|page| {
        page.text(format!(
            "Gauge: {}. One reading is known to ± {} (one standard uncertainty). {}",
            setting.gauge,
            small(setting.level_sd_bar, setting.spoken),
            held_against(setting)
        ));
    });
}

const CHECKS: [Column<SettingCheck>; 9] = [
    both("check", "check", |check| check.name.word().into()),
    both(">value", "value", |check| match check.unit.as_str() {
        "bar/bar" => Cell::figure(check.value, 4, 5),
        unit if unit.starts_with("bar") => Cell::figure(check.value, 2, 5),
        _ => Cell::figure(check.value, 1, 5),
    }),
    in_rows("low", |check| Cell::rounded(check.low, 5)),
    in_rows("high", |check| Cell::rounded(check.high, 5)),
    on_page("limit", |check| {
        format!("{} to {}", check.low, check.high).into()
    }),
    both("unit", "unit", |check| (&check.unit).into()),
    both("", "verdict", |check| check.verdict.into()),
    on_page("~rule", |check| (&check.rule).into()),
    both("~source", "source", |check| (&check.source).into()),
];

/// Says what the readings were held against.
fn held_against(setting: &SettingReport) -> String {
    let ratings = match setting.ratings.as_slice() {
        [] => "none recorded".to_owned(),
        texts => texts.join("; "),
    };
    if !setting.limits_of_kind {
        format!("Kind of gear: {}. Ratings: {ratings}.", setting.gear)
    } else if setting.gear_stated {
        format!(
            "Kind of gear: {}. Limits: {}.",
            setting.gear, setting.limits
        )
    } else {
        format!("Limits: {}.", setting.limits)
    }
}

const fn unread(unread: Unread) -> &'static str {
    match unread {
        Unread::Level => "level",
        Unread::SupplyEffect => "supply effect",
        Unread::LockUp => "lock-up",
        Unread::Creep => "creep",
        Unread::Gauge => "gauge",
    }
}

/// What a kelvin does to the gas behind a closed seat at the highest supply, at room temperature.
fn warmed(setting: &SettingReport) -> Option<f64> {
    const ROOM: f64 = 20.0;
    let top = highest(setting)?;
    let pressure = Pressure::gauge(top.1, PressureUnit::Bar)?;
    Some(warming_bar_per_kelvin(pressure, ROOM))
}

/// Returns the highest supply that was read, with the pressure there.
fn highest(setting: &SettingReport) -> Option<&(f64, f64)> {
    let read = setting.corrected_bar.iter();
    read.max_by(|a, b| a.0.total_cmp(&b.0))
}

fn headline(setting: &SettingReport, said: &dyn Fn(f64) -> String) -> String {
    let verdict = match (setting.stops.is_empty(), setting.verdict) {
        (false, _) => "STOP".to_owned(),
        (true, Some(Verdict::Good)) if !setting.not_checked.is_empty() => "GOOD so far".to_owned(),
        (true, Some(verdict)) => verdict.word().to_uppercase(),
        (true, None) if setting.limits_of_kind => "Nothing to judge yet".to_owned(),
        (true, None) if setting.bounded_by == OutletBound::RecordedRatings => {
            "NO LIMITS for this kind of gear, within the recorded ratings".to_owned()
        }
        (true, None) => "NO LIMITS for this kind of gear".to_owned(),
    };
    match highest(setting) {
        Some((supply, bar)) => format!(
            "{verdict}: {} at {} of supply",
            said(*bar),
            setting.supply_spoken.say(*supply)
        ),
        None => verdict,
    }
}

/// So much more supply is felt, in the unit in which it was typed.
const fn more_supply(spoken: Spoken) -> f64 {
    match spoken {
        Spoken::Bar => 100.0,
        Spoken::Psi => 1000.0,
    }
}

/// Says what more supply does to a pressure: `slope` is in bar a bar, so that it holds in any unit.
fn effect_words(slope: f64, sd: Option<f64>, spoken: Spoken, supply: Spoken) -> String {
    let more = more_supply(supply);
    let bar = more / supply.of_bar(1.0);
    let effect = match sd {
        Some(sd) => doubted(slope * bar, sd * bar, spoken),
        None => small(slope * bar, spoken),
    };
    format!("{effect} for {more:.0} {} more supply", supply.word())
}

fn trend_words(trend: &Trend, setting: &SettingReport) -> String {
    let effect = effect_words(
        trend.slope,
        Some(trend.slope_sd),
        setting.spoken,
        setting.supply_spoken,
    );
    if trend.odds.is_empty() {
        return format!("Supply effect: {effect}.");
    }
    let named = match trend.named {
        Some(group) => format!(
            "Points to: {}, {}",
            group.word(),
            percent_of(trend.named_probability)
        ),
        None => "Design: cannot tell".to_owned(),
    };
    format!("{named} ({effect}).")
}

fn odds_words(trend: &Trend) -> String {
    if trend.odds.is_empty() {
        return String::new();
    }
    let odds = trend.odds.iter();
    let odds = odds.map(|o| format!("{} {}", o.design, percent_of(o.probability)));
    format!("Odds: {}.", odds.collect::<Vec<_>>().join(", "))
}

fn creep_words(creep: &CreepVerdict, spoken: Spoken) -> String {
    let rate = format!(
        "{} per 15 min, watched for {} min",
        doubted(
            creep.bar_per_min * 15.0,
            creep.sd_bar_per_min * 15.0,
            spoken
        ),
        fixed(creep.watched_s / 60.0, 1)
    );
    match creep.call {
        CreepCall::Still => format!("Creep: still ({rate})."),
        CreepCall::Creeps => format!("Creep: CREEPS ({rate})."),
        CreepCall::Falls => format!("Creep: FALLS ({rate})."),
        CreepCall::Wait => match creep.watch_until_s {
            Some(until) => format!(
                "Creep: too early to tell ({rate}); watch for {} min in all, reading at the same intervals.",
                fixed((until / 60.0).ceil(), 0)
            ),
            None => format!(
                "Creep: too near the limit to tell within an hour ({rate}); treat it as failed, or watch overnight."
            ),
        },
    }
}

impl Report for GaugeReport {
    fn lay_out(&self, page: &mut Document) {
        page.title("Gauges");
        let known = self.gauges.iter().filter_map(|standing| match standing {
            GaugeStanding::Known { entry } | GaugeStanding::Overdue { entry, .. } => {
                Some((entry, standing.is_known()))
            }
            _ => None,
        });
        page.table(table(&gauge_columns(), &known.collect::<Vec<_>>()));
        if self.gauges.is_empty() {
            page.text("No gauge is entered: `ringwright setting gauge add NAME --checked DATE --against WORDS` enters one.");
        }
    }
}

/// A gauge of the register, and whether its check still stands.
type KnownGauge<'g> = (&'g Gauge, bool);

fn gauge_columns<'g>() -> [Column<KnownGauge<'g>>; 6] {
    [
        on_page("gauge", |(gauge, _)| (&gauge.name).into()),
        on_page(">shows too much", |(gauge, _)| {
            own_unit(gauge, gauge.offset_bar)
        }),
        on_page(">±", |(gauge, _)| own_unit(gauge, gauge.sd_bar)),
        on_page("checked", |(gauge, _)| gauge.checked.into()),
        on_page("against", |(gauge, _)| (&gauge.against).into()),
        on_page("", |(_, stands)| {
            if *stands { "" } else { "CHECK OVERDUE" }.into()
        }),
    ]
}

/// Writes a pressure in the unit in which the gauge was checked.
fn own_unit(gauge: &Gauge, bar: f64) -> Cell {
    small(bar, Spoken::written(gauge.offset_bar)).into()
}

impl Report for LimitsReport {
    fn lay_out(&self, page: &mut Document) {
        page.title(format!("Limits of a setting: {}", self.set));
        page.listed(&LIMITS, &self.rows);
        page.text("To have your own: write them with --format csv to setting_limits.csv in the data folder (or any \
            file, for --limits) and edit the rows; your row outranks the shipped one.");
    }
}

const LIMITS: [Column<SettingLimit>; 12] = [
    in_rows("set", |row| (&row.set).into()),
    in_rows("gear", |row| row.gear.map(GearKind::word).into()),
    both("limit", "limit", |row| (&row.limit).into()),
    on_page("gear", |row| row.gear.map_or("any", GearKind::word).into()),
    both("design", "design", |row| {
        Cell::shown(row.design.as_deref().unwrap_or("any"), row.design.as_ref())
    }),
    both(">low", "low", |row| row.low.into()),
    both(">high", "high", |row| row.high.into()),
    both("unit", "unit", |row| (&row.unit).into()),
    on_page("set", |row| (&row.set).into()),
    both("words", "words", |row| (&row.words).into()),
    both("source", "source", |row| {
        Cell::shown(format!("{} ({})", row.source, row.confidence), &row.source)
    }),
    in_rows("confidence", |row| row.confidence.into()),
];

impl Report for ExpectedReport {
    fn lay_out(&self, page: &mut Document) {
        page.title(format!("What this {} should do", self.stage.design()));
        let word = self.spoken.word();
        let heads = [
            format!(">supply {}", self.supply_spoken.word()),
            format!(">just closed {word}"),
            format!(">lock-up {word}"),
            format!(">flowing {word}"),
        ];
        let mut table = Table::new(&heads.each_ref().map(String::as_str));
        for point in &self.points {
            let flowing = point.flowing_bar;
            table.row([
                fixed(self.supply_spoken.of_bar(point.supply_bar), 0),
                small_figure(point.balance_bar, self.spoken),
                small_figure(point.lock_up_bar, self.spoken),
                flowing.map_or_else(|| "-".to_owned(), |bar| small_figure(bar, self.spoken)),
            ]);
        }
        page.table(table);
        let doubt = self
            .spring_sd_n
            .map_or_else(String::new, |sd| format!(" ± {}", fixed(sd, 1)));
        page.text(format!(
            "Effective area {} mm²; spring force {}{doubt} N; {}.",
            fixed(self.balance.effective_mm2, 1),
            fixed(self.spring_n, 1),
            effect_words(self.slope, None, self.spoken, self.supply_spoken)
        ));
        if let Some(friction) = self.friction_bar {
            page.text(format!(
                "Friction spreads readings by ± {}.",
                small(friction, self.spoken)
            ));
        }
        if let Some(rise) = self.rise_bar_per_mm {
            page.text(format!(
                "A shim of 0.25 mm adds {}.",
                small(rise * 0.25, self.spoken)
            ));
        }
        if let Some(seat) = self.explained_seat {
            page.text(format!(
                "A sealing circle of {} ± {} mm explains the readings.",
                fixed(seat.diameter.mm(), 2),
                fixed(seat.sd_mm, 2)
            ));
        }
        if let Some((ambient, whole)) = self.at_depth_bar {
            page.text(format!(
                "At that depth ambient pressure is {} above the surface's. The set pressure stays the same above \
                    ambient; from the surface it reads {}. A sealed chamber may add to it.",
                small(ambient, self.spoken),
                small(whole, self.spoken)
            ));
        }
        page.list(self.warnings.iter().cloned());
        if let Some(celsius) = self.sudden_fill_celsius {
            page.caution(format!(
                "Open the valve slowly: gas let in at once heats towards {} °C (ideal, an upper bound), and rubber catches fire in oxygen from about 400 °C (recalled).",
                fixed(celsius, 0)
            ));
        }
        page.cautions(&self.cautions);
    }
}
