//! Questions on a terminal, about what a command was not told.

use super::ring_bench::next_line;
use super::{Result, Settings};
use crate::render::Form;
use std::io::{IsTerminal, Write};

/// Tells whether somebody sits there who can be asked.
pub(super) fn can_ask(settings: &Settings) -> bool {
    let sits = std::io::stdin().is_terminal() && std::io::stderr().is_terminal();
    sits && settings.form() == Form::Table
}

/// Asks until the answer can be read; `None` where Enter alone or the end of the input leaves it open.
pub(super) fn ask<T>(question: &str, read: impl Fn(&str) -> Result<T>) -> Result<Option<T>> {
    let mut input = std::io::stdin().lock();
    loop {
        let mut out = std::io::stderr().lock();
        let _ = write!(out, "{question}\n> ").and_then(|()| out.flush());
        let line = next_line(&mut input)?.unwrap_or_default();
        if line.trim().is_empty() {
            return Ok(None);
        }
        match read(line.trim()) {
            Ok(answer) => return Ok(Some(answer)),
            Err(error) => {
                let _ = error.print();
            }
        }
    }
}

/// Tells whether an answer is yes; the same words are in every dialogue.
pub(super) fn is_yes(words: &str) -> bool {
    matches!(words.trim().to_lowercase().as_str(), "y" | "yes")
}
