//! Rings measured from pictures of a flatbed scanner, and named.

mod calibrated;
mod named;
mod note_page;
pub mod picture;
mod report;
mod resolution;

pub use calibrated::{
    CalibrateQuestion, CalibratedPage, ScannerReport, calibrate_scanner, list_scanners,
};
pub use note_page::NotePageError;
pub(in crate::app) use note_page::NotePages;
pub use report::{RingLine, RingName, ScanPage, ScanReport};
pub use resolution::Resolution;

use crate::app::ring::identify::RingNamer;
use crate::core::measurement::{Condition, Reading};
use crate::core::scan::{
    Page, PageReading, PageRefusal, Pitch, Scale, ScaleSource, ScannerProfile, read_page,
};
use crate::store::{Book, BookPlace, StoreError};
use named::named;
use picture::{Picture, PictureError, read_picture};
use std::path::{Path, PathBuf};

/// What is asked of pages.
#[derive(Debug)]
pub struct ScanQuestion {
    pub files: Vec<PathBuf>,
    /// What is known of the glass.
    pub glass: Glass,
    pub condition: Condition,
    /// Heights that were taken by hand.
    pub heights: Vec<RingHeight>,
}

/// What is known of the glass on which pages lay.
#[derive(Debug, Clone, Default)]
pub struct Glass {
    /// The size of a point, where it was typed.
    pub pitch: Option<Pitch>,
    pub scanner: Option<String>,
}

/// The height of one ring that was taken by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct RingHeight {
    /// The page, 1 first.
    pub page: usize,
    pub ring: usize,
    pub reading: Reading,
}

/// Says why the pages cannot be asked.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ScanError {
    #[error("{}: {source}", .path.display())]
    Picture { path: PathBuf, source: PictureError },
    /// No such ring was measured.
    #[error(
        "there is no ring {ring} on page {page}: the numbers are in the table without --height"
    )]
    NoSuchRing { page: usize, ring: usize },
    #[error(transparent)]
    Reading(#[from] crate::core::identification::EvidenceError),
    /// The book does not know the scanner.
    #[error(
        "the book knows no scanner {name:?} at {dpi} dots an inch: calibrate it first, with `ring scan calibrate`"
    )]
    UnknownScanner {
        name: String,
        /// Of the page.
        dpi: u32,
    },
    /// Pages of several resolutions make no one scale.
    #[error("{}: has {found} dots an inch, the pages before it {first}: calibrate each resolution by itself", .path.display())]
    OtherResolution {
        path: PathBuf,
        found: u32,
        first: u32,
    },
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// Measures and names all rings of the pages. `show` is given each page that could be measured, its pixels with it; they are not
/// kept.
///
/// # Errors
/// A file that is no picture, a scanner that the book does not know, a hand reading of a ring that is not there.
pub fn scan_rings<E: From<ScanError>>(
    question: &ScanQuestion,
    namer: &RingNamer,
    book: Option<&BookPlace>,
    mut show: impl FnMut(usize, &Page, &PageReading) -> Result<(), E>,
) -> Result<ScanReport, E> {
    let mut pages: Vec<ScanPage> = Vec::new();
    for (at, path) in question.files.iter().enumerate() {
        let picture = picture(path)?;
        let file = path.display().to_string();
        let reading = match page_scale(&question.glass, &picture, book)? {
            Ok(scale) => read_page(&picture.page, &scale, threads()),
            Err(refused) => Err(refused),
        };
        if let Ok(reading) = &reading {
            show(at, &picture.page, reading)?;
        }
        pages.push(ScanPage::of(file, reading, |ring, number| {
            let is_its = |height: &&RingHeight| height.page == at + 1 && height.ring == number;
            let heights: Vec<&RingHeight> = question.heights.iter().filter(is_its).collect();
            named(namer, question.condition, ring, &heights)
        })?);
    }
    let is_there = |height: &RingHeight| {
        let page = pages.get(height.page.wrapping_sub(1));
        page.is_some_and(|page| (1..=page.rings.len()).contains(&height.ring))
    };
    match question.heights.iter().find(|height| !is_there(height)) {
        None => Ok(ScanReport::new(pages)),
        Some(&RingHeight { page, ring, .. }) => Err(ScanError::NoSuchRing { page, ring }.into()),
    }
}

/// Gives how many threads the machine runs at once.
fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, std::num::NonZero::get)
}

/// Reads the picture of a page.
fn picture(path: &Path) -> Result<Picture, ScanError> {
    read_picture(path).map_err(|source| ScanError::Picture {
        path: path.to_owned(),
        source,
    })
}

/// Files of the two axes may differ by this much, as scanners state them.
const AXES_DIFFER: f64 = 0.05;

/// Finds the scale of a page: what was typed, what the file states, what the book knows of the scanner.
fn page_scale(
    glass: &Glass,
    picture: &Picture,
    book: Option<&BookPlace>,
) -> Result<Result<Scale, PageRefusal>, ScanError> {
    let (pitch, source) = match glass.pitch {
        Some(pitch) => (pitch, ScaleSource::Typed),
        None => match stated_pitch(picture) {
            Ok(pitch) => (pitch, ScaleSource::File),
            Err(refused) => return Ok(Err(refused)),
        },
    };
    let Some(name) = &glass.scanner else {
        return Ok(Ok(Scale::stated(pitch, source)));
    };
    let dpi = ScannerProfile::dpi_of(pitch);
    let known = match book {
        None => None,
        Some(book) => Book::read_at(book, |book| book.scanner(name, dpi))?.flatten(),
    };
    let unknown = || ScanError::UnknownScanner {
        name: name.clone(),
        dpi,
    };
    Ok(Ok(known.ok_or_else(unknown)?.scale(pitch)))
}

/// Gives the size of a point as the file states it.
fn stated_pitch(picture: &Picture) -> Result<Pitch, PageRefusal> {
    let stated = picture.stated.ok_or(PageRefusal::NoScale)?;
    if (stated.across / stated.down - 1.0).abs() > AXES_DIFFER {
        return Err(PageRefusal::NoScale);
    }
    Pitch::from_dpi(stated.across).ok_or(PageRefusal::TooCoarse { dpi: stated.across })
}

/// Gives a file's name for a page of several.
pub fn numbered(path: &Path, at: usize, count: usize) -> PathBuf {
    if count == 1 {
        return path.to_owned();
    }
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let end = path.extension().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{stem}-{}.{end}", at + 1))
}
