//! `note show` and `note list`: what the book holds of teardown notes.

use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use crate::app::find_model::Found;
use crate::app::note_list::list_notes;
use crate::app::note_show::{NoteQuestion, show_note};
use crate::core::quantity::parse_date;
use crate::render::{Form, note_csv, visible};
use clap::Args;

/// Show a note of the book as the program prints it, ready to be changed and added again with --replace
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright note show FT2-004417\n  ringwright note show FT2-004417 --date 2026-03-14\n  \
    ringwright note show FT2-004417 --format csv > tarn.csv"
)]
pub(super) struct ShowArgs {
    /// The serial number of the unit
    #[arg(value_name = "UNIT")]
    serial: String,
    /// The model, where units of several models share the number
    #[arg(long, value_name = "MODEL")]
    model: Option<String>,
    /// The day of the teardown (else the newest note)
    #[arg(long, value_name = "DATE")]
    date: Option<String>,
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
    model: Option<String>,
    /// Those that were replaced, too
    #[arg(long)]
    history: bool,
}

pub(super) fn show(args: &ShowArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let date = args
        .date
        .as_deref()
        .map(|text| {
            parse_date(text)
                .map(|typed| typed.value)
                .map_err(|error| CliError::quantity("--date", text, &error))
        })
        .transpose()?;
    let question = NoteQuestion {
        unit: args.serial.clone(),
        model: args.model.clone(),
        date,
    };
    let shown = match show_note(&settings.book()?, &question)? {
        Found::Yes(shown) => shown,
        Found::No(missing) => return settings.answer(&missing, Answer::No),
    };
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
        Form::Json | Form::Md => settings.answer(shown.as_ref(), Answer::Yes),
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

pub(super) fn list(args: &ListArgs, settings: &Settings) -> Result<Outcome, CliError> {
    match list_notes(&settings.book()?, args.model.as_deref(), args.history)? {
        Found::Yes(list) => settings.answer(&list, Answer::Yes),
        Found::No(missing) => settings.answer(&missing, Answer::No),
    }
}
