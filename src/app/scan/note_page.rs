//! Rings of notes measured from the pages that the notes name: their diameters as readings, and a picture of each.

use super::named::{SCAN, diameters};
use super::{Glass, ScanError, page_scale, picture, threads};
use crate::app::file::lies_in;
use crate::core::measurement::Reading;
use crate::core::note::{Note, PageRing};
use crate::core::quantity::Length;
use crate::core::scan::{Page, PageReading, Pitch, ScannedRing, read_page};
use crate::store::{BookPlace, RingPicture};
use image::ExtendedColorType;
use image::codecs::jpeg::JpegEncoder;
use std::path::{Path, PathBuf};

/// Says why a ring of a note was not measured from its page.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum NotePageError {
    /// The picture is not there.
    #[error(
        "{0} is not beside the note: put the picture of the page there, or write what was read of the ring in place of `scan`"
    )]
    Missing(String),
    /// The page cannot be measured.
    #[error("{0} cannot be measured: `ringwright ring scan {0}` says why")]
    Refused(String),
    /// It shows fewer rings.
    #[error(
        "{page} shows {count} rings and no ring {ring}: `ringwright ring scan {page} --picture marked.svg` numbers them"
    )]
    NoSuchRing {
        page: String,
        /// How many it shows.
        count: usize,
        /// The one that was named.
        ring: u32,
    },
    /// The page cannot be read, or its scanner is not known.
    #[error(transparent)]
    Scan(#[from] ScanError),
}

/// Measures pages, each once as long as the same page is asked for.
pub(in crate::app) struct NotePages<'b> {
    book: &'b BookPlace,
    pitch: Option<Pitch>,
    last: Option<(PathBuf, Option<String>, Vec<RingShown>)>,
}

/// What a page shows of one ring.
struct RingShown {
    readings: [Reading; 2],
    sure: bool,
    jpeg: Vec<u8>,
    width: Length,
}

/// What the rings of a note were found to be.
#[derive(Debug, Default)]
pub(in crate::app) struct RingsOfNote {
    /// A picture of each ring that was measured.
    pub(in crate::app) pictures: Vec<RingPicture>,
    /// Rings that were measured with doubt.
    pub(in crate::app) doubtful: Vec<PageRing>,
}

impl<'b> NotePages<'b> {
    pub(in crate::app) fn new(book: &'b BookPlace, pitch: Option<Pitch>) -> Self {
        Self {
            book,
            pitch,
            last: None,
        }
    }

    /// Measures the rings of a note that name a page and were not read from it yet, and puts their diameters to their readings.
    pub(in crate::app) fn read_into(
        &mut self,
        note: &mut Note,
        folder: &Path,
    ) -> Result<RingsOfNote, NotePageError> {
        let mut found = RingsOfNote::default();
        for entry in &mut note.entries {
            let Some(ring) = &entry.scan else { continue };
            if entry.readings.iter().any(|reading| reading.method == SCAN) {
                continue;
            }
            let shown = self.ring(ring, folder)?;
            entry.readings.extend(shown.readings.iter().cloned());
            entry.readings.sort_by_key(|reading| reading.measurand);
            if !shown.sure {
                found.doubtful.push(ring.clone());
            }
            found.pictures.push(RingPicture {
                removal: entry.order,
                jpeg: shown.jpeg.clone(),
                width: shown.width,
            });
        }
        Ok(found)
    }

    fn ring(&mut self, ring: &PageRing, folder: &Path) -> Result<&RingShown, NotePageError> {
        let path = folder.join(&ring.page);
        let known =
            matches!(&self.last, Some((page, by, _)) if *page == path && *by == ring.scanner);
        if !known {
            let rings = self.measured(ring, &path, folder)?;
            self.last = Some((path, ring.scanner.clone(), rings));
        }
        let rings = self.last.as_ref().map_or(&[][..], |(_, _, rings)| rings);
        let at = usize::try_from(ring.ring).unwrap_or(usize::MAX);
        rings.get(at - 1).ok_or(NotePageError::NoSuchRing {
            page: ring.page.clone(),
            count: rings.len(),
            ring: ring.ring,
        })
    }

    fn measured(
        &self,
        ring: &PageRing,
        path: &Path,
        folder: &Path,
    ) -> Result<Vec<RingShown>, NotePageError> {
        if !lies_in(path, folder) {
            return Err(NotePageError::Missing(ring.page.clone()));
        }
        let picture = picture(path)?;
        let glass = Glass {
            pitch: self.pitch,
            scanner: ring.scanner.clone(),
        };
        let refused = || NotePageError::Refused(ring.page.clone());
        let scale = page_scale(&glass, &picture, Some(self.book))?.map_err(|_| refused())?;
        let reading = read_page(&picture.page, &scale, threads()).map_err(|_| refused())?;
        let shown = reading
            .rings
            .iter()
            .map(|one| RingShown::of(one, &picture.page, &reading));
        shown.collect::<Option<_>>().ok_or_else(refused)
    }
}

/// Paper beside the ring on its picture, mm, and points of the longer side at most.
const BESIDE_MM: f64 = 1.0;
const MOST_POINTS: usize = 400;
const QUALITY: u8 = 85;

impl RingShown {
    fn of(ring: &ScannedRing, page: &Page, reading: &PageReading) -> Option<Self> {
        let reach = ring.od.value.mm() * (1.0 + ring.ovality) / 2.0 + BESIDE_MM;
        let across = reach / reading.scale.across.mm();
        let down = reach / reading.scale.down.mm();
        let part = page.part([ring.x - across, ring.y - down], [2.0 * across, 2.0 * down])?;
        let factor = part.width().max(part.height()).div_ceil(MOST_POINTS);
        let small = part.shrunk(factor);
        let mut jpeg = Vec::new();
        let [width, height] = [small.width(), small.height()].map(|side| u32::try_from(side).ok());
        JpegEncoder::new_with_quality(&mut jpeg, QUALITY)
            .encode(small.pixels(), width?, height?, ExtendedColorType::Rgb8)
            .ok()?;
        let width = (small.width() * factor) as f64 * reading.scale.across.mm();
        Some(Self {
            readings: diameters(ring),
            sure: ring.is_sure(),
            jpeg,
            width: Length::from_mm(width)?,
        })
    }
}
