//! The state a ring is in when it is measured.

use crate::core::word::words;
use serde::{Deserialize, Serialize};

/// Names the state a ring is in; the figures behind each word stand in `data/measurement/conditions.csv`.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Condition {
    /// Never fitted.
    New,
    /// Taken out of service, still round and springy.
    #[default]
    Used,
    /// Flattened, hard, swollen or cracked.
    Rough,
}

words!(Condition {
    New => "new",
    Used => "used",
    Rough => "rough",
});
