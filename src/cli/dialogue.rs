//! Questions on a terminal or a pipe, and the lines that answer them.

use super::{CliError, Result, Settings};
use crate::render::{Form, visible_page};
use std::io::{BufRead, IsTerminal, Read, Write};

/// More bytes than this without a line end are taken as a line of their own, so that no input fills the memory.
const LONGEST_LINE: u64 = 4096;

/// Tells whether somebody sits there who can be asked.
pub(super) fn can_ask(settings: &Settings) -> bool {
    let sits = std::io::stdin().is_terminal() && std::io::stderr().is_terminal();
    sits && settings.form() == Form::Table
}

/// Refuses to hold a dialogue in another form than plain text; `or` says what else to do than to leave the form out.
pub(super) fn in_plain_text(settings: &Settings, or: &str) -> Result<()> {
    if settings.form() == Form::Table {
        return Ok(());
    }
    Err(CliError::input(format!(
        "the dialogue is plain text: leave --format out{or}"
    )))
}

/// Asks until the answer can be read; `None` where it is left open.
pub(super) fn ask<T>(question: &str, read: impl Fn(&str) -> Result<T>) -> Result<Option<T>> {
    let mut answer = None;
    ask_until(question, |words| {
        answer = (!words.is_empty()).then(|| read(words)).transpose()?;
        Ok(())
    })?;
    Ok(answer)
}

/// Asks until the answer can be taken, or a word of every dialogue leaves the question open or ends it; tells whether the dialogue
/// goes on.
pub(super) fn ask_until(question: &str, mut take: impl FnMut(&str) -> Result<()>) -> Result<bool> {
    let mut input = std::io::stdin().lock();
    loop {
        say(&format!("{question}\n{}", prompt()));
        let Some(line) = next_line(&mut input)? else {
            return Ok(false);
        };
        let words = line.trim();
        match words.to_lowercase().as_str() {
            "skip" | "-" => return Ok(true),
            "done" | "quit" => return Ok(false),
            _ => {}
        }
        match take(words) {
            Ok(()) => return Ok(true),
            Err(CliError::Input(message)) => say(&format!("{message}\n")),
            Err(other) => return Err(other),
        }
    }
}

/// Tells whether an answer is yes; the same words are in every dialogue.
pub(super) fn is_yes(words: &str) -> bool {
    matches!(words.trim().to_lowercase().as_str(), "y" | "yes")
}

/// What stands before an answer on a terminal.
pub(super) fn prompt() -> &'static str {
    if std::io::stdin().is_terminal() {
        "> "
    } else {
        ""
    }
}

/// Says it on standard error; that nobody listens ends no dialogue.
pub(super) fn say(words: &str) {
    let mut out = std::io::stderr().lock();
    let _ = out
        .write_all(visible_page(words).as_bytes())
        .and_then(|()| out.flush());
}

/// Reads a line without its end; `None` at the end of the input. Bytes that are no UTF-8 become marks, which no reading
/// holds.
pub(super) fn next_line(input: &mut impl BufRead) -> Result<Option<String>> {
    let mut bytes = Vec::new();
    let read = input.take(LONGEST_LINE).read_until(b'\n', &mut bytes);
    match read {
        Ok(0) => Ok(None),
        Ok(_) => {
            let line = String::from_utf8_lossy(&bytes);
            Ok(Some(line.trim_end_matches(['\n', '\r']).to_owned()))
        }
        Err(error) => Err(CliError::input(format!(
            "the readings cannot be read: {error}"
        ))),
    }
}
