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

use super::identify::RingNamer;
use crate::core::measurement::{Condition, Reading};
use crate::core::scan::{
    PageReading, PageRefusal, Pitch, Scale, ScaleSource, ScannerProfile, read_page,
};
use crate::store::{Book, BookPlace, StoreError};
use named::Naming;
use picture::{Picture, PictureError, read_picture};
use std::path::{Path, PathBuf};

/// Holds what is asked of pages.
#[derive(Debug)]
pub struct ScanQuestion {
    /// The pictures.
    pub files: Vec<PathBuf>,
    /// What is known of the glass.
    pub glass: Glass,
    /// The state of the rings.
    pub condition: Condition,
    /// Heights that were taken by hand.
    pub heights: Vec<RingHeight>,
    /// Threads that may be used.
    pub threads: usize,
}

/// Holds what is known of the glass on which pages lay.
#[derive(Debug, Clone, Default)]
pub struct Glass {
    /// The size of a point, where it was typed.
    pub pitch: Option<Pitch>,
    /// The scanner, where it was named.
    pub scanner: Option<String>,
}

/// Holds the height of one ring that was taken by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct RingHeight {
    /// The page, 1 first.
    pub page: usize,
    /// The ring on it.
    pub ring: usize,
    /// What was read.
    pub reading: Reading,
}

/// Says why the pages cannot be asked.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ScanError {
    /// A file is no picture.
    #[error("{}: {source}", .path.display())]
    Picture {
        /// The file.
        path: PathBuf,
        /// What is wrong.
        source: PictureError,
    },
    /// No such ring was measured.
    #[error(
        "there is no ring {ring} on page {page}: the numbers are in the table without --height"
    )]
    NoSuchRing {
        /// The page.
        page: usize,
        /// The ring.
        ring: usize,
    },
    /// A hand reading cannot be used.
    #[error(transparent)]
    Reading(#[from] crate::core::identification::EvidenceError),
    /// The book does not know the scanner.
    #[error(
        "the book knows no scanner {name:?} at {dpi} dots an inch: calibrate it first, with `ring scan calibrate`"
    )]
    UnknownScanner {
        /// The name.
        name: String,
        /// Of the page.
        dpi: u32,
    },
    /// Pages of several resolutions make no one scale.
    #[error("{}: has {found} dots an inch, the pages before it {first}: calibrate each resolution by itself", .path.display())]
    OtherResolution {
        /// The file.
        path: PathBuf,
        /// Its resolution.
        found: u32,
        /// That of the first.
        first: u32,
    },
    /// The book cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// Holds a page that was read, with its pixels, for a picture of it.
#[derive(Debug)]
pub struct PictureRead {
    /// The picture.
    pub picture: Picture,
    /// What it shows, where it could be measured.
    pub reading: Option<PageReading>,
}

/// Measures and names all rings of the pages. `show` is given each page as it is done, its pixels with it; they are not kept.
///
/// # Errors
/// A file that is no picture, a scanner that the book does not know, a hand reading of a ring that is not there.
pub fn scan_rings<E: From<ScanError>>(
    question: &ScanQuestion,
    namer: &RingNamer,
    book: Option<&BookPlace>,
    mut show: impl FnMut(usize, &PictureRead) -> Result<(), E>,
) -> Result<ScanReport, E> {
    let mut naming = Naming::new(question, namer);
    let mut pages = Vec::new();
    for (at, path) in question.files.iter().enumerate() {
        let picture = picture(path)?;
        let file = path.display().to_string();
        let scale = page_scale(&question.glass, &picture, book)?;
        let result = match scale {
            Ok(scale) => read_page(&picture.page, &scale, question.threads),
            Err(refused) => Err(refused),
        };
        let (page, reading) = match result {
            Ok(reading) => {
                let names = naming.page(at + 1, &reading)?;
                (ScanPage::of(file, &reading, names), Some(reading))
            }
            Err(refused) => (ScanPage::refused(file, refused), None),
        };
        show(at, &PictureRead { picture, reading })?;
        pages.push(page);
    }
    naming.check_heights()?;
    Ok(ScanReport::new(pages))
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
    let known = book
        .map(|place| scanner(place, name, dpi))
        .transpose()?
        .flatten();
    let unknown = || ScanError::UnknownScanner {
        name: name.clone(),
        dpi,
    };
    let profile = known.ok_or_else(unknown)?;
    Ok(Ok(profile.scale(pitch)))
}

fn scanner(place: &BookPlace, name: &str, dpi: u32) -> Result<Option<ScannerProfile>, StoreError> {
    match Book::open_to_read(place) {
        Ok(mut book) => book.read(|book| book.scanner(name, dpi)),
        Err(StoreError::NoBook { .. }) => Ok(None),
        Err(other) => Err(other),
    }
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
