//! What can be wrong with a book, and what to do about it.

use super::wait::WAIT_SECONDS;
use rusqlite::{Error, ErrorCode};
use serde::Serialize;
use std::io;
use std::path::{Path, PathBuf};

/// Says that nothing of a name is in the book, and what comes near.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NotFound {
    /// What was looked for: a model, a unit, a note.
    pub what: &'static str,
    /// The name that was asked for.
    pub asked: String,
    /// Names in the book that come near, nearest first.
    pub near: Vec<String>,
    /// Whether several names fit, so that the asked one must be written in full.
    pub ambiguous: bool,
}

/// Says why a book gives no answer, where it lies, and what to do.
///
/// Whatever the error, the book is as it was before the command: every write is one transaction. The one exception says so:
/// [`StoreError::Unconfirmed`].
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StoreError {
    /// The book has nothing of the name, or several; a command that asked for it answers no.
    #[error("there is no one {} {:?} in the book", .0.what, .0.asked)]
    NotFound(NotFound),
    /// There is no book at the place.
    #[error("there is no book at {} yet: `ringwright note add FILE` makes one, `ringwright demo` fills one to try, and --book FILE names another", .path.display())]
    NoBook { path: PathBuf },
    /// The folder of a place that the user named does not exist.
    #[error("the folder {} does not exist: make it first, or name another book with --book FILE", .folder.display())]
    NoFolder { folder: PathBuf },
    /// The folder into which a copy is to go does not exist.
    #[error("the folder {} does not exist: make it first, or name another file for the copy", .folder.display())]
    NoFolderForCopy { folder: PathBuf },
    /// The copy that was named does not exist.
    #[error("there is no copy at {}: look at the name; `ringwright book backup FILE` makes one", .path.display())]
    NoCopy { path: PathBuf },
    /// The folder of the default place cannot be made.
    #[error("the folder {} cannot be made ({source}): name another book with --book FILE", .folder.display())]
    FolderNotMade {
        folder: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// The path is that of a folder.
    #[error("{} is a folder: name a file, as --book {}/shop.book", .path.display(), .path.display())]
    IsFolder { path: PathBuf },
    /// The file is no database at all.
    #[error("{} is not a book (nor any other SQLite file): name another file with --book FILE; this one was left as it is", .path.display())]
    NotABook { path: PathBuf },
    /// The file is the database of another program.
    #[error("{} belongs to another program (its application id is {application_id:#010x}): name another file with --book FILE; this one was left as it is", .path.display())]
    OtherProgram {
        path: PathBuf,
        /// The id found.
        application_id: i32,
    },
    /// A newer program wrote the book.
    #[error("{} was written by a newer ringwright (book version {found}, this program knows {known}): install the newer program; the book was left as it is", .path.display())]
    NewerVersion {
        path: PathBuf,
        /// The version found.
        found: u32,
        /// The newest version known here.
        known: u32,
    },
    /// The file is damaged.
    #[error("{} is damaged ({detail}): `ringwright book check` says what can still be read, `ringwright book restore COPY` puts a good copy in its place", .path.display())]
    Damaged {
        path: PathBuf,
        /// What SQLite says.
        detail: String,
    },
    /// Another process holds the book.
    #[error("{} is in use by another process and was not free within {seconds} s: end the other command, or try again", .path.display())]
    InUse {
        path: PathBuf,
        /// How long it was waited for.
        seconds: u64,
    },
    /// The file or its folder cannot be written.
    #[error("{} cannot be written (the file or its folder is read-only): allow writing there, or name another book with --book FILE", .path.display())]
    ReadOnly { path: PathBuf },
    /// The file cannot be opened.
    #[error("{} cannot be opened: check that the folder can be written and the file may be read by you", .path.display())]
    CannotOpen { path: PathBuf },
    /// The disk is full.
    #[error("the disk is full: nothing was written to {}; make room and run the command again", .path.display())]
    DiskFull { path: PathBuf },
    /// The disk did not do what was asked.
    #[error("{} could not be read or written ({detail}): the book is as it was; check the disk (a quota, its cable, the share) and run the command again", .path.display())]
    DiskFault {
        path: PathBuf,
        /// What SQLite says.
        detail: String,
    },
    /// The work is done, and the system would not confirm that it is on the disk.
    #[error("the work is done, but the system could not confirm that {} is safe on the disk ({detail}): look whether the work is in the book before you run the command again, and check the disk", .path.display())]
    Unconfirmed {
        path: PathBuf,
        /// What SQLite says.
        detail: String,
    },
    /// A file that must not be overwritten exists.
    #[error("{} exists already: name a new file, so that no older copy is lost", .path.display())]
    Exists { path: PathBuf },
    /// Source and target are one file.
    #[error("{} is the book itself: name another file", .path.display())]
    SameFile { path: PathBuf },
    /// A copy is not sound.
    #[error("the copy {} is not sound ({detail}): nothing was changed; use another copy", .path.display())]
    UnsoundCopy {
        path: PathBuf,
        /// What the check found.
        detail: String,
    },
    /// The book holds something already.
    #[error("{} holds notes already: the demo fills only a new book, so name a new file with --book FILE", .path.display())]
    NotEmpty { path: PathBuf },
    /// The system refused to read or write a file.
    #[error("{} cannot be used: {source}", .path.display())]
    Io {
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// A row of the book does not hold what it must.
    #[error("{} holds a {what} that cannot be read ({found}): run `ringwright book check`", .path.display())]
    BadRow {
        path: PathBuf,
        /// What was read.
        what: &'static str,
        found: String,
    },
    /// Any other answer of SQLite.
    #[error("{} cannot be used: {source}", .path.display())]
    Sqlite {
        path: PathBuf,
        /// What SQLite says.
        source: Box<Error>,
    },
}

/// `SQLITE_IOERR_DIR_FSYNC` (SQLite, "Result and Error Codes").
const DIRECTORY_SYNC: i32 = 1290;

fn extended_code(error: &Error) -> i32 {
    error.sqlite_error().map_or(0, |error| error.extended_code)
}

impl StoreError {
    /// Says that the book has nothing of a name, and what comes near.
    pub fn not_found(what: &'static str, asked: impl Into<String>, near: Vec<String>) -> Self {
        Self::NotFound(NotFound {
            what,
            asked: asked.into(),
            near,
            ambiguous: false,
        })
    }

    /// Tells whether the book refused a value that was to be kept; the book itself is as it must be.
    pub fn is_refused_value(&self) -> bool {
        matches!(self, Self::Sqlite { source, .. }
        if matches!(**source, Error::ToSqlConversionFailure(_))
            || matches!(
                source.sqlite_error_code(),
                Some(ErrorCode::ConstraintViolation | ErrorCode::TypeMismatch | ErrorCode::TooBig)
            ))
    }

    /// Makes an error of the file system, naming the common causes.
    pub(super) fn io(path: &Path, source: io::Error) -> Self {
        let path = path.to_owned();
        match source.kind() {
            io::ErrorKind::PermissionDenied => Self::CannotOpen { path },
            io::ErrorKind::ReadOnlyFilesystem => Self::ReadOnly { path },
            io::ErrorKind::StorageFull => Self::DiskFull { path },
            _ => Self::Io { path, source },
        }
    }

    /// Makes an error of SQLite, naming the common causes.
    pub(super) fn sqlite(path: &Path, source: Error) -> Self {
        let path = path.to_owned();
        if let Error::FromSqlConversionFailure(..) | Error::InvalidColumnType(..) = &source {
            return Self::BadRow {
                path,
                what: "value",
                found: source.to_string(),
            };
        }
        match source.sqlite_error_code() {
            Some(ErrorCode::NotADatabase) => Self::NotABook { path },
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged {
                path,
                detail: source.to_string(),
            },
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::InUse {
                path,
                seconds: WAIT_SECONDS,
            },
            Some(ErrorCode::ReadOnly) => Self::ReadOnly { path },
            Some(ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => Self::CannotOpen { path },
            Some(ErrorCode::DiskFull) => Self::DiskFull { path },
            // The journal is gone, so the change counts; only the sync of the folder after it failed.
            Some(ErrorCode::SystemIoFailure) if extended_code(&source) == DIRECTORY_SYNC => {
                Self::Unconfirmed {
                    path,
                    detail: source.to_string(),
                }
            }
            Some(ErrorCode::SystemIoFailure) => Self::DiskFault {
                path,
                detail: source.to_string(),
            },
            _ => Self::Sqlite {
                path,
                source: Box::new(source),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rusqlite::Connection;

    #[test]
    fn a_value_that_the_book_refuses_is_told_from_a_book_that_cannot_be_used() {
        let book = Connection::open_in_memory().expect("opens");
        book.execute_batch("CREATE TABLE lot (bin TEXT NOT NULL CHECK (bin <> '')) STRICT")
            .expect("makes it");
        let told = |sql: &str| {
            let error = book.execute_batch(sql).expect_err("refused");
            StoreError::sqlite(Path::new("shop.book"), error).is_refused_value()
        };
        assert!(told("INSERT INTO lot VALUES ('')"));
        assert!(told("INSERT INTO lot VALUES (NULL)"));
        assert!(told("INSERT INTO lot VALUES (zeroblob(9))"));
        assert!(!told("INSERT INTO shelf VALUES (1)"));
    }
}
