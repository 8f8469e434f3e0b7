//! What was computed, kept in a file beside the book that may be taken away at any time.
//!
//! An SQLite file of its own, `<book>.lists`. A table in the book was weighed against it: it would make every reading
//! command a writer, who waits and is waited for, travel in every copy of the book, grow the file that people mail, and
//! do nothing for a book that must not be written. Beside the book it is made anew wherever it lacks: it is in no
//! backup, export or check, is readable by its owner alone, is never synced, and where it cannot be made, read or
//! written nothing is said and lists are computed. A damaged one is taken away; what bears its name and not its mark is
//! left alone. It grows to 64 MiB, then the lists go that were kept first. Whoever can write beside a book could change
//! the book: the file is trusted as far as that, and its seals find damage, not malice.

use super::place::{BookPlace, as_file, beside};
use rusqlite::{Connection, ErrorCode, OpenFlags, OptionalExtension, TransactionBehavior};
use sha2::{Digest, Sha256};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The mark of such a file: one of anybody else that bears the name is left alone.
const MARK: [u8; 4] = *b"RWls";
/// The form of the file; one of another form is emptied.
const FORM: i32 = 1;
/// The file grows to this; then the lists that were kept first go.
const MOST_BYTES: u64 = 64 * 1024 * 1024;
/// Whoever finds the file in use works without it after this: computing anew is always right.
const PATIENCE: Duration = Duration::from_millis(100);

const SCHEMA: &str = "DROP TABLE IF EXISTS list;
CREATE TABLE list (
    digest BLOB NOT NULL UNIQUE,
    seal BLOB NOT NULL,
    text BLOB NOT NULL
) STRICT;";

/// Names what a thing was computed from: SHA-256 over all of it.
pub type ListDigest = [u8; 32];

/// Keeps what was computed, each by the digest of what it was computed from.
///
/// The file is `<book>.lists`, readable by its owner alone. It holds nothing that cannot be computed anew, so nothing here fails:
/// where the file cannot be made, read or written, nothing is kept and nothing is found. Each text is sealed with its digest, and
/// one that differs from what was kept is not found. Writing it takes no lock of the book, and is not synced: what a power cut
/// damages is made anew.
#[derive(Debug)]
pub struct KeptLists {
    file: Option<Connection>,
    path: PathBuf,
    most_bytes: u64,
}

impl KeptLists {
    /// Opens what is kept beside a book, and makes the file where there is none.
    pub fn beside(place: &BookPlace) -> Self {
        Self::bounded(place, MOST_BYTES)
    }

    fn bounded(place: &BookPlace, most_bytes: u64) -> Self {
        let path = beside(place.path(), ".lists");
        let mut kept = Self {
            file: None,
            path,
            most_bytes,
        };
        if may_be_ours(&kept.path) {
            match open(&kept.path) {
                Ok(file) => kept.file = Some(file),
                Err(error) => kept.give_up(&error),
            }
        }
        kept
    }

    /// Returns what was kept under a digest, where it is there and whole.
    pub fn find(&mut self, digest: &ListDigest) -> Option<Vec<u8>> {
        let read = |file: &Connection| {
            file.prepare_cached("SELECT seal, text FROM list WHERE digest = ?1")?
                .query_row([digest], |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()
        };
        let (seal, text): (Vec<u8>, Vec<u8>) = match read(self.file.as_ref()?) {
            Ok(found) => found?,
            Err(error) => {
                self.give_up(&error);
                return None;
            }
        };
        (seal == seal_of(digest, &text)).then_some(text)
    }

    /// Keeps a text under a digest, where that can be done at once.
    pub fn keep(&mut self, digest: &ListDigest, text: &[u8]) {
        let Some(file) = &mut self.file else {
            return;
        };
        match write(file, digest, text, self.most_bytes) {
            Ok(()) => {}
            // What the file holds can still be read.
            Err(error)
                if matches!(code_of(&error), ErrorCode::ReadOnly | ErrorCode::CannotOpen) => {}
            Err(error) => self.give_up(&error),
        }
    }

    /// Works on without the file; a damaged one is taken away, so that the next command makes it anew.
    fn give_up(&mut self, error: &rusqlite::Error) {
        self.file = None;
        let is_damaged = matches!(
            code_of(error),
            ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase
        );
        if is_damaged {
            // Where it cannot be taken away, commands go on working without it.
            let _ = std::fs::remove_file(&self.path);
            let _ = std::fs::remove_file(beside(&self.path, "-journal"));
        }
    }
}

/// Tells whether the file bears our mark, and makes an empty one where nothing stands; links and what belongs to others stay untouched.
///
/// The mark is read without SQLite, which would not tell a damaged file of ours from another's (SQLite, "Database File Format",
/// 1.3).
fn may_be_ours(path: &Path) -> bool {
    const MARK_AT: usize = 68;
    const MARK_END: usize = MARK_AT + 4;
    make_file(path);
    if !path.symlink_metadata().is_ok_and(|facts| facts.is_file()) {
        return false;
    }
    let mut head = Vec::with_capacity(MARK_END);
    let read = std::fs::File::open(path)
        .and_then(|file| file.take(MARK_END as u64).read_to_end(&mut head));
    read.is_ok() && (head.is_empty() || head.get(MARK_AT..) == Some(&MARK[..]))
}

/// Makes the empty file with its rights before SQLite opens it; a file, link or folder that is there stays as it is.
fn make_file(path: &Path) {
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    // What stands in the way is found when it is opened.
    let _ = options.open(path);
}

fn open(path: &Path) -> rusqlite::Result<Connection> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut file = Connection::open_with_flags(as_file(path), flags)?;
    file.busy_timeout(PATIENCE)?;
    file.pragma_update(None, "trusted_schema", false)?;
    file.pragma_update(None, "synchronous", "OFF")?;
    let form = |file: &Connection| -> rusqlite::Result<i32> {
        file.pragma_query_value(None, "user_version", |row| row.get(0))
    };
    if form(&file)? != FORM {
        let making = file.transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Another process may have made it meanwhile.
        if form(&making)? != FORM {
            making.execute_batch(SCHEMA)?;
            making.pragma_update(None, "application_id", i32::from_be_bytes(MARK))?;
            making.pragma_update(None, "user_version", FORM)?;
        }
        making.commit()?;
    }
    Ok(file)
}

fn code_of(error: &rusqlite::Error) -> ErrorCode {
    error.sqlite_error_code().unwrap_or(ErrorCode::Unknown)
}

fn write(
    file: &mut Connection,
    digest: &ListDigest,
    text: &[u8],
    most_bytes: u64,
) -> rusqlite::Result<()> {
    /// A text larger than this share of the file would push too many others out.
    const LARGEST_SHARE: u64 = 4;
    if text.len() as u64 > most_bytes / LARGEST_SHARE {
        return Ok(());
    }
    let change = file.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // A row that is written again becomes the newest.
    change
        .prepare_cached("INSERT OR REPLACE INTO list (digest, seal, text) VALUES (?1, ?2, ?3)")?
        .execute((digest, seal_of(digest, text), text))?;
    while bytes_used(&change)? > most_bytes {
        let gone = change.execute(
            "DELETE FROM list WHERE rowid IN
             (SELECT rowid FROM list ORDER BY rowid LIMIT 1 + (SELECT count(*) FROM list) / 4)",
            [],
        )?;
        if gone == 0 {
            break;
        }
    }
    change.commit()
}

fn bytes_used(file: &Connection) -> rusqlite::Result<u64> {
    let value = |name: &str| -> rusqlite::Result<u32> {
        file.pragma_query_value(None, name, |row| row.get(0))
    };
    let pages = value("page_count")?.saturating_sub(value("freelist_count")?);
    Ok(u64::from(pages) * u64::from(value("page_size")?))
}

/// Seals a text with the digest that it is kept under.
fn seal_of(digest: &ListDigest, text: &[u8]) -> Vec<u8> {
    Sha256::new()
        .chain_update(digest)
        .chain_update(text)
        .finalize()
        .to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place() -> (tempfile::TempDir, BookPlace) {
        let folder = tempfile::tempdir().expect("a folder");
        let place = BookPlace::named(folder.path().join("shop.book"));
        (folder, place)
    }

    fn lists(place: &BookPlace) -> PathBuf {
        beside(place.path(), ".lists")
    }

    const ONE: ListDigest = [1; 32];
    const OTHER: ListDigest = [2; 32];

    #[test]
    fn what_was_kept_is_found_by_its_digest_alone_and_by_the_next_command() {
        let (_folder, place) = place();
        let mut kept = KeptLists::beside(&place);
        assert_eq!(kept.find(&ONE), None);
        kept.keep(&ONE, b"a list");
        assert_eq!(kept.find(&ONE).as_deref(), Some(&b"a list"[..]));
        let mut next = KeptLists::beside(&place);
        assert_eq!(next.find(&ONE).as_deref(), Some(&b"a list"[..]));
        assert_eq!(next.find(&OTHER), None);
        assert!(!place.path().exists(), "no book was made");
    }

    #[test]
    fn a_text_that_was_changed_in_the_file_is_not_found() {
        let (_folder, place) = place();
        KeptLists::beside(&place).keep(&ONE, b"AS568-012");
        let changed = Connection::open(lists(&place)).expect("opens");
        changed
            .execute("UPDATE list SET text = ?1", [&b"AS568-013"[..]])
            .expect("changes");
        assert_eq!(KeptLists::beside(&place).find(&ONE), None);
        changed
            .execute(
                "UPDATE list SET text = ?1, digest = ?2",
                (&b"AS568-012"[..], OTHER),
            )
            .expect("moves it");
        assert_eq!(KeptLists::beside(&place).find(&OTHER), None);
    }

    #[test]
    fn a_damaged_file_is_made_anew_by_the_command_after() {
        let (_folder, place) = place();
        KeptLists::beside(&place).keep(&ONE, &vec![7; 100_000]);
        let mut bytes = std::fs::read(lists(&place)).expect("reads");
        // All but the head, which tells whose file it is.
        bytes[100..].fill(0xA5);
        std::fs::write(lists(&place), &bytes).expect("damages it");
        let mut kept = KeptLists::beside(&place);
        assert_eq!(kept.find(&ONE), None);
        kept.keep(&ONE, b"not kept, and no fault");
        drop(kept);
        let mut next = KeptLists::beside(&place);
        next.keep(&ONE, b"a list");
        assert_eq!(next.find(&ONE).as_deref(), Some(&b"a list"[..]));
    }

    #[test]
    fn what_is_not_ours_keeps_its_bytes_and_nothing_is_kept() {
        let (folder, place) = place();
        std::fs::write(lists(&place), "my list of lists").expect("writes");
        let mut kept = KeptLists::beside(&place);
        kept.keep(&ONE, b"a list");
        assert_eq!(kept.find(&ONE), None);
        let text = std::fs::read_to_string(lists(&place)).expect("reads");
        assert_eq!(text, "my list of lists");
        let nowhere = BookPlace::named(folder.path().join("no/shop.book"));
        let mut kept = KeptLists::beside(&nowhere);
        kept.keep(&ONE, b"a list");
        assert_eq!(kept.find(&ONE), None);
    }

    #[test]
    fn where_the_file_cannot_be_written_what_it_holds_is_found() {
        let (_folder, place) = place();
        KeptLists::beside(&place).keep(&ONE, b"a list");
        let mut kept = KeptLists::beside(&place);
        let file = kept.file.as_ref().expect("opens");
        file.pragma_update(None, "query_only", true)
            .expect("as if the medium were read-only");
        kept.keep(&OTHER, b"another");
        assert_eq!(kept.find(&OTHER), None);
        assert_eq!(kept.find(&ONE).as_deref(), Some(&b"a list"[..]));
    }

    #[cfg(unix)]
    #[test]
    fn the_file_is_its_owners_and_a_link_is_not_followed() {
        use std::os::unix::fs::PermissionsExt;
        let (folder, place) = place();
        KeptLists::beside(&place).keep(&ONE, b"a list");
        let mode = std::fs::metadata(lists(&place))
            .expect("is there")
            .permissions();
        assert_eq!(mode.mode() & 0o777, 0o600);
        let other = BookPlace::named(folder.path().join("other.book"));
        std::os::unix::fs::symlink(lists(&place), lists(&other)).expect("links");
        assert_eq!(KeptLists::beside(&other).find(&ONE), None);
    }

    #[test]
    fn the_file_stays_below_its_bound_and_the_oldest_go() {
        const MOST: u64 = 200_000;
        let (_folder, place) = place();
        let mut kept = KeptLists::bounded(&place, MOST);
        for number in 0..100 {
            kept.keep(&[number; 32], &[number; 10_000]);
        }
        assert_eq!(kept.find(&[0; 32]), None);
        assert!(kept.find(&[99; 32]).is_some());
        kept.keep(&ONE, &vec![7; 60_000]);
        assert_eq!(kept.find(&ONE), None, "larger than a quarter of all");
        let bytes = std::fs::metadata(lists(&place)).expect("is there").len();
        assert!(bytes <= MOST + 20_000, "{bytes}");
    }

    #[test]
    fn many_at_once_keep_the_file_whole() {
        let (_folder, place) = place();
        std::thread::scope(|scope| {
            for writer in 0..4_u8 {
                let place = &place;
                scope.spawn(move || {
                    let mut kept = KeptLists::beside(place);
                    for number in 0..25_u8 {
                        kept.keep(&[number; 32], &[number; 3_000]);
                        let found = kept.find(&[number.wrapping_add(writer); 32]);
                        assert!(found.is_none_or(|text| text.len() == 3_000));
                    }
                });
            }
        });
        let file = Connection::open(lists(&place)).expect("opens");
        let sound: String = file
            .query_row("PRAGMA integrity_check", [], |row| row.get(0))
            .expect("reads");
        assert_eq!(sound, "ok");
    }
}
