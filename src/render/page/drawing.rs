//! What stands on a page: runs of text, lines and fills, in points from the upper left corner.

use super::font::Face;
use super::geometry::{Point, Rect, circle, polygon};
use super::wrapped::LEADING;
use crate::render::visible;

/// One thing on a page.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A run of text.
    Text(TextRun),
    /// An outline, stroked or filled.
    Path(Path),
}

/// A run of text on one line.
#[derive(Debug, Clone, PartialEq)]
pub struct TextRun {
    /// Left end of the base line.
    pub x: f64,
    pub y: f64,
    pub size: f64,
    pub face: Face,
    /// The text; every character has a glyph.
    pub text: String,
}

/// An outline. Where it crosses itself it is filled by the even-odd rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    pub pieces: Vec<Piece>,
    pub pen: Pen,
}

/// Says how an outline is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Width of the stroke; 0 for none.
    pub width: f64,
    /// Lengths of dash and gap; 0 for an unbroken line.
    pub dash: f64,
    /// Tone of the fill, 0 black to 1 white; `None` for none.
    pub fill: Option<f64>,
}

impl Pen {
    /// A line of this width.
    pub const fn line(width: f64) -> Self {
        Self::dashed(width, 0.0)
    }

    /// A dashed line of this width.
    pub const fn dashed(width: f64, dash: f64) -> Self {
        Self {
            width,
            dash,
            fill: None,
        }
    }

    /// A fill of this tone without outline.
    pub const fn fill(tone: f64) -> Self {
        Self::filled(0.0, tone)
    }

    /// A line around a fill of this tone.
    pub const fn filled(width: f64, tone: f64) -> Self {
        Self {
            width,
            dash: 0.0,
            fill: Some(tone),
        }
    }
}

/// One piece of an outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// Begins a new part.
    Move(Point),
    Line(Point),
    /// A cubic Bézier curve: two control points and the end.
    Curve([Point; 3]),
    /// Closes the part.
    Close,
}

impl Piece {
    /// Returns its letter in an SVG path, and its places.
    pub(super) fn parts(&self) -> (char, &[Point]) {
        match self {
            Self::Move(to) => ('M', std::slice::from_ref(to)),
            Self::Line(to) => ('L', std::slice::from_ref(to)),
            Self::Curve(points) => ('C', points),
            Self::Close => ('Z', &[]),
        }
    }
}

/// The things on one page, in the order in which they are drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawing {
    pub items: Vec<Item>,
}

/// Says where a text stands relative to its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    Left,
    /// It is centred there.
    Middle,
    /// It ends there.
    Right,
}

/// Says how a text is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Type {
    pub face: Face,
    /// Size in points.
    pub size: f64,
    /// Where it stands.
    pub anchor: Anchor,
}

impl Type {
    /// The plain face of a size.
    pub const fn plain(size: f64) -> Self {
        Self {
            face: Face::Plain,
            size,
            anchor: Anchor::Left,
        }
    }

    /// The bold face of a size.
    pub const fn bold(size: f64) -> Self {
        Self {
            face: Face::Bold,
            ..Self::plain(size)
        }
    }

    /// The same, at another anchor.
    #[must_use]
    pub const fn at(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// Returns the width of a text.
    pub fn width(self, text: &str) -> f64 {
        self.face.width(self.size, text)
    }
}

/// Gives a text as it can be set: control characters and characters without glyph are written as their codes, so that
/// nothing is lost without a sign.
pub fn settable(text: &str) -> String {
    let known = |c: char| Face::ALL.iter().all(|face| face.font().glyph(c) != 0);
    let shown = visible(text);
    if shown.bytes().all(|b| (b' '..=b'~').contains(&b)) {
        return shown;
    }
    let mut out = String::new();
    for character in shown.chars() {
        if character.is_whitespace() {
            out.push(if character == '\u{a0}' {
                character
            } else {
                ' '
            });
        } else if known(character) {
            out.push(character);
        } else {
            use std::fmt::Write;
            let _ = write!(out, "[U+{:04X}]", u32::from(character));
        }
    }
    out
}

impl Drawing {
    /// Sets a text.
    pub fn text(&mut self, at: Point, style: Type, text: &str) {
        let text = settable(text);
        if text.trim().is_empty() {
            return;
        }
        let width = style.width(&text);
        let x = match style.anchor {
            Anchor::Left => at.x,
            Anchor::Middle => at.x - width / 2.0,
            Anchor::Right => at.x - width,
        };
        self.items.push(Item::Text(TextRun {
            x,
            y: at.y,
            size: style.size,
            face: style.face,
            text,
        }));
    }

    /// Sets lines under each other, the first on this base line; returns where the next one would begin.
    pub fn lines<'l>(
        &mut self,
        mut at: Point,
        style: Type,
        lines: impl IntoIterator<Item = &'l String>,
    ) -> Point {
        for line in lines {
            self.text(at, style, line);
            at.y += style.size * LEADING;
        }
        at
    }

    /// Returns the rectangle around what is drawn; `None` where nothing is.
    pub fn extent(&self) -> Option<Rect> {
        let points = self.items.iter().flat_map(|item| match item {
            Item::Text(run) => {
                let right = run.x + run.face.width(run.size, &run.text);
                let (above, below) = (run.y - run.size, run.y + run.size * 0.3);
                vec![Point::new(run.x, above), Point::new(right, below)]
            }
            Item::Path(path) => {
                let points = path.pieces.iter().flat_map(|piece| piece.parts().1);
                points.copied().collect()
            }
        });
        let ends = points.fold(None, |ends: Option<(Point, Point)>, point| {
            let (least, most) = ends.unwrap_or((point, point));
            Some((
                Point::new(least.x.min(point.x), least.y.min(point.y)),
                Point::new(most.x.max(point.x), most.y.max(point.y)),
            ))
        });
        ends.map(|(least, most)| Rect::new(least, most.x - least.x, most.y - least.y))
    }

    /// Draws an outline.
    pub fn path(&mut self, pieces: Vec<Piece>, pen: Pen) {
        self.items.push(Item::Path(Path { pieces, pen }));
    }

    /// Draws a straight line.
    pub fn line(&mut self, from: Point, to: Point, pen: Pen) {
        self.path(vec![Piece::Move(from), Piece::Line(to)], pen);
    }

    /// Draws an outline that runs straight from place to place and back.
    pub fn polygon(&mut self, points: impl IntoIterator<Item = Point>, pen: Pen) {
        self.path(polygon(points), pen);
    }

    /// Draws a rectangle.
    pub fn rectangle(&mut self, area: Rect, pen: Pen) {
        self.polygon(area.corners(), pen);
    }

    /// Draws a circle.
    pub fn circle(&mut self, centre: Point, radius: f64, pen: Pen) {
        self.path(circle(centre, radius), pen);
    }

    /// Draws the open head of an arrow, so long and so wide to each side, at the tip of a line from a tail.
    pub fn arrow_head(&mut self, tail: Point, tip: Point, size: [f64; 2], pen: Pen) {
        let [long, wide] = size;
        let (dx, dy) = (tail.x - tip.x, tail.y - tip.y);
        let far = libm::hypot(dx, dy).max(1e-9);
        let (dx, dy) = (dx / far, dy / far);
        for side in [-wide, wide] {
            let end = tip.by(long * dx + side * dy, long * dy + side * dx);
            self.line(tip, end, pen);
        }
    }

    /// Hatches a rectangle under 45 degrees.
    pub fn hatch(&mut self, area: Rect, step: f64, pen: Pen) {
        let Rect { width, height, .. } = area;
        let mut sum = step;
        while sum < width + height {
            let from = area.corner.by(sum.min(width), (sum - width).max(0.0));
            let to = area.corner.by((sum - height).max(0.0), sum.min(height));
            if from.x > to.x {
                self.line(from, to, pen);
            }
            sum += step;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_character_without_glyph_is_written_as_its_code() {
        assert_eq!(settable("seal 漢 ×2"), "seal [U+6F22] ×2");
        assert!(!settable("a\u{1b}[31m").contains('\u{1b}'));
    }
}
