//! Flags that are read by the readers of the house: clap calls them, and shows what they say of a text as they say it.

use super::error::CliError;
use crate::core::quantity::{QuantityError, Typed};
use clap::builder::{StringValueParser, TypedValueParser};
use clap::error::ErrorKind;
use std::ffi::OsStr;

/// Reads a flag by a reader that is told the flag and the text.
#[derive(Clone)]
pub(super) struct ReadBy<F>(F);

impl<T, F> TypedValueParser for ReadBy<F>
where
    T: Clone + Send + Sync + 'static,
    F: Fn(&str, &str) -> Result<T, CliError> + Clone + Send + Sync + 'static,
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

/// Makes the parser of a reader.
pub(super) const fn read_by<T, F>(reader: F) -> ReadBy<F>
where
    F: Fn(&str, &str) -> Result<T, CliError>,
{
    ReadBy(reader)
}

/// Makes the parser of a quantity with its unit; an error shows the wrong bytes.
pub(super) fn quantity<T: Clone + Send + Sync + 'static>(
    parse: fn(&str) -> Result<Typed<T>, QuantityError>,
) -> impl TypedValueParser<Value = Typed<T>> {
    read_by(move |flag: &str, text: &str| {
        parse(text).map_err(|error| CliError::quantity(flag, text, &error))
    })
}
