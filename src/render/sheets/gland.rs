//! The gland sheet: the section to scale, the figures against their limits, the checks with their sources.

use super::gland_section::{self, Section, dimension_words};
use super::limit_chart::LimitChart;
use crate::app::gland_check::{GlandCheckReport, StateShown};
use crate::core::gland::{Bounds, Check, GlandSpec};
use crate::core::quantity::LengthUnit;
use crate::render::number::fixed;
use crate::render::page::{
    Flow, Frame, Grid, GridCell, LEADING, NO_BREAK, Pages, SMALL, Type, wrapped,
};

const MM_PER_INCH: f64 = 25.4;

/// What the signs of the drawing and the charts mean.
const KEY: &str = "Dark: the ring squeezed, its area kept, flat where it touches. Dashed: the ring free. P: the side of the \
    pressure, where it is stated (left inside, right outside; under a plug the inside is below). The gap is drawn with the parts in the middle. A bar of a chart \
    reaches from the least to the greatest value over all tolerances, the stroke in it is the nominal; hatched: outside the \
    limit.";

/// Lays out the gland sheet.
pub fn gland(report: &GlandCheckReport, spec: &GlandSpec, frame: Frame) -> Pages {
    let mut flow = Flow::new(frame);
    flow.lead(&format!(
        "Verdict: {}",
        report.verdict.word().to_uppercase()
    ));
    flow.list(report.warnings.points.iter().map(String::as_str));
    flow.cautions(&report.warnings.cautions);
    picture(&mut flow, report, spec);
    dimensions(&mut flow, report, spec);
    checks(&mut flow, report);
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
    flow.heading("How the figures are made");
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
    let top = flow.take(high);
    let (left, width) = (flow.left(), flow.width());
    if let Some(section) = &section {
        let words = section.words(report, flow.frame());
        let area = ((left, top), (width * DRAWN_WIDE, DRAWN_HIGH));
        gland_section::draw(flow.drawing(), area, (section, &words), spec.from);
    } else {
        let words = "A dimension of the section is not known; it is not drawn. The figures hold.";
        let style = Type::plain(SMALL);
        for (at, line) in wrapped(words, style, width * DRAWN_WIDE - 20.0)
            .iter()
            .enumerate()
        {
            let y = top + SMALL * LEADING * (at + 1) as f64;
            flow.drawing().text((left, y), style, line);
        }
    }
    let mut y = top;
    let x = left + width * (DRAWN_WIDE + 0.02);
    for chart in &charts {
        chart.draw(flow.drawing(), (x, y), left + width - x);
        y += chart.height();
    }
    flow.small(KEY);
}

fn dimensions(flow: &mut Flow, report: &GlandCheckReport, spec: &GlandSpec) {
    let mut grid = Grid::new(&["dimension", "nominal with tolerance"]);
    let mut add =
        |name: String, words: String| grid.row([GridCell::new(name), GridCell::new(words)]);
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
    flow.heading("Dimensions");
    flow.grid(&grid);
}

/// The gap is charted in the unit that stands first for the reader.
fn charts(report: &GlandCheckReport, frame: &Frame) -> Vec<LimitChart> {
    let (gap_title, gap_unit) = match frame.unit {
        LengthUnit::In => ("diametral gap, in", MM_PER_INCH),
        _ => ("diametral gap, mm", 1.0),
    };
    let limits = |word: &str, unit: &str| {
        report.checks.iter().find(|check| {
            check.name.starts_with(word)
                && check.unit == unit
                && (check.low.is_some() || check.high.is_some())
        })
    };
    let charts = [
        chart(report, "squeeze, %", limits("squeeze", "%"), |s| {
            Some(s.squeeze_pct)
        }),
        chart(report, "fill, %", limits("fill", "%"), |s| Some(s.fill_pct)),
        chart(report, gap_title, limits("extrusion gap", "mm"), |s| {
            s.gap_mm
        })
        .divided(gap_unit),
    ];
    charts
        .into_iter()
        // A gap that cannot open has no bar to draw.
        .filter(|chart| chart.bars.iter().any(|bar| bar.3 > 0.0))
        .collect()
}

fn chart(
    report: &GlandCheckReport,
    title: &str,
    limits: Option<&Check>,
    of: impl Fn(&StateShown) -> Option<Bounds>,
) -> LimitChart {
    let bars = report.states.iter().filter_map(|state| {
        let bounds = of(state)?;
        Some((state.name.clone(), bounds.min, bounds.nominal, bounds.max))
    });
    LimitChart {
        title: match limits {
            Some(_) => title.to_owned(),
            None => format!("{title} (no limit was checked)"),
        },
        bars: bars
            .filter(|bar| bar.1.is_finite() && bar.3.is_finite())
            .collect(),
        low: limits.and_then(|check| check.low),
        high: limits.and_then(|check| check.high),
    }
}

fn checks(flow: &mut Flow, report: &GlandCheckReport) {
    flow.heading("Checks");
    let mut grid = Grid::new(&["check", ">value", "allowed", "verdict", "source"]);
    for check in report.checks.iter().filter(|check| !check.quiet) {
        let number = |value: Option<f64>| value.map(|v| fixed(v, 2));
        let allowed = match (number(check.low), number(check.high)) {
            (Some(low), Some(high)) => format!("{low} to {high}{NO_BREAK}{}", check.unit),
            (Some(low), None) => format!("from {low}{NO_BREAK}{}", check.unit),
            (None, Some(high)) => format!("to {high}{NO_BREAK}{}", check.unit),
            (None, None) => check.rule.clone(),
        };
        let value = number(check.value).map_or_else(
            || "–".to_owned(),
            |v| format!("{v}{NO_BREAK}{}", check.unit),
        );
        let verdict = check.verdict.word();
        grid.row([
            GridCell::new(check.name.clone()),
            GridCell::new(value),
            GridCell::new(allowed),
            match check.verdict {
                crate::core::gland::Verdict::Good => GridCell::new(verdict),
                _ => GridCell::bold(verdict.to_uppercase()),
            },
            GridCell::new(format!("{} ({})", check.source, check.confidence)),
        ]);
    }
    flow.grid(&grid);
}
