//! Batches of samples drawn from the laws of a stack's dimensions.

use super::column::{Column, LENGTH, ZERO};
use super::law::{BAND, Law, Spread};
use super::quantile_cells::QuantileCells;
use super::sequence::{Axis, axes};

/// Draws one batch of samples after another: every dimension by its law, and a share that is even between 0 and 1.
#[derive(Debug)]
pub(super) struct Draw {
    drawn: Vec<DrawnAxis>,
    even: Axis,
    /// Deviations in half widths; the last is that of the even share, from -1 to 1.
    pub(super) deviates: Vec<Column>,
    /// The dimensions in millimetres.
    pub(super) mm: Vec<Column>,
    /// The even share.
    pub(super) share: Column,
}

#[derive(Debug)]
struct DrawnAxis {
    spread: Spread,
    axis: Axis,
    /// The deviates of a normal law, in standard deviations.
    cells: Option<QuantileCells>,
}

impl Draw {
    /// Makes ready for so many samples.
    pub(super) fn new(spreads: &[Spread], samples: usize) -> Self {
        let mut axes = axes(spreads.len() + 1, samples).into_iter();
        let drawn = spreads.iter().zip(&mut axes).map(|(spread, axis)| {
            let normal = spread.is_loose() && spread.law() == Law::Measured;
            DrawnAxis {
                spread: *spread,
                cells: normal.then(|| QuantileCells::new(&axis.cells())),
                axis,
            }
        });
        let drawn: Vec<DrawnAxis> = drawn.collect();
        let Some(even) = axes.next() else {
            unreachable!("one axis more than dimensions was asked for")
        };
        Self {
            mm: spreads.iter().map(|s| [s.at(0.0); LENGTH]).collect(),
            deviates: vec![ZERO; spreads.len() + 1],
            share: ZERO,
            drawn,
            even,
        }
    }

    /// Draws the next batch.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn advance(&mut self) {
        let Self {
            drawn,
            even,
            deviates,
            mm,
            share,
        } = self;
        let columns = deviates.iter_mut().zip(mm);
        for (drawn, (deviates, mm)) in drawn.iter_mut().zip(columns) {
            if drawn.spread.is_loose() {
                drawn.advance(deviates, mm);
            }
        }
        evenly(even, share);
        if let Some(last) = deviates.last_mut() {
            for (deviate, share) in last.iter_mut().zip(share) {
                *deviate = 2.0 * *share - 1.0;
            }
        }
    }
}

impl DrawnAxis {
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    fn advance(&mut self, deviates: &mut Column, mm: &mut Column) {
        let Self {
            spread,
            axis,
            cells,
        } = self;
        if let Some(cells) = cells {
            in_runs(
                axis,
                deviates,
                #[inline(always)]
                |axis, run, part| {
                    let past_middle = axis.past_middle(run);
                    cells.fill(part, run.start, past_middle, |place| axis.share(run, place));
                },
            );
            for deviate in deviates.iter_mut() {
                *deviate *= 1.0 / BAND;
            }
        } else {
            evenly(axis, deviates);
            for deviate in deviates.iter_mut() {
                *deviate = spread.deviate(*deviate);
            }
        }
        for (mm, deviate) in mm.iter_mut().zip(deviates.iter()) {
            *mm = spread.at(*deviate);
        }
    }
}

/// Fills a column with the coordinates of an axis.
#[allow(clippy::inline_always, reason = "compiled for the widest registers")]
#[inline(always)]
fn evenly(axis: &mut Axis, column: &mut Column) {
    in_runs(axis, column, Axis::fill);
}

/// Fills a column run by run.
#[allow(clippy::inline_always, reason = "compiled for the widest registers")]
#[inline(always)]
fn in_runs(
    axis: &mut Axis,
    column: &mut Column,
    mut fill: impl FnMut(&Axis, super::sequence::Run, &mut [f64]),
) {
    let mut done = 0;
    while done < LENGTH {
        let run = axis.run(LENGTH - done);
        fill(axis, run, &mut column[done..done + run.length]);
        done += run.length;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::quantity::{Dimension, Length};

    #[test]
    fn the_columns_are_the_quantiles_of_the_sequence_under_every_law() {
        // The same points through the exact laws, one by one; a normal deviate may miss by 1e-6 standard deviations.
        const SAMPLES: usize = 20_000;
        let dimension = |minus| Dimension {
            nominal: Length::from_nm(25_400_000),
            plus: Length::from_nm(50_000),
            minus: Length::from_nm(minus),
        };
        let spreads: Vec<Spread> = Law::ALL
            .iter()
            .flat_map(|(law, _)| [50_000, 20_000].map(|m| Spread::of(dimension(m), *law)))
            .collect();
        let mut draw = Draw::new(&spreads, SAMPLES);
        let mut exact = axes(spreads.len() + 1, SAMPLES);
        for _ in 0..SAMPLES / LENGTH {
            draw.advance();
            for (d, axis) in exact.iter_mut().enumerate() {
                let mut shares = ZERO;
                evenly(axis, &mut shares);
                for (i, share) in shares.iter().enumerate() {
                    let (expected, bound) = match spreads.get(d) {
                        Some(spread) => (spread.deviate(*share), 1e-6 / BAND),
                        None => (2.0 * share - 1.0, 1e-15),
                    };
                    assert!((draw.deviates[d][i] - expected).abs() < bound);
                }
            }
        }
    }
}
