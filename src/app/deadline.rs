//! How long a use case may search: the clock that core does not know.

use std::time::{Duration, Instant};

/// A moment at which a search stops.
#[derive(Debug, Clone, Copy)]
pub(super) struct Deadline {
    begun: Instant,
    budget: Duration,
}

impl Deadline {
    /// Begins a budget now.
    pub(super) fn after(budget: Duration) -> Self {
        Self {
            begun: Instant::now(),
            budget,
        }
    }

    /// Tells whether so large a part of the budget, 0 to 1, is not used up.
    pub(super) fn allows(&self, part: f64) -> bool {
        self.begun.elapsed() < self.budget.mul_f64(part)
    }
}
