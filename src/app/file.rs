//! Files of the user: read within bounds, written whole or not at all, while a request to end waits.

use image::{ImageDecoder, ImageFormat, ImageReader, ImageResult, Limits};
use signal_hook::consts::SIGTERM;
use signal_hook::{flag, low_level};
use std::ffi::{OsStr, OsString};
use std::fs::{File, TryLockError};
use std::io::{Cursor, Error, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// The largest note or table of settings, in bytes: the text of some four thousand printed pages.
pub const MOST_TEXT: u64 = 16 << 20;

/// Reads a file whole.
///
/// # Errors
/// Fails where the system does not give it, and where it holds more than `most` bytes: no more than that is read.
pub fn read_bounded(path: &Path, most: u64) -> std::io::Result<Vec<u8>> {
    read_all(open(path)?, most).map_err(plainly)
}

/// Begins to unpack a picture: of so many points each way at most, and within so many bytes.
///
/// # Errors
/// Says what is wrong with the picture, or that it is larger.
pub(super) fn unpack_bounded(
    bytes: &[u8],
    format: ImageFormat,
    most_side: u32,
    most_bytes: u64,
) -> ImageResult<impl ImageDecoder> {
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::default();
    limits.max_image_width = Some(most_side);
    limits.max_image_height = Some(most_side);
    limits.max_alloc = Some(most_bytes);
    reader.limits(limits);
    reader.into_decoder()
}

/// Opens a file.
///
/// # Errors
/// Fails where the system does not give it.
pub fn open(path: &Path) -> std::io::Result<File> {
    File::open(path).map_err(plainly)
}

/// Says in plain words why the system does not give a file.
fn plainly(error: Error) -> Error {
    let words = match error.kind() {
        ErrorKind::NotFound => "there is no such file",
        ErrorKind::IsADirectory => "it is a folder",
        ErrorKind::PermissionDenied => "its rights forbid it",
        _ => return error,
    };
    Error::new(error.kind(), words)
}

/// Reads a stream to its end.
///
/// # Errors
/// As [`read_bounded`].
pub fn read_all(stream: impl Read, most: u64) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    stream.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        return Err(Error::new(
            ErrorKind::FileTooLarge,
            format!("larger than {} MiB", most >> 20),
        ));
    }
    Ok(bytes)
}

/// Reads a text file whole; it must be UTF-8.
///
/// # Errors
/// As [`read_bounded`], and where a byte is no UTF-8.
pub fn read_text(path: &Path) -> std::io::Result<String> {
    String::from_utf8(read_bounded(path, MOST_TEXT)?)
        .map_err(|error| Error::new(ErrorKind::InvalidData, error))
}

/// Chooses the table that the user named, else the one in the data folder, where it is there.
pub(super) fn own_table(named: Option<PathBuf>, usual: Option<PathBuf>) -> Option<PathBuf> {
    named.or_else(|| usual.filter(|path| path.is_file()))
}

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

/// Tells whether a file lies in a folder itself, whatever links are on the way.
pub(super) fn lies_in(path: &Path, folder: &Path) -> bool {
    match (path.canonicalize(), folder.canonicalize()) {
        (Ok(file), Ok(folder)) => file.parent() == Some(folder.as_path()),
        _ => false,
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
        return Err(refused("it is not an ordinary file"));
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

/// Whether a request ends the program at once.
static AT_ONCE: AtomicBool = AtomicBool::new(true);
/// Whether a request came.
static CAME: AtomicBool = AtomicBool::new(false);

/// Runs `work` to its end, and ends the program then if that was asked for meanwhile.
///
/// Where the system takes no handler the work runs without.
pub(super) fn held<T>(work: impl FnOnce() -> T) -> T {
    static READY: Once = Once::new();
    READY.call_once(|| {
        let _ = flag::register(SIGTERM, &CAME);
        let _ = flag::register_conditional_default(SIGTERM, &AT_ONCE);
    });
    AT_ONCE.store(false, Ordering::SeqCst);
    let done = work();
    AT_ONCE.store(true, Ordering::SeqCst);
    if CAME.load(Ordering::SeqCst) {
        // It ends the process as the signal would have; where it cannot, the work goes on as if nothing was asked.
        let _ = low_level::emulate_default_handler(SIGTERM);
    }
    done
}

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
pub(super) fn locked<T>(
    folder: &Path,
    work: impl FnOnce() -> std::io::Result<T>,
) -> std::io::Result<T> {
    let held = hold(folder)?;
    let done = work();
    drop(held);
    done
}

#[cfg(unix)]
fn hold(folder: &Path) -> std::io::Result<Option<File>> {
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
fn hold(_folder: &Path) -> std::io::Result<Option<File>> {
    Ok(None)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_more_than_the_most_is_read() {
        assert_eq!(read_all(&b"abcd"[..], 4).expect("fits"), b"abcd");
        let error = read_all(std::io::repeat(b'a'), 4 << 20).expect_err("never ends");
        assert_eq!(error.to_string(), "larger than 4 MiB");
    }
}

#[cfg(test)]
mod out_file_tests {
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
