//! The schema and the steps that bring an older book to it.

use rusqlite::{Connection, TransactionBehavior};

/// Holds one step: a dated SQL file that is never edited once a program with it was given out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Migration {
    pub(super) sql: &'static str,
}

/// The steps in order; the version of a book is the number of steps it has taken.
pub(super) const MIGRATIONS: [Migration; 1] = [Migration {
    sql: include_str!("schema/2026-11-25_first_book.sql"),
}];

/// The version of a book that this program writes.
#[allow(
    clippy::cast_possible_truncation,
    reason = "the steps are counted by hand"
)]
pub const NEWEST_VERSION: u32 = MIGRATIONS.len() as u32;

/// Marks a SQLite file as a book: the letters "RWbk" (SQLite, "Database File Format", 1.3.14).
pub(super) const APPLICATION_ID: i32 = 0x5257_626b;

/// Takes the steps that a book has not taken yet.
///
/// Each step is one immediate transaction together with its new version, so that a book is always whole and of one
/// version. The version is read again inside the transaction, because another process may have taken the step meanwhile.
pub(super) fn migrate(connection: &mut Connection, steps: &[Migration]) -> rusqlite::Result<()> {
    loop {
        let step = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let version: u32 = step.pragma_query_value(None, "user_version", |row| row.get(0))?;
        let Some(next) = steps.get(version as usize) else {
            return Ok(());
        };
        step.execute_batch(next.sql)?;
        step.pragma_update(None, "user_version", version + 1)?;
        step.pragma_update(None, "application_id", APPLICATION_ID)?;
        step.commit()?;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const STEPS: [Migration; 3] = [
        Migration {
            sql: "CREATE TABLE ring (id INTEGER PRIMARY KEY, code TEXT) STRICT; INSERT INTO ring VALUES (1, '-012');",
        },
        Migration {
            sql: "ALTER TABLE ring ADD COLUMN polymer TEXT;",
        },
        Migration {
            sql: "UPDATE ring SET polymer = 'NBR'; INSERT INTO missing VALUES (1);",
        },
    ];

    fn version(book: &Connection) -> u32 {
        book.pragma_query_value(None, "user_version", |row| row.get(0))
            .expect("a version")
    }

    #[test]
    fn an_older_book_takes_only_the_steps_it_lacks() {
        let mut book = Connection::open_in_memory().expect("opens");
        migrate(&mut book, &STEPS[..1]).expect("first step");
        assert_eq!(version(&book), 1);
        migrate(&mut book, &STEPS[..2]).expect("second step");
        migrate(&mut book, &STEPS[..2]).expect("nothing to do");
        assert_eq!(version(&book), 2);
        let kept: String = book
            .query_row("SELECT code FROM ring", [], |row| row.get(0))
            .expect("the row is kept");
        assert_eq!(kept, "-012");
    }

    #[test]
    fn a_step_that_fails_leaves_the_book_at_the_version_before_it() {
        let mut book = Connection::open_in_memory().expect("opens");
        migrate(&mut book, &STEPS).expect_err("the third step names a missing table");
        assert_eq!(version(&book), 2);
        let polymer: Option<String> = book
            .query_row("SELECT polymer FROM ring", [], |row| row.get(0))
            .expect("the row is kept");
        assert_eq!(
            polymer, None,
            "the first half of the failed step is undone too"
        );
    }
}
