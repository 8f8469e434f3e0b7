//! What is told of pages, their rings and what was refused.

use crate::app::identify::{NextMeasure, RingAnswer, RingCandidate};
use crate::core::caution::Caution;
use crate::core::measurement::Measurand;
use crate::core::quantity::{Length, as_mm};
use crate::core::scan::{
    Defect, DefectKind, DefectSide, Doubt, Measured, NoRing, PageReading, PageRefusal, Scale,
    ScaleSource, ScannedRing,
};
use serde::Serialize;

/// Holds the answer for all pages.
#[derive(Debug, Clone, Serialize)]
pub struct ScanReport {
    /// The pages in the order of the files.
    pub pages: Vec<ScanPage>,
    /// Whether the method was ever tried on a real scanner; not yet.
    pub tried_on_real_scanners: bool,
    /// What to see before relying on the answer.
    pub cautions: Vec<Caution>,
}

/// Holds one page.
#[derive(Debug, Clone, Serialize)]
pub struct ScanPage {
    /// The file.
    pub file: String,
    /// Why it was refused; `None`: it was measured.
    pub refused: Option<PageRefused>,
    /// Its scale.
    pub scale: Option<ScaleLine>,
    /// Its rings, numbered from the top.
    pub rings: Vec<RingLine>,
    /// Places that look like a ring and were not measured.
    pub places: Vec<PlaceLine>,
}

/// Says why a page was refused.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "why")]
pub enum PageRefused {
    /// Its file states no resolution.
    NoScale,
    /// The resolution is too coarse, or that of a screen.
    TooCoarse {
        /// What the file states.
        dpi: f64,
    },
    /// What it shows cannot be measured.
    #[serde(untagged)]
    Shows(PageRefusal),
}

/// Holds the scale of a page.
#[derive(Debug, Clone, Serialize)]
pub struct ScaleLine {
    /// Dots an inch along the rows.
    pub dpi_across: f64,
    /// Along the columns.
    pub dpi_down: f64,
    /// Where it came from.
    pub source: ScaleSource,
    /// Its relative standard uncertainty, one error for the whole page.
    pub relative_uncertainty: f64,
    /// From the glass to the lens, mm, where the rings show that the scanner has one.
    pub lens_distance_mm: Option<f64>,
}

/// Holds one ring.
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
    /// Outside diameter.
    pub od: Measured,
    /// Inside diameter.
    pub id: Measured,
    /// Extent along the radius; neither section nor axial width.
    pub plan_width: Measured,
    /// Greatest less least outside extent over their mean.
    pub ovality: f64,
    /// Whether nothing speaks against it.
    pub sure: bool,
    /// What speaks against it.
    pub doubts: Vec<Doubt>,
    /// Damage.
    pub defects: Vec<DefectLine>,
    /// Which ring it may be.
    #[serde(flatten)]
    pub name: RingName,
}

/// Holds one place of damage.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct DefectLine {
    /// What.
    pub kind: DefectKind,
    /// Where on the section.
    pub side: DefectSide,
    /// Where round the ring, as hours of a clock from 0 to 12.
    pub clock: f64,
    /// Along the ring.
    #[serde(rename = "length_mm", serialize_with = "as_mm")]
    pub length: Length,
    /// Deep or high.
    #[serde(rename = "depth_mm", serialize_with = "as_mm")]
    pub depth: Length,
}

/// Holds which ring it may be.
#[derive(Debug, Clone, Serialize)]
pub struct RingName {
    /// The most probable rings.
    pub candidates: Vec<RingCandidate>,
    /// Probability that it is of no listed size.
    pub unlisted_probability: f64,
    /// The reading that would tell most; `None` where the name is settled.
    pub measure_next: Option<NextMeasure>,
    /// Whether a height was given.
    pub has_height: bool,
}

/// Holds a place that was not measured.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct PlaceLine {
    /// From the left edge.
    #[serde(rename = "x_mm", serialize_with = "as_mm")]
    pub x: Length,
    /// From the upper edge.
    #[serde(rename = "y_mm", serialize_with = "as_mm")]
    pub y: Length,
    /// Why.
    pub why: NoRing,
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
    pub(super) fn refused(file: String, refused: PageRefused) -> Self {
        Self {
            file,
            refused: Some(refused),
            scale: None,
            rings: Vec::new(),
            places: Vec::new(),
        }
    }

    pub(super) fn of(file: String, reading: &PageReading, names: Vec<RingName>) -> Self {
        let scale = &reading.scale;
        let rings = (1..).zip(&reading.rings).zip(names);
        let places = reading.refused.iter().map(|place| PlaceLine {
            x: along(place.x, scale.across.mm()),
            y: along(place.y, scale.down.mm()),
            why: place.why,
        });
        Self {
            file,
            refused: None,
            scale: Some(ScaleLine::of(scale)),
            rings: rings
                .map(|((number, ring), name)| RingLine::of(number, ring, scale, name))
                .collect(),
            places: places.collect(),
        }
    }

    /// Lists the rings whose height would tell most, by number.
    pub fn heights_wanted(&self) -> Vec<usize> {
        let wanted = |ring: &&RingLine| {
            let next = ring.name.measure_next.as_ref();
            !ring.name.has_height && next.is_some_and(|next| next.reading == Measurand::Cs.word())
        };
        self.rings
            .iter()
            .filter(wanted)
            .map(|ring| ring.number)
            .collect()
    }
}

impl ScaleLine {
    fn of(scale: &Scale) -> Self {
        Self {
            dpi_across: scale.across.dpi(),
            dpi_down: scale.down.dpi(),
            source: scale.source,
            relative_uncertainty: scale.relative_uncertainty,
            lens_distance_mm: scale.lens.map(|lens| lens.distance_mm),
        }
    }
}

/// Gives the place of a point's middle.
fn along(points: f64, pitch: f64) -> Length {
    Length::from_mm((points + 0.5) * pitch).unwrap_or(Length::ZERO)
}

impl RingLine {
    fn of(number: usize, ring: &ScannedRing, scale: &Scale, name: RingName) -> Self {
        Self {
            number,
            x: along(ring.x, scale.across.mm()),
            y: along(ring.y, scale.down.mm()),
            od: ring.od,
            id: ring.id,
            plan_width: ring.plan_width,
            ovality: ring.ovality,
            sure: ring.is_sure(),
            doubts: ring.doubts.clone(),
            defects: ring.defects.iter().map(DefectLine::of).collect(),
            name,
        }
    }
}

impl DefectLine {
    fn of(defect: &Defect) -> Self {
        // Angles run clockwise on the page from the right, which is three o'clock.
        let hours = 3.0 + defect.angle / std::f64::consts::TAU * 12.0;
        Self {
            kind: defect.kind,
            side: defect.side,
            clock: hours.rem_euclid(12.0),
            length: defect.length,
            depth: defect.depth,
        }
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
