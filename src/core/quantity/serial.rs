//! How lengths are written into machine output and read again: millimetres with at most four decimals.
//!
//! Reports name these with `#[serde(serialize_with = "…", deserialize_with = "…")]` on fields called `…_mm`.

use super::length::Length;
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serializer};

/// Serializes a length in millimetres.
///
/// # Errors
/// Only those of the serializer.
pub fn as_mm<S: Serializer>(length: &Length, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(length.mm_rounded())
}

/// Serializes a length in millimetres, or nothing.
///
/// # Errors
/// Only those of the serializer.
#[allow(
    clippy::ref_option,
    reason = "the signature that serialize_with asks for"
)]
pub fn as_optional_mm<S: Serializer>(
    length: &Option<Length>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    match length {
        Some(length) => as_mm(length, serializer),
        None => serializer.serialize_none(),
    }
}

/// Reads a length in millimetres.
///
/// # Errors
/// Those of the deserializer, and a length beyond what [`Length`] holds.
pub fn from_mm<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Length, D::Error> {
    let mm = f64::deserialize(deserializer)?;
    Length::from_mm(mm).ok_or_else(|| D::Error::custom(format!("{mm} mm is no length")))
}

/// Reads a length in millimetres, or nothing.
///
/// # Errors
/// Those of the deserializer, and a length beyond what [`Length`] holds.
pub fn from_optional_mm<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<Option<Length>, D::Error> {
    let mm = Option::<f64>::deserialize(deserializer)?;
    mm.map(|mm| {
        Length::from_mm(mm).ok_or_else(|| D::Error::custom(format!("{mm} mm is no length")))
    })
    .transpose()
}
