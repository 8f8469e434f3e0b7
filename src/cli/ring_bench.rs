//! `ring` at the bench: carries lines between the user and the dialogue.

use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::ring::session::RingSession;
use crate::app::ring::session_said::Said;
use crate::render::{Form, said_text};
use std::io::{BufRead, ErrorKind, IsTerminal, Read, Write};

/// More bytes than this without a line end are taken as a line of their own, so that no input fills the memory.
const LONGEST_LINE: u64 = 4096;
const PROMPT: &str = "> ";

/// Holds the dialogue until "done" or the end of the input.
pub(super) fn run(mut session: RingSession, settings: &Settings) -> Result<Outcome> {
    if settings.form() != Form::Table {
        return Err(CliError::input(
            "the dialogue is plain text: leave --format out, or give the readings in the command",
        ));
    }
    let mut input = std::io::stdin().lock();
    let on_terminal = std::io::stdin().is_terminal();
    let mut ended_by_input = false;
    let mut said = session.greet();
    while !session.is_over() {
        if !say(&said, on_terminal)? {
            return Ok(Outcome::new(String::new(), Answer::Yes));
        }
        let line = next_line(&mut input)?;
        ended_by_input = line.is_none();
        said = if let Some(line) = line {
            session.hear(&line)
        } else {
            session.end()
        };
    }
    let mut text = said_text(&said);
    if ended_by_input && on_terminal {
        // The prompt stands on a line that nobody ended.
        text.insert(0, '\n');
    }
    let named = session.answer().is_some_and(|answer| {
        let first = answer.candidates.first();
        first.is_some_and(|first| first.probability >= answer.unlisted_probability)
    });
    Ok(Outcome::new(text, Answer::of(named)))
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

/// Prints what is said, with a prompt on a terminal; tells whether anybody still reads.
fn say(said: &[Said], on_terminal: bool) -> Result<bool> {
    let mut text = said_text(said);
    if on_terminal {
        text.push_str(PROMPT);
    }
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(false),
        Err(error) => Err(CliError::input(format!(
            "the answer cannot be written: {error}"
        ))),
    }
}
