//! Opening a book, and the transactions through which it is read and written.

use super::backup;
use super::error::StoreError;
use super::migration::{APPLICATION_ID, MIGRATIONS, NEWEST_VERSION, migrate};
use super::place::{BookPlace, Standing, as_file, standing};
use super::record::rows;
use super::wait::wait;
use rusqlite::config::DbConfig;
use rusqlite::{
    Connection, OpenFlags, OptionalExtension, Row, ToSql, Transaction, TransactionBehavior,
};
use std::path::{Path, PathBuf};

/// An open book.
///
/// A book is one SQLite file with a rollback journal and `synchronous = EXTRA`. The write-ahead log was weighed against
/// it: the log lets readers work while another process writes and saves some syncs, but it keeps the newest notes in two
/// side files, so that a person who copies the book alone (to a stick, in a mail, by a sync folder) loses them; it does
/// not work on network shares nor on read-only media; and with `synchronous = NORMAL` a power cut may lose the last
/// commits. A shop writes a few notes a day and a write takes milliseconds, so nothing is gained. With the rollback
/// journal the one file is the whole book between commands, and `EXTRA` also syncs the folder after the journal is
/// removed, so that a command that has answered survives a power cut (SQLite, "PRAGMA synchronous").
///
/// Foreign keys are enforced, the schema's own text is not trusted to call functions, and a command waits ten seconds
/// for another process before it gives up; the command line says so ([`announce_waits`](super::announce_waits)).
#[derive(Debug)]
pub struct Book {
    connection: Connection,
    path: PathBuf,
}

/// Reads a book inside one transaction, so that everything read belongs to one moment.
#[derive(Debug)]
pub struct BookReader<'b> {
    pub(super) sql: &'b Connection,
    pub(super) path: &'b Path,
}

/// Writes a book inside one transaction, which is kept whole or not at all.
#[derive(Debug)]
pub struct BookWriter<'b> {
    reader: BookReader<'b>,
}

impl Book {
    /// Opens the book at a place to read it; an older book is brought to the present version first.
    ///
    /// # Errors
    /// Says what stands there instead of a book, who holds it, or what is damaged. Nothing is made or changed then.
    pub fn open_to_read(place: &BookPlace) -> Result<Self, StoreError> {
        let path = place.path();
        if matches!(standing(path)?, Standing::Nothing | Standing::EmptyFile) {
            return Err(StoreError::NoBook {
                path: path.to_owned(),
            });
        }
        let mut book = Self::open_existing(path)?;
        if book.version()? < NEWEST_VERSION {
            book.bring_up_to_date(&MIGRATIONS)?;
        }
        book.pragma("query_only", true)?;
        Ok(book)
    }

    /// Reads the book at a place at one moment; nothing where there is none yet.
    ///
    /// # Errors
    /// As [`Book::open_to_read`] and [`Book::read`].
    pub fn read_at<T, E: From<StoreError>>(
        place: &BookPlace,
        read: impl FnOnce(&BookReader<'_>) -> Result<T, E>,
    ) -> Result<Option<T>, E> {
        match Self::open_to_read(place) {
            Err(StoreError::NoBook { .. }) => Ok(None),
            opened => opened?.read(read).map(Some),
        }
    }

    /// Opens the book at a place to write it, and makes it where there is none.
    ///
    /// # Errors
    /// Says what stands there instead of a book, who holds it, what is damaged, or why it cannot be written.
    pub fn open_to_write(place: &BookPlace) -> Result<Self, StoreError> {
        let path = place.path();
        let mut book = match standing(path)? {
            Standing::Nothing | Standing::EmptyFile => Self::make(place)?,
            _ => match Self::open_existing(path) {
                // Another process is about to make it, or was stopped while it did.
                Err(StoreError::NoBook { .. }) => Self::make(place)?,
                opened => opened?,
            },
        };
        if book.is_read_only()? {
            return Err(StoreError::ReadOnly {
                path: path.to_owned(),
            });
        }
        if book.version()? < NEWEST_VERSION {
            book.bring_up_to_date(&MIGRATIONS)?;
        }
        // A book that somebody has put into another journal mode is put back; for all others this does nothing.
        book.pragma("journal_mode", "DELETE")?;
        Ok(book)
    }

    /// Opens a file that must be a book already, of this version or an older one, and changes nothing.
    pub(super) fn open_existing(path: &Path) -> Result<Self, StoreError> {
        let owned = || path.to_owned();
        match standing(path)? {
            Standing::Nothing => return Err(StoreError::NoBook { path: owned() }),
            Standing::Folder => return Err(StoreError::IsFolder { path: owned() }),
            Standing::OtherFile => return Err(StoreError::NotABook { path: owned() }),
            Standing::EmptyFile | Standing::Database => {}
        }
        let book = Self::connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        // Both at one moment: another process may be making the book between one look and the next.
        let moment = book.connection.unchecked_transaction();
        let moment = moment.map_err(|error| book.fault(error))?;
        let found: i32 = book.pragma_value("application_id")?;
        let pages: i64 = book.pragma_value("page_count")?;
        drop(moment);
        if found != APPLICATION_ID {
            let empty = found == 0 && pages == 0;
            return Err(if empty {
                StoreError::NoBook { path: owned() }
            } else {
                StoreError::OtherProgram {
                    path: owned(),
                    application_id: found,
                }
            });
        }
        let version = book.version()?;
        if version == 0 {
            // A book gets its mark and its version at one stroke.
            return Err(StoreError::Damaged {
                path: owned(),
                detail: "the number of its version is lost".to_owned(),
            });
        }
        if version > NEWEST_VERSION {
            return Err(StoreError::NewerVersion {
                path: owned(),
                found: version,
                known: NEWEST_VERSION,
            });
        }
        Ok(book)
    }

    fn make(place: &BookPlace) -> Result<Self, StoreError> {
        place.prepare_folder()?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE;
        let mut book = Self::connect(place.path(), flags)?;
        if book.is_read_only()? {
            return Err(StoreError::ReadOnly {
                path: place.path().to_owned(),
            });
        }
        migrate(&mut book.connection, &MIGRATIONS).map_err(|error| book.fault(error))?;
        Ok(book)
    }

    fn connect(path: &Path, flags: OpenFlags) -> Result<Self, StoreError> {
        let flags = flags | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(as_file(path), flags)
            .map_err(|error| StoreError::sqlite(path, error))?;
        let mut book = Self {
            connection,
            path: path.to_owned(),
        };
        book.connection
            .busy_handler(Some(wait))
            .map_err(|error| StoreError::sqlite(path, error))?;
        book.pragma("foreign_keys", true)?;
        book.pragma("trusted_schema", false)?;
        book.pragma("synchronous", "EXTRA")?;
        // A plan that hangs on the bound values is made anew at each use of a kept statement; none here gains by that.
        book.connection
            .set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)
            .map_err(|error| StoreError::sqlite(path, error))?;
        Ok(book)
    }

    /// Takes the steps that an older book lacks; a copy of it is kept beside it first.
    fn bring_up_to_date(&mut self, steps: &[&str]) -> Result<(), StoreError> {
        if self.is_read_only()? {
            return Err(StoreError::ReadOnly {
                path: self.path.clone(),
            });
        }
        if self.version()? > 0 {
            backup::keep_beside(self, &format!(".before-version-{}", steps.len()))?;
        }
        migrate(&mut self.connection, steps).map_err(|error| StoreError::sqlite(&self.path, error))
    }

    /// Returns the path of the file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Returns the version of the book.
    ///
    /// # Errors
    /// Fails where the file cannot be read.
    pub fn version(&self) -> Result<u32, StoreError> {
        self.pragma_value("user_version")
    }

    /// Reads the book at one moment.
    ///
    /// # Errors
    /// Passes on what `read` returns, and says what is wrong with the file.
    pub fn read<T, E: From<StoreError>>(
        &mut self,
        read: impl FnOnce(&BookReader<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        let moment = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Deferred)
            .map_err(|error| StoreError::sqlite(&self.path, error))?;
        read(&BookReader {
            sql: &moment,
            path: &self.path,
        })
    }

    /// Writes the book in one transaction: if `write` fails, nothing of it is kept.
    ///
    /// The write lock is taken at the start, so that no command is stopped half-way by another process.
    ///
    /// # Errors
    /// Passes on what `write` returns, and says what is wrong with the file or who holds it.
    pub fn write<T, E: From<StoreError>>(
        &mut self,
        write: impl FnOnce(&BookWriter<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        let path = &self.path;
        let fault = |error| StoreError::sqlite(path, error);
        let change: Transaction<'_> = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fault)?;
        let result = write(&BookWriter {
            reader: BookReader { sql: &change, path },
        })?;
        change.commit().map_err(fault)?;
        Ok(result)
    }

    pub(super) fn connection(&self) -> &Connection {
        &self.connection
    }

    pub(super) fn connection_mut(&mut self) -> &mut Connection {
        &mut self.connection
    }

    pub(super) fn fault(&self, error: rusqlite::Error) -> StoreError {
        StoreError::sqlite(&self.path, error)
    }

    fn is_read_only(&self) -> Result<bool, StoreError> {
        self.connection
            .is_readonly("main")
            .map_err(|error| self.fault(error))
    }

    fn pragma(&self, name: &str, value: impl ToSql) -> Result<(), StoreError> {
        self.connection
            .pragma_update(None, name, value)
            .map_err(|error| self.fault(error))
    }

    pub(super) fn pragma_value<T: rusqlite::types::FromSql>(
        &self,
        name: &str,
    ) -> Result<T, StoreError> {
        self.connection
            .pragma_query_value(None, name, |row| row.get(0))
            .map_err(|error| self.fault(error))
    }
}

impl BookReader<'_> {
    /// Reads every row of a query.
    pub(super) fn list<T>(
        &self,
        sql: &str,
        values: &[&dyn ToSql],
        row: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>, StoreError> {
        rows(self.sql, sql, values, row).map_err(|error| self.fault(error))
    }

    /// Reads the first row of a query, where it has one.
    pub(super) fn first<T>(
        &self,
        sql: &str,
        values: &[&dyn ToSql],
        row: impl FnOnce(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Option<T>, StoreError> {
        let read = || {
            self.sql
                .prepare_cached(sql)?
                .query_row(values, row)
                .optional()
        };
        read().map_err(|error| self.fault(error))
    }

    pub(super) fn fault(&self, error: rusqlite::Error) -> StoreError {
        StoreError::sqlite(self.path, error)
    }

    /// Makes the error of a row that does not hold what it must.
    pub(super) fn bad_row(&self, what: &'static str, found: impl Into<String>) -> StoreError {
        StoreError::BadRow {
            path: self.path.to_owned(),
            what,
            found: found.into(),
        }
    }
}

impl BookWriter<'_> {
    /// Runs a statement that changes rows.
    pub(super) fn change(&self, sql: &str, values: &[&dyn ToSql]) -> Result<(), StoreError> {
        let run = || self.sql.prepare_cached(sql)?.execute(values).map(drop);
        run().map_err(|error| self.fault(error))
    }
}

impl<'b> std::ops::Deref for BookWriter<'b> {
    type Target = BookReader<'b>;

    fn deref(&self) -> &BookReader<'b> {
        &self.reader
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::book::ModelName;

    /// The steps of the program, and one that it does not have yet.
    fn one_more_step(sql: &'static str) -> Vec<&'static str> {
        MIGRATIONS.into_iter().chain([sql]).collect()
    }

    #[test]
    fn an_older_book_is_copied_before_it_takes_a_step() {
        let folder = tempfile::tempdir().expect("a folder");
        let place = BookPlace::named(folder.path().join("shop.book"));
        let mut book = Book::open_to_write(&place).expect("makes a book");
        let name = ModelName {
            maker: None,
            name: "Fellwater Tarn".to_owned(),
        };
        book.write(|book| book.model_or_new(&name).map(drop))
            .expect("writes");
        let steps = one_more_step("ALTER TABLE model ADD COLUMN country TEXT;");
        book.bring_up_to_date(&steps).expect("takes the step");
        let newer = NEWEST_VERSION + 1;
        assert_eq!(book.version().expect("reads"), newer);
        let kept = format!("shop.book.before-version-{newer}");
        let kept = folder.path().join(kept);
        let mut kept = Book::open_existing(&kept).expect("the copy is a book");
        assert_eq!(kept.version().expect("reads"), NEWEST_VERSION);
        let models = kept.read(|book| Ok::<_, StoreError>(book.models()?.len()));
        assert_eq!(models.expect("reads"), 1);
        drop(book);
        let refused =
            Book::open_to_read(&place).expect_err("the program does not know that version");
        assert!(
            matches!(refused, StoreError::NewerVersion { .. }),
            "{refused}"
        );
    }

    #[test]
    fn a_step_that_fails_leaves_the_book_and_its_copy() {
        let folder = tempfile::tempdir().expect("a folder");
        let place = BookPlace::named(folder.path().join("shop.book"));
        let mut book = Book::open_to_write(&place).expect("makes a book");
        let before = std::fs::read(place.path()).expect("reads");
        let steps = one_more_step("DELETE FROM setting; INSERT INTO missing VALUES (1);");
        book.bring_up_to_date(&steps).expect_err("no such table");
        drop(book);
        assert!(std::fs::read(place.path()).expect("reads") == before);
        Book::open_to_read(&place).expect("it opens as it was");
    }

    #[test]
    fn a_book_put_into_another_journal_mode_is_put_back() {
        let folder = tempfile::tempdir().expect("a folder");
        let place = BookPlace::named(folder.path().join("shop.book"));
        let book = Book::open_to_write(&place).expect("makes a book");
        book.pragma("journal_mode", "WAL").expect("changes");
        drop(book);
        let book = Book::open_to_write(&place).expect("opens");
        let mode: String = book.pragma_value("journal_mode").expect("reads");
        assert_eq!(mode, "delete");
        let synced: i64 = book.pragma_value("synchronous").expect("reads");
        let referring: i64 = book.pragma_value("foreign_keys").expect("reads");
        assert_eq!((synced, referring), (3, 1), "EXTRA, and foreign keys on");
    }
}
