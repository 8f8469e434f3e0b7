//! Flags that take one word of a list: clap reads them, the help lists the words and shells complete them.

use crate::core::elastomer::Polymer;
use crate::core::gland::{Metal, RuleSet};
use crate::core::measurement::Condition;
use crate::core::note::condition_of;
use crate::core::stage::StageDesign;
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

fn listed<T>(
    words: impl IntoIterator<Item = &'static str>,
    find: fn(&str) -> Option<T>,
) -> OneOf<T> {
    OneOf {
        words: words.into_iter().collect(),
        find,
    }
}

/// Reads a value by its word.
pub(super) fn one_of<T: Word>() -> OneOf<T> {
    listed(T::WORDS.iter().map(|(_, word)| *word), T::of_word)
}

/// Reads a polymer by its letters, or as lists write it.
pub(super) fn polymer() -> OneOf<Polymer> {
    listed(
        Polymer::all().map(|facts| facts.polymer.letters()),
        Polymer::from_word,
    )
}

/// Reads a metal of a gland.
pub(super) fn metal() -> OneOf<Metal> {
    listed(Metal::words(), Metal::from_word)
}

/// Reads a rule set; books of commands may hold its older words.
pub(super) fn rule_set() -> OneOf<RuleSet> {
    listed(RuleSet::ALL.map(|(_, word)| word), RuleSet::from_word)
}

/// Reads the state of a ring, in any of its words.
pub(super) fn condition() -> OneOf<Condition> {
    listed(Condition::ALL.map(|(_, word)| word), condition_of)
}

/// Reads the design of a stage, with spaces or hyphens between its words.
pub(super) fn design() -> OneOf<StageDesign> {
    const WORDS: [&str; 4] = [
        "unbalanced-piston",
        "balanced-piston",
        "unbalanced-diaphragm",
        "balanced-diaphragm",
    ];
    listed(WORDS, StageDesign::from_words)
}
