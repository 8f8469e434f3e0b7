//! What stands on a page: runs of text, lines and fills, in points from the upper left corner.

use super::font::Face;
use crate::render::visible;

/// Holds one thing on a page.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A run of text.
    Text(TextRun),
    /// An outline, stroked or filled.
    Path(Path),
}

/// Holds a run of text on one line.
#[derive(Debug, Clone, PartialEq)]
pub struct TextRun {
    /// Left end of the base line.
    pub x: f64,
    /// The base line.
    pub y: f64,
    /// Size.
    pub size: f64,
    /// Face.
    pub face: Face,
    /// The text; every character has a glyph.
    pub text: String,
}

/// Holds an outline. Where it crosses itself it is filled by the even-odd rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// Its pieces.
    pub pieces: Vec<Piece>,
    /// How it is drawn.
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
        Self {
            width,
            dash: 0.0,
            fill: None,
        }
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
        Self {
            width: 0.0,
            dash: 0.0,
            fill: Some(tone),
        }
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

/// Holds one piece of an outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// Begins a new part.
    Move(f64, f64),
    /// A straight line.
    Line(f64, f64),
    /// A cubic Bézier curve: two control points and the end.
    Curve([f64; 6]),
    /// Closes the part.
    Close,
}

/// Holds the things on one page, in the order in which they are drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawing {
    /// The things.
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
    /// Face.
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
            size,
            anchor: Anchor::Left,
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
    pub fn text(&mut self, (x, y): (f64, f64), style: Type, text: &str) {
        let text = settable(text);
        if text.trim().is_empty() {
            return;
        }
        let width = style.width(&text);
        let x = match style.anchor {
            Anchor::Left => x,
            Anchor::Middle => x - width / 2.0,
            Anchor::Right => x - width,
        };
        self.items.push(Item::Text(TextRun {
            x,
            y,
            size: style.size,
            face: style.face,
            text,
        }));
    }

    /// Returns the upper left and the lower right corner of what is drawn; `None` where nothing is.
    pub fn extent(&self) -> Option<((f64, f64), (f64, f64))> {
        let points = self.items.iter().flat_map(|item| match item {
            Item::Text(run) => {
                let right = run.x + run.face.width(run.size, &run.text);
                vec![(run.x, run.y - run.size), (right, run.y + run.size * 0.3)]
            }
            Item::Path(path) => path
                .pieces
                .iter()
                .flat_map(|piece| match *piece {
                    Piece::Move(x, y) | Piece::Line(x, y) => vec![(x, y)],
                    Piece::Curve([ax, ay, bx, by, x, y]) => vec![(ax, ay), (bx, by), (x, y)],
                    Piece::Close => Vec::new(),
                })
                .collect(),
        });
        points.fold(None, |extent, (x, y)| {
            let (least, most) = extent.unwrap_or(((x, y), (x, y)));
            Some((
                (f64::min(least.0, x), f64::min(least.1, y)),
                (f64::max(most.0, x), f64::max(most.1, y)),
            ))
        })
    }

    /// Draws an outline.
    pub fn path(&mut self, pieces: Vec<Piece>, pen: Pen) {
        self.items.push(Item::Path(Path { pieces, pen }));
    }

    /// Draws a straight line.
    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), pen: Pen) {
        self.path(
            vec![Piece::Move(from.0, from.1), Piece::Line(to.0, to.1)],
            pen,
        );
    }

    /// Draws a rectangle of upper left corner, width and height.
    pub fn rectangle(&mut self, (x, y): (f64, f64), (width, height): (f64, f64), pen: Pen) {
        self.path(rectangle((x, y), (width, height)), pen);
    }

    /// Draws a circle.
    pub fn circle(&mut self, centre: (f64, f64), radius: f64, pen: Pen) {
        self.path(ellipse(centre, (radius, radius)), pen);
    }
}

/// Gives the outline of a rectangle.
pub fn rectangle((x, y): (f64, f64), (width, height): (f64, f64)) -> Vec<Piece> {
    vec![
        Piece::Move(x, y),
        Piece::Line(x + width, y),
        Piece::Line(x + width, y + height),
        Piece::Line(x, y + height),
        Piece::Close,
    ]
}

/// Gives the outline of an ellipse of two half-axes.
///
/// Eight curves with handles of 4/3·tan(π/16): the radius is nowhere more than 4 parts in a million wrong.
pub fn ellipse((x, y): (f64, f64), (half_width, half_height): (f64, f64)) -> Vec<Piece> {
    const PARTS: usize = 8;
    let step = std::f64::consts::TAU / PARTS as f64;
    let handle = 4.0 / 3.0 * libm::tan(step / 4.0);
    let on = |angle: f64| (libm::cos(angle), libm::sin(angle));
    let at = |(cos, sin): (f64, f64)| (x + half_width * cos, y + half_height * sin);
    let (start_x, start_y) = at(on(0.0));
    let mut pieces = vec![Piece::Move(start_x, start_y)];
    for part in 0..PARTS {
        let (c0, s0) = on(step * part as f64);
        let (c1, s1) = on(step * ((part + 1) % PARTS) as f64);
        let (ax, ay) = at((c0 - handle * s0, s0 + handle * c0));
        let (bx, by) = at((c1 + handle * s1, s1 - handle * c1));
        let (ex, ey) = at((c1, s1));
        pieces.push(Piece::Curve([ax, ay, bx, by, ex, ey]));
    }
    pieces.push(Piece::Close);
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_circle_is_round_to_a_hundred_thousandth() {
        let mut last = (100.0, 0.0);
        for piece in ellipse((0.0, 0.0), (100.0, 100.0)) {
            if let Piece::Curve([ax, ay, bx, by, ex, ey]) = piece {
                for part in 0..=20 {
                    let t = f64::from(part) / 20.0;
                    let u = 1.0 - t;
                    let mix = |p0: f64, p1: f64, p2: f64, p3: f64| {
                        u * u * u * p0
                            + 3.0 * u * u * t * p1
                            + 3.0 * u * t * t * p2
                            + t * t * t * p3
                    };
                    let radius = mix(last.0, ax, bx, ex).hypot(mix(last.1, ay, by, ey));
                    assert!((radius - 100.0).abs() < 1e-3, "{radius}");
                }
                last = (ex, ey);
            }
        }
    }

    #[test]
    fn a_character_without_glyph_is_written_as_its_code() {
        assert_eq!(settable("seal 漢 ×2"), "seal [U+6F22] ×2");
        assert!(!settable("a\u{1b}[31m").contains('\u{1b}'));
    }
}
