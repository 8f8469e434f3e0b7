//! Writing a file whole or not at all.

use std::io::Write;
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
    let mut part_name = std::ffi::OsString::from(".");
    part_name.push(name);
    part_name.push(format!(".{}.part", std::process::id()));
    let part = path.with_file_name(part_name);
    let written = std::fs::File::create(&part).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()?;
        std::fs::rename(&part, path)
    });
    written.map_err(|source| {
        let _ = std::fs::remove_file(&part);
        fault(source)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

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
    fn a_missing_folder_is_named_and_nothing_is_made() {
        let folder = tempfile::tempdir().expect("a folder");
        let error = write_file(&folder.path().join("no/sheet.pdf"), b"x").expect_err("no folder");
        assert!(error.to_string().contains("cannot be written"), "{error}");
    }
}
