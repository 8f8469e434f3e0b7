//! The ring sheet: outlines of rings in true size, so that a ring can be laid on the paper.

use super::true_size::{BARS_HIGH, DrawnRing, SectionViews, bar_words, check_bars};
use crate::app::sheet::outlines::{RingOutline, RingOutlines};
use crate::core::quantity::Length;
use crate::render::page::{Flow, Frame, LEADING, Pages, Point, SMALL, Type, wrapped};

/// What the sheet says of its own worth.
const WORTH: &str = "A ring laid on an outline shows which sizes are out of the question. It does not name a ring: lines are \
    0.1 mm wide, used rings are stretched, swollen or set, and neighbouring sizes differ by less than the eye can see. Measure.";

const GAP: f64 = 14.0;
/// Least width of the words below an outline.
const WORDS_WIDE: f64 = 110.0;

/// Lays out the ring sheet.
pub fn rings(report: &RingOutlines, frame: Frame) -> Pages {
    let mut flow = Flow::new(frame);
    flow.text(WORTH);
    for warning in &report.warnings {
        flow.caution(warning);
    }
    flow.small(&bar_words(flow.frame().printer));
    outlines(&mut flow, &report.rings);
    sections(&mut flow, &report.rings);
    flow.finish()
}

fn bars(flow: &mut Flow) {
    let scale = flow.frame().printer;
    flow.space(6.0);
    let corner = Point::new(flow.left(), flow.take(BARS_HIGH));
    check_bars(flow.drawing(), corner, scale);
}

/// Sets rings beside each other in rows; every page carries the bars.
pub(super) fn outlines(flow: &mut Flow, rings: &[RingOutline]) {
    bars(flow);
    let mut row: Vec<Block> = Vec::new();
    let mut used = 0.0;
    for ring in rings {
        let block = Block::of(ring, flow);
        if !row.is_empty() && used + GAP + block.width > flow.width() {
            set(flow, &std::mem::take(&mut row));
            used = 0.0;
        }
        used += block.width + if row.is_empty() { 0.0 } else { GAP };
        row.push(block);
    }
    set(flow, &row);
}

struct Block {
    ring: DrawnRing,
    width: f64,
    picture_high: f64,
    whole: bool,
    lines: Vec<(Type, String)>,
}

impl Block {
    fn of(ring: &RingOutline, flow: &Flow) -> Self {
        const PART: &str = "Wider than the page: this is its lowest part. Lay the ring along it.";
        let outside = ring.size.outside();
        let [inner, outer] = [ring.size.id, outside].map(|of| flow.true_size(of) / 2.0);
        let drawn = DrawnRing { inner, outer };
        let room = flow.page_height() - BARS_HIGH - 60.0;
        let whole = 2.0 * outer <= flow.width() && 2.0 * outer <= room;
        let (width, picture_high) = if whole {
            ((2.0 * outer).max(WORDS_WIDE), 2.0 * outer)
        } else {
            (flow.width(), drawn.arc_height(flow.width()) + 4.0)
        };
        let frame = flow.frame();
        let texts = [
            ring.codes.join(", "),
            frame.ring(ring.size.id, ring.size.section),
            format!("outside {}", frame.length(outside)),
            if whole { "" } else { PART }.to_owned(),
            ring.words.clone(),
        ];
        let lines = texts.iter().enumerate().flat_map(|(at, text)| {
            let style = if at == 0 {
                Type::bold(SMALL)
            } else {
                Type::plain(SMALL)
            };
            let lines = wrapped(text, style, width).into_iter();
            lines.map(move |line| (style, line))
        });
        Self {
            ring: drawn,
            width,
            picture_high,
            whole,
            lines: lines.collect(),
        }
    }
}

fn set(flow: &mut Flow, row: &[Block]) {
    if row.is_empty() {
        return;
    }
    let picture_high = row.iter().map(|b| b.picture_high).fold(0.0, f64::max);
    let lines = row.iter().map(|b| b.lines.len()).max().unwrap_or(0);
    let high = picture_high + 4.0 + lines as f64 * SMALL * LEADING + GAP;
    if flow.room() < high {
        flow.new_page();
        bars(flow);
    }
    let top = flow.take(high);
    let mut foot = Point::new(flow.left(), top + picture_high);
    for block in row {
        let drawing = flow.drawing();
        if block.whole {
            let centre = foot.by(block.ring.outer, -block.picture_high / 2.0);
            block.ring.outline(drawing, centre);
        } else {
            let lowest = foot.by(block.width / 2.0, -4.0);
            block.ring.arc(drawing, lowest, block.width);
        }
        for (at, (style, line)) in block.lines.iter().enumerate() {
            let down = 4.0 + SMALL + SMALL * LEADING * at as f64;
            drawing.text(foot.by(0.0, down), *style, line);
        }
        foot.x += block.width + GAP;
    }
}

/// Shows each section once, in true size and ten times as large.
fn sections(flow: &mut Flow, rings: &[RingOutline]) {
    let mut sections: Vec<Length> = rings.iter().map(|ring| ring.size.section).collect();
    sections.sort_unstable();
    sections.dedup();
    if sections.is_empty() {
        return;
    }
    flow.heading("Sections, in true size and ten times as large");
    let mut x = 0.0;
    let mut top = None;
    let scale = flow.frame().printer;
    let views = |section: Length| SectionViews::of(section, scale);
    let tallest = sections.last().map_or(0.0, |s| views(*s).large);
    for section in sections {
        let views = views(section);
        let words = flow.frame().length(section);
        let wide = views.width().max(Type::plain(SMALL).width(&words));
        if top.is_none() || x + wide > flow.width() {
            top = Some(flow.take(tallest + 24.0));
            x = 0.0;
        }
        let at = Point::new(flow.left() + x, top.unwrap_or(0.0));
        views.draw(flow.drawing(), at, &words);
        x += wide + 2.0 * GAP;
    }
}
