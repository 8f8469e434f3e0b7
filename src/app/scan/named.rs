//! The rings of a page named, each with its own measured uncertainty.

use super::{RingHeight, RingName, ScanError};
use crate::app::ring::identify::RingNamer;
use crate::app::ring::question::RingQuestion;
use crate::core::measurement::{Condition, Measurand, Reading};
use crate::core::scan::{Measured, ScannedRing};

/// The method's word, as in the table of instruments.
pub(super) const SCAN: &str = "scan";

/// Names a ring from its diameters and the heights that were taken by hand.
pub(super) fn named(
    namer: &RingNamer,
    condition: Condition,
    ring: &ScannedRing,
    heights: &[&RingHeight],
) -> Result<RingName, ScanError> {
    let by_hand = heights.iter().map(|height| height.reading.clone());
    let mut answer = namer.name(&RingQuestion {
        readings: diameters(ring).into_iter().chain(by_hand).collect(),
        condition,
        ..RingQuestion::default()
    })?;
    // A picture from above shows no height: what the scan could still tell, it has told.
    answer.measure_next.retain(|next| next.method != SCAN);
    Ok(RingName::of(answer, !heights.is_empty()))
}

/// Gives what was measured of a ring as readings that state their own uncertainty. The plan width is none of them: it is neither
/// the section nor the axial width of a ring that was squeezed.
pub(super) fn diameters(ring: &ScannedRing) -> [Reading; 2] {
    [(Measurand::Id, ring.id), (Measurand::Od, ring.od)].map(|(measurand, measured)| {
        let Measured { value, uncertainty } = measured;
        Reading {
            measurand,
            values: vec![value.mm()],
            method: SCAN.to_owned(),
            typed: format!(
                "{:.3} mm u {:.3} mm by {SCAN}",
                value.mm(),
                uncertainty.mm().clamp(0.001, 0.5)
            ),
        }
    })
}
