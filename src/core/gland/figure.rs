//! The figures of a ring in its gland, for settled dimensions and over the tolerance stack.

use super::bounds::Bounds;
use super::geometry::{Geometry, Seat};
use super::kind::Direction;
use super::line_force::Modulus;
use super::ring::GlandRing;
use super::seated_rings::{Change, Rings, SeatedRings};
use super::seats::Seats;
use super::state::State;
use crate::core::quantity::Dimension;
use serde::Deserialize;

/// Names a figure; the words are those of the rule sets and of machine output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Figure {
    /// Gland depth L in millimetres.
    DepthMm,
    /// Stretch of the inside, 100 (D − d1)/d1; on a rod it is never below zero, for there the ring sits on its outside.
    StretchPct,
    /// The same without that floor: negative where the ring is wider than what it lies on.
    InsideFitPct,
    /// Compression of the outside, 100 (d1 + 2W − H)/(d1 + 2W).
    OutsideCompressionPct,
    /// Section W' on its seat in millimetres.
    SectionMm,
    /// Squeeze W' − L in millimetres.
    SqueezeMm,
    /// Squeeze in per cent of W'.
    SqueezePct,
    /// Squeeze W − L of the unstretched section, as published tables form it, in millimetres.
    PrintedSqueezeMm,
    /// The same in per cent of W.
    PrintedSqueezePct,
    /// Volume of the ring in per cent of the annulus.
    FillPct,
    /// Whole diametral clearance in millimetres.
    GapMm,
    /// Line force in newtons per millimetre, modulus by Gent.
    LineForce,
    /// Line force in newtons per millimetre, modulus by Ruess.
    LineForceRuess,
    /// Mean diameter of the groove against that of the ring, 100 (D − (d1 + W))/(d1 + W).
    CentreFitPct,
    /// Diametral room between the free ring and the wall across from the one it lies on, in millimetres.
    OtherWallMm,
    /// Squeeze left on the side where runout and side shift open the gland, in millimetres.
    OpenSideMm,
    /// The same in per cent of W'.
    OpenSidePct,
    /// Squeeze on the side where they close it, in per cent of W'.
    ClosedSidePct,
    ContactWidthMm,
    /// Peak contact stress in megapascals, modulus by Gent.
    ContactStress,
    /// Load that presses two faces apart in newtons, modulus by Gent.
    FaceLoad,
}

/// The number of figures.
pub(super) const COUNT: usize = 21;

/// What each figure is called in a check, and its unit, in the order of [`Figure`].
const TABLE: [(Figure, &str, &str); COUNT] = [
    (Figure::DepthMm, "gland depth", "mm"),
    (Figure::StretchPct, "stretch", "%"),
    (Figure::InsideFitPct, "tightness on its seat", "%"),
    (Figure::OutsideCompressionPct, "outside compression", "%"),
    (Figure::SectionMm, "section", "mm"),
    (Figure::SqueezeMm, "squeeze in millimetres", "mm"),
    (Figure::SqueezePct, "squeeze", "%"),
    (Figure::PrintedSqueezeMm, "squeeze in millimetres", "mm"),
    (
        Figure::PrintedSqueezePct,
        "squeeze against the printed table",
        "%",
    ),
    (Figure::FillPct, "fill", "%"),
    (Figure::GapMm, "gap", "mm"),
    (Figure::LineForce, "line force", "N/mm"),
    (Figure::LineForceRuess, "line force", "N/mm"),
    (
        Figure::CentreFitPct,
        "place on the middle of the groove",
        "%",
    ),
    (Figure::OtherWallMm, "room at the other wall", "mm"),
    (Figure::OpenSideMm, "contact on the open side", "mm"),
    (Figure::OpenSidePct, "squeeze on the open side", "%"),
    (Figure::ClosedSidePct, "squeeze on the closed side", "%"),
    (Figure::ContactWidthMm, "contact width", "mm"),
    (Figure::ContactStress, "peak contact stress", "MPa"),
    (Figure::FaceLoad, "load on the face", "N"),
];

impl Figure {
    /// Lists every figure.
    pub(super) fn all() -> [Self; COUNT] {
        TABLE.map(|(figure, ..)| figure)
    }

    /// Returns what it is called in a check.
    pub(super) const fn what(self) -> &'static str {
        TABLE[self as usize].1
    }

    /// Returns its unit.
    pub(super) const fn unit(self) -> &'static str {
        TABLE[self as usize].2
    }

    /// Tells whether the figure is a length in millimetres.
    pub(super) fn is_length(self) -> bool {
        self.unit() == "mm"
    }
}

/// Every figure for one settled set of dimensions; NaN where the gland has no such figure.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point([f64; COUNT]);

impl Point {
    pub(super) fn get(&self, figure: Figure) -> f64 {
        self.0[figure as usize]
    }

    /// Works the figures out for a seat and a ring of inside diameter and section in millimetres: a batch of one. `share` is that
    /// of [`Rings`].
    pub(super) fn at(seat: &Seat, ring: [f64; 2], share: Option<f64>, change: Change) -> Self {
        let mut seats: Seats<1> = Seats::new();
        seats.put(0, seat);
        let share = share.map(|share| [share]);
        let rings = Rings {
            id: &[ring[0]],
            section: &[ring[1]],
            share: share.as_ref(),
        };
        let seated = SeatedRings::new(&seats, rings, change);
        Self(Figure::all().map(|figure| {
            let mut room = [f64::NAN];
            seated
                .figure(figure, &mut room)
                .map_or(f64::NAN, |of| of[0])
        }))
    }
}

/// The bounds of every figure over the tolerance stack.
#[derive(Debug, Clone)]
pub struct Figures([Option<Bounds>; COUNT]);

impl Figures {
    /// Returns the bounds of a figure, where the gland has it.
    pub fn get(&self, figure: Figure) -> Option<Bounds> {
        self.0[figure as usize]
    }

    /// Works out the nominal figures alone, without tolerances.
    pub(super) fn nominal(geometry: &Geometry, ring: &GlandRing, state: &State) -> Point {
        let mm: Vec<f64> = geometry
            .dimensions()
            .iter()
            .zip(state.factors(geometry))
            .map(|((_, d), factor)| d.nominal.mm() * factor)
            .collect();
        let pair = [ring.id, ring.section].map(|d| d.nominal.mm() * state.ring);
        let change = Change::settled(state).with_forces(geometry, ring);
        Point::at(&geometry.seat(&mm), pair, None, change)
    }

    /// Works out the least, nominal and greatest value of every figure.
    ///
    /// Each figure is monotone in each dimension, so its extremes lie where every dimension stands at an end of its
    /// tolerance: squeeze comes out as (W − t) − L_max and (W + t) − L_min over the same W, as published tables form it.
    /// The section lies at the least and at the greatest that the two published laws give.
    pub fn worst_case(geometry: &Geometry, ring: &GlandRing, state: &State) -> Self {
        let nominal = Self::nominal(geometry, ring, state);
        let change = Change::settled(state).with_forces(geometry, ring);
        let (mut least, mut greatest) = (nominal.0, nominal.0);
        let ends = Ends::of(geometry, ring, state);
        let mut mm = ends.low.clone();
        for corner in 0..ends.corners() {
            ends.settle(corner, &mut mm);
            let (gland, pair) = mm.split_at(mm.len() - 2);
            let seat = geometry.seat(gland);
            for share in [0.0, 1.0] {
                let point = Point::at(&seat, [pair[0], pair[1]], Some(share), change);
                for i in 0..COUNT {
                    least[i] = least[i].min(point.0[i]);
                    greatest[i] = greatest[i].max(point.0[i]);
                }
            }
        }
        let bounds = std::array::from_fn(|i| {
            nominal.0[i].is_finite().then_some(Bounds {
                min: least[i],
                nominal: nominal.0[i],
                max: greatest[i],
            })
        });
        Self(bounds)
    }
}

impl Change {
    /// Asks for the forces too, as far as the ring's hardness and the gland tell them.
    fn with_forces(mut self, geometry: &Geometry, ring: &GlandRing) -> Self {
        self.modulus = ring.modulus();
        self.axial = geometry.kind().facts().direction == Direction::Axial;
        self
    }
}

impl GlandRing {
    /// Returns the moduli of the ring's rubber, where its Shore A hardness is known.
    pub(super) fn modulus(&self) -> Option<Modulus> {
        use crate::core::quantity::HardnessScale;
        self.hardness
            .filter(|h| h.scale == HardnessScale::ShoreA)
            .and_then(|h| Modulus::of_shore_a(h.value))
    }
}

/// The ends of every tolerance in millimetres: the gland's dimensions, then the ring's inside diameter and section.
struct Ends {
    low: Vec<f64>,
    high: Vec<f64>,
    /// Positions whose ends differ.
    loose: Vec<usize>,
}

impl Ends {
    fn of(geometry: &Geometry, ring: &GlandRing, state: &State) -> Self {
        let gland = geometry
            .dimensions()
            .iter()
            .zip(state.factors(geometry))
            .map(|((_, d), factor)| (*d, factor));
        let ring = [(ring.id, state.ring), (ring.section, state.ring)];
        let all: Vec<(Dimension, f64)> = gland.chain(ring).collect();
        let end = |pick: fn(Dimension) -> f64| all.iter().map(|(d, f)| pick(*d) * f).collect();
        let low: Vec<f64> = end(|d| d.least().mm());
        let high: Vec<f64> = end(|d| d.greatest().mm());
        let loose = (0..all.len())
            .filter(|i| all[*i].0.has_tolerance())
            .collect();
        Self { low, high, loose }
    }

    fn corners(&self) -> usize {
        1 << self.loose.len()
    }

    fn settle(&self, corner: usize, mm: &mut [f64]) {
        for (bit, position) in self.loose.iter().enumerate() {
            let high = corner >> bit & 1 == 1;
            mm[*position] = if high {
                self.high[*position]
            } else {
                self.low[*position]
            };
        }
    }
}
