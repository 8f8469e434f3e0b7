//! A batch of rings on their seats, and the figures that follow.

use super::column::{Column, larger, smaller};
use super::figure::Figure;
use super::line_force::{Modulus, contact_stress, contact_width, line_force};
use super::seats::Seats;
use super::section::{of_constant_volume, stretch_loss};
use super::state::State;
use std::f64::consts::PI;

/// The free rings of a batch: inside diameters and sections in millimetres.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rings<'c, const N: usize> {
    pub(super) id: &'c Column<N>,
    pub(super) section: &'c Column<N>,
    /// Shares of the way from the least section, by the published stretch-loss curve, to the greatest, by constant volume with
    /// what a ring gains that is pressed together; without them the section is nominal: constant volume, and nothing gained.
    pub(super) share: Option<&'c Column<N>>,
}

/// One state as it acts on rings.
#[derive(Debug, Clone, Copy)]
pub(super) struct Change {
    /// Factor on the ring against the gland.
    pub(super) ring: f64,
    kept: f64,
    rests: bool,
    /// Moduli of the rubber, where forces are wanted.
    pub(super) modulus: Option<Modulus>,
    /// Whether the squeeze presses two faces apart along the axis.
    pub(super) axial: bool,
}

impl Change {
    /// Makes the change of rings on seats that were worked out with the state's factors.
    pub(super) fn settled(state: &State) -> Self {
        Self {
            ring: 1.0,
            kept: state.kept,
            rests: state.rests,
            modulus: None,
            axial: false,
        }
    }

    /// Makes the change of rings on seats that were worked out without the metal's expansion.
    ///
    /// Where every length of a gland grows by one factor, every figure in per cent is that of a ring which shrinks by that
    /// factor instead; so the seats serve for every temperature, and lengths are in units of the factor.
    pub(super) fn of(state: &State) -> Self {
        Self {
            ring: state.ring / state.gland,
            ..Self::settled(state)
        }
    }
}

/// Rings that lie free.
#[derive(Debug)]
struct FreeRings<const N: usize> {
    id: Column<N>,
    section: Column<N>,
    /// 100 (D − d1)/d1 where the ring lies on its inside; 100 (D/(d1 + W) − 1) where on its mean diameter.
    stretch: Column<N>,
}

/// A batch of rings on their seats.
#[derive(Debug)]
pub(super) struct SeatedRings<'s, const N: usize> {
    seats: &'s Seats<N>,
    change: Change,
    free: FreeRings<N>,
    seated: Column<N>,
    squeeze: Column<N>,
}

impl<const N: usize> FreeRings<N> {
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    fn new(seats: &Seats<N>, rings: Rings<'_, N>, factor: f64) -> Self {
        let mut found = Self {
            id: rings.id.map(|id| id * factor),
            section: rings.section.map(|section| section * factor),
            stretch: [0.0; N],
        };
        if let Some(inside) = &seats.inside {
            for ((stretch, inside), id) in found.stretch.iter_mut().zip(inside).zip(&found.id) {
                *stretch = 100.0 * (inside - id) / id;
            }
        } else if let Some(centre) = &seats.centre {
            let free = found.id.iter().zip(&found.section);
            for ((stretch, centre), (id, section)) in found.stretch.iter_mut().zip(centre).zip(free)
            {
                *stretch = 100.0 * (centre / (id + section) - 1.0);
            }
        }
        found
    }

    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    fn on_mean_line(&self, mean: f64, i: usize) -> f64 {
        let (id, section) = (self.id[i], self.section[i]);
        section * ((id + section) / mean).sqrt()
    }

    /// Returns the sections of rings that are pressed together by a wall around them, where they touch it.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    fn pressed(&self, outside: &Column<N>) -> Column<N> {
        let mut found = of_constant_volume(&self.id, &self.section, outside, -1.0);
        for i in 0..N {
            let (id, section) = (self.id[i], self.section[i]);
            let touches = outside[i] < id + 2.0 * section;
            found[i] = if touches { found[i] } else { section };
        }
        found
    }

    /// Returns the sections of rings of constant volume whose inside lies on a wall.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    fn stretched(&self, inside: &Column<N>) -> Column<N> {
        of_constant_volume(&self.id, &self.section, inside, 1.0)
    }
}

impl<'s, const N: usize> SeatedRings<'s, N> {
    /// Puts the rings on their seats.
    ///
    /// Outside compression leaves the nominal section as it is, because published tables form it so; the greatest section gains
    /// by constant volume. Between two walls (a rod gland) the greatest section is that of constant volume on the middle of the
    /// seat, W'² (D + H)/2 = W² (d1 + W): the mean-line form of the stretch, and free of a step where the ring begins to be
    /// stretched. A ring on a mean diameter (a dovetail) follows the mean-line form.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn new(seats: &'s Seats<N>, rings: Rings<'_, N>, change: Change) -> Self {
        let free = FreeRings::new(seats, rings, change.ring);
        let mut found = Self {
            seats,
            change,
            seated: [0.0; N],
            squeeze: [0.0; N],
            free,
        };
        match (&seats.inside, &seats.outside, &seats.centre) {
            (Some(inside), Some(outside), _) => {
                let w = found.free.stretched(inside);
                found.settle(rings.share, |free, i| {
                    (w[i], free.on_mean_line(0.5 * (inside[i] + outside[i]), i))
                });
            }
            (Some(inside), None, _) => {
                let w = found.free.stretched(inside);
                found.settle(rings.share, |_, i| (w[i], w[i]));
            }
            (None, Some(outside), _) => {
                let w = found.free.pressed(outside);
                found.settle(rings.share, |free, i| (free.section[i], w[i]));
            }
            (None, None, Some(centre)) => found.settle(rings.share, |free, i| {
                let w = free.on_mean_line(centre[i], i);
                (w, w)
            }),
            (None, None, None) => {
                found.settle(rings.share, |free, i| (free.section[i], free.section[i]));
            }
        }
        found
    }

    /// Works section and squeeze out from the section of a stretched ring and the greatest.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    fn settle(
        &mut self,
        share: Option<&Column<N>>,
        sections: impl Fn(&FreeRings<N>, usize) -> (f64, f64),
    ) {
        let Self {
            seats,
            change,
            free,
            seated,
            squeeze,
        } = self;
        let (depth, kept) = (&seats.depth, change.kept);
        let outcomes = seated.iter_mut().zip(squeeze).zip(depth);
        for (i, ((seated, squeeze), depth)) in outcomes.enumerate() {
            let (section, stretch) = (free.section[i], free.stretch[i]);
            let (stretched, greatest) = sections(free, i);
            let nominal = if stretch > 0.0 { stretched } else { section };
            let lost = section * (1.0 - stretch_loss(stretch) / 100.0);
            let least = smaller(nominal, lost);
            let most = larger(greatest, nominal);
            *seated = share.map_or(nominal, |share| least + share[i] * (most - least));
            let over = *seated - depth;
            *squeeze = smaller(over, over * kept);
        }
    }

    /// Works one figure out, into `room` where it is not at hand; `None` where the gland has no such figure, or where it is
    /// one of force and no modulus is known.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn figure<'r>(
        &'r self,
        figure: Figure,
        room: &'r mut Column<N>,
    ) -> Option<&'r Column<N>> {
        let (seats, free) = (self.seats, &self.free);
        match figure {
            Figure::DepthMm => Some(&seats.depth),
            Figure::SectionMm => Some(&self.seated),
            Figure::SqueezeMm => Some(&self.squeeze),
            Figure::GapMm => seats.gap.as_ref(),
            Figure::InsideFitPct => seats.inside.as_ref().map(|_| &free.stretch),
            Figure::StretchPct => match (&seats.inside, &seats.outside) {
                (Some(_), None) => Some(&free.stretch),
                _ => Some(each(room, |i| larger(free.stretch[i], 0.0))),
            },
            Figure::SqueezePct => Some(each(room, |i| 100.0 * self.squeeze[i] / self.seated[i])),
            Figure::PrintedSqueezeMm => Some(each(room, |i| free.section[i] - seats.depth[i])),
            Figure::PrintedSqueezePct => Some(each(room, |i| {
                100.0 * (free.section[i] - seats.depth[i]) / free.section[i]
            })),
            Figure::FillPct => {
                const QUARTER: f64 = PI * PI / 4.0;
                // Where the factor of a hundred stands decides the last bit, and that of a single ring is printed.
                let (hundred, share) = if N == 1 {
                    (100.0, QUARTER)
                } else {
                    (1.0, 100.0 * PI * PI / 4.0)
                };
                Some(each(room, |i| {
                    let section = free.section[i];
                    let volume = share * section * section * (free.id[i] + section);
                    hundred * volume / seats.volume[i]
                }))
            }
            Figure::OpenSideMm => Some(each(room, |i| self.squeeze[i] - self.shift(i))),
            Figure::OpenSidePct => Some(self.to_a_side(-1.0, room)),
            Figure::ClosedSidePct => Some(self.to_a_side(1.0, room)),
            Figure::OutsideCompressionPct | Figure::CentreFitPct | Figure::OtherWallMm => {
                self.fit_to_walls(figure, room)
            }
            Figure::LineForce
            | Figure::LineForceRuess
            | Figure::ContactWidthMm
            | Figure::ContactStress
            | Figure::FaceLoad => self.force(figure, room),
        }
    }

    /// Works out how the ring fits a wall around it, the mean diameter of its groove, or the wall it does not lie on.
    fn fit_to_walls<'r>(&self, figure: Figure, room: &'r mut Column<N>) -> Option<&'r Column<N>> {
        let (seats, free) = (self.seats, &self.free);
        match figure {
            Figure::OutsideCompressionPct => {
                let wall = seats.outside.as_ref()?;
                Some(each(room, |i| {
                    let outside = self.outside(i);
                    100.0 * (outside - wall[i]) / outside
                }))
            }
            Figure::CentreFitPct => {
                let centre = seats.centre.as_ref()?;
                Some(each(room, |i| {
                    let mean = free.id[i] + free.section[i];
                    100.0 * (centre[i] - mean) / mean
                }))
            }
            Figure::OtherWallMm => match (&seats.within, &seats.around) {
                (Some(within), _) => Some(each(room, |i| free.id[i] - within[i])),
                (None, Some(around)) => Some(each(room, |i| around[i] - self.outside(i))),
                (None, None) => None,
            },
            _ => None,
        }
    }

    /// Works out a figure of force: the modulus is Gent's, but for one.
    fn force<'r>(&self, figure: Figure, room: &'r mut Column<N>) -> Option<&'r Column<N>> {
        let applies = figure != Figure::FaceLoad || self.change.axial;
        let modulus = self.change.modulus.filter(|_| applies)?;
        let share = |i: usize| self.squeeze[i] / self.seated[i];
        let line = |i: usize, modulus: f64| line_force(self.seated[i], share(i), modulus);
        Some(match figure {
            Figure::LineForceRuess => each(room, |i| line(i, modulus.ruess)),
            Figure::ContactWidthMm => each(room, |i| contact_width(self.seated[i], share(i))),
            Figure::ContactStress => each(room, |i| contact_stress(share(i), modulus.gent)),
            Figure::FaceLoad => each(room, |i| line(i, modulus.gent) * PI * self.mean(i)),
            _ => each(room, |i| line(i, modulus.gent)),
        })
    }

    /// Returns the mean diameter of a ring on its seat.
    fn mean(&self, i: usize) -> f64 {
        let of = |wall: &Option<Column<N>>, more: f64| wall.map(|wall| wall[i] + more);
        let by_walls = of(&self.seats.outside, -self.seated[i]);
        let found = of(&self.seats.centre, 0.0).or(by_walls);
        found
            .or(of(&self.seats.inside, self.seated[i]))
            .unwrap_or(f64::NAN)
    }

    fn outside(&self, i: usize) -> f64 {
        self.free.id[i] + 2.0 * self.free.section[i]
    }

    fn to_a_side<'r>(&self, sign: f64, room: &'r mut Column<N>) -> &'r Column<N> {
        each(room, |i| {
            100.0 * (self.squeeze[i] + sign * self.shift(i)) / self.seated[i]
        })
    }

    fn shift(&self, i: usize) -> f64 {
        let gap = self.seats.gap.as_ref().filter(|_| self.change.rests);
        0.5 * (gap.map_or(0.0, |gap| larger(gap[i], 0.0)) + self.seats.runout[i])
    }
}

/// Fills a column.
#[allow(clippy::inline_always, reason = "compiled for the widest registers")]
#[inline(always)]
fn each<const N: usize>(room: &mut Column<N>, value: impl Fn(usize) -> f64) -> &Column<N> {
    for (i, found) in room.iter_mut().enumerate() {
        *found = value(i);
    }
    room
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::gland::column::LENGTH;
    use crate::core::gland::figure::{COUNT, Point};
    use crate::core::gland::{GlandKind, GlandSpec, geometry};
    use crate::core::note::read_gland;

    /// Glands of every kind, plain ones and such as are worked out sample by sample.
    const GLANDS: [&str; 13] = [
        "piston; bore 25.40; groove 22.60; width 2.4; piston 25.20; runout 0.04",
        "piston; bore 25.40; groove 22.60; width 2.4; radius 0.2; angle 5 deg",
        "rod; rod 22.2; groove 25.0; width 2.4; housing 22.3",
        "rod; rod 22.2; groove 25.0; width 2.4; radius 0.2; runout 0.04",
        "face; outer 25.4; depth 1.35; width 2.6",
        "face; inner 22.2; depth 1.35; width 2.6; from outside",
        "face; outer 27.0; inner 21.0; depth 1.35",
        "crush; neck 22.2; chamfer 2.4",
        "dovetail; centre 23.8; depth 1.3; width 1.5; radius 0.3; lip 0.1",
        "half-dovetail; centre 23.8; depth 1.3; width 1.6",
        "port; neck 22.2; mouth 25.8; depth 2.4",
        "counterbore; outer 25.6; neck 22.1; depth 1.35",
        "carrier; bore 25.40; groove 22.60; width 2.4; carrier 25.20",
    ];

    /// Spreads a value by up to 4 % in a way of its own for each sample and dimension.
    fn spread(value: f64, sample: usize, dimension: usize) -> f64 {
        let turns = 0.618_034 * sample as f64 + 0.414_214 * (dimension * sample) as f64;
        value * (1.0 + 0.04 * (turns.fract() - 0.5))
    }

    fn states() -> [State; 3] {
        let cold = State {
            ring: 0.996,
            gland: 0.9995,
            ..State::assembled()
        };
        let old = State {
            kept: 0.6,
            rests: true,
            ring: 1.01,
            ..State::assembled()
        };
        [State::assembled(), cold, old]
    }

    fn columns(values: &[f64]) -> Vec<Column> {
        let column = |(dimension, value): (usize, &f64)| {
            std::array::from_fn(|sample| spread(*value, sample, dimension))
        };
        values.iter().enumerate().map(column).collect()
    }

    fn spec_of(text: &str) -> GlandSpec {
        let unit = Some(crate::core::quantity::LengthUnit::Mm);
        read_gland(text, unit).unwrap_or_else(|faults| panic!("{text}: {faults:?}"))
    }

    #[test]
    fn a_batch_gives_the_figures_that_one_sample_after_another_gives() {
        // The same formulas in another order of operations: 1e-9 of the value and of a millimetre is round-off and the end of
        // Halley's method.
        let mut compared = 0;
        for text in GLANDS {
            let geometry = geometry(&spec_of(text)).unwrap_or_else(|e| panic!("{text}: {e}"));
            let nominal = geometry.dimensions().iter().map(|(_, d)| d.nominal.mm());
            let mm = columns(&nominal.collect::<Vec<f64>>());
            let mut seats = Seats::new();
            geometry.seats(&mm, &mut seats);
            let ring = columns(&[21.95, 1.78]);
            let share: Column = std::array::from_fn(|i| i as f64 / LENGTH as f64);
            let rings = Rings {
                id: &ring[0],
                section: &ring[1],
                share: Some(&share),
            };
            for state in states() {
                let seated = SeatedRings::new(&seats, rings, Change::of(&state));
                for i in 0..LENGTH {
                    let settled: Vec<f64> =
                        mm.iter().map(|column| column[i] * state.gland).collect();
                    let pair = [0, 1].map(|of| ring[of][i] * state.ring);
                    let seat = geometry.seat(&settled);
                    let point = Point::at(&seat, pair, Some(share[i]), Change::settled(&state));
                    for figure in Figure::all() {
                        let mut room = [0.0; LENGTH];
                        let found = seated.figure(figure, &mut room).map(|column| column[i]);
                        let expected = Some(point.get(figure)).filter(|value| value.is_finite());
                        let unit = if figure.is_length() { state.gland } else { 1.0 };
                        let near = match (found, expected) {
                            (Some(a), Some(b)) => (a * unit - b).abs() <= 1e-9 * (1.0 + b.abs()),
                            (None, None) => true,
                            _ => false,
                        };
                        assert!(
                            near,
                            "{text} {figure:?} {i}: {found:?} against {expected:?}"
                        );
                        compared += 1;
                    }
                }
            }
        }
        assert_eq!(compared, GLANDS.len() * states().len() * LENGTH * COUNT);
        assert!(
            GlandKind::ALL
                .iter()
                .all(|(_, word)| GLANDS.iter().any(|text| text.starts_with(word)))
        );
    }
}
