//! Where something stands in a text.

use serde::Serialize;

/// Names a half-open range of bytes in the text that was read.
///
/// Both ends lie on character boundaries of that text.
///
/// ```
/// use ringwright::core::quantity::Span;
/// let text = "9.25 mm";
/// assert_eq!(&text[Span::new(5, 7).range()], "mm");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
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
