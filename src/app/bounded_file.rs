//! Reading a file that is taken whole, up to a size that no honest one has.
//!
//! Notes are read to 1 MiB, tables of gauges, instruments and settings to 16 MiB, a row of a batch to 1 MiB, rows of a
//! price list to 4 MiB, exported books to 512 MiB (some five times that in memory). A workbook is unpacked and counted
//! before it is read (512 MiB, 64 MiB for what is taken whole; comments, CDATA and document types refused). Notes and
//! price lists stay below a gibibyte of addresses; the tests run under that limit.

use std::io::{Error, ErrorKind, Read};
use std::path::Path;

/// The largest note or table of settings, in bytes: the text of some four thousand printed pages.
pub const MOST_TEXT: u64 = 16 << 20;

/// Reads a file whole.
///
/// # Errors
/// Fails where the system does not give it, and where it holds more than `most` bytes: no more than that is read.
pub fn read_bounded(path: &Path, most: u64) -> std::io::Result<Vec<u8>> {
    read_all(std::fs::File::open(path)?, most)
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
