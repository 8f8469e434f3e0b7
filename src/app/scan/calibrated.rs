//! The scale of a scanner found and kept in the book.

use super::{ScanError, picture, stated_pitch};
use crate::core::scan::{
    AxisScale, CalibrationRefusal, Pitch, ScannerProfile, Standard, calibrate,
};
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;
use std::path::PathBuf;

/// What is asked of pages with a thing of known size.
#[derive(Debug, Clone)]
pub struct CalibrateQuestion {
    pub files: Vec<PathBuf>,
    /// The size of a point, where it was typed.
    pub pitch: Option<Pitch>,
    pub scanner: String,
    /// What lies on the glass.
    pub standard: Standard,
    pub standard_words: String,
    /// The moment, ISO 8601.
    pub now: String,
}

/// What the pages showed and what is kept.
#[derive(Debug, Clone, Serialize)]
pub struct ScannerReport {
    /// Page by page; empty where the register is listed.
    pub pages: Vec<CalibratedPage>,
    /// What the book keeps: the scanner that was calibrated, or all.
    pub scanners: Vec<ScannerProfile>,
}

/// What one page showed.
#[derive(Debug, Clone, Serialize)]
pub struct CalibratedPage {
    pub file: String,
    pub axes: Vec<AxisScale>,
    /// Why it calibrates none.
    pub refused: Option<CalibrationRefusal>,
}

/// Finds the scale of a scanner and keeps it in the book, where any page shows it.
///
/// # Errors
/// A file that is no picture, pages of several resolutions, or a book that cannot be written.
pub fn calibrate_scanner(
    question: &CalibrateQuestion,
    place: &BookPlace,
) -> Result<ScannerReport, ScanError> {
    let mut first: Option<u32> = None;
    let mut pages = Vec::new();
    for path in &question.files {
        let picture = picture(path)?;
        let pitch = question.pitch.map_or_else(|| stated_pitch(&picture), Ok);
        let found = match pitch {
            Err(refused) => Err(CalibrationRefusal::Page(refused)),
            Ok(pitch) => {
                let found = ScannerProfile::dpi_of(pitch);
                let first = *first.get_or_insert(found);
                if first != found {
                    let path = path.clone();
                    return Err(ScanError::OtherResolution { path, found, first });
                }
                calibrate(&picture.page, pitch, question.standard)
            }
        };
        pages.push(CalibratedPage {
            file: path.display().to_string(),
            refused: found.as_ref().err().copied(),
            axes: found.unwrap_or_default(),
        });
    }
    let scales: Vec<AxisScale> = pages.iter().flat_map(|page| page.axes.clone()).collect();
    let scanners = match first {
        Some(dpi) if !scales.is_empty() => vec![keep(question, dpi, &scales, place)?],
        _ => Vec::new(),
    };
    Ok(ScannerReport { pages, scanners })
}

fn keep(
    question: &CalibrateQuestion,
    dpi: u32,
    scales: &[AxisScale],
    place: &BookPlace,
) -> Result<ScannerProfile, StoreError> {
    Book::open_to_write(place)?.write(|book| {
        let known = book.scanner(&question.scanner, dpi)?;
        let mut profile = known.unwrap_or_else(|| ScannerProfile {
            name: question.scanner.clone(),
            dpi,
            across: None,
            down: None,
            standard: String::new(),
            calibrated_at: String::new(),
        });
        profile.take(scales);
        profile.standard.clone_from(&question.standard_words);
        profile.calibrated_at.clone_from(&question.now);
        book.set_scanner(&profile)?;
        Ok(profile)
    })
}

/// Lists the scanners that the book knows.
///
/// # Errors
/// Fails where the book cannot be read.
pub fn list_scanners(place: &BookPlace) -> Result<ScannerReport, StoreError> {
    Book::open_to_read(place)?.read(|book| {
        let scanners = book.scanners()?;
        Ok(ScannerReport {
            pages: Vec::new(),
            scanners,
        })
    })
}
