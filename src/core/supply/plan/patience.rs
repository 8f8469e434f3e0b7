//! How long a search may go on; the planner knows no clock.

/// Asks whether a search may go on, and keeps to the first no.
pub(super) struct Patience<'p> {
    keep_going: &'p mut dyn FnMut() -> bool,
    spent: bool,
}

impl<'p> Patience<'p> {
    /// Makes the patience of one search.
    pub(super) fn new(keep_going: &'p mut dyn FnMut() -> bool) -> Self {
        Self {
            keep_going,
            spent: false,
        }
    }

    /// Tells whether the search must stop.
    pub(super) fn is_spent(&mut self) -> bool {
        self.spent = self.spent || !(self.keep_going)();
        self.spent
    }
}
