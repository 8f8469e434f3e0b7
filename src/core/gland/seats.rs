//! The seats of a batch of samples.

use super::column::{Column, LENGTH, ZERO};
use super::geometry::{OtherWall, Seat};

/// The most dimensions that a gland has.
const MOST: usize = 12;

/// Holds the seats of a batch of samples, each property in a column. Lengths in millimetres, volumes in mm³.
///
/// A property that one seat of a gland has, all of its seats have.
#[derive(Debug, Clone)]
pub struct Seats {
    pub(super) depth: Column,
    pub(super) volume: Column,
    pub(super) inside: Option<Column>,
    pub(super) outside: Option<Column>,
    pub(super) centre: Option<Column>,
    /// The diameters of a wall within the ring.
    pub(super) within: Option<Column>,
    /// The diameters of a wall around the ring.
    pub(super) around: Option<Column>,
    pub(super) gap: Option<Column>,
    pub(super) runout: Column,
}

impl Seats {
    /// Makes seats of which nothing is said yet.
    pub(super) const fn new() -> Self {
        Self {
            depth: ZERO,
            volume: ZERO,
            inside: None,
            outside: None,
            centre: None,
            within: None,
            around: None,
            gap: None,
            runout: ZERO,
        }
    }

    /// Fills the seats one after another.
    pub(super) fn one_by_one(&mut self, mm: &[Column], seat: impl Fn(&[f64]) -> Seat) {
        let mut settled = [0.0; MOST];
        let settled = &mut settled[..mm.len()];
        for i in 0..LENGTH {
            for (to, from) in settled.iter_mut().zip(mm) {
                *to = from[i];
            }
            self.put(i, &seat(settled));
        }
    }

    fn put(&mut self, i: usize, seat: &Seat) {
        let set = |column: &mut Option<Column>, value: Option<f64>| {
            if let Some(value) = value {
                column.get_or_insert(ZERO)[i] = value;
            }
        };
        let (within, around) = match seat.other {
            Some(OtherWall::Within(d)) => (Some(d), None),
            Some(OtherWall::Around(d)) => (None, Some(d)),
            None => (None, None),
        };
        self.depth[i] = seat.depth;
        self.volume[i] = seat.volume;
        self.runout[i] = seat.runout;
        set(&mut self.inside, seat.inside);
        set(&mut self.outside, seat.outside);
        set(&mut self.centre, seat.centre);
        set(&mut self.within, within);
        set(&mut self.around, around);
        set(&mut self.gap, seat.gap);
    }
}
