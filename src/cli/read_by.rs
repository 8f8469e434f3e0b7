//! Flags that are read by the readers of the house: clap calls them, and shows what they say of a text as they say it.

use super::{CliError, Result};
use crate::core::gear::GearFault;
use crate::core::job::Words;
use crate::core::note::Diagnostic;
use crate::core::quantity::{Dimension, Length, LengthUnit, QuantityError, Typed, parse_dimension};
use crate::core::sizes::DesignationError;
use crate::core::stage::{ReadingFault, StackFault};
use crate::core::thread::PitchFault;
use clap::builder::{StringValueParser, TypedValueParser, ValueParserFactory};
use clap::error::ErrorKind;
use std::ffi::OsStr;
use std::fmt::Display;

/// Reads a flag by a reader that is told the flag and the text.
#[derive(Clone)]
pub(super) struct ReadBy<F>(F);

impl<T, F> TypedValueParser for ReadBy<F>
where
    T: Clone + Send + Sync + 'static,
    F: Fn(&str, &str) -> Result<T> + Clone + Send + Sync + 'static,
{
    type Value = T;

    fn parse_ref(
        &self,
        command: &clap::Command,
        flag: Option<&clap::Arg>,
        typed: &OsStr,
    ) -> Result<T, clap::Error> {
        let text = StringValueParser::new().parse_ref(command, flag, typed)?;
        let place = flag.and_then(clap::Arg::get_long).unwrap_or_default();
        self.0(&format!("--{place}"), &text).map_err(|error| {
            // Clap puts "error: " before what it shows.
            let told = error.to_string();
            let told = told.trim_start_matches("error: ").trim_end();
            clap::Error::raw(ErrorKind::ValueValidation, format!("{told}\n"))
        })
    }
}

/// Makes the parser of a reader that is told the flag too.
pub(super) const fn read_by<T, F>(reader: F) -> ReadBy<F>
where
    F: Fn(&str, &str) -> Result<T>,
{
    ReadBy(reader)
}

/// Makes the parser of a reader of the text alone.
pub(super) fn reads<T, E>(parse: fn(&str) -> Result<T, E>) -> impl TypedValueParser<Value = T>
where
    T: Clone + Send + Sync + 'static,
    E: Refusal + 'static,
{
    read_by(move |flag: &str, text: &str| parse(text).map_err(|error| error.of(flag, text)))
}

/// Takes words; where there are none, `why` says what they are needed for.
pub(super) fn not_empty(flag: &str, text: &str, why: &str) -> Result<Words> {
    let words = text.trim().to_owned();
    if words.is_empty() {
        return Err(CliError::input(format!("{flag} is empty: {why}")));
    }
    Ok(Words { words })
}

/// What a reader says of a text that it cannot read.
pub(super) trait Refusal {
    /// Says it of the text behind a flag.
    fn of(&self, flag: &str, text: &str) -> CliError;
}

impl Refusal for QuantityError {
    fn of(&self, flag: &str, text: &str) -> CliError {
        CliError::quantity(flag, text, self)
    }
}

impl Refusal for DesignationError {
    fn of(&self, flag: &str, text: &str) -> CliError {
        CliError::designation(flag, text, self)
    }
}

/// A remedy, as `write seconds, as "1.5 s"`.
impl Refusal for str {
    fn of(&self, flag: &str, text: &str) -> CliError {
        CliError::input(format!("{flag} does not take {text:?}: {self}"))
    }
}

impl Refusal for &'static str {
    fn of(&self, flag: &str, text: &str) -> CliError {
        str::of(self, flag, text)
    }
}

impl Refusal for PitchFault {
    fn of(&self, flag: &str, text: &str) -> CliError {
        match self {
            Self::Length(error) => error.of(flag, text),
            fault => CliError::input(format!("{flag}: {fault}")),
        }
    }
}

/// The first of what is wrong with the words.
impl Refusal for Vec<Diagnostic> {
    fn of(&self, flag: &str, text: &str) -> CliError {
        let first = &self[0];
        let remedy = first.remedy.as_deref();
        let remedy = remedy.map_or_else(String::new, |remedy| format!(": {remedy}"));
        let message = format!("{}{remedy}", first.message);
        CliError::at(flag, text, first.span, &message)
    }
}

/// Gives faults that hold the wrong words already the flag in front.
macro_rules! says_the_words {
    ($($fault:ty),*) => {$(
        impl Refusal for $fault {
            fn of(&self, flag: &str, _: &str) -> CliError {
                CliError::input(format!("{flag}: {self}"))
            }
        }
    )*};
}
says_the_words!(GearFault, ReadingFault, StackFault);

/// The words behind a flag in which a length may stand without its unit: `--unit`, which says the unit then, may come later in
/// the command, so that they are read when all of it is.
#[derive(Debug, Clone)]
pub(super) struct InUnit {
    flag: String,
    /// What was typed.
    pub(super) text: String,
}

impl ValueParserFactory for InUnit {
    type Parser = ReadBy<fn(&str, &str) -> Result<Self>>;

    fn value_parser() -> Self::Parser {
        read_by(|flag, text| Ok(Self::behind(flag, text)))
    }
}

impl InUnit {
    /// Reads the words by a reader that takes the unit.
    pub(super) fn read<T, E: Refusal>(
        &self,
        unit: Option<LengthUnit>,
        parse: impl Fn(&str, Option<LengthUnit>) -> Result<T, E>,
    ) -> Result<T> {
        parse(&self.text, unit).map_err(|error| error.of(&self.flag, &self.text))
    }

    /// Reads a length with its tolerance.
    pub(super) fn dimension(&self, unit: Option<LengthUnit>) -> Result<Typed<Dimension>> {
        self.read(unit, parse_dimension)
    }

    /// Reads a length.
    pub(super) fn length(&self, unit: Option<LengthUnit>) -> Result<Length> {
        Ok(self.dimension(unit)?.value.nominal)
    }

    /// Makes it of the words behind a flag.
    pub(super) fn behind(flag: &str, text: &str) -> Self {
        Self {
            flag: flag.to_owned(),
            text: text.to_owned(),
        }
    }

    /// Takes a piece of the words.
    pub(super) fn piece(&self, text: &str) -> Self {
        Self::behind(&self.flag, text)
    }

    /// Says what to write instead.
    pub(super) fn refused(&self, remedy: &(impl Refusal + ?Sized)) -> CliError {
        remedy.of(&self.flag, &self.text)
    }

    /// Says what is wrong with words that could be read.
    pub(super) fn wrong(&self, why: impl Display) -> CliError {
        CliError::input(format!("{} {:?}: {why}", self.flag, self.text))
    }
}
