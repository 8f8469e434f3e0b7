//! The metal around a gland, cut through.

use super::gland_section::{Place, Section, Shape, WALL_MM};
use crate::render::page::{Drawing, Pen, Piece};

/// Draws the two parts of metal between which the ring lies.
pub(super) fn metal(drawing: &mut Drawing, place: &Place, section: &Section) {
    let [first, second] = match section.shape {
        Shape::Groove(above) => groove(section, above),
        Shape::Undercut(inner, outer) => undercut(section, (inner, outer)),
        Shape::Step => step(section),
        Shape::Cone(deep, angle) => cone(section, (deep, angle)),
    };
    for outline in [first, second] {
        drawing.path(closed(place, &outline), Pen::filled(0.8, 0.86));
    }
}

type Outline = Vec<(f64, f64)>;

fn closed(place: &Place, outline: &[(f64, f64)]) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = outline
        .iter()
        .enumerate()
        .map(|(at, (x, y))| {
            let (x, y) = place.at(*x, *y);
            if at == 0 {
                Piece::Move(x, y)
            } else {
                Piece::Line(x, y)
            }
        })
        .collect();
    pieces.push(Piece::Close);
    pieces
}

/// The plain wall, and across the gap the part with the groove; upside down where the groove is above.
fn groove(section: &Section, above: bool) -> [Outline; 2] {
    let flip = |outline: Outline| -> Outline {
        let whole = 2.0 * WALL_MM + section.depth;
        let turned = |(x, y): (f64, f64)| (x, if above { whole - y } else { y });
        outline.into_iter().map(turned).collect()
    };
    let (near, far) = (section.side(), section.side() + section.width);
    let wide = far + section.side();
    let (land, floor) = (WALL_MM + section.gap, WALL_MM + section.depth);
    let bottom = floor + WALL_MM;
    [
        flip(vec![
            (0.0, 0.0),
            (wide, 0.0),
            (wide, WALL_MM),
            (0.0, WALL_MM),
        ]),
        flip(vec![
            (0.0, land),
            (near, land),
            (near, floor),
            (far, floor),
            (far, land),
            (wide, land),
            (wide, bottom),
            (0.0, bottom),
        ]),
    ]
}

/// A lid on a groove whose walls lean back.
fn undercut(section: &Section, (inner, outer): (f64, f64)) -> [Outline; 2] {
    let (near, far) = (section.side(), section.side() + section.width);
    let wide = far + section.side();
    let floor = WALL_MM + section.depth;
    let bottom = floor + WALL_MM;
    [
        vec![(0.0, 0.0), (wide, 0.0), (wide, WALL_MM), (0.0, WALL_MM)],
        vec![
            (0.0, WALL_MM),
            (near, WALL_MM),
            (near - inner, floor),
            (far + outer, floor),
            (far, WALL_MM),
            (wide, WALL_MM),
            (wide, bottom),
            (0.0, bottom),
        ],
    ]
}

/// A plug: its head above, its neck on the left.
fn plug(section: &Section) -> Outline {
    let near = section.side();
    let wide = near + section.width + section.side();
    let bottom = 2.0 * WALL_MM + section.bottom();
    vec![
        (0.0, 0.0),
        (wide, 0.0),
        (wide, WALL_MM),
        (near, WALL_MM),
        (near, bottom),
        (0.0, bottom),
    ]
}

/// The clearance drawn between a neck and the part around it, below the ring; only to show that they are two parts.
const SHOWN_MM: f64 = 0.08;

fn step(section: &Section) -> [Outline; 2] {
    let (near, far) = (section.side(), section.side() + section.width);
    let wide = far + section.side();
    let floor = WALL_MM + section.depth;
    let bottom = floor + WALL_MM;
    [
        plug(section),
        vec![
            (far, WALL_MM),
            (wide, WALL_MM),
            (wide, bottom),
            (near + SHOWN_MM, bottom),
            (near + SHOWN_MM, floor),
            (far, floor),
        ],
    ]
}

fn cone(section: &Section, (deep, angle): (f64, f64)) -> [Outline; 2] {
    let (near, far) = (section.side(), section.side() + section.width);
    let wide = far + section.side();
    let bottom = 2.0 * WALL_MM + deep;
    let end = (far - deep * libm::tan(angle)).max(near + SHOWN_MM);
    [
        plug(section),
        vec![
            (far, WALL_MM),
            (wide, WALL_MM),
            (wide, bottom),
            (end, bottom),
            (end, WALL_MM + deep),
        ],
    ]
}
