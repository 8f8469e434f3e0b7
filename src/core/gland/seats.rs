//! The seats of a batch of samples.

use super::column::{Column, LENGTH};
use super::geometry::Seat;

/// The most dimensions that a gland has.
const MOST: usize = 12;

/// The seats of a batch of samples, each property in a column. Lengths in millimetres, volumes in mm³.
///
/// A property that one seat of a gland has, all of its seats have.
#[derive(Debug, Clone)]
pub(super) struct Seats<const N: usize = LENGTH> {
    pub(super) depth: Column<N>,
    pub(super) volume: Column<N>,
    pub(super) inside: Option<Column<N>>,
    pub(super) outside: Option<Column<N>>,
    pub(super) centre: Option<Column<N>>,
    /// The diameters of a wall within the ring.
    pub(super) within: Option<Column<N>>,
    /// The diameters of a wall around the ring.
    pub(super) around: Option<Column<N>>,
    pub(super) gap: Option<Column<N>>,
    pub(super) runout: Column<N>,
}

impl<const N: usize> Seats<N> {
    /// Makes seats of which nothing is said yet.
    pub(super) const fn new() -> Self {
        Self {
            depth: [0.0; N],
            volume: [0.0; N],
            inside: None,
            outside: None,
            centre: None,
            within: None,
            around: None,
            gap: None,
            runout: [0.0; N],
        }
    }

    /// Fills the seats one after another.
    pub(super) fn one_by_one(&mut self, mm: &[Column<N>], seat: impl Fn(&[f64]) -> Seat) {
        let mut settled = [0.0; MOST];
        let settled = &mut settled[..mm.len()];
        for i in 0..N {
            for (to, from) in settled.iter_mut().zip(mm) {
                *to = from[i];
            }
            self.put(i, &seat(settled));
        }
    }

    pub(super) fn put(&mut self, i: usize, seat: &Seat) {
        let set = |column: &mut Option<Column<N>>, value: Option<f64>| {
            if let Some(value) = value {
                column.get_or_insert([0.0; N])[i] = value;
            }
        };
        self.depth[i] = seat.depth;
        self.volume[i] = seat.volume;
        self.runout[i] = seat.runout;
        set(&mut self.inside, seat.inside);
        set(&mut self.outside, seat.outside);
        set(&mut self.centre, seat.centre);
        set(&mut self.within, seat.within);
        set(&mut self.around, seat.around);
        set(&mut self.gap, seat.gap);
    }
}
