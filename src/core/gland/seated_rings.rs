//! A batch of rings on their seats, and the figures that follow.

use super::column::{Column, LENGTH, ZERO, larger, smaller};
use super::figure::Figure;
use super::seats::Seats;
use super::section::stretch_loss;
use super::state::State;
use std::f64::consts::PI;

/// Holds the free rings of a batch: inside diameters and sections in millimetres, and shares between the section laws.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rings<'c> {
    pub(super) id: &'c Column,
    pub(super) section: &'c Column,
    pub(super) share: &'c Column,
}

/// Holds one state as it acts on a batch of seats that were worked out without the metal's expansion.
///
/// Where every length of a gland grows by one factor, every figure in per cent is that of a ring which shrinks by that factor
/// instead; so the seats serve for every temperature, and lengths are in units of the factor.
#[derive(Debug, Clone, Copy)]
pub(super) struct Change {
    /// Factor on the ring against the gland.
    pub(super) ring: f64,
    /// Factor on every length of the gland.
    pub(super) unit: f64,
    kept: f64,
    rests: bool,
}

impl Change {
    pub(super) fn of(state: &State) -> Self {
        Self {
            ring: state.ring / state.gland,
            unit: state.gland,
            kept: state.kept,
            rests: state.rests,
        }
    }
}

/// Holds a batch of rings on their seats. Lengths are in units of [`Change::unit`].
#[derive(Debug)]
pub(super) struct SeatedRings<'s> {
    seats: &'s Seats,
    change: Change,
    id: Column,
    section: Column,
    /// 100 (D − d1)/d1 where the ring lies on its inside; 100 (D/(d1 + W) − 1) where on its mean diameter.
    stretch: Column,
    seated: Column,
    squeeze: Column,
}

impl<'s> SeatedRings<'s> {
    /// Puts the rings on their seats; the law of section loss lies a share of the way between the two that are published, as
    /// in [`super::section::seated_section`].
    pub(super) fn new(seats: &'s Seats, rings: Rings<'_>, change: Change) -> Self {
        let mut found = Self {
            seats,
            change,
            id: ZERO,
            section: ZERO,
            stretch: ZERO,
            seated: ZERO,
            squeeze: ZERO,
        };
        for i in 0..LENGTH {
            found.id[i] = rings.id[i] * change.ring;
            found.section[i] = rings.section[i] * change.ring;
        }
        found.stretch();
        let (nominal, greatest) = found.sections();
        for i in 0..LENGTH {
            let section = found.section[i];
            let lost = section * (1.0 - stretch_loss(found.stretch[i]) / 100.0);
            let least = smaller(nominal[i], lost);
            let most = larger(greatest[i], nominal[i]);
            let seated = least + rings.share[i] * (most - least);
            let free = seated - seats.depth[i];
            found.seated[i] = seated;
            found.squeeze[i] = smaller(free, free * change.kept);
        }
        found
    }

    fn stretch(&mut self) {
        if let Some(inside) = &self.seats.inside {
            for i in 0..LENGTH {
                self.stretch[i] = 100.0 * (inside[i] - self.id[i]) / self.id[i];
            }
        } else if let Some(centre) = &self.seats.centre {
            for i in 0..LENGTH {
                self.stretch[i] = 100.0 * (centre[i] / (self.id[i] + self.section[i]) - 1.0);
            }
        }
    }

    /// Returns the nominal sections and the greatest.
    fn sections(&self) -> (Column, Column) {
        let free = self.section;
        let stretched = |with: &Column| {
            let mut found = free;
            for i in 0..LENGTH {
                found[i] = if self.stretch[i] > 0.0 {
                    with[i]
                } else {
                    free[i]
                };
            }
            found
        };
        let seats = self.seats;
        match (&seats.inside, &seats.outside, &seats.centre) {
            (Some(inside), Some(outside), _) => {
                let mut mean = ZERO;
                for i in 0..LENGTH {
                    mean[i] = 0.5 * (inside[i] + outside[i]);
                }
                let by_volume = self.of_constant_volume(inside, 1.0);
                (stretched(&by_volume), self.on_mean_line(&mean))
            }
            (Some(inside), None, _) => {
                let by_volume = self.of_constant_volume(inside, 1.0);
                (stretched(&by_volume), by_volume)
            }
            (None, Some(outside), None) => (free, self.pressed(outside)),
            (None, outside, Some(centre)) => {
                let on_line = self.on_mean_line(centre);
                let greatest = outside.as_ref().map_or(on_line, |o| self.pressed(o));
                (stretched(&on_line), greatest)
            }
            (None, None, None) => (free, free),
        }
    }

    fn on_mean_line(&self, mean: &Column) -> Column {
        let mut found = ZERO;
        for i in 0..LENGTH {
            let (id, section) = (self.id[i], self.section[i]);
            found[i] = section * ((id + section) / mean[i]).sqrt();
        }
        found
    }

    fn pressed(&self, outside: &Column) -> Column {
        let mut found = self.of_constant_volume(outside, -1.0);
        for i in 0..LENGTH {
            let (id, section) = (self.id[i], self.section[i]);
            let touches = outside[i] < id + 2.0 * section;
            found[i] = if touches { found[i] } else { section };
        }
        found
    }

    /// Solves w²(diameter + sign·w) = W²(d1 + W) for w by Halley's method, which cubes its error: a last step of 1e-5 of the
    /// section leaves about 1e-15. Where there is no root, the section stays as it is.
    fn of_constant_volume(&self, diameter: &Column, sign: f64) -> Column {
        const STEPS: usize = 12;
        const ENOUGH: f64 = 1e-5;
        const LANES: usize = 4;
        let mut w = self.section;
        for _ in 0..STEPS {
            let mut beyond = [0.0; LANES];
            for start in (0..LENGTH).step_by(LANES) {
                for (lane, beyond) in beyond.iter_mut().enumerate() {
                    let i = start + lane;
                    let section = self.section[i];
                    let volume = section * section * (self.id[i] + section);
                    let across = diameter[i] + sign * w[i];
                    let value = w[i] * w[i] * across - volume;
                    let slope = w[i] * (2.0 * across + sign * w[i]);
                    let bend = across + 2.0 * sign * w[i];
                    let step = value * slope / (slope * slope - value * bend);
                    w[i] = if slope > 0.0 { w[i] - step } else { f64::NAN };
                    *beyond = larger(step.abs() - ENOUGH * section, *beyond);
                }
            }
            if beyond.iter().all(|b| *b <= 0.0) {
                break;
            }
        }
        for i in 0..LENGTH {
            let sound = (w[i] > 0.0) & (w[i] < f64::INFINITY);
            w[i] = if sound { w[i] } else { self.section[i] };
        }
        w
    }

    /// Works one figure out; `None` where the gland has no such figure, or where it is one of force.
    pub(super) fn figure(&self, figure: Figure) -> Option<Column> {
        let seats = self.seats;
        let on_centre = seats.centre.as_ref();
        match figure {
            Figure::DepthMm => Some(seats.depth),
            Figure::StretchPct => Some(self.stretch_figure()),
            Figure::InsideFitPct => seats.inside.as_ref().map(|_| self.stretch),
            Figure::OutsideCompressionPct => seats.outside.as_ref().map(|h| {
                self.each(|i| {
                    let outside = self.outside(i);
                    100.0 * (outside - h[i]) / outside
                })
            }),
            Figure::SectionMm => Some(self.seated),
            Figure::SqueezeMm => Some(self.squeeze),
            Figure::SqueezePct => Some(self.each(|i| 100.0 * self.squeeze[i] / self.seated[i])),
            Figure::PrintedSqueezeMm => Some(self.each(|i| self.section[i] - seats.depth[i])),
            Figure::PrintedSqueezePct => {
                Some(self.each(|i| 100.0 * (self.section[i] - seats.depth[i]) / self.section[i]))
            }
            Figure::FillPct => Some(self.fill()),
            Figure::GapMm => seats.gap,
            Figure::CentreFitPct => on_centre.map(|centre| {
                self.each(|i| {
                    let mean = self.id[i] + self.section[i];
                    100.0 * (centre[i] - mean) / mean
                })
            }),
            Figure::OtherWallMm => match (&seats.within, &seats.around) {
                (Some(within), _) => Some(self.each(|i| self.id[i] - within[i])),
                (None, Some(around)) => Some(self.each(|i| around[i] - self.outside(i))),
                (None, None) => None,
            },
            Figure::OpenSideMm => Some(self.each(|i| self.squeeze[i] - self.shift(i))),
            Figure::OpenSidePct => Some(self.to_a_side(-1.0)),
            Figure::ClosedSidePct => Some(self.to_a_side(1.0)),
            Figure::LineForce
            | Figure::LineForceRuess
            | Figure::ContactWidthMm
            | Figure::ContactStress
            | Figure::FaceLoad => None,
        }
    }

    fn each(&self, value: impl Fn(usize) -> f64) -> Column {
        let mut found = ZERO;
        for (i, found) in found.iter_mut().enumerate() {
            *found = value(i);
        }
        found
    }

    fn outside(&self, i: usize) -> f64 {
        self.id[i] + 2.0 * self.section[i]
    }

    fn stretch_figure(&self) -> Column {
        match (&self.seats.inside, &self.seats.outside) {
            (Some(_), None) => self.stretch,
            _ => self.each(|i| larger(self.stretch[i], 0.0)),
        }
    }

    fn fill(&self) -> Column {
        const SHARE: f64 = 100.0 * PI * PI / 4.0;
        self.each(|i| {
            let section = self.section[i];
            SHARE * section * section * (self.id[i] + section) / self.seats.volume[i]
        })
    }

    fn to_a_side(&self, sign: f64) -> Column {
        self.each(|i| 100.0 * (self.squeeze[i] + sign * self.shift(i)) / self.seated[i])
    }

    fn shift(&self, i: usize) -> f64 {
        let gap = self.seats.gap.as_ref().filter(|_| self.change.rests);
        0.5 * (gap.map_or(0.0, |gap| larger(gap[i], 0.0)) + self.seats.runout[i])
    }
}
