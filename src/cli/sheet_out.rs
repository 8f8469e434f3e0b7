//! Where a sheet goes and how it is framed: the words that every sheet takes.

use super::clock::today;
use super::one_of::one_of;
use super::read_by::{read_by, reads};
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::file::write_file;
use crate::core::count::counted;
use crate::core::quantity::{Date, Length, LengthUnit, Typed, parse_date, parse_dimension};
use crate::render::page::{Frame, Pages, Paper, PrinterScale};
use crate::render::{Document, Report};
use clap::Args;
use serde::Serialize;
use std::path::{Path, PathBuf};

// Holds the words that every sheet takes.
#[derive(Debug, Args)]
pub(super) struct SheetOut {
    /// The file to write; its ending says the form: .pdf, .svg (one file a page) or .html
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    #[command(flatten)]
    pub(super) look: SheetLook,
}

// Holds how a sheet looks.
#[derive(Debug, Args)]
pub(super) struct SheetLook {
    /// Paper
    #[arg(long, value_name = "PAPER", default_value = "a4", value_parser = one_of::<Paper>())]
    paper: Paper,
    /// The day that the sheet bears, as 2026-03-14 (default: today)
    #[arg(long, value_name = "DATE", value_parser = reads(parse_date))]
    date: Option<Typed<Date>>,
    /// What a check bar of the printed sheet measures: "99.2 mm" (the 100 mm bar) or "3.97 in" (the 4 in bar)
    #[arg(long, value_name = "LENGTH", value_parser = read_by(bar))]
    bar: Option<PrinterScale>,
}

/// Says what was written.
#[derive(Debug, Serialize)]
pub(super) struct SheetWritten {
    /// What the sheet is.
    pub(super) title: String,
    /// Its pages; `None` for a page that scrolls.
    pub(super) pages: Option<usize>,
    pub(super) paper: Option<Paper>,
    pub(super) files: Vec<String>,
}

impl Report for SheetWritten {
    fn lay_out(&self, page: &mut Document) {
        let mut words = self.title.clone();
        if let Some(pages) = self.pages {
            words = format!("{words}: {}", counted(pages, "page", "pages"));
        }
        if let Some(paper) = self.paper {
            words = format!("{words}, {}", paper.name());
        }
        page.text(words);
        page.list(self.files.iter().cloned());
    }
}

impl SheetOut {
    /// Writes a sheet and says what was written.
    pub(super) fn write(&self, pages: &Pages, settings: &Settings) -> Result<Outcome> {
        self.write_with(pages, settings, Answer::Yes)
    }

    /// The same, where the sheet itself may say no.
    pub(super) fn write_with(
        &self,
        pages: &Pages,
        settings: &Settings,
        answer: Answer,
    ) -> Result<Outcome> {
        let written = SheetWritten {
            title: pages.title.clone(),
            pages: Some(pages.pages.len()),
            paper: pages.own_size.is_none().then_some(pages.paper),
            files: write_form(&self.out, pages)?,
        };
        settings.answer(&written, answer)
    }
}

/// Writes a sheet in the form that the file's ending says, and returns its files.
pub(super) fn write_form(path: &Path, pages: &Pages) -> Result<Vec<String>> {
    let end = path.extension().and_then(|e| e.to_str()).unwrap_or("");
    match end.to_ascii_lowercase().as_str() {
        "pdf" => Ok(vec![put(path, &pages.pdf())?]),
        "html" | "htm" => Ok(vec![put(path, pages.html().as_bytes())?]),
        "svg" => (0..pages.pages.len())
            .filter_map(|at| pages.svg(at).map(|text| (at, text)))
            .map(|(at, text)| put(&page_path(path, at, pages.pages.len()), text.as_bytes()))
            .collect(),
        _ => Err(CliError::input(format!(
            "the ending of {:?} says no form of sheet: write .pdf, .svg or .html",
            path.display()
        ))),
    }
}

/// A sheet of several pages is several SVG files: `rings-1.svg`, `rings-2.svg`.
fn page_path(path: &Path, at: usize, count: usize) -> PathBuf {
    if count == 1 {
        return path.to_owned();
    }
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{stem}-{}.svg", at + 1))
}

pub(super) fn put(path: &Path, bytes: &[u8]) -> Result<String> {
    write_file(path, bytes).map_err(CliError::input)?;
    Ok(path.display().to_string())
}

impl SheetLook {
    /// Makes the frame of a sheet of what stands in the book.
    pub(super) fn frame(&self, kind: &str, title: String, settings: &Settings) -> Result<Frame> {
        let book = Some(book_name(settings)?);
        Ok(Frame {
            book,
            ..self.frame_beside_book(kind, title, settings)
        })
    }

    /// Makes the frame of a sheet that is made without the book.
    pub(super) fn frame_beside_book(
        &self,
        kind: &str,
        title: String,
        settings: &Settings,
    ) -> Frame {
        Frame {
            kind: kind.to_owned(),
            title,
            book: None,
            date: self.date(),
            paper: self.paper,
            printer: self.bar.unwrap_or_default(),
            unit: settings.unit().unwrap_or(LengthUnit::Mm),
        }
    }

    /// Returns the day that the sheet bears.
    pub(super) fn date(&self) -> String {
        let day = self.date.as_ref().map_or_else(today, |typed| typed.value);
        day.to_string()
    }
}

fn bar(flag: &str, text: &str) -> Result<PrinterScale> {
    /// The 100 mm and the 4 in bar.
    const BARS_NM: [i64; 2] = [100_000_000, 101_600_000];
    let typed =
        parse_dimension(text, None).map_err(|error| CliError::quantity(flag, text, &error))?;
    let inches = text.contains("in") || text.contains('"');
    let nominal = Length::from_nm(BARS_NM[usize::from(inches)]);
    PrinterScale::of_bar(nominal, typed.value.nominal).ok_or_else(|| {
        CliError::input(format!(
            "{flag} {text:?}: a bar that is more than a tenth off was scaled to fit the page: print again at 100 %, then measure"
        ))
    })
}

/// Returns the name of the book: that of its file.
pub(super) fn book_name(settings: &Settings) -> Result<String> {
    let place = settings.book()?;
    let name = place.path().file_name().unwrap_or_default();
    Ok(name.to_string_lossy().into_owned())
}
