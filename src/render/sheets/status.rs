//! The framed line that says at a glance how a thing stands.

use crate::render::page::{Flow, LEADING, Pen, Type, wrapped};

/// Sets a line in a heavy frame.
pub(super) fn status(flow: &mut Flow, words: &str) {
    const SIZE: f64 = 12.0;
    const PAD: f64 = 6.0;
    let style = Type::bold(SIZE);
    let lines = wrapped(words, style, flow.width() - 2.0 * PAD);
    let high = SIZE * LEADING * lines.len() as f64 + 2.0 * PAD;
    let top = flow.take(high);
    let (left, width) = (flow.left(), flow.width());
    let drawing = flow.drawing();
    drawing.rectangle((left, top), (width, high), Pen::line(1.6));
    for (at, line) in lines.iter().enumerate() {
        let y = top + PAD + SIZE + SIZE * LEADING * at as f64 - 1.0;
        drawing.text((left + PAD, y), style, line);
    }
    flow.space(SIZE / 2.0);
}
