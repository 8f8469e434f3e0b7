//! Saves a text so that a power cut leaves the former text or the new one, whole.

use crate::app::file::locked;
use crate::app::file::{folder_of, replace};
use std::path::{Path, PathBuf};

/// The file of a text that grows, with what was last seen in it.
#[derive(Debug)]
pub struct GrowingFile {
    path: PathBuf,
    seen: String,
}

impl GrowingFile {
    /// Takes a file with the text that stands in it; an empty text stands for a file that is not there yet.
    pub fn new(path: &Path, text: &str) -> Self {
        Self {
            path: path.to_owned(),
            seen: text.to_owned(),
        }
    }

    /// Returns where the text is saved.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Tells whether nothing was saved, and nothing stood in the file.
    pub fn is_empty(&self) -> bool {
        self.seen.is_empty()
    }

    /// Saves the text, and returns true where somebody else has changed the file since: then the file is left as it is, and
    /// this text goes into a new one beside it from now on. Nobody of ours changes it between the look and the saving.
    ///
    /// # Errors
    /// Fails where the file cannot be read or the folder cannot be written; the former text then stands.
    pub fn save(&mut self, text: &str) -> std::io::Result<bool> {
        if text == self.seen {
            return Ok(false);
        }
        // A link may lie in another folder than what it names.
        let target = std::fs::canonicalize(&self.path).unwrap_or_else(|_| self.path.clone());
        let path = locked(folder_of(&target), || {
            let path = match std::fs::read(&self.path) {
                Ok(present) if present != self.seen.as_bytes() => beside(&self.path),
                Ok(_) => self.path.clone(),
                Err(error) if error.kind() == std::io::ErrorKind::NotFound => self.path.clone(),
                Err(error) => return Err(error),
            };
            save_text(&path, text)?;
            Ok(path)
        })?;
        let moved = path != self.path;
        self.path = path;
        text.clone_into(&mut self.seen);
        Ok(moved)
    }
}

/// The first free name beside a file: "tarn-2.note" beside "tarn.note".
fn beside(path: &Path) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default();
    let named = |number: u32| {
        let mut name = stem.to_owned();
        name.push(format!("-{number}"));
        if let Some(end) = path.extension() {
            name.push(".");
            name.push(end);
        }
        path.with_file_name(name)
    };
    let free = |path: &PathBuf| std::fs::symlink_metadata(path).is_err();
    let mut names = (2..).map(named);
    names.find(free).unwrap_or_else(|| path.to_owned())
}

/// Writes a text under a temporary name in the same folder, forces it to the disk, and puts it in the file's place.
///
/// A link is followed, so that the file it names is replaced and not the link.
///
/// # Errors
/// Fails where the folder cannot be written or is full; the former text then stands.
fn save_text(path: &Path, text: &str) -> std::io::Result<()> {
    let target = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let name = target.file_name().ok_or(std::io::ErrorKind::InvalidInput)?;
    replace(&target, name, text.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_somebody_else_has_changed_is_left_and_the_text_goes_beside_it() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("tarn.note");
        let (mut first, mut second) = (GrowingFile::new(&path, ""), GrowingFile::new(&path, ""));
        assert!(!first.save("one\n").expect("saved"));
        assert!(second.save("mine\n").expect("saved"));
        assert!(!first.save("one\ntwo\n").expect("saved"));
        assert!(!second.save("mine\nmore\n").expect("saved"));
        let read = |name: &str| std::fs::read_to_string(folder.path().join(name)).expect("read");
        assert_eq!(read("tarn.note"), "one\ntwo\n");
        assert_eq!(read("tarn-2.note"), "mine\nmore\n");
        assert_eq!(second.path(), folder.path().join("tarn-2.note"));
    }

    fn race(folder: &Path, number: usize) {
        let path = folder.join(format!("{number}.note"));
        let start = std::sync::Barrier::new(2);
        std::thread::scope(|scope| {
            for text in ["mine\n", "yours\n"] {
                let (path, start) = (&path, &start);
                scope.spawn(move || {
                    let mut file = GrowingFile::new(path, "");
                    start.wait();
                    file.save(text).expect("saved");
                    file.save(&format!("{text}more\n")).expect("saved");
                });
            }
        });
        let read = |name: String| std::fs::read_to_string(folder.join(name)).expect("read");
        let mut kept = [
            read(format!("{number}.note")),
            read(format!("{number}-2.note")),
        ];
        kept.sort();
        assert_eq!(kept, ["mine\nmore\n", "yours\nmore\n"], "race {number}");
    }

    #[test]
    fn two_who_save_one_file_at_once_both_keep_their_text() {
        let folder = tempfile::tempdir().expect("a folder");
        for number in 0..60 {
            race(folder.path(), number);
        }
        let left = std::fs::read_dir(folder.path()).expect("list").count();
        assert_eq!(left, 120, "no part stays");
    }

    #[test]
    #[ignore = "300 races with a sync each take a minute on a slow disk"]
    fn of_three_hundred_races_none_loses_a_text() {
        let folder = tempfile::tempdir().expect("a folder");
        for number in 0..300 {
            race(folder.path(), number);
        }
    }

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
