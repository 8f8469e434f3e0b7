//! Why an item of another book is not believed.

use serde::{Deserialize, Serialize};

/// Says which value of an item is not believed, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Refusal {
    /// The field, as the form names it: `carriage`, `offers[3].prices`.
    pub field: String,
    /// What stands there, in its first letters.
    pub found: String,
    /// What is wrong with it.
    pub fault: ValueFault,
}

/// Names what is wrong with a value; typing refuses the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum ValueFault {
    /// Nothing stands there.
    #[error("nothing stands there")]
    Empty,
    /// The text is too long.
    #[error("it is too long")]
    TooLong,
    /// The text holds characters that nobody types.
    #[error("it holds control characters")]
    Control,
    /// It is no moment.
    #[error("it is not a moment of ISO 8601, as 2026-03-14T10:00:00Z")]
    Moment,
    /// It is no day.
    #[error("it is not a day, as 2026-03-14")]
    Day,
    /// The day has not been yet.
    #[error("that day is yet to come")]
    YetToCome,
    /// It is no currency.
    #[error("it is not a currency that prices are kept in")]
    Currency,
    /// It is neither "included" nor "excluded".
    #[error("tax is \"included\" or \"excluded\"")]
    Tax,
    /// It is no amount of money.
    #[error("it is not an amount of nought or more that anybody asks")]
    Amount,
    /// It is no price.
    #[error("it is not a price that is paid")]
    Price,
    /// The price breaks are not in order.
    #[error("price breaks begin at one pack and rise")]
    Breaks,
    /// It is no number of pieces.
    #[error("it is not a number of pieces in a pack")]
    Pack,
    /// It is no count that can be.
    #[error("it is not a count that can be")]
    Count,
    /// The same line stands there twice.
    #[error("it stands there twice")]
    Twice,
    /// It is no mapping of columns.
    #[error("it says of no columns what they hold")]
    Mapping,
    /// It is no probability.
    #[error("odds lie between 0 and 1 and make up no more than 1")]
    Odds,
    /// It is no size of a ring.
    #[error("it is not a size of a ring")]
    Size,
    /// The code is that of another size.
    #[error("the code is that of another size")]
    OtherSize,
    /// It names no part, or several.
    #[error("it names no part, or several")]
    Part,
    /// Both texts name one part.
    #[error("it is the part itself")]
    Itself,
    /// A nickname is the code of a ring.
    #[error("it is the whole code of a ring, which a nickname would hide")]
    Code,
    /// A gauge is not believed.
    #[error("no gauge is entered with that")]
    Gauge,
}

/// The most letters of a value that are shown.
const SHOWN: usize = 60;

impl Refusal {
    /// Says that a value of a field is not believed.
    pub fn new(
        field: impl Into<String>,
        found: &(impl ToString + ?Sized),
        fault: ValueFault,
    ) -> Self {
        Self {
            field: field.into(),
            found: found.to_string().chars().take(SHOWN).collect(),
            fault,
        }
    }

    /// Puts a name before the field.
    #[must_use]
    pub fn under(mut self, name: &str) -> Self {
        self.field = format!("{name}.{}", self.field);
        self
    }
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {:?}: {}", self.field, self.found, self.fault)
    }
}
