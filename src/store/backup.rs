//! Copies of a book, and putting a copy in the place of the book.

use super::book::Book;
use super::check::{self, CheckReport, Depth};
use super::error::StoreError;
use super::place::{BookPlace, Standing, as_file, beside, free_name, standing};
use super::wait::WAIT_SECONDS;
use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// Writes a copy of the book to a new file; other processes may go on reading and writing meanwhile.
///
/// The copy is made under another name, checked, synced to the disk and only then given its name.
///
/// # Errors
/// Refuses a file that exists; says why the copy cannot be made.
pub fn copy_to(book: &Book, target: &Path) -> Result<(), StoreError> {
    let taken = || StoreError::Exists {
        path: target.to_owned(),
    };
    if target.symlink_metadata().is_ok() {
        return Err(taken());
    }
    // Beside a new file they would be taken for its own and played back into it.
    for tail in LEAVINGS {
        let left = beside(target, tail);
        if left.symlink_metadata().is_ok() {
            return Err(StoreError::Exists { path: left });
        }
    }
    if let Some(folder) = target.parent().filter(|f| !f.as_os_str().is_empty())
        && !folder.is_dir()
    {
        return Err(StoreError::NoFolderForCopy {
            folder: folder.to_owned(),
        });
    }
    let part = free_name(target, ".part");
    let copied = copy_and_check(book.connection(), &part).and_then(|()| {
        // A hard link refuses a name that was taken meanwhile, where a rename would overwrite it.
        let linked = std::fs::hard_link(&part, target);
        match linked {
            Ok(()) => Ok(()),
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => Err(taken()),
            Err(_) => std::fs::rename(&part, target).map_err(|e| StoreError::io(target, e)),
        }
    });
    let _ = std::fs::remove_file(&part);
    copied?;
    sync_folder(target);
    Ok(())
}

/// Keeps a copy of the book beside it, under the first free name, and returns that name.
pub(super) fn keep_beside(book: &Book, tail: &str) -> Result<PathBuf, StoreError> {
    loop {
        let kept = free_name(book.path(), tail);
        match copy_to(book, &kept) {
            // Another process has taken the name meanwhile.
            Err(StoreError::Exists { .. }) => {}
            copied => return copied.map(|()| kept),
        }
    }
}

/// Puts a copy in the place of the book, and returns where the former one was kept; `None` where there was none.
///
/// The copy is checked before anything is touched. The present book is kept beside its place as
/// `<book>.before-restore`; it is replaced in one transaction, or, where it is too damaged for that, by renaming.
///
/// # Errors
/// Refuses a copy that is no book or not sound, and a present file that is no book; says who holds the book. The present
/// book is then as it was.
pub fn restore(place: &BookPlace, copy: &Path) -> Result<Option<PathBuf>, StoreError> {
    if same_file(place.path(), copy) {
        return Err(StoreError::SameFile {
            path: copy.to_owned(),
        });
    }
    let source = Book::open_existing(copy).map_err(|error| match error {
        StoreError::NoBook { path } => StoreError::NoCopy { path },
        other => other,
    })?;
    require_sound(&source)?;
    match standing(place.path())? {
        Standing::Nothing | Standing::EmptyFile => {
            place.prepare_folder()?;
            keep_leavings(place.path(), &free_name(place.path(), ".before-restore"))?;
            if place.path().exists() {
                std::fs::remove_file(place.path())
                    .map_err(|error| StoreError::io(place.path(), error))?;
            }
            copy_to(&source, place.path())?;
            return Ok(None);
        }
        Standing::Folder => {
            return Err(StoreError::IsFolder {
                path: place.path().to_owned(),
            });
        }
        Standing::OtherFile => {
            return Err(StoreError::NotABook {
                path: place.path().to_owned(),
            });
        }
        Standing::Database => {}
    }
    let kept = match Book::open_existing(place.path()) {
        Ok(present) if check::examine_to(&present, Depth::Rows)?.is_sound() => {
            overwrite(present, &source)
        }
        Ok(_) | Err(StoreError::Damaged { .. } | StoreError::NotABook { .. }) => {
            set_aside(place.path(), &source)
        }
        Err(error) => Err(error),
    };
    kept.map(Some)
}

/// Replaces the content of a sound book in one exclusive transaction of SQLite.
fn overwrite(mut present: Book, source: &Book) -> Result<PathBuf, StoreError> {
    let kept = keep_beside(&present, ".before-restore")?;
    let path = present.path().to_owned();
    copy_pages(source.connection(), present.connection_mut())
        .map_err(|error| StoreError::sqlite(&path, error))?;
    require_sound(&present)?;
    Ok(kept)
}

/// Replaces a damaged book: its file gets a second name, then the checked copy takes its place at one stroke.
fn set_aside(path: &Path, source: &Book) -> Result<PathBuf, StoreError> {
    let part = free_name(path, ".restoring");
    copy_and_check(source.connection(), &part)?;
    let kept = free_name(path, ".before-restore");
    let aside = std::fs::hard_link(path, &kept)
        .or_else(|_| std::fs::copy(path, &kept).map(drop))
        .map_err(|error| StoreError::io(path, error))
        .and_then(|()| keep_leavings(path, &kept))
        .and_then(|()| std::fs::rename(&part, path).map_err(|error| StoreError::io(path, error)));
    if let Err(error) = aside {
        let _ = std::fs::remove_file(&part);
        return Err(error);
    }
    sync_folder(path);
    Ok(kept)
}

/// Moves what an ended process left of its writing beside a book's place to another name: SQLite would play it back into the
/// new file and spoil it.
fn keep_leavings(path: &Path, kept: &Path) -> Result<(), StoreError> {
    for tail in LEAVINGS {
        let left = beside(path, tail);
        if left.symlink_metadata().is_ok() {
            std::fs::rename(&left, beside(kept, tail))
                .map_err(|error| StoreError::io(&left, error))?;
        }
    }
    Ok(())
}

/// The tails of the files in which SQLite keeps unfinished writing (SQLite, "Temporary Files Used By SQLite").
const LEAVINGS: [&str; 3] = ["-journal", "-wal", "-shm"];

fn copy_and_check(source: &Connection, part: &Path) -> Result<(), StoreError> {
    let fault = |error| StoreError::sqlite(part, error);
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE;
    let mut target = Connection::open_with_flags(as_file(part), flags).map_err(fault)?;
    let made = copy_pages(source, &mut target)
        .map_err(fault)
        .and_then(|()| {
            target
                .close()
                .map_err(|(_, error)| StoreError::sqlite(part, error))
        })
        .and_then(|()| require_sound(&Book::open_existing(part)?))
        .and_then(|()| {
            std::fs::File::open(part)
                .and_then(|file| file.sync_all())
                .map_err(|error| StoreError::io(part, error))
        });
    if made.is_err() {
        let _ = std::fs::remove_file(part);
    }
    made
}

/// Copies every page at one moment, waiting a while for processes that hold either file.
fn copy_pages(source: &Connection, target: &mut Connection) -> rusqlite::Result<()> {
    const PAUSE: Duration = Duration::from_millis(50);
    let given_up = Instant::now() + Duration::from_secs(WAIT_SECONDS);
    let copying = Backup::new(source, target)?;
    loop {
        match copying.step(-1)? {
            StepResult::Done => return Ok(()),
            StepResult::Busy | StepResult::Locked if Instant::now() >= given_up => {
                return Err(rusqlite::Error::SqliteFailure(
                    rusqlite::ffi::Error::new(rusqlite::ffi::SQLITE_BUSY),
                    None,
                ));
            }
            _ => std::thread::sleep(PAUSE),
        }
    }
}

fn require_sound(book: &Book) -> Result<(), StoreError> {
    let report: CheckReport = check::examine_to(book, Depth::Rows)?;
    if report.is_sound() {
        return Ok(());
    }
    Err(StoreError::UnsoundCopy {
        path: book.path().to_owned(),
        detail: report.faults.join("; "),
    })
}

/// Syncs the folder of a file, so that its new name survives a power cut; systems that cannot do so are passed over.
fn sync_folder(path: &Path) {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    if let Ok(folder) = std::fs::File::open(folder) {
        let _ = folder.sync_all();
    }
}

fn same_file(a: &Path, b: &Path) -> bool {
    match (a.canonicalize(), b.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    }
}
