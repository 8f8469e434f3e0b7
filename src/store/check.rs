//! Whether a book is sound, in words, and what can be saved of one that is not.

use super::book::Book;
use super::error::StoreError;
use super::job_check::job_faults;
use super::job_head::{JobFigures, figures};
use super::migration::NEWEST_VERSION;
use super::note::note_faults;
use super::record::rows;
use super::search_check::search_faults;
use rusqlite::Connection;
use serde::Serialize;
use std::collections::BTreeSet;

/// Says whether a book is sound, and what can be read of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CheckReport {
    /// The file.
    pub path: String,
    /// The version of the book.
    pub version: u32,
    /// The version that this program writes.
    pub newest_version: u32,
    /// What is wrong, in words; empty where the book is sound.
    pub faults: Vec<String>,
    /// What can be saved, and how, in words; empty where the book is sound.
    pub remedies: Vec<String>,
    /// What could not be examined, and why.
    pub unexamined: Vec<String>,
    /// What the job records come to; `None` in a book from before these were kept, and where they cannot be read.
    pub job_figures: Option<JobFigures>,
    /// What can be read of each table.
    pub tables: Vec<TableState>,
}

/// Says what can be read of one table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TableState {
    /// Its name.
    pub table: String,
    /// Rows that can be read.
    pub readable: u64,
    /// Why the rest cannot be read; `None` where everything can.
    pub stopped_by: Option<String>,
}

impl CheckReport {
    /// Tells whether nothing is wrong.
    pub fn is_sound(&self) -> bool {
        self.faults.is_empty()
    }
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    pub(super) kind: FaultKind,
    pub(super) words: String,
}

/// What a fault touches, which says what can be saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum FaultKind {
    /// Pages that hold rows.
    Rows,
    /// References between rows.
    References,
    /// Seals of job records.
    Seals,
    /// An index of rows; the rows themselves are whole.
    Index,
    /// What offers are searched by; it is made of the offers.
    Search,
}

impl FaultKind {
    fn remedy(self) -> &'static str {
        match self {
            Self::Rows => {
                "Rows are lost or can no longer be told from others: put a good copy in the book's place with `ringwright book \
                 restore COPY`; this file is kept beside it. Where there is no copy, the table says which rows can still be \
                 read, and `ringwright book export` and `ringwright note show` give out what they reach."
            }
            Self::References => {
                "The rows themselves can be read, but they belong to nothing: put a good copy in the book's place with \
                 `ringwright book restore COPY`."
            }
            Self::Seals => {
                "No program can make a changed record true again: compare it with the printed release sheet, whose last seal \
                 is that of the record as it was closed, with a copy of the book, or with the figures that you wrote down."
            }
            Self::Index => {
                "The rows are whole and only their index disagrees: `ringwright book check --mend-search` makes it anew. If that \
                 fails, `ringwright book restore COPY` brings a good copy."
            }
            Self::Search => {
                "Nothing is lost: the offers are whole, but a search may miss some. `ringwright book check --mend-search` makes \
                 the search anew from them."
            }
        }
    }
}

/// How many faults are listed; a file of which a page is lost can name thousands.
const MOST_FAULTS: u32 = 20;

/// How far a book is examined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Depth {
    /// Everything that a copy must hold; the search can be made anew of it.
    Rows,
    /// The search of offers too.
    Search,
}

/// Examines a book: its pages (SQLite's `integrity_check`), its references (`foreign_key_check`), every note as it is read, the
/// seals of its job records, every row, and as far as that is asked for whether the search of offers agrees with the offers.
///
/// # Errors
/// Fails where the file cannot be examined at all; damage is a finding, not an error.
pub(super) fn examine_to(book: &Book, depth: Depth) -> Result<CheckReport, StoreError> {
    // One transaction, so that all of it is examined at one moment.
    let moment = book
        .connection()
        .unchecked_transaction()
        .map_err(|error| book.fault(error))?;
    let sql: &Connection = &moment;
    let mut faults = page_faults(sql);
    let all = |kind| move |words| Fault { kind, words };
    faults.extend(length_fault(book).map(all(FaultKind::Rows)));
    faults.extend(
        reference_faults(sql)
            .into_iter()
            .map(all(FaultKind::References)),
    );
    faults.extend(note_faults(sql).into_iter().map(all(FaultKind::Rows)));
    faults.extend(job_faults(sql).into_iter().map(all(FaultKind::Seals)));
    let mut unexamined = Vec::new();
    match depth {
        Depth::Rows => faults.retain(|fault| fault.kind != FaultKind::Search),
        Depth::Search => match search_faults(sql) {
            Ok(found) => faults.extend(found.into_iter().map(all(FaultKind::Search))),
            Err(reason) => unexamined.push(reason),
        },
    }
    let tables = match table_names(sql) {
        Ok(names) => names.into_iter().map(|n| table_state(sql, n)).collect(),
        Err(error) => {
            let words = format!("the list of tables cannot be read: {error}");
            faults.push(all(FaultKind::Rows)(words));
            Vec::new()
        }
    };
    let kinds: BTreeSet<FaultKind> = faults.iter().map(|fault| fault.kind).collect();
    Ok(CheckReport {
        path: book.path().display().to_string(),
        version: book.version()?,
        newest_version: NEWEST_VERSION,
        faults: faults.into_iter().map(|fault| fault.words).collect(),
        remedies: kinds
            .into_iter()
            .map(|kind| kind.remedy().to_owned())
            .collect(),
        unexamined,
        job_figures: figures(sql),
        tables,
    })
}

/// Examines the book at a place without changing it, not even to a newer version.
///
/// # Errors
/// Fails where there is no book, or where it cannot be opened.
pub fn examine_at(place: &super::place::BookPlace) -> Result<CheckReport, StoreError> {
    examine_to(&Book::open_existing(place.path())?, Depth::Search)
}

fn page_faults(sql: &Connection) -> Vec<Fault> {
    let check = format!("PRAGMA integrity_check({MOST_FAULTS})");
    match rows(sql, &check, &[], |row| row.get::<_, String>(0)) {
        Ok(lines) => {
            let faults = lines.iter().filter(|line| *line != "ok");
            faults.map(|line| page_fault(line)).collect()
        }
        Err(error) => vec![Fault {
            kind: FaultKind::Rows,
            words: format!("the pages cannot be checked: {error}"),
        }],
    }
}

/// Tells a fault of an index or of the search from one of the rows, by SQLite's words (`integrity_check`, FTS5 `xIntegrity`).
fn page_fault(line: &str) -> Fault {
    let (kind, what) = if line.to_ascii_lowercase().contains("fts5") {
        (FaultKind::Search, "search of offers")
    } else if line.contains("missing from index")
        || line.contains("entries in index")
        || line.contains("non-unique entry in index")
    {
        (FaultKind::Index, "index")
    } else {
        (FaultKind::Rows, "damaged pages")
    };
    Fault {
        kind,
        words: format!("{what}: {line}"),
    }
}

/// Finds a file that was cut short inside its last page, which SQLite itself reads as if zeros stood there.
fn length_fault(book: &Book) -> Option<String> {
    let pages: u32 = book.pragma_value("page_count").ok()?;
    let page: u32 = book.pragma_value("page_size").ok()?;
    let whole = u64::from(pages) * u64::from(page);
    let length = std::fs::metadata(book.path()).ok()?.len();
    (length != whole)
        .then(|| format!("the file has {length} bytes where its {pages} pages need {whole}"))
}

fn reference_faults(sql: &Connection) -> Vec<String> {
    let check = "SELECT \"table\", rowid, parent FROM pragma_foreign_key_check LIMIT ?1";
    let found = rows(sql, check, &[&MOST_FAULTS], |row| {
        let (table, parent): (String, String) = (row.get(0)?, row.get(2)?);
        let row: Option<i64> = row.get(1)?;
        let row = row.map_or_else(|| "?".to_owned(), |r| r.to_string());
        Ok(format!(
            "row {row} of {table} points at a row of {parent} that is not there"
        ))
    });
    found.unwrap_or_else(|error| vec![format!("the references cannot be checked: {error}")])
}

fn table_names(sql: &Connection) -> rusqlite::Result<Vec<String>> {
    let names = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name";
    rows(sql, names, &[], |row| row.get(0))
}

/// Reads every column of every row until one cannot be read.
fn table_state(sql: &Connection, table: String) -> TableState {
    let quoted = table.replace('"', "\"\"");
    let mut readable = 0;
    let read = (|| {
        let mut all = sql.prepare(&format!("SELECT * FROM \"{quoted}\""))?;
        let columns = all.column_count();
        let mut rows = all.query([])?;
        while let Some(row) = rows.next()? {
            for column in 0..columns {
                row.get_ref(column)?;
            }
            readable += 1;
        }
        Ok::<(), rusqlite::Error>(())
    })();
    TableState {
        table,
        readable,
        stopped_by: read.err().map(|error| error.to_string()),
    }
}
