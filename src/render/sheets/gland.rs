//! The gland sheet: the section to scale, the figures against their limits, the checks with their sources.

use super::gland_section::{self, Section, dimension_words};
use super::limit_chart::LimitChart;
use crate::app::gland::check::GlandCheckReport;
use crate::core::gland::{Bounds, Check, GlandSpec, Verdict};
use crate::core::quantity::LengthUnit;
use crate::render::number::fixed;
use crate::render::page::{
    Flow, Frame, Grid, GridCell, LEADING, NO_BREAK, Pages, Point, Rect, SMALL, Type, wrapped,
};
use crate::render::reports::gland_check::{sources, verdict_word};

const MM_PER_INCH: f64 = 25.4;

/// What the signs of the drawing and the charts mean.
const KEY: &str = "Dark: the ring squeezed, its area kept, flat where it touches. Dashed: the ring free. P: the side of the \
    pressure, where it is stated (left inside, right outside; under a plug the inside is below). The gap is drawn with the parts in the middle. A bar of a chart \
    reaches from the least to the greatest value over all tolerances, the stroke in it is the nominal; hatched: outside the \
    limit.";

/// Lays out the gland sheet.
pub fn gland(report: &GlandCheckReport, spec: &GlandSpec, frame: Frame) -> Pages {
    let mut flow = Flow::new(frame);
    flow.status(verdict_word(report.verdict));
    flow.text(&report.reasons());
    flow.cautions(&report.warnings.cautions);
    let shown = report.checks.iter();
    let shown: Vec<&Check> = shown
        .filter(|check| !check.quiet || check.verdict != Verdict::Good)
        .collect();
    checks(&mut flow, &shown);
    picture(&mut flow, report, spec);
    dimensions(&mut flow, report, spec);
    if !report.warnings.points.is_empty() {
        flow.heading("Before you rely on it");
        flow.list(&report.warnings.points);
    }
    if let Some(back_up) = &report.back_up {
        flow.heading("Back-up rings");
        flow.text(&format!(
            "{}: {}. {}.",
            if back_up.needed {
                "Needed"
            } else {
                "To be considered"
            },
            back_up.side,
            back_up.source
        ));
    }
    flow.heading("Sources, and how the figures are made");
    for source in sources(&shown) {
        flow.small(&source);
    }
    for law in &report.laws {
        flow.small(law);
    }
    flow.finish()
}

/// The section, and beside it the charts.
fn picture(flow: &mut Flow, report: &GlandCheckReport, spec: &GlandSpec) {
    const DRAWN_HIGH: f64 = 250.0;
    const DRAWN_WIDE: f64 = 0.52;
    flow.heading("Section, and figures over tolerance and temperature against the limits");
    let charts = charts(report, flow.frame());
    let charts_high: f64 = charts.iter().map(LimitChart::height).sum();
    let section = Section::of(report, spec);
    let drawn = if section.is_some() { DRAWN_HIGH } else { 40.0 };
    let high = charts_high.max(drawn).min(flow.page_height());
    let corner = Point::new(flow.left(), flow.take(high));
    let width = flow.width();
    if let Some(section) = &section {
        let words = section.words(report, flow.frame());
        let area = Rect::new(corner, width * DRAWN_WIDE, DRAWN_HIGH);
        gland_section::draw(flow.drawing(), area, section, &words, spec.from);
    } else {
        let words = "A dimension of the section is not known; it is not drawn. The figures hold.";
        let style = Type::plain(SMALL);
        let lines = wrapped(words, style, width * DRAWN_WIDE - 20.0);
        let first = corner.by(0.0, SMALL * LEADING);
        flow.drawing().lines(first, style, &lines);
    }
    let right = width * (DRAWN_WIDE + 0.02);
    let mut beside = corner.by(right, 0.0);
    for chart in &charts {
        chart.draw(flow.drawing(), beside, width - right);
        beside.y += chart.height();
    }
    flow.small(KEY);
}

fn dimensions(flow: &mut Flow, report: &GlandCheckReport, spec: &GlandSpec) {
    const HEADS: [&str; 2] = ["dimension", "nominal with tolerance"];
    let mut grid = Grid::new(&[HEADS, HEADS].concat());
    let mut cells = Vec::new();
    let mut add = |name: String, words: String| {
        cells.extend([GridCell::new(name), GridCell::new(words)]);
    };
    for (which, typed) in &spec.dimensions {
        add(
            which.word().to_owned(),
            dimension_words(typed.value, flow.frame()),
        );
    }
    let ring = &report.ring;
    let codes = if ring.codes.is_empty() {
        "by dimensions".to_owned()
    } else {
        ring.codes.join(", ")
    };
    add("ring".to_owned(), codes);
    let with = |nominal, tolerance| crate::core::quantity::Dimension::symmetric(nominal, tolerance);
    add(
        "ring, inside diameter".to_owned(),
        dimension_words(with(ring.id, ring.id_tolerance), flow.frame()),
    );
    add(
        "ring, section".to_owned(),
        dimension_words(with(ring.section, ring.section_tolerance), flow.frame()),
    );
    if let Some(pressure) = &spec.pressure {
        add("pressure".to_owned(), pressure.text.clone());
    }
    for row in cells.chunks(2 * HEADS.len()) {
        grid.row(row.iter().cloned());
    }
    flow.heading("Dimensions");
    flow.grid(&grid);
}

/// One chart for each check that decides and has a limit; lengths in the unit that stands first for the reader.
fn charts(report: &GlandCheckReport, frame: &Frame) -> Vec<LimitChart> {
    let decides = |check: &&Check| {
        let limited = check.low.is_some() || check.high.is_some();
        let at_rest = report
            .states
            .first()
            .is_some_and(|state| state.name == check.state);
        limited && (!check.quiet || check.verdict != Verdict::Good && at_rest)
    };
    let chart = |check: &Check| {
        let same = report
            .checks
            .iter()
            .filter(|other| (other.what, other.unit) == (check.what, check.unit));
        let (unit, per) = match (check.unit, frame.unit) {
            ("mm", LengthUnit::In) => ("in", MM_PER_INCH),
            (unit, _) => (unit, 1.0),
        };
        let bars = same.filter_map(|other| {
            let bounds = other.bounds?;
            let [min, nominal, max] = [bounds.min, bounds.nominal, bounds.max].map(|v| v / per);
            let finite = min.is_finite() && max.is_finite();
            finite.then(|| (other.state.clone(), Bounds { min, nominal, max }))
        });
        LimitChart {
            title: format!("{}, {unit}", check.what),
            bars: bars.collect(),
            low: check.low.map(|low| low / per),
            high: check.high.map(|high| high / per),
        }
    };
    // A gap that cannot open has no bar to draw.
    let opens = |bar: &Bounds| bar.min != 0.0 || bar.max != 0.0;
    let shows = |chart: &LimitChart| chart.bars.iter().any(|(_, bar)| opens(bar));
    report
        .checks
        .iter()
        .filter(decides)
        .map(chart)
        .filter(shows)
        .collect()
}

fn value_words(check: &Check) -> String {
    check.value.map_or_else(
        || "not known".to_owned(),
        |value| format!("{}{NO_BREAK}{}", fixed(value, 2), check.unit),
    )
}

fn allowed_words(check: &Check) -> String {
    let number = |value: Option<f64>| value.map(|v| fixed(v, 2));
    match (number(check.low), number(check.high)) {
        (Some(low), Some(high)) => format!("{low} to {high}{NO_BREAK}{}", check.unit),
        (Some(low), None) => format!("from {low}{NO_BREAK}{}", check.unit),
        (None, Some(high)) => format!("to {high}{NO_BREAK}{}", check.unit),
        (None, None) => check.rule.clone(),
    }
}

fn checks(flow: &mut Flow, shown: &[&Check]) {
    flow.heading("Checks");
    let mut grid = Grid::new(&["check", ">value", "allowed", "verdict"]);
    for check in shown {
        grid.row([
            GridCell::new(check.name.clone()),
            GridCell::new(value_words(check)),
            GridCell::new(allowed_words(check)),
            verdict_cell(check.verdict),
        ]);
    }
    flow.grid(&grid);
}

/// Writes a verdict; one that is not good stands out.
pub(super) fn verdict_cell(verdict: Verdict) -> GridCell {
    match verdict {
        Verdict::Good => GridCell::new(verdict.word()),
        _ => GridCell::bold(verdict.word().to_uppercase()),
    }
}
