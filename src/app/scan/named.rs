//! The rings of a page named, each with its own measured uncertainty.

use super::{RingHeight, RingName, ScanError, ScanQuestion};
use crate::app::identify::{RingNamer, RingQuestion};
use crate::core::confidence::Confidence;
use crate::core::measurement::{Condition, Instrument, Instruments, Measurand, Reading};
use crate::core::scan::{Measured, PageReading, ScannedRing};

/// The method's word, as in the table of instruments.
const SCAN: &str = "scan";
/// The errors of both diameters come from the same edges and the same scale, with signs that are not known. Twice the variance
/// of each is never too sure, whatever they share: var(aX + bY) is at most 2 (a² var X + b² var Y).
const SHARED_VARIANCE: f64 = 2.0;

/// Names rings one after the other.
pub(super) struct Naming<'q> {
    namer: RingNamer,
    instruments: Instruments,
    condition: Condition,
    heights: Vec<(&'q RingHeight, bool)>,
}

impl<'q> Naming<'q> {
    pub(super) fn new(question: &'q ScanQuestion, namer: &RingNamer) -> Self {
        Self {
            namer: namer.clone(),
            instruments: namer.instruments().clone(),
            condition: question.condition,
            heights: question
                .heights
                .iter()
                .map(|height| (height, false))
                .collect(),
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
        let mut readings = vec![
            scanned(Measurand::Od, ring.od),
            scanned(Measurand::Id, ring.id),
        ];
        for (height, used) in &mut self.heights {
            if height.page == page && height.ring == number {
                readings.push(height.reading.clone());
                *used = true;
            }
        }
        let has_height = readings.len() > 2;
        let rows = [(Measurand::Od, ring.od), (Measurand::Id, ring.id)]
            .map(|(measurand, measured)| row(measurand, measured));
        self.namer.set_instruments(self.instruments.with_rows(rows));
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

fn scanned(measurand: Measurand, measured: Measured) -> Reading {
    let mm = measured.value.mm();
    Reading {
        measurand,
        values: vec![mm],
        method: SCAN.to_owned(),
        typed: format!("{mm:.3} mm by {SCAN}"),
    }
}

/// Gives the scan as an instrument that reads this one ring.
fn row(measurand: Measurand, measured: Measured) -> Instrument {
    Instrument {
        method: SCAN,
        measurand,
        bias: 0.0,
        sd_between: measured.uncertainty.mm() * SHARED_VARIANCE.sqrt(),
        sd_repeat: 0.0,
        minutes: 0.2,
        label: "flatbed scan",
        source: "the uncertainty that was found for this ring, its variance doubled for what both diameters share",
        confidence: Confidence::Measured,
    }
}
