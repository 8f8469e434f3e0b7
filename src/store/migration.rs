//! The schema and the steps that bring an older book to it.

use rusqlite::{Connection, TransactionBehavior};

/// The step from which on a book keeps where its job records end.
const JOB_HEADS: &str = include_str!("schema/2026-11-28_job_heads.sql");

/// The steps in order, each a dated SQL file that is never edited once a program with it was given out; the version of a book is the
/// number of steps it has taken.
pub(super) const MIGRATIONS: [&str; 20] = [
    include_str!("schema/2026-11-25_first_book.sql"),
    include_str!("schema/2026-11-25_known_rings.sql"),
    include_str!("schema/2026-11-25_gland_angle.sql"),
    include_str!("schema/2026-11-25_jobs.sql"),
    include_str!("schema/2026-11-25_offers.sql"),
    include_str!("schema/2026-11-25_stock.sql"),
    include_str!("schema/2026-11-25_exchange.sql"),
    include_str!("schema/2026-11-25_interchange.sql"),
    include_str!("schema/2026-11-28_gear.sql"),
    include_str!("schema/2026-11-28_other_shops.sql"),
    include_str!("schema/2026-11-28_free_carriage.sql"),
    JOB_HEADS,
    include_str!("schema/2026-11-28_offer_ties.sql"),
    include_str!("schema/2026-11-28_scanners.sql"),
    include_str!("schema/2026-11-28_made.sql"),
    include_str!("schema/2026-11-28_decisions.sql"),
    include_str!("schema/2026-11-28_sold_sizes.sql"),
    include_str!("schema/2026-11-28_back_ups.sql"),
    include_str!("schema/2026-11-28_entry_scans.sql"),
    include_str!("schema/2026-11-28_whole_notes.sql"),
];

/// The version of a book that this program writes.
#[allow(
    clippy::cast_possible_truncation,
    reason = "the steps are counted by hand"
)]
pub const NEWEST_VERSION: u32 = MIGRATIONS.len() as u32;

/// Tells whether a book of a version keeps where its job records end.
pub(super) fn keeps_job_heads(version: u32) -> bool {
    MIGRATIONS
        .iter()
        .take(version as usize)
        .any(|step| *step == JOB_HEADS)
}

/// Marks a SQLite file as a book: the letters "RWbk" (SQLite, "Database File Format", 1.3.14).
pub(super) const APPLICATION_ID: i32 = 0x5257_626b;

/// Takes the steps that a book has not taken yet, all of them in one immediate transaction with the new version.
///
/// No other process ever sees a book between two steps: a new book appears at the newest version, and an older one goes
/// there at once or stays what it was. The version is read inside the transaction, because another process may have taken
/// the steps meanwhile.
pub(super) fn migrate(connection: &mut Connection, steps: &[&str]) -> rusqlite::Result<()> {
    let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let version: u32 = change.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let lacking = steps.get(version as usize..).unwrap_or_default();
    if lacking.is_empty() {
        return Ok(());
    }
    for step in lacking {
        change.execute_batch(step)?;
    }
    let newest = u32::try_from(steps.len()).unwrap_or(u32::MAX);
    change.pragma_update(None, "user_version", newest)?;
    change.pragma_update(None, "application_id", APPLICATION_ID)?;
    change.commit()
}

#[cfg(test)]
mod tests {
    use super::*;

    const STEPS: [&str; 3] = [
        "CREATE TABLE ring (id INTEGER PRIMARY KEY, code TEXT) STRICT; INSERT INTO ring VALUES (1, '-012');",
        "ALTER TABLE ring ADD COLUMN polymer TEXT;",
        "UPDATE ring SET polymer = 'NBR'; INSERT INTO missing VALUES (1);",
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
    fn a_step_that_fails_leaves_the_book_as_it_was() {
        let mut book = Connection::open_in_memory().expect("opens");
        migrate(&mut book, &STEPS[..1]).expect("first step");
        migrate(&mut book, &STEPS).expect_err("the third step names a missing table");
        assert_eq!(version(&book), 1);
        let columns: i64 = book
            .query_row(
                "SELECT count(*) FROM pragma_table_info('ring')",
                [],
                |row| row.get(0),
            )
            .expect("the table is there");
        assert_eq!(columns, 2, "the second step is undone with the third");
    }
}
