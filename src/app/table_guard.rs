//! Tables of strangers: their line ends put right, and no row of theirs taken that is larger than a row can be.

use std::io::{Error, ErrorKind, Read};

/// Reads from another reader and makes one line feed of CR LF and of CR alone; the last line ends in one too.
///
/// The reader of CSV counts line feeds only, and takes the one of CR LF as part of the next row, so that rows would be
/// counted wrong.
pub(super) struct LineEnds<R> {
    inner: R,
    /// The last byte was CR, so that an LF is the other half of it.
    after_return: bool,
    /// The last byte given out ended a line; a text of nothing has no line to end.
    ended: bool,
}

impl<R: Read> LineEnds<R> {
    pub(super) fn new(inner: R) -> Self {
        Self {
            inner,
            after_return: false,
            ended: true,
        }
    }

    /// Puts the ends of lines right in place; returns how many bytes are left.
    fn mend(&mut self, bytes: &mut [u8]) -> usize {
        if !self.after_return && !bytes.contains(&b'\r') {
            return bytes.len();
        }
        let mut kept = 0;
        for at in 0..bytes.len() {
            let byte = bytes[at];
            let second_half = byte == b'\n' && self.after_return;
            self.after_return = byte == b'\r';
            if !second_half {
                bytes[kept] = if byte == b'\r' { b'\n' } else { byte };
                kept += 1;
            }
        }
        kept
    }
}

impl<R: Read> Read for LineEnds<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        if buffer.is_empty() {
            return Ok(0);
        }
        loop {
            let got = self.inner.read(buffer)?;
            if got == 0 {
                if self.ended {
                    return Ok(0);
                }
                self.ended = true;
                buffer[0] = b'\n';
                return Ok(1);
            }
            let kept = self.mend(&mut buffer[..got]);
            // The other half of a line end alone says nothing, and nothing would mean the end.
            if kept > 0 {
                self.ended = buffer[kept - 1] == b'\n';
                return Ok(kept);
            }
        }
    }
}

/// Gives a table on until one of its rows has become too large: a quotation mark that is left open would else take the rest of the
/// file for one row.
pub(super) struct RowGuard<R> {
    table: R,
    /// The largest row, in bytes.
    most: u64,
    /// What may have made a row too large.
    doubt: &'static str,
    read: u64,
    /// Where the row that is being read began.
    pub(super) row: u64,
}

impl<R: Read> RowGuard<R> {
    pub(super) fn new(table: R, most: u64, doubt: &'static str) -> Self {
        Self {
            table,
            most,
            doubt,
            read: 0,
            row: 0,
        }
    }
}

impl<R: Read> Read for RowGuard<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        if self.read.saturating_sub(self.row) > self.most {
            let most = self.most >> 20;
            let words = format!("the next row is larger than {most} MiB: {}", self.doubt);
            return Err(Error::new(ErrorKind::InvalidData, words));
        }
        let got = self.table.read(buffer)?;
        self.read += got as u64;
        Ok(got)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gives its bytes in pieces of a length.
    struct Pieces<'b>(&'b [u8], usize);

    impl Read for Pieces<'_> {
        fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
            let got = self.1.min(self.0.len()).min(buffer.len());
            buffer[..got].copy_from_slice(&self.0[..got]);
            self.0 = &self.0[got..];
            Ok(got)
        }
    }

    #[test]
    fn every_kind_of_line_end_becomes_one_line_feed_wherever_a_read_ends() {
        for (text, mended) in [
            ("", ""),
            ("a", "a\n"),
            ("a\n", "a\n"),
            ("a\r\nb\r\n", "a\nb\n"),
            ("a\rb\r\r\nc\n\rd", "a\nb\n\nc\n\nd\n"),
            ("\r\n\n", "\n\n"),
        ] {
            for length in 1..=text.len().max(1) {
                let mut read = String::new();
                LineEnds::new(Pieces(text.as_bytes(), length))
                    .read_to_string(&mut read)
                    .expect("reads");
                assert_eq!(read, mended, "{text:?} in pieces of {length}");
            }
        }
    }
}
