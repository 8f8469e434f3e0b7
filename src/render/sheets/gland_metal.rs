//! The metal around a gland, cut through.

use super::gland_section::{Section, Shape, WALL_MM};
use crate::render::page::{Drawing, Pen, View};

/// The clearance drawn between a neck and the part around it, below the ring; only to show that they are two parts.
const SHOWN_MM: f64 = 0.08;

/// Draws the two parts of metal between which the ring lies: a plain wall or a plug, and below it the part with the room for the ring.
pub(super) fn metal(drawing: &mut Drawing, view: View, section: &Section) {
    let (near, far) = section.walls();
    let wide = far + section.side();
    let floor = WALL_MM + section.depth;
    let bottom = 2.0 * WALL_MM + section.bottom();
    let wall = vec![(0.0, 0.0), (wide, 0.0), (wide, WALL_MM), (0.0, WALL_MM)];
    // The head of a plug above, its neck on the left.
    let plug = || {
        let head = vec![(0.0, 0.0), (wide, 0.0), (wide, WALL_MM), (near, WALL_MM)];
        [head, vec![(near, bottom), (0.0, bottom)]].concat()
    };
    let around = vec![(far, WALL_MM), (wide, WALL_MM), (wide, bottom)];
    let groove = |land: f64, inner: f64, outer: f64| {
        let floor = [(near - inner, floor), (far + outer, floor)];
        let left = [(0.0, bottom), (0.0, land), (near, land)];
        let right = [(far, land), (wide, land), (wide, bottom)];
        [&left[..], &floor, &right].concat()
    };
    let [first, second] = match section.shape {
        Shape::Groove(_) => [wall, groove(WALL_MM + section.gap, 0.0, 0.0)],
        Shape::Undercut(inner, outer) => [wall, groove(WALL_MM, inner, outer)],
        Shape::Step => {
            let neck = near + SHOWN_MM;
            let step = vec![(neck, bottom), (neck, floor), (far, floor)];
            [plug(), [around, step].concat()]
        }
        Shape::Cone(deep, angle) => {
            let end = (far - deep * libm::tan(angle)).max(near + SHOWN_MM);
            let cone = vec![(end, bottom), (end, WALL_MM + deep)];
            [plug(), [around, cone].concat()]
        }
    };
    let above = section.shape == Shape::Groove(true);
    for outline in [first, second] {
        let corners = outline
            .into_iter()
            .map(|(x, y)| view.at(x, if above { bottom - y } else { y }));
        drawing.polygon(corners, Pen::filled(0.8, 0.86));
    }
}
