//! The identification sheet: readings, candidates with their odds as bars, the rivals' outlines, what to measure next.

use super::blocks::blocks;
use super::rings::outlines;
use super::true_size::bar_words;
use crate::app::ring::identify::{RingAnswer, RingCandidate};
use crate::app::sheet::outlines::RingOutline;
use crate::render::page::{
    Anchor, BODY, Flow, Frame, Grid, GridCell, Pages, Pen, Picture, Point, Type,
};
use crate::render::reports::ring as words;
use crate::render::{Document, fixed, mm2, percent_of};

const RIVALS: usize = 4;
const LISTED: usize = 8;

/// Lays out the identification sheet.
pub fn identification(answer: &RingAnswer, frame: Frame) -> Pages {
    let mut flow = Flow::new(frame);
    flow.list(&answer.warnings.points);
    flow.cautions(&answer.warnings.cautions);
    flow.heading("Readings as they count");
    let mut readings = Document::default();
    readings.table(words::reading_table(answer));
    blocks(&mut flow, &readings);
    candidates(&mut flow, answer);
    let mut next = Document::default();
    if !answer.measure_next.is_empty() {
        next.section("What to measure next");
        next.table(words::next_table(answer));
    }
    blocks(&mut flow, &next);
    let rivals: Vec<&RingCandidate> = answer.candidates.iter().take(RIVALS).collect();
    side_by_side(&mut flow, &rivals);
    flow.need(170.0);
    flow.heading("Outlines in true size");
    flow.small(&bar_words(flow.frame().printer));
    let rings: Vec<RingOutline> = rivals
        .iter()
        .map(|rival| RingOutline {
            codes: rival.codes.clone(),
            size: rival.size,
            words: format!("odds {}", percent_of(rival.probability)),
        })
        .collect();
    outlines(&mut flow, &rings);
    flow.finish()
}

fn candidates(flow: &mut Flow, answer: &RingAnswer) {
    flow.heading("Candidates");
    let mut grid = Grid::new(&["", "ring", "size", "", ">odds", "fit"]);
    for candidate in answer.candidates.iter().take(LISTED) {
        grid.row([
            GridCell::new(candidate.rank.to_string()),
            GridCell::bold(words::named(candidate, usize::MAX)),
            GridCell::new(flow.frame().ring(candidate.size.id, candidate.size.section)),
            GridCell::picture(Picture::Share(candidate.probability)),
            GridCell::new(percent_of(candidate.probability)),
            GridCell::new(words::fits(candidate.misfit_sigma)),
        ]);
    }
    grid.row([
        GridCell::default(),
        GridCell::new("of no listed size"),
        GridCell::default(),
        GridCell::picture(Picture::Share(answer.unlisted_probability)),
        GridCell::new(percent_of(answer.unlisted_probability)),
        GridCell::default(),
    ]);
    flow.grid(&grid);
    if let [group] = answer.cannot_separate.as_slice() {
        flow.text(&format!(
            "These readings cannot tell these apart: {}.",
            group.join(", ")
        ));
    }
}

/// Draws half of each rival's section through the axis, side by side over one axis, enlarged; broken lines carry the first one's inside
/// and outside across the others.
fn side_by_side(flow: &mut Flow, rivals: &[&RingCandidate]) {
    const TIMES: [f64; 3] = [5.0, 2.0, 1.0];
    const NAMES: f64 = 26.0;
    let scale = flow.frame().printer;
    let outer = |rival: &RingCandidate| rival.size.outside().mm() / 2.0;
    let largest = rivals.iter().map(|rival| outer(rival)).fold(0.0, f64::max);
    let wide = flow.width() / RIVALS as f64;
    let room = flow.page_height() * 0.5;
    let fits = |times: &f64| {
        let sections = rivals.iter().map(|rival| rival.size.section.mm());
        scale.points(largest * times) <= room
            && sections.fold(0.0, f64::max) * scale.points(*times) <= wide
    };
    let Some(times) = TIMES.into_iter().find(fits).filter(|_| rivals.len() > 1) else {
        return;
    };
    let high = scale.points(largest * times);
    flow.need(high + NAMES + 60.0);
    flow.heading(&format!("The rivals side by side, ×{}", fixed(times, 0)));
    flow.small(
        "Half of each ring, cut through its axis, above the axis (long dashes). Short dashes: inside and outside of the first.",
    );
    let top = flow.take(high + NAMES);
    let axis = Point::new(flow.left(), top + high);
    let width = flow.width();
    let drawing = flow.drawing();
    drawing.line(axis, axis.by(width, 0.0), Pen::dashed(0.4, 6.0));
    for (at, rival) in rivals.iter().enumerate() {
        let radius = scale.points(rival.size.section.mm() * times) / 2.0;
        let below = axis.by(wide * (at as f64 + 0.5), 0.0);
        let inside = scale.points(rival.size.id.mm() / 2.0 * times);
        drawing.circle(
            below.by(0.0, -inside - radius),
            radius,
            Pen::filled(0.7, 0.85),
        );
        if at == 0 {
            for height in [inside, inside + 2.0 * radius] {
                let (from, to) = (below.by(0.0, -height), axis.by(width, -height));
                drawing.line(from, to, Pen::dashed(0.3, 1.5));
            }
        }
        let name = rival.codes.first().map_or("", String::as_str);
        let middle = |style: Type| style.at(Anchor::Middle);
        drawing.text(below.by(0.0, 12.0), middle(Type::bold(BODY)), name);
        let size = format!("{} × {} mm", mm2(rival.size.id), mm2(rival.size.section));
        drawing.text(below.by(0.0, 23.0), middle(Type::plain(BODY)), &size);
    }
}
