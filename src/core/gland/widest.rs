//! The same arithmetic in the widest registers that a processor has.

use std::sync::LazyLock;

static ARCH: LazyLock<pulp::Arch> = LazyLock::new(pulp::Arch::new);

/// Runs `work`, compiled once more for wider registers where the processor has them.
///
/// What is inlined into `work` works on four or eight numbers at once instead of two. Every sum is in a stated order and no
/// two operations are drawn together, so that the results are the same to the last bit.
pub(super) fn widest<R>(work: impl FnOnce() -> R) -> R {
    ARCH.dispatch(work)
}
