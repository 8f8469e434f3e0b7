//! `ring` at the bench: carries lines between the user and the dialogue.

use super::dialogue::{in_plain_text, next_line, prompt};
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::ring::session::RingSession;
use crate::app::ring::session_said::Said;
use crate::render::said_text;
use std::io::{ErrorKind, IsTerminal, Write};

/// The dialogue until "done" or the end of the input.
pub(super) fn run(mut session: RingSession, settings: &Settings) -> Result<Outcome> {
    in_plain_text(settings, ", or give the readings in the command")?;
    let mut input = std::io::stdin().lock();
    let on_terminal = std::io::stdin().is_terminal();
    let mut ended_by_input = false;
    let mut said = session.greet();
    while !session.is_over() {
        if !say(&said)? {
            return Ok(Outcome::new(String::new(), Answer::Yes));
        }
        let line = next_line(&mut input)?;
        ended_by_input = line.is_none();
        said = match line {
            Some(line) => session.hear(&line),
            None => session.end(),
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

/// Prints what is said, with a prompt on a terminal; tells whether anybody still reads.
fn say(said: &[Said]) -> Result<bool> {
    let text = format!("{}{}", said_text(said), prompt());
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(false),
        Err(error) => Err(CliError::input(format!(
            "the answer cannot be written: {error}"
        ))),
    }
}
