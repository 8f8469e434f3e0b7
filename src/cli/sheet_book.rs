//! `sheet book`: everything that is recorded, as one HTML file.

use super::noun::Model;
use super::sheet_out::{SheetLook, SheetWritten, put};
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::sheet::whole_book::whole_book;
use crate::render::sheets;
use clap::Args;
use std::path::PathBuf;

/// Everything recorded for a model or the whole book, as one HTML file with contents and search
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright sheet book --out shop.html\n  ringwright sheet book \"Tarn 2\" --out tarn-2.html"
)]
pub(super) struct BookSheetArgs {
    /// The model (default: every model of the book)
    #[arg(value_name = "MODEL")]
    model: Option<Model>,
    /// The file to write; its ending is .html
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// The folder in which the photographs lie that notes name; they are put into the file
    #[arg(long, value_name = "FOLDER")]
    photos: Option<PathBuf>,
    #[command(flatten)]
    look: SheetLook,
}

pub(super) fn run(args: &BookSheetArgs, settings: &Settings) -> Result<Outcome> {
    let end = args.out.extension().and_then(|e| e.to_str()).unwrap_or("");
    if !matches!(end.to_ascii_lowercase().as_str(), "html" | "htm") {
        return Err(CliError::input(
            "the book is an HTML file: give --out a name that ends in .html",
        ));
    }
    let book = whole_book(
        &settings.book()?,
        args.model.as_deref(),
        args.photos.as_deref(),
    )?;
    let look = &args.look;
    let frame = look.frame("Model book", book.title.clone(), settings)?;
    let title = format!("{}: {}", frame.kind, frame.title);
    let file = put(&args.out, sheets::book(&book, &frame).as_bytes())?;
    let written = SheetWritten {
        title,
        pages: None,
        paper: None,
        files: vec![file],
    };
    settings.answer(&written, Answer::Yes)
}
