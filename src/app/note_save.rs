//! Saves a text so that a power cut leaves the former text or the new one, whole.

use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Writes a text under a temporary name in the same folder, forces it to the disk, and puts it in the file's place.
///
/// A link is followed, so that the file it names is replaced and not the link.
///
/// # Errors
/// Fails where the folder cannot be written or is full; the former text then stands.
pub fn save_text(path: &Path, text: &str) -> std::io::Result<()> {
    let target = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let name = target.file_name().ok_or(std::io::ErrorKind::InvalidInput)?;
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let part = folder.join(format!(".{}.writing", name.to_string_lossy()));
    let written = File::create(&part).and_then(|mut file| {
        if let Ok(former) = std::fs::metadata(&target) {
            file.set_permissions(former.permissions())?;
        }
        file.write_all(text.as_bytes())?;
        file.sync_all()
    });
    let placed = written.and_then(|()| std::fs::rename(&part, &target));
    if placed.is_err() {
        let _ = std::fs::remove_file(&part);
    } else if let Ok(folder) = File::open(&folder) {
        // Not every system lets a folder be synced; the file itself is safe already.
        let _ = folder.sync_all();
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_takes_the_place_of_the_former_and_nothing_else_is_left() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("a.note");
        save_text(&path, "one\n").expect("saved");
        save_text(&path, "two\n").expect("saved");
        assert_eq!(std::fs::read_to_string(&path).expect("read"), "two\n");
        assert_eq!(std::fs::read_dir(folder.path()).expect("list").count(), 1);
        assert!(save_text(&folder.path().join("none/a.note"), "x").is_err());
    }
}
