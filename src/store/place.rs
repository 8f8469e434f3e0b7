//! Where a book lies, and what stands there before it is opened.

use super::error::StoreError;
use std::io::Read;
use std::path::{Path, PathBuf};

/// Names the file of a book, and whether the user named it or it is the default place.
///
/// The folder of the default place is made when the first book is; a folder that the user named must exist, because a
/// wrongly typed path would otherwise open an empty book in a new place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BookPlace {
    path: PathBuf,
    default: bool,
}

/// Says what stands at a path, as far as its first bytes tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Standing {
    Nothing,
    EmptyFile,
    Folder,
    Database,
    OtherFile,
}

/// The first bytes of every SQLite file (SQLite, "Database File Format", 1.3.1).
const MAGIC: &[u8; 16] = b"SQLite format 3\0";

impl BookPlace {
    /// Makes the place of a book that the user named.
    pub fn named(path: impl Into<PathBuf>) -> Self {
        Self {
            path: path.into(),
            default: false,
        }
    }

    /// Makes the default place of a book.
    pub fn default_at(path: impl Into<PathBuf>) -> Self {
        Self {
            path: path.into(),
            default: true,
        }
    }

    /// Returns the path of the file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Tells whether the user did not name the place.
    pub fn is_default(&self) -> bool {
        self.default
    }

    /// Makes sure that the folder exists in which a new book is to lie.
    pub(super) fn prepare_folder(&self) -> Result<(), StoreError> {
        let folder = match self.path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => return Ok(()),
        };
        if folder.is_dir() {
            return Ok(());
        }
        if !self.default {
            return Err(StoreError::NoFolder {
                folder: folder.to_owned(),
            });
        }
        std::fs::create_dir_all(folder).map_err(|source| StoreError::FolderNotMade {
            folder: folder.to_owned(),
            source,
        })
    }
}

/// Looks at what stands at a path without opening it as a database.
///
/// Beside a journal the first bytes may belong to a broken-off write, which only SQLite can judge: then the file counts
/// as a database.
pub(super) fn standing(path: &Path) -> Result<Standing, StoreError> {
    let fault = |source| StoreError::io(path, source);
    let facts = match std::fs::metadata(path) {
        Ok(facts) => facts,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Standing::Nothing),
        Err(error) => return Err(fault(error)),
    };
    if facts.is_dir() {
        return Ok(Standing::Folder);
    }
    if !facts.is_file() {
        return Ok(Standing::OtherFile);
    }
    if beside(path, "-journal").exists() {
        return Ok(Standing::Database);
    }
    if facts.len() == 0 {
        return Ok(Standing::EmptyFile);
    }
    let mut first = Vec::with_capacity(MAGIC.len());
    std::fs::File::open(path)
        .and_then(|file| file.take(MAGIC.len() as u64).read_to_end(&mut first))
        .map_err(fault)?;
    Ok(if first == MAGIC {
        Standing::Database
    } else {
        Standing::OtherFile
    })
}

/// Returns a path that SQLite takes for that of a file: it would read a name such as `file:shop.book` as an address and open
/// another file than the one that was named (SQLite, "Uniform Resource Identifiers").
pub(super) fn as_file(path: &Path) -> PathBuf {
    Path::new(".").join(path)
}

/// Returns the path of a file beside the book: its own name with a tail.
pub(super) fn beside(path: &Path, tail: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(tail);
    PathBuf::from(name)
}

/// Returns the first path beside the book, `<book><tail>`, `<book><tail>-2` and so on, that is not taken.
pub(super) fn free_name(path: &Path, tail: &str) -> PathBuf {
    let first = beside(path, tail);
    let mut number = 1;
    let mut free = first.clone();
    while free.symlink_metadata().is_ok() {
        number += 1;
        free = beside(&first, &format!("-{number}"));
    }
    free
}
