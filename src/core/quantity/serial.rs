//! How lengths are written into machine output: millimetres with at most four decimals.
//!
//! Reports name these with `#[serde(serialize_with = "…")]` on fields called `…_mm`.

use super::length::Length;
use serde::Serializer;

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
