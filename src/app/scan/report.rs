//! What is told of pages, their rings and what was refused.

use crate::app::ring::identify::{RingAnswer, RingCandidate};
use crate::core::caution::Caution;
use crate::core::identification::NextReading;
use crate::core::measurement::Measurand;
use crate::core::quantity::{Length, as_mm};
use crate::core::scan::{PageReading, PageRefusal, RefusedPlace, Scale, ScannedRing};
use serde::Serialize;

/// The answer for all pages.
#[derive(Debug, Clone, Serialize)]
pub struct ScanReport {
    /// The pages in the order of the files.
    pub pages: Vec<ScanPage>,
    /// Whether the method was ever tried on a real scanner; not yet.
    pub tried_on_real_scanners: bool,
    /// What to see before relying on the answer.
    pub cautions: Vec<Caution>,
}

/// A page with the rings that were measured on it.
#[derive(Debug, Clone, Serialize)]
pub struct ScanPage {
    pub file: String,
    /// Why it was refused; `None`: it was measured.
    pub refused: Option<PageRefusal>,
    pub scale: Option<Scale>,
    /// Its rings, numbered from the top.
    pub rings: Vec<RingLine>,
    /// Places that look like a ring and were not measured.
    pub places: Vec<RefusedPlace>,
}

/// A ring of a page with its diameters and how far they can be trusted.
#[derive(Debug, Clone, Serialize)]
pub struct RingLine {
    /// Its number on the page and on the picture.
    pub number: usize,
    /// From the left edge of the page.
    #[serde(rename = "x_mm", serialize_with = "as_mm")]
    pub x: Length,
    /// From the upper edge.
    #[serde(rename = "y_mm", serialize_with = "as_mm")]
    pub y: Length,
    /// Whether nothing speaks against it.
    pub sure: bool,
    #[serde(flatten)]
    pub seen: ScannedRing,
    #[serde(flatten)]
    pub name: RingName,
}

/// Which ring it may be.
#[derive(Debug, Clone, Serialize)]
pub struct RingName {
    pub candidates: Vec<RingCandidate>,
    /// Probability that it is of no listed size.
    pub unlisted_probability: f64,
    /// The reading that would tell most; `None` where the name is settled.
    pub measure_next: Option<NextReading>,
    pub has_height: bool,
}

/// A name of this probability is settled.
const SETTLED: f64 = 0.9;
const NAMES_KEPT: usize = 5;

impl ScanReport {
    pub(super) fn new(pages: Vec<ScanPage>) -> Self {
        Self {
            pages,
            tried_on_real_scanners: false,
            cautions: vec![Caution::Named],
        }
    }

    /// Tells whether every page was measured.
    pub fn all_measured(&self) -> bool {
        self.pages.iter().all(|page| page.refused.is_none())
    }
}

impl ScanPage {
    /// Reports a page; `name` names a ring by its number.
    pub(super) fn of<E>(
        file: String,
        reading: Result<PageReading, PageRefusal>,
        name: impl Fn(&ScannedRing, usize) -> Result<RingName, E>,
    ) -> Result<Self, E> {
        let mut page = Self {
            file,
            refused: reading.as_ref().err().copied(),
            scale: None,
            rings: Vec::new(),
            places: Vec::new(),
        };
        let Ok(reading) = reading else {
            return Ok(page);
        };
        for (number, seen) in (1..).zip(reading.rings) {
            page.rings.push(RingLine {
                number,
                x: reading.scale.across.place(seen.x),
                y: reading.scale.down.place(seen.y),
                sure: seen.is_sure(),
                name: name(&seen, number)?,
                seen,
            });
        }
        page.scale = Some(reading.scale);
        page.places = reading.refused;
        Ok(page)
    }

    /// Lists the rings whose height would tell most, by number.
    pub fn heights_wanted(&self) -> Vec<usize> {
        let wanted = |ring: &&RingLine| {
            let next = ring.name.measure_next.as_ref();
            !ring.name.has_height && next.is_some_and(|next| next.measurand == Measurand::Cs)
        };
        self.rings
            .iter()
            .filter(wanted)
            .map(|ring| ring.number)
            .collect()
    }
}

impl RingName {
    pub(super) fn of(answer: RingAnswer, has_height: bool) -> Self {
        let mut candidates = answer.candidates;
        let settled = candidates
            .first()
            .is_some_and(|first| first.probability >= SETTLED);
        candidates.truncate(NAMES_KEPT);
        Self {
            measure_next: answer.measure_next.into_iter().next().filter(|_| !settled),
            unlisted_probability: answer.unlisted_probability,
            candidates,
            has_height,
        }
    }

    /// Gives the most probable ring, where any listed one is likelier than none.
    pub fn best(&self) -> Option<&RingCandidate> {
        let first = self.candidates.first()?;
        (first.probability >= self.unlisted_probability).then_some(first)
    }
}
