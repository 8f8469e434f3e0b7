//! A lock on a folder, so that of several of our processes one at a time looks at a file and puts another in its place.

use std::fs::{File, TryLockError};
use std::io::{Error, ErrorKind, Result};
use std::path::Path;
use std::time::{Duration, Instant};

/// How long another process is waited for; it holds the lock for as long as one file takes to write.
const PATIENCE: Duration = Duration::from_secs(10);
/// Time between two tries.
const PAUSE: Duration = Duration::from_millis(5);

/// Runs `work` while no other process of ours runs its own in the same folder.
///
/// The lock is the system's and ends with the process, however that ends. Where the system locks no folders the work is done
/// without.
///
/// # Errors
/// Passes on what `work` returns, and fails where the folder cannot be opened or somebody holds it for ten seconds.
pub(super) fn locked<T>(folder: &Path, work: impl FnOnce() -> Result<T>) -> Result<T> {
    let held = hold(folder)?;
    let done = work();
    drop(held);
    done
}

#[cfg(unix)]
fn hold(folder: &Path) -> Result<Option<File>> {
    let file = File::open(folder)?;
    let begun = Instant::now();
    loop {
        match file.try_lock() {
            Ok(()) => return Ok(Some(file)),
            Err(TryLockError::WouldBlock) if begun.elapsed() < PATIENCE => {
                std::thread::sleep(PAUSE);
            }
            Err(TryLockError::WouldBlock) => {
                return Err(Error::new(
                    ErrorKind::ResourceBusy,
                    "another process is saving in this folder: end it, or try again",
                ));
            }
            Err(TryLockError::Error(_)) => return Ok(None),
        }
    }
}

#[cfg(not(unix))]
fn hold(_folder: &Path) -> Result<Option<File>> {
    Ok(None)
}
