//! What is true of a scan, whatever was read from it.

use super::bed::Bed;
use super::ring::Ring;

/// The bed as it lay, and what follows from it. Places are true mm on the glass; `pixel` gives them in the picture.
#[derive(Clone, Debug)]
pub(crate) struct Truth {
    pub(crate) bed: Bed,
}

impl Truth {
    /// The place of a true point in the picture, in pixels from its left top corner, but for stepping, joints and lens.
    pub(crate) fn pixel(&self, place: [f64; 2]) -> [f64; 2] {
        let scanner = &self.bed.scanner;
        [0, 1].map(|axis| place[axis] / (scanner.pixel() * scanner.scale[axis]))
    }
}

/// The gap between two rings as if both were round; below 0 they cross. A ring within the bore of the other has its own gap.
pub(crate) fn gap(one: &Ring, other: &Ring) -> f64 {
    let apart = (one.centre[0] - other.centre[0]).hypot(one.centre[1] - other.centre[1]);
    let beside = apart - 0.5 * (one.outside() + other.outside());
    let within = |inner: &Ring, outer: &Ring| 0.5 * outer.inside - apart - 0.5 * inner.outside();
    beside.max(within(one, other)).max(within(other, one))
}
