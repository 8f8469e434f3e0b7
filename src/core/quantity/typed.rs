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
