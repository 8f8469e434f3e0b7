//! How well a datum is known.

use crate::core::word::words;
use serde::{Deserialize, Serialize};

/// Grades how well a datum is known; the word travels with the datum to the user.
#[derive(
    Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Confidence {
    /// Recalled, and not confirmed in a source.
    #[default]
    Memory,
    /// One secondary source, such as a supplier's table.
    #[serde(rename = "supplier table")]
    SupplierTable,
    /// Measured by the user.
    Measured,
    /// Read in a published source and reproduced.
    Published,
}

words!(Confidence {
    Memory => "memory",
    SupplierTable => "supplier table",
    Measured => "measured",
    Published => "published",
});

impl std::fmt::Display for Confidence {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}
