//! Where a sheet goes and how it is framed: the words that every sheet takes.

use super::clock::today;
use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use crate::app::file::write_file;
use crate::core::quantity::{Length, LengthUnit, parse_date, parse_dimension};
use crate::render::page::{Frame, Pages, Paper};
use crate::render::sheets::PrinterScale;
use crate::render::{Document, Report, visible};
use clap::{Args, ValueEnum};
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Holds the words that every sheet takes.
#[derive(Debug, Args)]
pub(super) struct SheetOut {
    /// The file to write; its ending says the form: .pdf, .svg (one file a page) or .html
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    #[command(flatten)]
    look: SheetLook,
}

/// Holds how a sheet looks.
#[derive(Debug, Args)]
pub(super) struct SheetLook {
    /// Paper
    #[arg(long, value_enum, value_name = "PAPER", default_value_t = PaperWord::A4)]
    paper: PaperWord,
    /// The day that the sheet bears, as 2026-03-14 (default: today)
    #[arg(long, value_name = "DATE")]
    date: Option<String>,
    /// What a check bar of the printed sheet measures: "99.2 mm" (the 100 mm bar) or "3.97 in" (the 4 in bar)
    #[arg(long, value_name = "LENGTH")]
    bar: Option<String>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum PaperWord {
    A4,
    Letter,
}

/// Names the forms of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum SheetForm {
    Pdf,
    Svg,
    Html,
}

/// Says what was written.
#[derive(Debug, Serialize)]
pub(super) struct SheetWritten {
    /// What the sheet is.
    pub(super) title: String,
    /// Its pages; `None` for a page that scrolls.
    pub(super) pages: Option<usize>,
    /// Its paper.
    pub(super) paper: Option<Paper>,
    /// The files.
    pub(super) files: Vec<String>,
}

impl Report for SheetWritten {
    fn lay_out(&self, page: &mut Document) {
        let mut words = self.title.clone();
        if let Some(pages) = self.pages {
            let counted = if pages == 1 {
                "1 page".to_owned()
            } else {
                format!("{pages} pages")
            };
            words = format!("{words}: {counted}");
        }
        if let Some(paper) = self.paper {
            words = format!("{words}, {}", paper.name());
        }
        page.text(words);
        page.list(self.files.iter().cloned());
    }
}

/// Says of what a sheet is made.
pub(super) struct SheetSubject<'s> {
    /// What kind of sheet it is.
    pub(super) kind: &'s str,
    /// What it is about.
    pub(super) title: String,
    /// Whether it is made from the book.
    pub(super) from_book: bool,
}

impl SheetOut {
    pub(super) fn look(&self) -> &SheetLook {
        &self.look
    }

    /// Writes a sheet and says what was written.
    pub(super) fn write(&self, pages: &Pages, settings: &Settings) -> Result<Outcome, CliError> {
        self.write_with(pages, settings, Answer::Yes)
    }

    /// The same, where the sheet itself may say no.
    pub(super) fn write_with(
        &self,
        pages: &Pages,
        settings: &Settings,
        answer: Answer,
    ) -> Result<Outcome, CliError> {
        let written = SheetWritten {
            title: pages.title.clone(),
            pages: Some(pages.pages.len()),
            paper: pages.own_size.is_none().then_some(pages.paper),
            files: write_form(&self.out, pages)?,
        };
        settings.answer(&written, answer)
    }
}

fn form_of(path: &Path) -> Result<SheetForm, CliError> {
    let end = path.extension().and_then(|e| e.to_str()).unwrap_or("");
    match end.to_ascii_lowercase().as_str() {
        "pdf" => Ok(SheetForm::Pdf),
        "svg" => Ok(SheetForm::Svg),
        "html" | "htm" => Ok(SheetForm::Html),
        _ => Err(CliError::input(format!(
            "the ending of {:?} says no form of sheet: write .pdf, .svg or .html",
            visible(&path.display().to_string())
        ))),
    }
}

/// Writes a sheet in the form that the file's ending says, and returns its files.
pub(super) fn write_form(path: &Path, pages: &Pages) -> Result<Vec<String>, CliError> {
    match form_of(path)? {
        SheetForm::Pdf => Ok(vec![put(path, &pages.pdf())?]),
        SheetForm::Html => Ok(vec![put(path, pages.html().as_bytes())?]),
        SheetForm::Svg => (0..pages.pages.len())
            .filter_map(|at| pages.svg(at).map(|text| (at, text)))
            .map(|(at, text)| put(&page_path(path, at, pages.pages.len()), text.as_bytes()))
            .collect(),
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

pub(super) fn put(path: &Path, bytes: &[u8]) -> Result<String, CliError> {
    write_file(path, bytes).map_err(|error| CliError::input(visible(&error.to_string())))?;
    Ok(path.display().to_string())
}

impl SheetLook {
    /// Makes the frame of a sheet.
    pub(super) fn frame(
        &self,
        subject: SheetSubject<'_>,
        settings: &Settings,
    ) -> Result<Frame, CliError> {
        let book = if subject.from_book {
            Some(book_name(settings)?)
        } else {
            None
        };
        Ok(Frame {
            kind: subject.kind.to_owned(),
            title: subject.title,
            book,
            date: self.date()?,
            paper: match self.paper {
                PaperWord::A4 => Paper::A4,
                PaperWord::Letter => Paper::Letter,
            },
            unit: settings.unit().unwrap_or(LengthUnit::Mm),
        })
    }

    /// Returns the day that the sheet bears.
    pub(super) fn date(&self) -> Result<String, CliError> {
        let Some(text) = &self.date else {
            return Ok(today().to_string());
        };
        parse_date(text)
            .map(|typed| typed.value.to_string())
            .map_err(|error| CliError::quantity("--date", text, &error))
    }

    /// Returns the correction of the printer's scale.
    pub(super) fn scale(&self) -> Result<PrinterScale, CliError> {
        /// The 100 mm and the 4 in bar.
        const BARS_NM: [i64; 2] = [100_000_000, 101_600_000];
        let Some(text) = &self.bar else {
            return Ok(PrinterScale::default());
        };
        let typed = parse_dimension(text, None)
            .map_err(|error| CliError::quantity("--bar", text, &error))?;
        let measured = typed.value.nominal;
        let inches = text.contains("in") || text.contains('"');
        let nominal = Length::from_nm(BARS_NM[usize::from(inches)]);
        PrinterScale::of_bar(nominal, measured).ok_or_else(|| {
            CliError::input(format!(
                "--bar {text:?}: a bar that is more than a tenth off was scaled to fit the page: print again at 100 %, then measure"
            ))
        })
    }
}

/// Returns the name of the book: that of its file.
pub(super) fn book_name(settings: &Settings) -> Result<String, CliError> {
    let place = settings.book()?;
    let name = place.path().file_name().unwrap_or_default();
    Ok(name.to_string_lossy().into_owned())
}
