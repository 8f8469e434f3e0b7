//! How the parts that a ring seals move against each other.

use super::word::words;
use serde::{Deserialize, Serialize};

/// Says how the parts move against each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Duty {
    /// No motion.
    Static,
    /// To-and-fro motion.
    Moving,
    /// Turning motion.
    Rotary,
}

words!(Duty {
    Static => "static",
    Moving => "moving",
    Rotary => "rotary",
});
