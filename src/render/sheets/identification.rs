//! The identification sheet: readings, candidates with their odds as bars, the rivals' outlines, what to measure next.

use super::blocks::blocks;
use super::rings::outlines;
use super::true_size::{PrinterScale, bar_words};
use crate::app::identify::{RingAnswer, RingCandidate};
use crate::app::ring_outlines::RingOutline;
use crate::render::page::{BODY, Flow, Frame, Grid, GridCell, Pages, Pen, Picture, Type};
use crate::render::reports::ring as words;
use crate::render::{Document, fixed, percent_of};

/// Rivals whose outlines are drawn.
const RIVALS: usize = 4;
/// Candidates that the table lists.
const LISTED: usize = 8;

/// Lays out the identification sheet.
pub fn identification(answer: &RingAnswer, frame: Frame, scale: PrinterScale) -> Pages {
    let mut flow = Flow::new(frame);
    flow.list(answer.warnings.points.iter().map(String::as_str));
    flow.cautions(&answer.warnings.cautions);
    flow.heading("Readings as they count");
    let mut readings = Document::new();
    readings.table(words::reading_table(answer));
    blocks(&mut flow, &readings);
    candidates(&mut flow, answer);
    let mut next = Document::new();
    if !answer.measure_next.is_empty() {
        next.heading(2, "What to measure next");
        next.table(words::next_table(answer));
    }
    blocks(&mut flow, &next);
    let rivals: Vec<&RingCandidate> = answer.candidates.iter().take(RIVALS).collect();
    on_top(&mut flow, &rivals, scale);
    flow.need(170.0);
    flow.heading("Outlines in true size");
    flow.small(&bar_words(scale));
    let rings: Vec<RingOutline> = rivals
        .iter()
        .map(|rival| RingOutline {
            codes: rival.codes.clone(),
            id: rival.id,
            section: rival.section,
            words: format!("odds {}", percent_of(rival.probability)),
        })
        .collect();
    outlines(&mut flow, &rings, scale);
    flow.finish()
}

fn candidates(flow: &mut Flow, answer: &RingAnswer) {
    flow.heading("Candidates");
    let mut grid = Grid::new(&["", "ring", "size", "", ">odds", ">misfit, σ"]);
    for candidate in answer.candidates.iter().take(LISTED) {
        grid.row([
            GridCell::new(candidate.rank.to_string()),
            GridCell::bold(words::named(candidate, usize::MAX)),
            GridCell::new(flow.frame().ring(candidate.id, candidate.section)),
            GridCell::picture(Picture::Share(candidate.probability)),
            GridCell::new(percent_of(candidate.probability)),
            GridCell::new(fixed(candidate.misfit_sigma, 1)),
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

/// Draws the rivals about one centre, each with its own kind of line.
fn on_top(flow: &mut Flow, rivals: &[&RingCandidate], scale: PrinterScale) {
    const DASHES: [f64; RIVALS] = [0.0, 4.0, 2.0, 1.0];
    const WIDTHS: [f64; RIVALS] = [0.9, 0.6, 0.6, 0.6];
    let radius =
        |rival: &RingCandidate| scale.points((rival.id + rival.section + rival.section).mm()) / 2.0;
    let largest = rivals.iter().map(|rival| radius(rival)).fold(0.0, f64::max);
    let fits = 2.0 * largest <= flow.width() * 0.6 && 2.0 * largest <= flow.page_height() * 0.8;
    if rivals.len() < 2 || !fits {
        return;
    }
    flow.heading("The rivals on top of each other, in true size");
    let rows = 16.0 * rivals.len() as f64;
    let high = (2.0 * largest).max(rows) + 10.0;
    let top = flow.take(high);
    let left = flow.left();
    let drawing = flow.drawing();
    let centre = (left + largest + 2.0, top + high / 2.0);
    for (at, rival) in rivals.iter().enumerate() {
        let pen = if at == 0 {
            Pen::line(WIDTHS[0])
        } else {
            Pen::dashed(WIDTHS[at], DASHES[at])
        };
        drawing.circle(centre, radius(rival), pen);
        drawing.circle(centre, scale.points(rival.id.mm()) / 2.0, pen);
        let x = left + 2.0 * largest + 24.0;
        let y = top + high / 2.0 - rows / 2.0 + 16.0 * at as f64 + BODY;
        drawing.line((x, y - 3.0), (x + 34.0, y - 3.0), pen);
        let name = rival.codes.first().map_or("", String::as_str);
        drawing.text((x + 42.0, y), Type::plain(BODY), name);
    }
}
