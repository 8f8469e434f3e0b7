//! What can be wrong with a typed quantity.

use super::typed::Span;
use crate::core::near_word::did_you_mean;

/// Says which part of a typed quantity could not be read, why, and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{kind}")]
pub struct QuantityError {
    /// Bytes of the text that the message is about.
    pub span: Span,
    pub kind: QuantityErrorKind,
}

/// Lists the ways in which a typed quantity can be wrong; the text of each ends with its remedy.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum QuantityErrorKind {
    #[error("no value here: write a number and its unit, such as {example}")]
    Empty { example: &'static str },
    /// Something else than a number stands where one must begin.
    #[error("{found:?} is not a number: write one such as 9.25, 9,25, 23/64 or 1-1/16")]
    NotANumber { found: String },
    /// A number carries two decimal marks.
    #[error(
        "{found:?} has two decimal marks: write one number as 9.25 or 9,25, and put a space between two readings"
    )]
    TwoMarks { found: String },
    /// A comma could part thousands as well as decimals.
    #[error(
        "{found:?} can mean thousands or decimals: write it without the comma, or with a decimal point"
    )]
    ThousandsOrDecimals { found: String },
    /// A fraction has a zero below the line.
    #[error("a fraction cannot have 0 below the line")]
    ZeroDenominator,
    /// A mixed number's fraction is not below one.
    #[error("{found:?} is not a mixed number: the fraction must be less than 1, as in 1-1/16")]
    ImproperMixed { found: String },
    /// The number has more digits than can be kept exactly.
    #[error("too many digits: write at most 15")]
    TooManyDigits,
    #[error("powers of ten are not read: write the number out")]
    PowerOfTen,
    /// A number has no unit and none was declared.
    #[error("{found:?} has no {missing}: write it, such as {example}{}", otherwise(.declare))]
    NoUnit {
        found: String,
        /// What is missing: the unit, the scale, the currency.
        missing: &'static str,
        example: &'static str,
        /// How a unit can be declared for all bare numbers; empty where it cannot.
        declare: &'static str,
    },
    /// The unit is not one of this kind.
    #[error("{found:?} is not a unit of {quantity}: write one of {known}{}", did_you_mean(.meant.as_deref()))]
    UnknownUnit {
        found: String,
        /// What kind of quantity was asked for.
        quantity: &'static str,
        known: &'static str,
        /// The nearest unit, if one is near.
        meant: Option<String>,
    },
    /// A sign or mark stands alone or is repeated.
    #[error("{found:?} is not understood here: {remedy}")]
    Stray { found: String, remedy: &'static str },
    /// The value lies outside what the program handles.
    #[error("{found:?} is outside {range}: check the number and the unit")]
    OutOfRange {
        found: String,
        /// The range in words.
        range: &'static str,
    },
    /// A date cannot be told for sure, or does not exist.
    #[error("{found:?} is not a date that can be read one way only: write it as 2026-03-14")]
    Date { found: String },
}

fn otherwise(declare: &str) -> String {
    if declare.is_empty() {
        String::new()
    } else {
        format!(", or declare one with {declare}")
    }
}

impl QuantityError {
    /// Makes an error for the bytes `start..end`.
    pub fn new(start: usize, end: usize, kind: QuantityErrorKind) -> Self {
        Self {
            span: Span::new(start, end),
            kind,
        }
    }

    /// Makes the error for what is not understood where it stands; `remedy` says what to do.
    pub(crate) fn stray(text: &str, span: Span, remedy: &'static str) -> Self {
        let found = text[span.range()].to_owned();
        Self {
            span,
            kind: QuantityErrorKind::Stray { found, remedy },
        }
    }

    /// Makes the error for a value outside a range.
    pub(crate) fn out_of_range(text: &str, span: Span, range: &'static str) -> Self {
        let found = text[span.range()].to_owned();
        Self {
            span,
            kind: QuantityErrorKind::OutOfRange { found, range },
        }
    }

    /// Returns the same error for a text in which this one starts `by` bytes later.
    #[must_use]
    pub fn shifted(mut self, by: usize) -> Self {
        self.span = self.span.shifted(by);
        self
    }
}
