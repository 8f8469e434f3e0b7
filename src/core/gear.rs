//! Kinds of gear.

use serde::{Deserialize, Serialize};

/// Names a kind of gear.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum GearKind {
    /// Breathing first stage.
    #[serde(rename = "breathing first stage")]
    FirstStage,
}

impl GearKind {
    /// stub
    pub const fn word(self) -> &'static str {
        "breathing first stage"
    }

    /// stub
    pub fn needs_two_supplies(self) -> bool {
        true
    }
    /// stub
    pub fn needs_lock_up_and_creep(self) -> bool {
        true
    }
    /// stub
    pub fn needs_leak_test(self) -> bool {
        true
    }
}
