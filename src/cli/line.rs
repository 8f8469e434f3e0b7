//! A line of words in the form of a note, "clean hot rinse; lubricant silicone grease; lot S-07", as the flags of a command.

use super::{CliError, Result};
use clap::{Arg, Command};

/// The most words that a key has, as "no leak test".
const MOST_WORDS: usize = 3;
/// A key may be cut short to so many letters, where no other begins with them.
const LEAST_LETTERS: usize = 4;

/// Says how a field begins.
pub(super) enum Begins<'c> {
    /// With a key of the command, whole or cut short, and its words.
    Key(&'c Arg, String),
    /// With a key that several flags begin with.
    Several(Vec<&'c str>),
    /// With no key.
    Words,
}

/// Reads the key that a field begins with; a whole key has its words joined by spaces or hyphens.
pub(super) fn key_of<'c>(field: &str, command: &'c Command) -> Begins<'c> {
    let words: Vec<&str> = field.split_whitespace().collect();
    let key = |count: usize| words.get(..count).map(|key| key.join("-").to_lowercase());
    for count in (1..=MOST_WORDS).rev() {
        let Some(name) = key(count) else { continue };
        let mut named = command.get_arguments();
        if let Some(arg) = named.find(|arg| arg.get_long() == Some(&name)) {
            return Begins::Key(arg, words[count..].join(" "));
        }
    }
    let Some(short) = key(1).filter(|key| key.chars().count() >= LEAST_LETTERS) else {
        return Begins::Words;
    };
    let begun = command
        .get_arguments()
        .filter_map(|arg| Some((arg, arg.get_long()?)));
    let begun: Vec<(&Arg, &str)> = begun.filter(|(_, long)| long.starts_with(&short)).collect();
    match begun.as_slice() {
        [] => Begins::Words,
        [(arg, _)] => Begins::Key(arg, words[1..].join(" ")),
        several => Begins::Several(several.iter().map(|(_, long)| *long).collect()),
    }
}

/// Reads a line as groups of flags; a field whose key `begins` tells begins a group.
///
/// # Errors
/// A field has no key of the command, or words where its key takes none.
pub(super) fn flag_groups(
    line: &str,
    command: &Command,
    begins: impl Fn(&Arg) -> bool,
) -> Result<Vec<Vec<String>>> {
    let mut groups: Vec<Vec<String>> = Vec::new();
    let mut continues = false;
    for field in line
        .split(';')
        .map(str::trim)
        .filter(|field| !field.is_empty())
    {
        let (arg, words) = match key_of(field, command) {
            Begins::Key(arg, words) => (arg, words),
            // What a part is made of has fields of its own: "spec od 8 mm ; thick 2.5 mm".
            Begins::Words if continues => {
                let last = groups.last_mut().and_then(|group| group.last_mut());
                if let Some(spec) = last {
                    *spec = format!("{spec} ; {field}");
                }
                continue;
            }
            Begins::Words => return Err(no_key(field, command)),
            Begins::Several(keys) => {
                let keys = keys.join(", ");
                return Err(CliError::input(format!(
                    "{field:?} may be any of {keys}: write the word whole"
                )));
            }
        };
        if begins(arg) {
            groups.push(Vec::new());
        }
        let group = groups.last_mut().ok_or_else(|| {
            CliError::input(format!(
                "{field:?} belongs to something: say first what was done"
            ))
        })?;
        let flag = arg.get_long().unwrap_or_default();
        continues = flag == SPEC;
        group.push(match (words.is_empty(), arg.get_action().takes_values()) {
            (true, _) => format!("--{flag}"),
            (false, true) => format!("--{flag}={words}"),
            (false, false) => {
                return Err(CliError::input(format!(
                    "{field:?}: {flag} stands alone; put a ; behind it"
                )));
            }
        });
    }
    Ok(groups)
}

/// The flag whose value has fields of its own.
const SPEC: &str = "spec";

fn no_key(field: &str, command: &Command) -> CliError {
    let keys = command.get_arguments().filter_map(Arg::get_long);
    let keys: Vec<String> = keys.map(|key| key.replace('-', " ")).collect();
    CliError::input(format!(
        "{field:?} does not begin with a word that is known here; write one of: {}",
        keys.join(", ")
    ))
}
