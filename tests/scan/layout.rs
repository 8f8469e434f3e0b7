//! Finds free places on a page.

use crate::simulator::bed::Bed;
use crate::simulator::random::Draws;
use crate::simulator::ring::Ring;
use crate::simulator::thing::Thing;
use crate::simulator::truth::gap;

/// Least distance from the edge of the page, mm.
const MARGIN: f64 = 4.0;
const TRIALS: usize = 4000;

/// What is taken of a page: everything counts as a ring, a thing as one without a bore.
pub(super) struct Layout {
    size: [f64; 2],
    taken: Vec<Ring>,
}

impl Layout {
    pub(super) fn new(bed: &Bed) -> Self {
        Self {
            size: bed.size,
            taken: Vec::new(),
        }
    }

    /// A free place for what fills a circle of this radius, at least `clear` mm from all else; none if the page is full.
    /// The bore of a ring is free for others.
    pub(super) fn place(&self, solid: &Ring, clear: f64, draws: &mut Draws) -> Option<[f64; 2]> {
        let edge = MARGIN + solid.bound();
        (0..TRIALS).find_map(|_| {
            let centre = [
                draws.between(edge, self.size[0] - edge),
                draws.between(edge, self.size[1] - edge),
            ];
            self.free(solid, centre, clear).then_some(centre)
        })
    }

    /// Whether a ring may lie there.
    pub(super) fn free(&self, solid: &Ring, centre: [f64; 2], clear: f64) -> bool {
        let edge = MARGIN + solid.bound();
        let inside = [0, 1]
            .iter()
            .all(|&axis| centre[axis] >= edge && centre[axis] <= self.size[axis] - edge);
        let moved = Ring {
            centre,
            ..solid.clone()
        };
        inside && self.taken.iter().all(|other| gap(&moved, other) >= clear)
    }

    pub(super) fn take(&mut self, solid: Ring) {
        self.taken.push(solid);
    }

    /// Puts a ring on the bed at a free place; says whether there was one.
    pub(super) fn put(
        &mut self,
        bed: &mut Bed,
        ring: &Ring,
        clear: f64,
        draws: &mut Draws,
    ) -> bool {
        let Some(centre) = self.place(ring, clear, draws) else {
            return false;
        };
        let ring = Ring {
            centre,
            ..ring.clone()
        };
        self.take(ring.clone());
        bed.rings.push(ring);
        true
    }

    /// Puts a thing on the bed at a free place; says whether there was one.
    pub(super) fn put_thing(&mut self, bed: &mut Bed, thing: &Thing, draws: &mut Draws) -> bool {
        let clear = draws.between(1.0, 3.0);
        let solid = disc(2.0 * thing.bound(), [0.0, 0.0]);
        let Some(centre) = self.place(&solid, clear, draws) else {
            return false;
        };
        self.take(disc(2.0 * thing.bound(), centre));
        bed.things.push(thing.clone().at(centre, draws.angle()));
        true
    }
}

/// A ring without a bore, for what fills a circle.
pub(super) fn disc(outside: f64, centre: [f64; 2]) -> Ring {
    Ring::new(0.0, 0.5 * outside, centre)
}
