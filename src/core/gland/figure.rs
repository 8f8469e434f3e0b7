//! The figures of a ring in its gland, for settled dimensions and over the tolerance stack.

use super::bounds::Bounds;
use super::geometry::{Geometry, OtherWall, Seat};
use super::line_force::{Modulus, contact_stress, contact_width, line_force};
use super::ring::GlandRing;
use super::section::{Place, SectionLaw, seated_section};
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
    /// Width of the contact in millimetres.
    ContactWidthMm,
    /// Peak contact stress in megapascals, modulus by Gent.
    ContactStress,
    /// Load that presses two faces apart in newtons, modulus by Gent.
    FaceLoad,
}

/// The number of figures.
const COUNT: usize = 21;

impl Figure {
    fn index(self) -> usize {
        self as usize
    }

    /// Tells whether the figure is a length in millimetres.
    pub(super) const fn is_length(self) -> bool {
        matches!(
            self,
            Self::DepthMm
                | Self::SectionMm
                | Self::SqueezeMm
                | Self::PrintedSqueezeMm
                | Self::GapMm
                | Self::OtherWallMm
                | Self::OpenSideMm
                | Self::ContactWidthMm
        )
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
    pub(super) fn at(seat: &Seat, id: f64, section: f64, rule: Rule) -> Self {
        let outside = id + 2.0 * section;
        let seated = seated_section(id, section, Place::of(seat), rule.law);
        let free = seated - seat.depth;
        let squeeze = free.min(free * rule.kept);
        let inside_fit = seat.inside.map_or(f64::NAN, |d| 100.0 * (d - id) / id);
        let stretch = match (seat.inside, seat.outside, seat.centre) {
            (Some(_), Some(_), _) => inside_fit.max(0.0),
            (Some(_), None, _) => inside_fit,
            (None, _, Some(centre)) => (100.0 * (centre / (id + section) - 1.0)).max(0.0),
            (None, _, None) => 0.0,
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
        let centred = |d: f64| 100.0 * (d - id - section) / (id + section);
        set(Figure::CentreFitPct, seat.centre.map_or(f64::NAN, centred));
        let room = seat.other.map_or(f64::NAN, |wall| match wall {
            OtherWall::Within(d) => id - d,
            OtherWall::Around(d) => d - outside,
        });
        set(Figure::OtherWallMm, room);
        set(Figure::SectionMm, seated);
        set(Figure::SqueezeMm, squeeze);
        set(Figure::SqueezePct, 100.0 * squeeze / seated);
        set(Figure::PrintedSqueezeMm, section - seat.depth);
        set(
            Figure::PrintedSqueezePct,
            100.0 * (section - seat.depth) / section,
        );
        set(
            Figure::FillPct,
            100.0 * ring_volume(id, section) / seat.volume,
        );
        set(Figure::GapMm, seat.gap.unwrap_or(f64::NAN));
        let shift = rule.shift(seat);
        set(Figure::OpenSideMm, squeeze - shift);
        set(Figure::OpenSidePct, 100.0 * (squeeze - shift) / seated);
        set(Figure::ClosedSidePct, 100.0 * (squeeze + shift) / seated);
        if let Some(modulus) = rule.modulus {
            set_forces(&mut values, seat, seated, squeeze, modulus);
        }
        Self(values)
    }
}

/// Sets the figures of force for a section on its seat and its squeeze.
fn set_forces(values: &mut [f64; COUNT], seat: &Seat, seated: f64, squeeze: f64, modulus: Modulus) {
    let share = squeeze / seated;
    let gent = line_force(seated, share, modulus.gent);
    let mut set = |figure: Figure, value: f64| values[figure.index()] = value;
    set(Figure::LineForce, gent);
    set(
        Figure::LineForceRuess,
        line_force(seated, share, modulus.ruess),
    );
    set(Figure::ContactWidthMm, contact_width(seated, share));
    set(Figure::ContactStress, contact_stress(share, modulus.gent));
    let mean = seat
        .centre
        .or(seat.outside.map(|d| d - seated))
        .or(seat.inside.map(|d| d + seated));
    if let Some(mean) = mean.filter(|_| seat.axial) {
        set(Figure::FaceLoad, gent * PI * mean);
    }
}

/// Holds what settles the figures beside the dimensions.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rule {
    /// How a stretched ring loses section.
    pub(super) law: SectionLaw,
    /// Share of the squeeze that is kept.
    pub(super) kept: f64,
    /// Whether the inner part may rest on one side of its bore.
    pub(super) rests: bool,
    /// Moduli of the rubber, where forces are wanted.
    pub(super) modulus: Option<Modulus>,
}

impl Rule {
    pub(super) fn of(state: &State, law: SectionLaw, modulus: Option<Modulus>) -> Self {
        Self {
            law,
            kept: state.kept,
            rests: state.rests,
            modulus,
        }
    }

    /// Returns by how much the gland is deeper on its open side: half the runout, and half the clearance where the part may
    /// rest on one side. Geometry, derived here: L + c + e/2, c the radial clearance and e the total runout.
    fn shift(self, seat: &Seat) -> f64 {
        let rest = if self.rests {
            seat.gap.unwrap_or(0.0).max(0.0)
        } else {
            0.0
        };
        f64::midpoint(rest, seat.runout)
    }
}

/// Returns the volume of a ring, π²/4 · W² (d1 + W).
fn ring_volume(id: f64, section: f64) -> f64 {
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
            .zip(state.factors(geometry))
            .map(|((_, d), factor)| d.nominal.mm() * factor)
            .collect();
        let pair = (
            ring.id.nominal.mm() * state.ring,
            ring.section.nominal.mm() * state.ring,
        );
        let rule = Rule::of(state, SectionLaw::Nominal, ring.modulus());
        Point::at(&geometry.seat(&mm), pair.0, pair.1, rule)
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
            let low = Point::at(
                &seat,
                pair.0,
                pair.1,
                Rule::of(state, SectionLaw::Least, modulus),
            );
            let high = Point::at(
                &seat,
                pair.0,
                pair.1,
                Rule::of(state, SectionLaw::Greatest, modulus),
            );
            for i in 0..COUNT {
                least[i] = least[i].min(low.0[i]).min(high.0[i]);
                greatest[i] = greatest[i].max(high.0[i]).max(low.0[i]);
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
