//! Limits held against batches of samples in one state.

use super::column::{Column, Held, LENGTH, Range, ZERO};
use super::extrusion::ExtrusionLimit;
use super::figure::Figure;
use super::geometry::Geometry;
use super::limits::{Limit, Severity};
use super::seated_rings::{Change, Rings, SeatedRings};
use super::seats::Seats;
use super::state::State;

/// One limit with the number of samples outside it; the extrusion gap where there is no limit.
#[derive(Debug)]
pub(super) struct Tally {
    pub(super) limit: Option<&'static Limit>,
    pub(super) outside: usize,
    /// Place of the figure among those that are worked out.
    figure: usize,
    range: Range,
    binds: bool,
}

/// The limits of one state, and the figures that they ask for.
#[derive(Debug)]
pub(super) struct StateTally {
    pub(super) state: State,
    pub(super) limits: Vec<Tally>,
    change: Change,
    figures: Vec<Figure>,
    /// So many figures, the first ones, are wanted besides those of the limits.
    shown: usize,
}

impl StateTally {
    /// Limits, and the extrusion gap where one is given, in a state; `shown` are figures that are wanted besides.
    pub(super) fn new(
        state: State,
        limits: impl Iterator<Item = &'static Limit>,
        gap: Option<&ExtrusionLimit>,
        shown: &[Figure],
    ) -> Self {
        let mut found = Self {
            change: Change::of(&state),
            state,
            limits: Vec::new(),
            figures: shown.to_vec(),
            shown: shown.len(),
        };
        for limit in limits {
            let slack = limit.slack();
            let range = Range {
                low: limit.low.map_or(f64::NEG_INFINITY, |low| low - slack),
                high: limit.high.map_or(f64::INFINITY, |high| high + slack),
            };
            found.take(Some(limit), limit.figure, range);
        }
        if let Some(gap) = gap {
            // A gap that is closed holds whatever is allowed.
            let high = gap.clearance_mm.unwrap_or(0.0).max(0.0);
            let low = f64::NEG_INFINITY;
            found.take(None, Figure::GapMm, Range { low, high });
        }
        found
    }

    fn take(&mut self, limit: Option<&'static Limit>, figure: Figure, range: Range) {
        let unit = if figure.is_length() {
            self.state.gland
        } else {
            1.0
        };
        let known = self.figures.iter().position(|f| *f == figure);
        let place = known.unwrap_or_else(|| {
            self.figures.push(figure);
            self.figures.len() - 1
        });
        self.limits.push(Tally {
            limit,
            outside: 0,
            figure: place,
            range: Range {
                low: range.low / unit,
                high: range.high / unit,
            },
            binds: limit.is_none_or(|l| matches!(l.severity, Severity::Limit | Severity::Hard)),
        });
    }

    /// Counts the first samples of a batch; those outside a limit that can reject hold no longer. `shown` is told the place
    /// and the values of each figure that is wanted besides.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn count(
        &mut self,
        rings: Rings<'_, LENGTH>,
        seats: &Seats,
        held: &mut Held,
        length: usize,
        mut shown: impl FnMut(usize, &[f64]),
    ) {
        let seated = SeatedRings::new(seats, rings, self.change);
        let mut room = ZERO;
        for (place, figure) in self.figures.iter().enumerate() {
            let Some(values) = seated.figure(*figure, &mut room) else {
                continue;
            };
            let values = &values[..length];
            for tally in self.limits.iter_mut().filter(|t| t.figure == place) {
                tally.outside += if tally.binds {
                    held.drop_outside(values, tally.range)
                } else {
                    tally.range.outside(values)
                };
            }
            if place < self.shown {
                shown(place, values);
            }
        }
    }
}

/// Works the seats of a batch out under a growth of what pressure widens.
pub(super) fn grown_seats(geometry: &Geometry, mm: &[Column], growth: f64) -> Box<Seats> {
    let widened = geometry.widened_by_pressure();
    let mut mm = mm.to_vec();
    for (column, (dimension, _)) in mm.iter_mut().zip(geometry.dimensions()) {
        if widened.contains(dimension) {
            for value in column.iter_mut().take(LENGTH) {
                *value *= 1.0 + growth;
            }
        }
    }
    let mut seats = Box::new(Seats::new());
    geometry.seats(&mm, &mut seats);
    seats
}
