//! The shadow of a thing of any outline on the paper, as a map in steps much finer than its penumbra.

use super::light::{Light, Vector, length};
use super::random::ease;
use super::thing::Thing;

/// Step of the map over the height of the paper, and its limits in mm.
const STEP: f64 = 0.12;
const STEPS: [f64; 2] = [0.1, 0.3];
/// A map reaches so many times the paper's height beyond the thing.
const REACH: f64 = 2.5;

/// Light on the paper about a thing; open paper has 1.
pub(crate) struct Shadow {
    half: f64,
    step: f64,
    side: usize,
    cells: Vec<f32>,
}

impl Shadow {
    pub(crate) fn of(thing: &Thing, height: f64, light: &Light) -> Self {
        let half = thing.bound() + REACH * height;
        let step = (STEP * height).clamp(STEPS[0], STEPS[1]);
        let side = (2.0 * half / step).ceil() as usize + 2;
        let mut cells = Vec::with_capacity(side * side);
        for row in 0..side {
            for column in 0..side {
                let place = [column as f64 * step - half, row as f64 * step - half];
                cells.push(lit(thing, place, height, light) as f32);
            }
        }
        Self {
            half,
            step,
            side,
            cells: calmed(&cells, side),
        }
    }

    /// Light at a place off the thing's middle.
    pub(crate) fn at(&self, x: f64, y: f64) -> f32 {
        let last = (self.side - 2) as f64;
        let (x, y) = ((x + self.half) / self.step, (y + self.half) / self.step);
        if x < 0.0 || y < 0.0 || x > last || y > last {
            return 1.0;
        }
        let (column, row) = (x as usize, y as usize);
        let (right, down) = (x.fract() as f32, y.fract() as f32);
        let base = row * self.side + column;
        let line =
            |base: usize| self.cells[base] + (self.cells[base + 1] - self.cells[base]) * right;
        line(base) + (line(base + self.side) - line(base)) * down
    }
}

fn lit(thing: &Thing, place: [f64; 2], height: f64, light: &Light) -> f64 {
    let off = thing.distance(place[0], place[1])
        - if thing.is_wire() {
            0.5 * thing.thick
        } else {
            0.0
        };
    let reach = REACH * height;
    // Well under the thing nobody sees the paper.
    if off >= reach || off < -1.5 {
        return 1.0;
    }
    let start = beside(thing, place, off, height);
    let lamp = light.on_paper(|towards| blocks(thing, &start, towards));
    let hidden = 0.5 * (1.0 - off.max(0.0) / off.hypot(height));
    let lit = lamp + light.ambient * (1.0 - hidden);
    1.0 - (1.0 - lit) * ease((reach - off) / (0.3 * reach))
}

/// The place itself, or the nearest beside the thing: the map must not jump at the outline, where it is read between its places.
fn beside(thing: &Thing, place: [f64; 2], off: f64, height: f64) -> Vector {
    let [x, y] = place;
    if off > 0.0 {
        return [x, y, height];
    }
    let (small, here) = (0.01, thing.distance(x, y));
    let (dx, dy) = (
        thing.distance(x + small, y) - here,
        thing.distance(x, y + small) - here,
    );
    let size = length(dx, dy).max(1e-9);
    let way = 0.03 - off;
    [x + dx / size * way, y + dy / size * way, height]
}

/// The map through a 3 × 3 binomial, so that the lamp's samples leave no lines.
fn calmed(cells: &[f32], side: usize) -> Vec<f32> {
    let line = |from: &[f32], at: usize, stride: usize, place: usize| {
        if place == 0 || place + 1 == side {
            from[at]
        } else {
            0.25 * (from[at - stride] + from[at + stride]) + 0.5 * from[at]
        }
    };
    let across: Vec<f32> = (0..cells.len())
        .map(|at| line(cells, at, 1, at % side))
        .collect();
    (0..cells.len())
        .map(|at| line(&across, at, side, at / side))
        .collect()
}

/// Whether a ray down from the paper meets the thing (marching by a lower bound of the distance).
fn blocks(thing: &Thing, start: &Vector, towards: &Vector) -> bool {
    let (level, half) = (length(towards[0], towards[1]), 0.5 * thing.thick);
    let mut gone = if thing.is_wire() {
        0.0
    } else {
        (start[2] - thing.thick) / -towards[2]
    };
    for _ in 0..48 {
        let z = start[2] + gone * towards[2];
        if z < 0.0 {
            return false;
        }
        let flat = thing.distance(start[0] + gone * towards[0], start[1] + gone * towards[1]);
        let bound = if thing.is_wire() {
            length(flat, z - half) - half
        } else {
            flat
        };
        if bound < 0.005 {
            return true;
        }
        gone += if thing.is_wire() {
            bound.max(0.02)
        } else {
            (bound / level.max(0.05)).max(0.02)
        };
    }
    false
}
