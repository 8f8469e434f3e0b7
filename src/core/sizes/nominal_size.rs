//! The two lengths that make a ring, whatever lists it.

use crate::core::quantity::{Dimension, Length, as_mm, from_mm};
use serde::{Deserialize, Serialize};
use std::fmt;

/// Names a ring by its inside diameter and its cross-section; machine output has them as `id_mm` and `cs_mm`.
///
/// ```
/// use ringwright::core::quantity::Length;
/// use ringwright::core::sizes::NominalSize;
/// let mm = |value| Length::from_mm(value).unwrap();
/// let ring = NominalSize { id: mm(17.5), section: mm(2.2) };
/// assert_eq!(ring.to_string(), "17.5x2.2 mm");
/// assert_eq!(ring.outside(), mm(21.9));
/// assert!(ring.is_near(NominalSize { id: mm(17.46), section: mm(2.2) }));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct NominalSize {
    /// Inside diameter.
    #[serde(
        rename = "id_mm",
        serialize_with = "as_mm",
        deserialize_with = "from_mm"
    )]
    pub id: Length,
    /// Cross-section.
    #[serde(
        rename = "cs_mm",
        serialize_with = "as_mm",
        deserialize_with = "from_mm"
    )]
    pub section: Length,
}

impl NominalSize {
    /// Leaves the tolerances out.
    pub fn of(id: Dimension, section: Dimension) -> Self {
        Self {
            id: id.nominal,
            section: section.nominal,
        }
    }

    /// Returns the outside diameter.
    pub fn outside(self) -> Length {
        self.id + self.section + self.section
    }

    /// Tells whether two sizes are one: lists round to the tenth at worst.
    pub fn is_near(self, other: Self) -> bool {
        const ROUNDED_NM: i64 = 50_000;
        let near = |a: Length, b: Length| (a.nm() - b.nm()).abs() <= ROUNDED_NM;
        near(self.id, other.id) && near(self.section, other.section)
    }
}

impl fmt::Display for NominalSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [id, section] = [self.id, self.section].map(Length::mm_rounded);
        write!(f, "{id}x{section} mm")
    }
}
