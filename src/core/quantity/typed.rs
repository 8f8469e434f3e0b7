//! A value together with what the person typed.

use serde::{Deserialize, Serialize};

/// Keeps a value beside the text it was read from, so that nothing typed is lost to a conversion.
///
/// ```
/// use ringwright::core::quantity::{Length, LengthUnit, parse_dimension};
/// let typed = parse_dimension("23/64\"", None).unwrap();
/// assert_eq!(typed.text, "23/64\"");
/// assert_eq!(typed.value.nominal, Length::from_nm(9_128_125));
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Typed<T> {
    /// What was meant.
    pub value: T,
    /// What was typed, without the space around it.
    pub text: String,
}

impl<T> Typed<T> {
    /// Puts a value beside its text; the space around the text is dropped.
    pub fn new(value: T, text: &str) -> Self {
        Self {
            value,
            text: text.trim().to_owned(),
        }
    }
}

/// Names a half-open range of bytes in the text that was read.
///
/// Both ends lie on character boundaries of that text.
///
/// ```
/// use ringwright::core::quantity::Span;
/// let text = "9.25 mm";
/// assert_eq!(&text[Span::new(5, 7).range()], "mm");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Span {
    /// Makes a span; the ends are put in order.
    pub fn new(start: usize, end: usize) -> Self {
        Self {
            start: start.min(end),
            end: start.max(end),
        }
    }

    /// Returns the span as a range that can slice the text.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start..self.end
    }

    /// Returns the same span for a text in which this one starts `by` bytes later.
    #[must_use]
    pub fn shifted(self, by: usize) -> Self {
        Self::new(self.start + by, self.end + by)
    }
}
