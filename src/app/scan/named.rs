//! The rings of a page named, each with its own measured uncertainty.

use super::{RingHeight, RingName, ScanError, ScanQuestion};
use crate::app::identify::{RingNamer, RingQuestion};
use crate::core::measurement::{Condition, Measurand, Reading};
use crate::core::scan::{Measured, PageReading, ScannedRing};

/// The method's word, as in the table of instruments.
pub(super) const SCAN: &str = "scan";

/// Names rings one after the other.
pub(super) struct Naming<'q> {
    namer: &'q RingNamer,
    condition: Condition,
    heights: Vec<(&'q RingHeight, bool)>,
}

impl<'q> Naming<'q> {
    pub(super) fn new(question: &'q ScanQuestion, namer: &'q RingNamer) -> Self {
        let heights = question.heights.iter().map(|height| (height, false));
        Self {
            namer,
            condition: question.condition,
            heights: heights.collect(),
        }
    }

    /// Names the rings of one page, 1 first.
    pub(super) fn page(
        &mut self,
        page: usize,
        reading: &PageReading,
    ) -> Result<Vec<RingName>, ScanError> {
        let rings = (1..).zip(&reading.rings);
        rings
            .map(|(number, ring)| self.ring(page, number, ring))
            .collect()
    }

    /// Says which height belongs to no ring.
    pub(super) fn check_heights(&self) -> Result<(), ScanError> {
        match self.heights.iter().find(|(_, used)| !used) {
            None => Ok(()),
            Some((height, _)) => Err(ScanError::NoSuchRing {
                page: height.page,
                ring: height.ring,
            }),
        }
    }

    fn ring(
        &mut self,
        page: usize,
        number: usize,
        ring: &ScannedRing,
    ) -> Result<RingName, ScanError> {
        let mut readings = diameters(ring).to_vec();
        for (height, used) in &mut self.heights {
            if height.page == page && height.ring == number {
                readings.push(height.reading.clone());
                *used = true;
            }
        }
        let has_height = readings.len() > 2;
        let mut answer = self.namer.name(&RingQuestion {
            readings,
            condition: self.condition,
            polymer: None,
        })?;
        // A picture from above shows no height: what the scan could still tell, it has told.
        answer.measure_next.retain(|next| next.method != SCAN);
        Ok(RingName::of(answer, has_height))
    }
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
