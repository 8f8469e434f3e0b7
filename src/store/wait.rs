//! Waiting for another process that holds the book.
//!
//! Whoever finds the book in use waits ten seconds and says so after a quarter of one; writers take the lock at the
//! start, so that no command is stopped half-way.

use std::cell::Cell;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// How long a command waits for another process before it gives up.
pub(super) const WAIT_SECONDS: u64 = 10;

/// A wait shorter than this is not worth a word.
const PATIENCE: Duration = Duration::from_millis(250);

/// The pause between two tries grows to this; all who wait try about equally often, so that none is passed over for long.
const LONGEST_PAUSE: Duration = Duration::from_millis(20);

static ANNOUNCE: OnceLock<fn(u64)> = OnceLock::new();
static ANNOUNCED: AtomicBool = AtomicBool::new(false);

thread_local! {
    static SINCE: Cell<Option<Instant>> = const { Cell::new(None) };
}

/// Has waits for another process told: `tell` is called once, with the seconds that the command waits at most.
///
/// Only the first call of a program counts. Without it a wait is silent.
pub fn announce_waits(tell: fn(u64)) {
    // A second teller would tell the same; the first one stays.
    let _ = ANNOUNCE.set(tell);
}

/// Pauses before the next try for a lock; false where the command has waited long enough. `tried` counts the tries for
/// this lock (SQLite, `sqlite3_busy_handler`).
pub(super) fn wait(tried: i32) -> bool {
    let now = Instant::now();
    let since = match SINCE.get() {
        Some(since) if tried > 0 => since,
        _ => {
            SINCE.set(Some(now));
            now
        }
    };
    let waited = now.duration_since(since);
    if waited >= Duration::from_secs(WAIT_SECONDS) {
        return false;
    }
    if waited >= PATIENCE
        && let Some(tell) = ANNOUNCE.get()
        && !ANNOUNCED.swap(true, Ordering::Relaxed)
    {
        tell(WAIT_SECONDS);
    }
    let pause = Duration::from_millis(u64::from(tried.unsigned_abs()) + 1);
    std::thread::sleep(pause.min(LONGEST_PAUSE));
    true
}
