//! Photographs that notes name, read from a folder.

use std::path::Path;

/// Holds one photograph, or says why it is not there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Photograph {
    /// The bytes of the file, with their kind as a browser names it.
    Found(&'static str, Vec<u8>),
    /// It is not shown, and why.
    Missing(String),
}

/// A larger file is not put into a page.
const MOST_BYTES: u64 = 8 * 1024 * 1024;

/// Reads the photograph of a name from a folder; only a plain file name is looked for, never a path.
pub fn photograph(folder: &Path, name: &str) -> Photograph {
    let missing = |why: &str| Photograph::Missing(format!("{name}: {why}"));
    let plain = Path::new(name).file_name().is_some_and(|file| file == name);
    if !plain || name.contains(['/', '\\']) {
        return missing("the name holds a path: write the name of the file alone");
    }
    let path = folder.join(name);
    if !lies_in(&path, folder) {
        return missing("not in the folder of photographs, or a link that leads out of it");
    }
    match std::fs::metadata(&path) {
        Ok(data) if !data.is_file() => return missing("this is no file"),
        Ok(data) if data.len() > MOST_BYTES => {
            return missing("larger than 8 MiB: make it smaller");
        }
        Ok(_) => {}
        Err(_) => return missing("not in the folder of photographs"),
    }
    match std::fs::read(&path) {
        Ok(bytes) if bytes.starts_with(&[0xFF, 0xD8, 0xFF]) => {
            Photograph::Found("image/jpeg", bytes)
        }
        Ok(bytes) if bytes.starts_with(b"\x89PNG\r\n\x1a\n") => {
            Photograph::Found("image/png", bytes)
        }
        Ok(_) => missing("neither a JPEG nor a PNG"),
        Err(error) => missing(&format!("cannot be read ({error})")),
    }
}

/// Tells whether a file lies in a folder itself, whatever links are on the way.
fn lies_in(path: &Path, folder: &Path) -> bool {
    match (path.canonicalize(), folder.canonicalize()) {
        (Ok(file), Ok(folder)) => file.parent() == Some(folder.as_path()),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn a_link_that_leads_out_of_the_folder_is_not_followed() {
        use std::os::unix::fs::symlink;
        let folder = tempfile::tempdir().expect("a folder");
        let inside = folder.path().join("photos");
        std::fs::create_dir(&inside).expect("a folder");
        std::fs::write(folder.path().join("secret.jpg"), [0xFF, 0xD8, 0xFF]).expect("writes");
        std::fs::write(inside.join("a.jpg"), [0xFF, 0xD8, 0xFF]).expect("writes");
        symlink("../secret.jpg", inside.join("out.jpg")).expect("links");
        symlink("a.jpg", inside.join("in.jpg")).expect("links");
        let found = |name| matches!(photograph(&inside, name), Photograph::Found(..));
        assert!(!found("out.jpg") && found("in.jpg") && found("a.jpg"));
        // The folder itself may be reached by a link: the user named it.
        let link = folder.path().join("link");
        symlink(&inside, &link).expect("links");
        assert!(matches!(photograph(&link, "a.jpg"), Photograph::Found(..)));
    }

    #[test]
    fn only_pictures_of_the_folder_itself_are_read() {
        let folder = tempfile::tempdir().expect("a folder");
        let inside = folder.path().join("photos");
        std::fs::create_dir(&inside).expect("a folder");
        std::fs::write(folder.path().join("secret.png"), b"\x89PNG\r\n\x1a\n").expect("writes");
        std::fs::write(inside.join("a.jpg"), [0xFF, 0xD8, 0xFF, 0xE0]).expect("writes");
        std::fs::write(inside.join("b.jpg"), b"<script>").expect("writes");
        assert!(matches!(
            photograph(&inside, "a.jpg"),
            Photograph::Found("image/jpeg", _)
        ));
        for name in ["b.jpg", "../secret.png", "none.png", "", ".."] {
            assert!(
                matches!(photograph(&inside, name), Photograph::Missing(_)),
                "{name}"
            );
        }
    }
}
