//! The figures of a ring in its gland, for settled dimensions and over the tolerance stack.

use super::bounds::Bounds;
use super::geometry::{Geometry, Seat};
use super::line_force::{Modulus, line_force};
use super::ring::GlandRing;
use super::section::{SectionLaw, seated_section};
use super::state::State;
use crate::core::quantity::Dimension;
use serde::Deserialize;
use std::f64::consts::PI;

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
}

/// The number of figures.
const COUNT: usize = 13;

impl Figure {
    fn index(self) -> usize {
        self as usize
    }
}

/// Holds every figure for one settled set of dimensions; NaN where the gland has no such figure.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point([f64; COUNT]);

impl Point {
    pub(super) fn get(&self, figure: Figure) -> f64 {
        self.0[figure.index()]
    }

    /// Works the figures out for a seat and a ring of inside diameter and section in millimetres.
    pub(super) fn at(
        seat: &Seat,
        ring: (f64, f64),
        law: SectionLaw,
        modulus: Option<Modulus>,
    ) -> Self {
        let (id, section) = ring;
        let outside = id + 2.0 * section;
        let seated = seated_section(ring, (seat.inside, seat.outside), law);
        let squeeze = seated - seat.depth;
        let inside_fit = seat.inside.map_or(f64::NAN, |d| 100.0 * (d - id) / id);
        let stretch = match (seat.inside, seat.outside) {
            (Some(_), Some(_)) => inside_fit.max(0.0),
            (Some(_), None) => inside_fit,
            (None, _) => 0.0,
        };
        let force = |pick: fn(Modulus) -> f64| {
            modulus.map_or(f64::NAN, |m| line_force(seated, squeeze / seated, pick(m)))
        };
        let mut values = [f64::NAN; COUNT];
        let mut set = |figure: Figure, value: f64| values[figure.index()] = value;
        set(Figure::DepthMm, seat.depth);
        set(Figure::StretchPct, stretch);
        set(Figure::InsideFitPct, inside_fit);
        let compression = |h: f64| 100.0 * (outside - h) / outside;
        set(
            Figure::OutsideCompressionPct,
            seat.outside.map_or(f64::NAN, compression),
        );
        set(Figure::SectionMm, seated);
        set(Figure::SqueezeMm, squeeze);
        set(Figure::SqueezePct, 100.0 * squeeze / seated);
        set(Figure::PrintedSqueezeMm, section - seat.depth);
        set(
            Figure::PrintedSqueezePct,
            100.0 * (section - seat.depth) / section,
        );
        set(Figure::FillPct, 100.0 * ring_volume(ring) / seat.volume);
        set(Figure::GapMm, seat.gap.unwrap_or(f64::NAN));
        set(Figure::LineForce, force(|m| m.gent));
        set(Figure::LineForceRuess, force(|m| m.ruess));
        Self(values)
    }
}

/// Returns the volume of a ring, π²/4 · W² (d1 + W).
fn ring_volume((id, section): (f64, f64)) -> f64 {
    PI * PI / 4.0 * section * section * (id + section)
}

/// Holds the bounds of every figure over the tolerance stack.
#[derive(Debug, Clone)]
pub struct Figures([Option<Bounds>; COUNT]);

impl Figures {
    /// Returns the bounds of a figure, where the gland has it.
    pub fn get(&self, figure: Figure) -> Option<Bounds> {
        self.0[figure.index()]
    }

    /// Works out the nominal figures alone, without tolerances.
    pub(super) fn nominal(geometry: &dyn Geometry, ring: &GlandRing, state: &State) -> Point {
        let mm: Vec<f64> = geometry
            .dimensions()
            .iter()
            .map(|(_, d)| d.nominal.mm() * state.gland)
            .collect();
        let pair = (
            ring.id.nominal.mm() * state.ring,
            ring.section.nominal.mm() * state.ring,
        );
        Point::at(
            &geometry.seat(&mm),
            pair,
            SectionLaw::Nominal,
            ring.modulus(),
        )
    }

    /// Works out the least, nominal and greatest value of every figure.
    ///
    /// Each figure is monotone in each dimension, so its extremes lie where every dimension stands at an end of its
    /// tolerance: squeeze comes out as (W − t) − L_max and (W + t) − L_min over the same W, as published tables form it.
    /// The least values use [`SectionLaw::Least`], the greatest [`SectionLaw::Greatest`].
    pub fn worst_case(geometry: &dyn Geometry, ring: &GlandRing, state: &State) -> Self {
        let nominal = Self::nominal(geometry, ring, state);
        let modulus = ring.modulus();
        let (mut least, mut greatest) = (nominal.0, nominal.0);
        let ends = Ends::of(geometry, ring, state);
        let mut mm = ends.low.clone();
        for corner in 0..ends.corners() {
            ends.settle(corner, &mut mm);
            let (gland, pair) = mm.split_at(mm.len() - 2);
            let seat = geometry.seat(gland);
            let pair = (pair[0], pair[1]);
            let low = Point::at(&seat, pair, SectionLaw::Least, modulus);
            let high = Point::at(&seat, pair, SectionLaw::Greatest, modulus);
            for i in 0..COUNT {
                least[i] = least[i].min(low.0[i]);
                greatest[i] = greatest[i].max(high.0[i]);
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

impl GlandRing {
    /// Returns the moduli of the ring's rubber, where its Shore A hardness is known.
    pub(super) fn modulus(&self) -> Option<Modulus> {
        use crate::core::quantity::HardnessScale;
        self.hardness
            .filter(|h| h.scale == HardnessScale::ShoreA)
            .and_then(|h| Modulus::of_shore_a(h.value))
    }
}

/// Holds the ends of every tolerance in millimetres: the gland's dimensions, then the ring's inside diameter and section.
struct Ends {
    low: Vec<f64>,
    high: Vec<f64>,
    /// Positions whose ends differ.
    loose: Vec<usize>,
}

impl Ends {
    fn of(geometry: &dyn Geometry, ring: &GlandRing, state: &State) -> Self {
        let gland = geometry.dimensions().iter().map(|(_, d)| (*d, state.gland));
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
