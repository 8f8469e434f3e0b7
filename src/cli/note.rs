//! `note`: teardown notes; checks and adds them, shows and lists what the book holds, or prints one to begin from.

use super::clock::tomorrow;
use super::context::Settings;
use super::error::CliError;
use super::note_add::{self, AddArgs, JoinArgs};
use super::note_record::{self, RecordArgs};
use super::note_show::{self, ListArgs, ShowArgs};
use super::outcome::{Answer, Outcome};
use crate::app::bounded_file::{MOST_TEXT, read_all, read_bounded};
use crate::app::note_check::{NoteCheck, NoteForm, NoteText, check_note};
use crate::core::note::Template;
use crate::render::{Form, marked_lines, visible};
use clap::{Args, Subcommand};
use std::path::Path;

/// Teardown notes: what came out of a unit, one line a part
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
    file: String,
    /// Read it as a spreadsheet of one row a part (else the ending .csv or .tsv says so)
    #[arg(long)]
    csv: bool,
}

/// Print a note to begin from: first-stage, second-stage and gas-regulator are filled in, blank is not
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  ringwright note template first-stage > tarn.note")]
struct TemplateArgs {
    /// first-stage, second-stage, gas-regulator or blank; a kind of gear, as welding, gives its own
    #[arg(value_name = "KIND", default_value = "first-stage")]
    kind: String,
}

pub(super) fn run(args: &NoteArgs, settings: &Settings) -> Result<Outcome, CliError> {
    match &args.command {
        NoteCommand::Record(args) => note_record::run(args, settings),
        NoteCommand::Check(args) => check(args, settings),
        NoteCommand::Add(args) => note_add::run(args, settings),
        NoteCommand::Show(args) => note_show::show(args, settings),
        NoteCommand::List(args) => note_show::list(args, settings),
        NoteCommand::Join(args) => note_add::join(args, settings),
        NoteCommand::Template(args) => template(args),
    }
}

fn template(args: &TemplateArgs) -> Result<Outcome, CliError> {
    let template = Template::from_word(&args.kind).ok_or_else(|| {
        let known: Vec<&str> = Template::ALL.iter().map(|(_, word)| *word).collect();
        CliError::input(format!(
            "{:?} is not a template: write one of {}",
            args.kind,
            known.join(", ")
        ))
    })?;
    Ok(Outcome::new(template.text().to_owned(), Answer::Yes))
}

fn check(args: &CheckArgs, settings: &Settings) -> Result<Outcome, CliError> {
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
pub(super) fn read_source(file: &str, csv: bool) -> Result<NoteText, CliError> {
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
            "{} cannot be read ({error}): check the name and the rights",
            visible(place)
        ))
    })?;
    if bytes.contains(&0) && !bytes.starts_with(&[0xff, 0xfe]) && !bytes.starts_with(&[0xfe, 0xff])
    {
        return Err(CliError::input(format!(
            "{} is no text: it holds bytes that no note has; name the note",
            visible(place)
        )));
    }
    Ok(NoteText::new(visible(place), &bytes, form).beside(Path::new(file)))
}
