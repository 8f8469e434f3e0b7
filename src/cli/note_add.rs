//! `note add`: adds teardown notes to the book and names the rings in them.

use super::clock::{now, tomorrow};
use super::context::Settings;
use super::error::CliError;
use super::note::read_source;
use super::outcome::{Answer, Outcome};
use super::ring_scan::PitchArgs;
use crate::app::find_model::Found;
use crate::app::note::join::{JoinError, join_places};
use crate::app::note_add::{AddOptions, NoteAddError, NotesAdded, Unsound, add_notes};
use crate::app::note_check::NoteText;
use crate::render::{marked_lines, visible};
use clap::Args;

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
    files: Vec<String>,
    /// Read them as spreadsheets of one row a part (else the ending .csv or .tsv says so)
    #[arg(long)]
    csv: bool,
    /// Store the parts that can be read, and leave the others out
    #[arg(long)]
    partial: bool,
    /// Put a note in the place of another one for the same unit and day
    #[arg(long)]
    replace: bool,
    #[command(flatten)]
    pitch: PitchArgs,
}

pub(super) fn run(args: &AddArgs, settings: &Settings) -> Result<Outcome, CliError> {
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
        pitch: args.pitch.pitch(settings)?,
    };
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
    model: String,
    /// The line whose name of the place goes: number or words
    #[arg(value_name = "LINE")]
    from: String,
    /// The line whose name of the place stays
    #[arg(value_name = "LINE")]
    into: String,
}

pub(super) fn join(args: &JoinArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let lines = [args.from.as_str(), args.into.as_str()];
    match join_lines(settings, &args.model, lines)? {
        Found::Yes(report) => settings.answer(&report, Answer::Yes),
        Found::No(missing) => settings.answer(&missing, Answer::No),
    }
}

pub(super) fn join_lines(
    settings: &Settings,
    model: &str,
    lines: [&str; 2],
) -> Result<Found<NotesAdded>, CliError> {
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
            other => Self::input(visible(&other.to_string())),
        }
    }
}

impl From<NoteAddError> for CliError {
    fn from(error: NoteAddError) -> Self {
        match error {
            NoteAddError::Unsound(unsound) => Self::Input(unsound_words(&unsound)),
            NoteAddError::Store(error) => error.into(),
            other => Self::input(visible(&other.to_string())),
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
