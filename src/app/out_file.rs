//! Writing a file whole or not at all.

use super::held_end::held;
use std::ffi::{OsStr, OsString};
use std::fs::File;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

/// Says why a file could not be written.
#[derive(Debug, thiserror::Error)]
#[error("{} cannot be written: {source}; name another file or free its folder", path.display())]
pub struct OutFileError {
    path: PathBuf,
    source: std::io::Error,
}

/// Writes a file under a temporary name beside its place, syncs it and puts it there, so that a reader sees the old file
/// or the whole new one.
///
/// # Errors
/// Fails where the folder is missing, full or not writable, or where a folder stands in the place.
pub fn write_file(path: &Path, bytes: &[u8]) -> Result<(), OutFileError> {
    let fault = |source| OutFileError {
        path: path.to_owned(),
        source,
    };
    let name = path.file_name().ok_or_else(|| {
        fault(std::io::Error::new(
            std::io::ErrorKind::InvalidInput,
            "it names no file",
        ))
    })?;
    replace(path, name, bytes).map_err(fault)
}

/// Returns the folder that a file lies in; that of a bare name is the current one.
pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Writes under a temporary name beside the file's place, syncs, and puts it there; a part that could not be placed is
/// taken away, and so are parts of this file that processes left which were ended meanwhile. A former file's rights are kept.
pub(super) fn replace(path: &Path, name: &OsStr, bytes: &[u8]) -> std::io::Result<()> {
    may_be_replaced(path)?;
    clear_left_parts(path, name);
    let mut part_name = part_begin(name);
    part_name.push(format!("{}{PART_END}", std::process::id()));
    let part = path.with_file_name(part_name);
    held(|| write_and_place(path, &part, bytes))
}

fn write_and_place(path: &Path, part: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let written = File::create(part).and_then(|mut file| {
        // Held for as long as this process writes: a part that nobody holds was left. Not every system locks.
        let _ = file.try_lock();
        if let Ok(former) = std::fs::metadata(path) {
            file.set_permissions(former.permissions())?;
        }
        file.write_all(bytes)?;
        file.sync_all()?;
        std::fs::rename(part, path)
    });
    if written.is_err() {
        let _ = std::fs::remove_file(part);
    } else if let Ok(folder) = File::open(folder_of(path)) {
        // Not every system lets a folder be synced; the file itself is safe already.
        let _ = folder.sync_all();
    }
    written
}

/// How the name of a part ends, behind the number of the process that writes it.
const PART_END: &str = ".part";

fn part_begin(name: &OsStr) -> OsString {
    let mut begin = OsString::from(".");
    begin.push(name);
    begin.push(".");
    begin
}

/// Takes away the parts of a file that nobody writes any more; what cannot be looked at stays.
fn clear_left_parts(path: &Path, name: &OsStr) {
    let begin = part_begin(name);
    let is_part = |found: &OsStr| {
        let middle = found
            .as_encoded_bytes()
            .strip_prefix(begin.as_encoded_bytes());
        let number = middle.and_then(|rest| rest.strip_suffix(PART_END.as_bytes()));
        number.is_some_and(|digits| !digits.is_empty() && digits.iter().all(u8::is_ascii_digit))
    };
    let Ok(found) = std::fs::read_dir(folder_of(path)) else {
        return;
    };
    for entry in found.flatten().filter(|entry| is_part(&entry.file_name())) {
        let left = entry.path();
        if File::open(&left).is_ok_and(|file| file.try_lock().is_ok()) {
            let _ = std::fs::remove_file(&left);
        }
    }
}

/// Refuses to put a file in the place of a device, a pipe or a folder, or of a book: any SQLite file.
fn may_be_replaced(path: &Path) -> std::io::Result<()> {
    const SQLITE: &[u8; 16] = b"SQLite format 3\0";
    let Ok(former) = std::fs::metadata(path) else {
        return Ok(());
    };
    let refused = |what: &str| std::io::Error::new(std::io::ErrorKind::AlreadyExists, what);
    if !former.is_file() {
        return Err(refused("it is no ordinary file"));
    }
    let mut head = Vec::new();
    File::open(path)?.take(16).read_to_end(&mut head)?;
    if head == SQLITE {
        return Err(refused(
            "it is a book or another SQLite file, which is never replaced",
        ));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_book_and_what_is_no_ordinary_file_are_never_replaced() {
        let folder = tempfile::tempdir().expect("a folder");
        let book = folder.path().join("shop.book");
        let held = b"SQLite format 3\0 and more";
        std::fs::write(&book, held).expect("writes");
        assert!(write_file(&book, b"new").is_err());
        assert_eq!(std::fs::read(&book).expect("reads"), held);
        assert!(write_file(folder.path(), b"new").is_err());
        assert!(write_file(Path::new("/dev/null"), b"new").is_err());
    }

    #[test]
    fn a_file_is_replaced_whole_and_no_part_stays() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("sheet.pdf");
        write_file(&path, b"old").expect("writes");
        write_file(&path, b"new").expect("writes");
        assert_eq!(std::fs::read(&path).expect("reads"), b"new");
        let left = std::fs::read_dir(folder.path()).expect("lists").count();
        assert_eq!(left, 1);
    }

    #[test]
    fn parts_of_ended_processes_go_at_the_next_writing_and_those_of_others_stay() {
        let folder = tempfile::tempdir().expect("a folder");
        let at = |name: &str| folder.path().join(name);
        for name in [
            ".a.pdf.7.part",
            ".a.pdf.8.part",
            ".b.pdf.7.part",
            ".a.pdf.x.part",
        ] {
            std::fs::write(at(name), b"half").expect("writes");
        }
        let held = File::open(at(".a.pdf.8.part")).expect("opens");
        held.try_lock().expect("held as by a process that writes");
        write_file(&at("a.pdf"), b"whole").expect("writes");
        let stays = |name: &str| at(name).exists();
        assert!(!stays(".a.pdf.7.part") && stays(".a.pdf.8.part"));
        assert!(stays(".b.pdf.7.part") && stays(".a.pdf.x.part"));
    }

    #[test]
    fn a_missing_folder_is_named_and_nothing_is_made() {
        let folder = tempfile::tempdir().expect("a folder");
        let error = write_file(&folder.path().join("no/sheet.pdf"), b"x").expect_err("no folder");
        assert!(error.to_string().contains("cannot be written"), "{error}");
    }
}
