//! Flags that take one word of a list: clap reads them, the help lists the words and shells complete them.

use crate::core::measurement::Condition;
use crate::core::note::condition_of;
use crate::core::word::Word;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use std::ffi::OsStr;

/// Reads one word of a list; `find` may know further spellings than those that are listed.
#[derive(Clone)]
pub(super) struct OneOf<T> {
    words: Vec<&'static str>,
    find: fn(&str) -> Option<T>,
}

impl<T: Clone + Send + Sync + 'static> TypedValueParser for OneOf<T> {
    type Value = T;

    fn parse_ref(
        &self,
        command: &clap::Command,
        flag: Option<&clap::Arg>,
        typed: &OsStr,
    ) -> Result<T, clap::Error> {
        if let Some(value) = typed.to_str().and_then(self.find) {
            return Ok(value);
        }
        let refused = PossibleValuesParser::new(self.words.clone()).parse_ref(command, flag, typed);
        Err(refused
            .err()
            .unwrap_or_else(|| clap::Error::new(clap::error::ErrorKind::InvalidValue)))
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new(self.words.iter().copied().map(PossibleValue::new)))
    }
}

/// Reads a value by its word.
pub(super) fn one_of<T: Word>() -> OneOf<T> {
    OneOf {
        words: T::words(),
        find: T::of_word,
    }
}

/// Reads the state of a ring, in any of the words of a note.
pub(super) fn condition() -> OneOf<Condition> {
    OneOf {
        words: Condition::words(),
        find: condition_of,
    }
}
