//! A request to end (SIGTERM) waits while a file is put in its place, so that no half of it stays beside it.
//!
//! Other signals are left alone: a shell ignores an interrupt for what it runs in the background, and a handler of ours would
//! undo that. What they leave is taken away at the next writing.

use signal_hook::consts::SIGTERM;
use signal_hook::{flag, low_level};
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};

/// Whether a request ends the program at once.
static AT_ONCE: AtomicBool = AtomicBool::new(true);
/// Whether a request came.
static CAME: AtomicBool = AtomicBool::new(false);

/// Runs `work` to its end, and ends the program then if that was asked for meanwhile.
///
/// Where the system takes no handler the work runs without.
pub(super) fn held<T>(work: impl FnOnce() -> T) -> T {
    static READY: Once = Once::new();
    READY.call_once(|| {
        let _ = flag::register(SIGTERM, &CAME);
        let _ = flag::register_conditional_default(SIGTERM, &AT_ONCE);
    });
    AT_ONCE.store(false, Ordering::SeqCst);
    let done = work();
    AT_ONCE.store(true, Ordering::SeqCst);
    if CAME.load(Ordering::SeqCst) {
        // It ends the process as the signal would have; where it cannot, the work goes on as if nothing was asked.
        let _ = low_level::emulate_default_handler(SIGTERM);
    }
    done
}
