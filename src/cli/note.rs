//! `note`: teardown notes; checks and adds them, shows and lists what the book holds, or prints one to begin from.

use super::clock::{now, tomorrow};
use super::note_record::{self, RecordArgs};
use super::noun::{Line, Model, NoteFile, Serial};
use super::progress::Progress;
use super::ring_scan::pitch;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::file::{MOST_TEXT, read_all, read_bounded};
use crate::app::note::add::{AddOptions, NoteAddError, NotesAdded, Unsound, add_notes};
use crate::app::note::check::{NoteCheck, NoteForm, NoteText, check_note};
use crate::app::note::join::{JoinError, join_places};
use crate::app::note::list::list_notes;
use crate::app::note::show::{NoteQuestion, show_note};
use crate::core::note::Template;
use crate::core::quantity::{Date, Typed, parse_date};
use crate::core::scan::Pitch;
use crate::render::{Form, marked_lines, note_csv, visible};
use clap::{Args, Subcommand};
use std::path::Path;

#[derive(Debug, Args)]
pub(super) struct NoteArgs {
    #[command(subcommand)]
    command: NoteCommand,
}

#[derive(Debug, Subcommand)]
enum NoteCommand {
    Record(RecordArgs),
    Check(CheckArgs),
    Add(AddArgs),
    Show(ShowArgs),
    List(ListArgs),
    Join(JoinArgs),
    Template(TemplateArgs),
}

/// Check a note without storing it: what is wrong in it, where, and what to write instead
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright note check tarn.note\n  ringwright note check tarn.csv\n  \
    ringwright note check - < tarn.note\n  ringwright note check tarn.note --format json\n\n\
    Exit codes: 0 sound, warnings or none; 2 something cannot be read."
)]
struct CheckArgs {
    /// The note, or - for standard input
    #[arg(value_name = "FILE")]
    file: NoteFile,
    /// Read it as a spreadsheet of one row a part (else the ending .csv or .tsv says so)
    #[arg(long)]
    csv: bool,
}

/// Print a note to begin from: first-stage, second-stage and gas-regulator are filled in, blank is not
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  ringwright note template first-stage > tarn.note")]
struct TemplateArgs {
    /// first-stage, second-stage, gas-regulator or blank; a kind of gear, as welding, gives its own
    #[arg(value_name = "KIND", default_value = "first-stage", value_parser = super::one_of::one_of::<Template>())]
    kind: Template,
}

pub(super) fn run(args: &NoteArgs, settings: &Settings) -> Result<Outcome> {
    match &args.command {
        NoteCommand::Record(args) => note_record::run(args, settings),
        NoteCommand::Check(args) => check(args, settings),
        NoteCommand::Add(args) => add(args, settings),
        NoteCommand::Show(args) => show(args, settings),
        NoteCommand::List(args) => list(args, settings),
        NoteCommand::Join(args) => join(args, settings),
        NoteCommand::Template(args) => Ok(Outcome::new(args.kind.text().to_owned(), Answer::Yes)),
    }
}

fn check(args: &CheckArgs, settings: &Settings) -> Result<Outcome> {
    let source = read_source(&args.file, args.csv)?;
    let report = check_note(&source, tomorrow());
    if settings.form() != Form::Table {
        let answer = if report.sound {
            Answer::Yes
        } else {
            Answer::Wrong
        };
        return settings.answer(&report, answer);
    }
    let shown = marked_lines(&source.place, &source.text, &report.diagnostics);
    if !report.sound {
        return Err(CliError::Input(format!(
            "{shown}\n\n{}",
            report.verdict_words()
        )));
    }
    // The warnings are shown in the text, so the page does not list them again.
    let page = NoteCheck {
        diagnostics: Vec::new(),
        ..report
    };
    let outcome = settings.answer(&page, Answer::Yes)?;
    Ok(if shown.is_empty() {
        outcome
    } else {
        outcome.show(shown)
    })
}

/// Reads a note from a file or from standard input.
pub(super) fn read_source(file: &str, csv: bool) -> Result<NoteText> {
    let is_sheet = csv
        || Path::new(file)
            .extension()
            .is_some_and(|e| e.eq_ignore_ascii_case("csv") || e.eq_ignore_ascii_case("tsv"));
    let form = if is_sheet {
        NoteForm::Csv
    } else {
        NoteForm::Text
    };
    let (place, bytes) = if file == "-" {
        (
            "standard input",
            read_all(std::io::stdin().lock(), MOST_TEXT),
        )
    } else {
        (file, read_bounded(Path::new(file), MOST_TEXT))
    };
    let bytes = bytes.map_err(|error| {
        CliError::input(format!(
            "{place} cannot be read ({error}): check the name and the rights"
        ))
    })?;
    if bytes.contains(&0) && !bytes.starts_with(&[0xff, 0xfe]) && !bytes.starts_with(&[0xfe, 0xff])
    {
        return Err(CliError::input(format!(
            "{place} is not a text: it holds bytes that no note has; name the note"
        )));
    }
    Ok(NoteText::new(visible(place), &bytes, form).beside(Path::new(file)))
}

/// Show a note of the book as the program prints it, ready to be changed and added again with --replace
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright note show FT2-004417\n  ringwright note show FT2-004417 --date 2026-03-14\n  \
    ringwright note show FT2-004417 --format csv > tarn.csv"
)]
pub(super) struct ShowArgs {
    /// The serial number of the unit
    #[arg(value_name = "UNIT")]
    serial: Serial,
    /// The model, where units of several models share the number
    #[arg(long, value_name = "MODEL")]
    model: Option<Model>,
    /// The day of the teardown (else the newest note)
    #[arg(long, value_name = "DATE", value_parser = super::read_by::reads(parse_date))]
    date: Option<Typed<Date>>,
    /// The text as it was handed in
    #[arg(long)]
    original: bool,
    /// The texts that were replaced, newest first
    #[arg(long, conflicts_with = "original")]
    history: bool,
}

/// List the notes of the book
#[derive(Debug, Args)]
pub(super) struct ListArgs {
    /// Only those of this model
    #[arg(long, value_name = "MODEL")]
    model: Option<Model>,
    /// Those that were replaced, too
    #[arg(long)]
    history: bool,
}

pub(super) fn show(args: &ShowArgs, settings: &Settings) -> Result<Outcome> {
    let question = NoteQuestion {
        unit: args.serial.clone().into(),
        model: args.model.clone().map(Into::into),
        date: args.date.as_ref().map(|typed| typed.value),
    };
    let shown = show_note(&settings.book()?, &question)?;
    match settings.form() {
        Form::Csv => Ok(Outcome::new(note_csv(&shown.note), Answer::Yes)),
        // The text itself, so that it can go into a file and be read again.
        Form::Table if args.history => {
            let texts = shown.history.iter().map(|former| {
                let until = former.replaced_at.as_deref().unwrap_or("");
                format!(
                    "# added {}, replaced {until}\n{}\n",
                    former.added_at,
                    safe(&former.original)
                )
            });
            Ok(Outcome::new(texts.collect(), Answer::Yes))
        }
        Form::Table => {
            let text = if args.original {
                &shown.original
            } else {
                &shown.canonical
            };
            let outcome = Outcome::new(safe(text), Answer::Yes);
            Ok(match shown.whose() {
                Some(words) => outcome.warn(format!("this note is {words}")),
                None => outcome,
            })
        }
        Form::Json | Form::Md => settings.answer(&shown, Answer::Yes),
    }
}

/// Makes every line safe for a terminal.
fn safe(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.lines() {
        let shown: Vec<String> = line.split('\t').map(visible).collect();
        out.push_str(&shown.join("\t"));
        out.push('\n');
    }
    out
}

pub(super) fn list(args: &ListArgs, settings: &Settings) -> Result<Outcome> {
    let list = list_notes(&settings.book()?, args.model.as_deref(), args.history)?;
    settings.answer(&list, Answer::Yes)
}

/// Add notes to the book: checks them, names every ring in them, and stores all of it or nothing
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright note add tarn.note\n  ringwright note add notes/*.note\n  \
    ringwright note add tarn.note --partial      store the parts that can be read\n  \
    ringwright note add tarn.note --replace      in place of the note of the same unit and day\n\n\
    A ring with `scan page2.png ring 3` in its line is measured from that page, which lies beside the note.\n\
    The same note added twice changes nothing. A note that is replaced is kept as history."
)]
pub(super) struct AddArgs {
    /// The notes, or - for standard input
    #[arg(value_name = "FILE", required = true)]
    files: Vec<NoteFile>,
    /// Read them as spreadsheets of one row a part (else the ending .csv or .tsv says so)
    #[arg(long)]
    csv: bool,
    /// Store the parts that can be read, and leave the others out
    #[arg(long)]
    partial: bool,
    /// Put a note in the place of another one for the same unit and day
    #[arg(long)]
    replace: bool,
    /// Resolution of scanned pages in dots an inch, where their files do not say it or say it wrongly
    #[arg(long, value_name = "N", value_parser = pitch)]
    dpi: Option<Pitch>,
}

pub(super) fn add(args: &AddArgs, settings: &Settings) -> Result<Outcome> {
    let sources = args
        .files
        .iter()
        .map(|file| read_source(file, args.csv))
        .collect::<Result<Vec<NoteText>, _>>()?;
    let options = AddOptions {
        partial: args.partial,
        replace: args.replace,
        added_at: now(),
        latest: tomorrow(),
        pitch: args.dpi,
    };
    let _run = Progress::doing("naming the rings of the notes");
    let report = add_notes(&settings.book()?, &sources, &options)?;
    settings.answer(&report, Answer::Yes)
}

/// Make two lines of a parts list one place: your notes that name it the first way are written anew
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  ringwright note join \"Tarn 2\" 4 9\n\n\
    The parts of line 4 get the place of line 9. The former notes are kept as history.")]
pub(super) struct JoinArgs {
    /// The model; its maker may be left out
    #[arg(value_name = "MODEL")]
    model: Model,
    /// The line whose name of the place goes: number or words
    #[arg(value_name = "LINE")]
    from: Line,
    /// The line whose name of the place stays
    #[arg(value_name = "LINE")]
    into: Line,
}

pub(super) fn join(args: &JoinArgs, settings: &Settings) -> Result<Outcome> {
    let lines = [&*args.from, &*args.into];
    settings.answer(&join_lines(settings, &args.model, lines)?, Answer::Yes)
}

pub(super) fn join_lines(settings: &Settings, model: &str, lines: [&str; 2]) -> Result<NotesAdded> {
    let options = AddOptions {
        replace: true,
        added_at: now(),
        latest: tomorrow(),
        ..AddOptions::default()
    };
    Ok(join_places(&settings.book()?, model, lines, &options)?)
}

impl From<JoinError> for CliError {
    fn from(error: JoinError) -> Self {
        match error {
            JoinError::NoLine(error) => error.into(),
            JoinError::Add(error) => error.into(),
            other => Self::input(other),
        }
    }
}

impl From<NoteAddError> for CliError {
    fn from(error: NoteAddError) -> Self {
        match error {
            NoteAddError::Unsound(unsound) => Self::Input(unsound_words(&unsound)),
            NoteAddError::Store(error) => error.into(),
            other => Self::input(other),
        }
    }
}

fn unsound_words(unsound: &Unsound) -> String {
    let shown = marked_lines(
        &unsound.source.place,
        &unsound.source.text,
        &unsound.check.diagnostics,
    );
    let remedy = if unsound.has_sound_parts {
        "mend it, or add --partial to store the parts that can be read"
    } else {
        "mend it and add it again"
    };
    format!(
        "{shown}\n\nerror: {} is not sound and nothing was stored: {remedy}",
        unsound.source.place
    )
}
