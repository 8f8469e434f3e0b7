//! The ring sheet: outlines of rings in true size, so that a ring can be laid on the paper.

use super::true_size::{
    BARS_HIGH, PrinterScale, arc_height, bar_words, check_bars, ring_arc, ring_outline,
    section_sizes, section_views,
};
use crate::app::ring_outlines::{RingOutline, RingOutlines};
use crate::core::quantity::Length;
use crate::render::page::{Flow, Frame, LEADING, Pages, SMALL, Type, wrapped};

/// What the sheet says of its own worth.
const WORTH: &str = "A ring laid on an outline shows which sizes are out of the question. It does not name a ring: lines are \
    0.1 mm wide, used rings are stretched, swollen or set, and neighbouring sizes differ by less than the eye can see. Measure.";

/// Space between outlines.
const GAP: f64 = 14.0;
/// Least width of the words below an outline.
const WORDS_WIDE: f64 = 110.0;

/// Lays out the ring sheet.
pub fn rings(report: &RingOutlines, frame: Frame, scale: PrinterScale) -> Pages {
    let mut flow = Flow::new(frame);
    flow.text(WORTH);
    for warning in &report.warnings {
        flow.caution(warning);
    }
    flow.small(&bar_words(scale));
    outlines(&mut flow, &report.rings, scale);
    sections(&mut flow, &report.rings, scale);
    flow.finish()
}

fn bars(flow: &mut Flow, scale: PrinterScale) {
    flow.space(6.0);
    let top = flow.take(BARS_HIGH);
    let left = flow.left();
    check_bars(flow.drawing(), (left, top), scale);
}

/// Sets rings beside each other in rows; every page carries the bars.
pub(super) fn outlines(flow: &mut Flow, rings: &[RingOutline], scale: PrinterScale) {
    bars(flow, scale);
    let mut row: Vec<Block> = Vec::new();
    let mut used = 0.0;
    for ring in rings {
        let block = Block::of(ring, flow, scale);
        if !row.is_empty() && used + GAP + block.width > flow.width() {
            set(flow, &std::mem::take(&mut row), scale);
            used = 0.0;
        }
        used += block.width + if row.is_empty() { 0.0 } else { GAP };
        row.push(block);
    }
    set(flow, &row, scale);
}

/// Holds an outline with its words, measured.
struct Block {
    radii: (f64, f64),
    width: f64,
    picture_high: f64,
    whole: bool,
    lines: Vec<(bool, String)>,
}

impl Block {
    fn of(ring: &RingOutline, flow: &Flow, scale: PrinterScale) -> Self {
        let inner = scale.points(ring.size.id.mm()) / 2.0;
        let outer = scale.points(ring.size.outside().mm()) / 2.0;
        let room = flow.page_height() - BARS_HIGH - 60.0;
        let whole = 2.0 * outer <= flow.width() && 2.0 * outer <= room;
        let (width, picture_high) = if whole {
            ((2.0 * outer).max(WORDS_WIDE), 2.0 * outer)
        } else {
            (flow.width(), arc_height(flow.width(), (inner, outer)) + 4.0)
        };
        let mut lines = Vec::new();
        let mut add = |bold: bool, text: &str| {
            let style = words_style(bold);
            lines.extend(wrapped(text, style, width).into_iter().map(|l| (bold, l)));
        };
        add(true, &ring.codes.join(", "));
        add(false, &flow.frame().ring(ring.size.id, ring.size.section));
        add(
            false,
            &format!("outside {}", flow.frame().length(ring.size.outside())),
        );
        if !whole {
            add(
                false,
                "Wider than the page: this is its lowest part. Lay the ring along it.",
            );
        }
        add(false, &ring.words);
        Self {
            radii: (inner, outer),
            width,
            picture_high,
            whole,
            lines,
        }
    }
}

fn words_style(bold: bool) -> Type {
    if bold {
        Type::bold(SMALL)
    } else {
        Type::plain(SMALL)
    }
}

fn set(flow: &mut Flow, row: &[Block], scale: PrinterScale) {
    if row.is_empty() {
        return;
    }
    let picture_high = row.iter().map(|b| b.picture_high).fold(0.0, f64::max);
    let lines = row.iter().map(|b| b.lines.len()).max().unwrap_or(0);
    let high = picture_high + 4.0 + lines as f64 * SMALL * LEADING + GAP;
    if flow.room() < high {
        flow.new_page();
        bars(flow, scale);
    }
    let top = flow.take(high);
    let mut left = flow.left();
    for block in row {
        let drawing = flow.drawing();
        let middle = top + picture_high - block.picture_high / 2.0;
        if block.whole {
            ring_outline(drawing, (left + block.radii.1, middle), block.radii);
        } else {
            let bottom = top + picture_high - 4.0;
            ring_arc(drawing, (left, bottom, block.width), block.radii);
        }
        let mut y = top + picture_high + 4.0 + SMALL;
        for (bold, line) in &block.lines {
            drawing.text((left, y), words_style(*bold), line);
            y += SMALL * LEADING;
        }
        left += block.width + GAP;
    }
}

/// Shows each section once, in true size and ten times as large.
fn sections(flow: &mut Flow, rings: &[RingOutline], scale: PrinterScale) {
    let mut sections: Vec<Length> = rings.iter().map(|ring| ring.size.section).collect();
    sections.sort_unstable();
    sections.dedup();
    if sections.is_empty() {
        return;
    }
    flow.heading("Sections, in true size and ten times as large");
    let mut x = 0.0;
    let mut top = None;
    let tallest = sections.last().map_or(0.0, |s| section_sizes(*s, scale).1);
    for section in sections {
        let (small, large) = section_sizes(section, scale);
        let words = flow.frame().length(section);
        let wide = (small + 14.0 + large).max(Type::plain(SMALL).width(&words));
        if top.is_none() || x + wide > flow.width() {
            top = Some(flow.take(tallest + 24.0));
            x = 0.0;
        }
        let at = (flow.left() + x, top.unwrap_or(0.0));
        section_views(flow.drawing(), at, (section, scale), &words);
        x += wide + 2.0 * GAP;
    }
}
