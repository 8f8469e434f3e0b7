//! Words that do not make a command, and what to write instead.

use clap::error::{ContextKind, ContextValue, ErrorKind};
use std::error::Error;
use std::num::{ParseFloatError, ParseIntError};

/// Says what is wrong with the words of a command; `None` where clap itself says it best: help, the version, a command without its
/// second word.
pub(super) fn usage_words(error: &clap::Error) -> Option<String> {
    let said = match error.kind() {
        ErrorKind::MissingRequiredArgument => {
            let missing: Vec<String> = listed(error, ContextKind::InvalidArg);
            format!("what is missing: {}", missing.join(", "))
        }
        ErrorKind::InvalidValue => value_words(error)?,
        ErrorKind::ValueValidation => format!("{}: {}", flag(error)?, why(error)?),
        ErrorKind::UnknownArgument => {
            let word = one(error, ContextKind::InvalidArg)?;
            let near = listed(error, ContextKind::SuggestedArg);
            format!("{word:?} is nothing that this command takes{}", or(&near))
        }
        ErrorKind::InvalidSubcommand => {
            let word = one(error, ContextKind::InvalidSubcommand)?;
            let near = listed(error, ContextKind::SuggestedSubcommand);
            format!("there is no command {word:?}{}", or(&near))
        }
        ErrorKind::MissingSubcommand => {
            let mut known = listed(error, ContextKind::ValidSubcommand);
            known.retain(|word| word != "help");
            format!("say what to do: {}", known.join(", "))
        }
        ErrorKind::ArgumentConflict => {
            let with = listed(error, ContextKind::PriorArg);
            format!(
                "{} and {} do not go together",
                flag(error)?,
                with.join(", ")
            )
        }
        _ => return None,
    };
    Some(format!("error: {said}"))
}

/// Says that a value is none of those that can be written.
fn value_words(error: &clap::Error) -> Option<String> {
    let value = one(error, ContextKind::InvalidValue)?;
    let known = listed(error, ContextKind::ValidValue).join(", ");
    let flag = flag(error)?;
    if value.is_empty() {
        let known = Some(known).filter(|known| !known.is_empty());
        let known = known.map_or_else(String::new, |known| format!(": write one of {known}"));
        return Some(format!("{flag} has nothing behind it{known}"));
    }
    let near = or(&listed(error, ContextKind::SuggestedValue));
    Some(format!(
        "{flag} does not take {value:?}{near}: write one of {known}"
    ))
}

/// Says why a value cannot be read.
fn why(error: &clap::Error) -> Option<String> {
    let value = one(error, ContextKind::InvalidValue)?;
    let source = error.source()?;
    if source.is::<ParseIntError>() {
        return Some(format!("{value:?} is not a whole number"));
    }
    if source.is::<ParseFloatError>() {
        return Some(format!("{value:?} is not a number"));
    }
    Some(source.to_string().replace("..=", " to "))
}

/// The flag, or the word, that an error is about.
fn flag(error: &clap::Error) -> Option<String> {
    one(error, ContextKind::InvalidArg).map(|word| word.replace(['[', ']'], ""))
}

fn or(near: &[String]) -> String {
    if near.is_empty() {
        String::new()
    } else {
        format!(" (did you mean {}?)", near.join(" or "))
    }
}

fn one(error: &clap::Error, kind: ContextKind) -> Option<String> {
    listed(error, kind).into_iter().next()
}

fn listed(error: &clap::Error, kind: ContextKind) -> Vec<String> {
    let words = match error.get(kind) {
        Some(ContextValue::String(word)) => vec![word.clone()],
        Some(ContextValue::Strings(words)) => words.clone(),
        _ => Vec::new(),
    };
    words.into_iter().map(|word| plain(&word)).collect()
}

/// Takes off the angle brackets that clap puts around a word to be replaced.
fn plain(word: &str) -> String {
    word.replace(['<', '>'], "")
}
