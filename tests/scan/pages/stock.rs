//! Rings as they come out of a box of old ones.

use crate::simulator::random::Draws;
use crate::simulator::ring::{Defect, Edge, Ring, Rubber};

/// One size of the list: inside diameter and section in mm.
#[derive(Clone, Copy, Debug)]
struct Size {
    inside: f64,
    section: f64,
}

/// Sizes of AS568 with outside diameters that fit a cluttered page.
pub(super) struct Stock(Vec<Size>);

/// Least and greatest outside diameter on a page, mm.
const OUTSIDE: [f64; 2] = [5.0, 60.0];
/// Greatest inside diameter, mm.
const INSIDE: f64 = 55.0;
/// Share by which a ring that has taken a set has lost height.
const SET: f64 = 0.03;
const NICKED: f64 = 0.08;

impl Stock {
    pub(super) fn new() -> Self {
        let table = include_str!("../../../data/sizes/as568.csv");
        let sizes = table
            .lines()
            .skip(1)
            .filter_map(|line| {
                let mut cells = line.split(',').skip(5);
                let inside = cells.next()?.parse().ok()?;
                let section = cells.nth(1)?.parse().ok()?;
                Some(Size { inside, section })
            })
            .filter(|size| {
                let outside = size.inside + 2.0 * size.section;
                size.inside <= INSIDE && (OUTSIDE[0]..=OUTSIDE[1]).contains(&outside)
            })
            .collect();
        Self(sizes)
    }

    /// A ring drawn so that small ones are as common on a logarithmic scale as large ones; it lies at the origin.
    pub(super) fn ring(&self, rubber: Rubber, draws: &mut Draws) -> Ring {
        let wanted = draws.between(OUTSIDE[0].ln(), OUTSIDE[1].ln()).exp();
        let near: Vec<Size> = self
            .0
            .iter()
            .copied()
            .filter(|size| ((size.inside + 2.0 * size.section) / wanted - 1.0).abs() < 0.12)
            .collect();
        let size = draws.pick(&near);
        let section = size.section * draws.normal(1.0, 0.01);
        let set = (SET * draws.between(0.0, 2.0)).min(0.06);
        let mut ring =
            Ring::new(size.inside * draws.normal(1.0, 0.005), section, [0.0, 0.0]).rubber(rubber);
        // What the set takes from the height goes to the width, the section's area being kept.
        ring.height = section * (1.0 - set);
        ring.width = section / (1.0 - set);
        ring.ovality = draws.normal(0.0, 0.01).abs();
        ring.long_axis = draws.angle();
        ring.triangle = draws.normal(0.0, 0.002);
        if draws.chance(NICKED) {
            ring = ring.defect(Defect::Nick {
                edge: draws.pick(&[Edge::Outer, Edge::Inner]),
                angle: draws.angle(),
                depth: draws.between(0.12, 0.4_f64.min(0.3 * section)),
                width: draws.between(0.6, 1.2),
            });
        }
        ring
    }
}
