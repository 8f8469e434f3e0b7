//! One listed ring size.

use super::nominal_size::NominalSize;
use super::short_code::ShortCode;
use super::standard::Standard;
use super::table::SOURCES;
use crate::core::confidence::Confidence;
use crate::core::quantity::Dimension;

/// Says where a size's tolerance comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ToleranceBasis {
    /// The family's own table states it.
    Listed,
    /// No tolerance of this family is at hand: ISO 3601-1 class B stands in for it.
    AssumedClassB,
}

/// One listed size: its code, its dimensions with tolerances, and where they come from.
///
/// `id` is the inside diameter d1 and `section` the cross-section d2 of ISO 3601-1.
#[derive(Debug, Clone, PartialEq)]
pub struct RingSize {
    pub standard: Standard,
    /// The code as the family's own table prints it, such as `012` or `P10A`.
    pub short_code: ShortCode,
    pub id: Dimension,
    pub section: Dimension,
    /// Where the tolerance of the inside diameter comes from.
    pub id_tolerance_basis: ToleranceBasis,
    /// Where the tolerance of the section comes from.
    pub section_tolerance_basis: ToleranceBasis,
    /// Where the row comes from, as its place among [`SOURCES`].
    pub(super) source_place: u8,
    pub confidence: Confidence,
}

impl RingSize {
    /// Returns the full code, such as `AS568-012` or `JIS B 2401 P10A`.
    pub fn code(&self) -> String {
        [self.standard.code_prefix(), self.short_code.as_str()].concat()
    }

    /// Returns its two lengths without their tolerances.
    pub fn nominal(&self) -> NominalSize {
        NominalSize::of(self.id, self.section)
    }

    /// Returns where the row comes from.
    pub fn source(&self) -> &'static str {
        SOURCES[usize::from(self.source_place)]
    }
}
