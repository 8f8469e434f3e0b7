//! `ring scan`: rings measured from the pictures of a flatbed scanner.

use super::clock::now;
use super::noun::Scanner;
use super::progress::Progress;
use super::read_by::InUnit;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::file::write_file;
use crate::app::scan::{
    CalibrateQuestion, Glass, RingHeight, ScanQuestion, calibrate_scanner, list_scanners, numbered,
    scan_rings,
};
use crate::core::measurement::{Condition, Measurand, Reading};
use crate::core::note::condition_of;
use crate::core::quantity::LengthUnit;
use crate::core::scan::{Page, PageReading, Pitch, Standard};
use crate::render::{scan_png, scan_svg, visible};
use clap::{Args, Subcommand};
use image::ImageError;
use std::path::{Path, PathBuf};

/// Measure rings from the picture of a flatbed scanner, all of a page at once, and name each
#[derive(Debug, Args)]
#[command(
    args_conflicts_with_subcommands = true,
    subcommand_negates_reqs = true,
    after_help = "How to scan: rings flat on the glass with gaps between them, white paper over them and the lid on it, 600 dots an inch,\n\
    in colour, sharpening off, saved as PNG. Rings of light rubber want dark or strongly coloured paper.\n\n\
    No real scanner has been tried yet: the method was worked out on simulated scans and photographs. Check a first page\n\
    against a caliper, and calibrate the scanner.\n\n\
    Outside and inside diameter are measured, each with its own standard uncertainty; the height of a ring cannot be seen\n\
    from above. In a note the line `scan page.png ring 3` under a ring takes its diameters and its picture from the page.\n\n\
    Examples:\n  ringwright ring scan page.png --picture page-marked.svg\n  \
    ringwright ring scan page.png --scanner bench --height \"3=1.72 mm by caliper\"\n  \
    ringwright ring scan calibrate card.png --scanner bench --by card"
)]
pub(super) struct ScanArgs {
    #[command(subcommand)]
    command: Option<ScanCommand>,
    /// Pictures of pages: PNG, JPEG or TIFF
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
    /// Resolution in dots an inch, where a file does not say it or says it wrongly
    #[arg(long, value_name = "N", value_parser = pitch)]
    dpi: Option<Pitch>,
    /// The scanner, as it was calibrated
    #[arg(long, value_name = "NAME")]
    scanner: Option<Scanner>,
    /// The state of the rings: new, used or rough (flattened, hard, swollen)
    #[arg(long, value_name = "WORD", default_value = "used", value_parser = condition)]
    condition: Condition,
    /// The height of a ring taken by hand, as "3=1.72 mm by caliper"; of several pages, "2:3=1.72 mm by caliper"
    #[arg(long, value_name = "RING=READING")]
    height: Vec<InUnit>,
    /// Write the page with its rings outlined and numbered (.svg or .png); of several pages, with the page's number
    #[arg(long, value_name = "FILE")]
    picture: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
enum ScanCommand {
    Calibrate(CalibrateArgs),
}

/// Find the scale of a scanner from a thing of known size on its glass, and keep it in the book under the scanner's name
#[derive(Debug, Args)]
#[command(after_help = "What lies on the glass:\n  \
    --by rule        a steel rule with millimetre marks along an edge of the bed, the best: one page along each axis, or both on one\n  \
    --by card        a bank or identity card (85.60 by 53.98 mm), sides along the edges of the bed: both axes, to 0.1 %\n  \
    --by \"22 mm\"     a ring of known outside diameter, such as that of a rolling bearing: both axes\n\n\
    Examples:\n  ringwright ring scan calibrate rule-across.png rule-down.png --scanner bench --by rule\n  \
    ringwright ring scan calibrate --list")]
struct CalibrateArgs {
    /// Pictures of pages: PNG, JPEG or TIFF
    #[arg(value_name = "FILE", required_unless_present = "list")]
    files: Vec<PathBuf>,
    /// What the scanner is called in the shop
    #[arg(long, value_name = "NAME", required_unless_present = "list")]
    scanner: Option<Scanner>,
    /// What lies on the glass: card, rule, or the outside diameter of a ring
    #[arg(long, value_name = "WHAT", required_unless_present = "list")]
    by: Option<InUnit>,
    /// Resolution in dots an inch, where a file does not say it or says it wrongly
    #[arg(long, value_name = "N", value_parser = pitch)]
    dpi: Option<Pitch>,
    /// List the scanners that the book knows
    #[arg(long, conflicts_with_all = ["files", "scanner", "by", "dpi"])]
    list: bool,
}

pub(super) fn run(args: &ScanArgs, settings: &Settings) -> Result<Outcome> {
    match &args.command {
        Some(ScanCommand::Calibrate(calibrate)) => run_calibrate(calibrate, settings),
        None => run_scan(args, settings),
    }
}

fn run_scan(args: &ScanArgs, settings: &Settings) -> Result<Outcome> {
    let heights = args
        .height
        .iter()
        .map(|typed| height(typed, settings.unit()));
    let question = ScanQuestion {
        files: args.files.clone(),
        glass: Glass {
            pitch: args.dpi,
            scanner: args.scanner.clone().map(Into::into),
        },
        condition: args.condition,
        heights: heights.collect::<Result<_, _>>()?,
    };
    let drawing = args.picture.as_deref().map(drawing).transpose()?;
    let named = args.scanner.is_some();
    let book = named.then(|| settings.book()).transpose()?;
    let (namer, warning) = super::ring::bench_namer(settings)?;
    let run = Progress::doing("measuring the scan");
    let mut written = Vec::new();
    let report = scan_rings(&question, &namer, book.as_ref(), |at, page, reading| {
        if let (Some(draw), Some(path)) = (drawing, &args.picture) {
            let path = numbered(path, at, args.files.len());
            written.push(write_drawing(&path, draw(page, reading))?);
        }
        Ok::<_, CliError>(())
    })?;
    drop(run);
    let mut outcome = settings.answer_named(&report, Answer::of(report.all_measured()))?;
    if let Some(warning) = warning {
        outcome = outcome.warn(warning);
    }
    if written.is_empty() {
        return Ok(outcome);
    }
    Ok(outcome.show(format!("picture written: {}", written.join(", "))))
}

/// How a page is drawn with its rings marked.
type Drawing = fn(&Page, &PageReading) -> Result<Vec<u8>, ImageError>;

/// Gives the drawing that the ending of a file asks for.
fn drawing(path: &Path) -> Result<Drawing> {
    let end = path.extension().unwrap_or_default().to_string_lossy();
    match end.to_lowercase().as_str() {
        "svg" => Ok(|page, reading| scan_svg(page, reading).map(String::into_bytes)),
        "png" => Ok(scan_png),
        _ => Err(CliError::input(
            "--picture: name a file that ends in .svg or .png",
        )),
    }
}

/// Writes a drawing; gives the file's name.
fn write_drawing(path: &Path, drawn: Result<Vec<u8>, ImageError>) -> Result<String> {
    let bytes = drawn.map_err(|error| CliError::input(format!("--picture: {error}")))?;
    write_file(path, &bytes).map_err(CliError::input)?;
    Ok(visible(&path.display().to_string()))
}

/// Reads a resolution that was typed.
pub(super) fn pitch(dpi: &str) -> Result<Pitch, &'static str> {
    let pitch = dpi.parse().ok().and_then(Pitch::from_dpi);
    pitch.ok_or("write 98 to 12700 dots an inch: scan at 600")
}

fn condition(word: &str) -> Result<Condition, &'static str> {
    condition_of(word).ok_or("write new, used or rough")
}

fn height(typed: &InUnit, unit: Option<LengthUnit>) -> Result<RingHeight> {
    let number = |text: &str| text.trim().parse().ok();
    let place = typed.text.split_once('=').and_then(|(place, reading)| {
        let (page, ring) = place.split_once(':').unwrap_or(("1", place));
        Some((number(page)?, number(ring)?, reading.trim()))
    });
    let Some((page, ring, reading)) = place else {
        return Err(CliError::input(format!(
            "--height: {:?} is not read: write the ring's number and the reading, as \"3=1.72 mm by caliper\"",
            typed.text
        )));
    };
    let parse = |text: &str, unit| Reading::parse(Measurand::Cs, text, unit);
    Ok(RingHeight {
        page,
        ring,
        reading: typed.piece(reading).read(unit, parse)?,
    })
}

fn run_calibrate(args: &CalibrateArgs, settings: &Settings) -> Result<Outcome> {
    let place = settings.book()?;
    let (Some(scanner), Some(by)) = (&args.scanner, &args.by) else {
        let report = list_scanners(&place)?;
        return settings.answer(&report, Answer::of(!report.scanners.is_empty()));
    };
    if scanner.trim().is_empty() {
        return Err(CliError::input("--scanner: give the scanner a name"));
    }
    let (standard, standard_words) = standard(by, settings.unit())?;
    let question = CalibrateQuestion {
        files: args.files.clone(),
        pitch: args.dpi,
        scanner: scanner.trim().to_owned(),
        standard,
        standard_words,
        now: now(),
    };
    let report = calibrate_scanner(&question, &place)?;
    let all = report.pages.iter().all(|page| page.refused.is_none());
    settings.answer(&report, Answer::of(all))
}

fn standard(by: &InUnit, unit: Option<LengthUnit>) -> Result<(Standard, String)> {
    match by.text.trim().to_lowercase().as_str() {
        "card" => Ok((Standard::Card, "card".to_owned())),
        "rule" => Ok((Standard::Rule, "steel rule".to_owned())),
        _ => {
            let ring = Standard::Ring(by.length(unit)?);
            Ok((ring, format!("ring of {}", by.text.trim())))
        }
    }
}
