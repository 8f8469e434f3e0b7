//! `note record`: carries lines between the bench and the record, and saves after each.

use super::clock::{now, today, tomorrow};
use super::dialogue::{in_plain_text, is_yes, next_line, prompt, say};
use super::note::read_source;
use super::noun::NoteFile;
use super::ring::bench_namer;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::note::add::{AddOptions, add_notes};
use crate::app::note::check::{NoteForm, NoteText};
use crate::app::note::record::{Ending, NoteRecord, Recorder};
use crate::app::note::save::GrowingFile;
use crate::app::ring::model_rings::ModelRings;
use crate::app::ring::session_said::Said;
use crate::render::{marked_lines, said_text, visible};
use clap::Args;
use std::path::Path;

/// Record a teardown part by part: asks for what is lost later, names each ring, saves after every answer
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright note record tarn.note\n  ringwright note record tarn.note < answers.txt\n\n\
    Where the file exists, the recording goes on where it stopped. Questions go to standard error."
)]
pub(super) struct RecordArgs {
    /// The note to begin or to go on with
    #[arg(value_name = "FILE", default_value = "teardown.note")]
    file: NoteFile,
}

pub(super) fn run(args: &RecordArgs, settings: &Settings) -> Result<Outcome> {
    in_plain_text(settings, "")?;
    let path = Path::new(&*args.file);
    let former = match path.try_exists() {
        Ok(false) => String::new(),
        _ => read_source(&args.file, false)?.text,
    };
    let (namer, warning) = bench_namer(settings)?;
    let book = settings.book()?;
    let with = Recorder {
        namer,
        today: Some(today()),
        model: Box::new(move |model| ModelRings::known_to(&book, model)),
    };
    let mut record = NoteRecord::new(&former, with).map_err(|faults| {
        let shown = marked_lines(&visible(&args.file), &former, &faults);
        CliError::Input(format!(
            "{shown}\n\nerror: {} is not a sound note: mend it, and then go on with it",
            visible(&args.file)
        ))
    })?;
    let mut input = std::io::stdin().lock();
    let mut note = GrowingFile::new(path, &former);
    let mut said = record.greet();
    if let Some(warning) = warning {
        said.insert(0, Said::Warning(warning));
    }
    while record.ending().is_none() {
        say(&format!("{}{}", said_text(&said), prompt()));
        let Some(line) = next_line(&mut input)? else {
            break;
        };
        said = record.hear(&line);
        match note.save(&record.text()) {
            Ok(false) => {}
            Ok(true) => said.push(Said::Warning(format!(
                "somebody else has changed {}: it is left as it is, and this recording goes on in {}; bring the two together by hand",
                visible(&args.file),
                shown(&note)
            ))),
            Err(error) => said.push(Said::Warning(format!(
                "not saved ({error}): make room or mend the folder; the next line tries again"
            ))),
        }
    }
    if record.ending().is_some() {
        say(&said_text(&said));
    }
    note.save(&record.text()).map_err(|error| {
        CliError::Input(format!(
            "error: {} cannot be written ({error}); the note is:\n{}",
            shown(&note),
            record.text()
        ))
    })?;
    if note.is_empty() {
        return Ok(Outcome::new(
            "Nothing was recorded.\n".to_owned(),
            Answer::Yes,
        ));
    }
    let file = shown(&note);
    let parts = record.parts();
    if record.ending() == Some(Ending::Done) {
        let offer = format!("{parts} in {file}. Store the note in the book? y does. [not now]");
        say(&format!("{}{}", said_text(&[Said::Text(offer)]), prompt()));
        let line = next_line(&mut input)?.unwrap_or_default();
        if is_yes(&line) {
            return store(&note, &record.text(), settings);
        }
    }
    let text = format!(
        "\n{parts} in {file}. Next: ringwright note check {file}, or note record {file} to go on.\n"
    );
    Ok(Outcome::new(text, Answer::Yes))
}

/// Adds the note to the book, as `note add` does.
fn store(note: &GrowingFile, text: &str, settings: &Settings) -> Result<Outcome> {
    let source = NoteText::new(shown(note), text.as_bytes(), NoteForm::Text);
    let options = AddOptions {
        added_at: now(),
        latest: tomorrow(),
        ..AddOptions::default()
    };
    let report = add_notes(&settings.book()?, &[source], &options)?;
    settings.answer(&report, Answer::Yes)
}

fn shown(note: &GrowingFile) -> String {
    visible(&note.path().display().to_string())
}
