//! Rows of a price list in a text file, none of them larger than a price list has.

use crate::app::table_guard::{LineEnds, RowGuard};
use std::io::{Error, Read};

/// The largest row, in bytes. A quotation mark that is left open would else take the rest of the file for one row.
pub(super) const MOST_ROW: u64 = 4 << 20;

/// A price list has tens of columns; a cell beyond this is a slip and is left out.
pub(super) const MOST_COLUMNS: usize = 1000;

/// What the reader of rows asks for at once.
const BUFFER: usize = 1 << 18;

/// Reads the rows of a CSV file.
pub(super) struct CsvRows {
    // What is counted is what the reader of rows counts: bytes behind the mending of line ends.
    reader: csv::Reader<RowGuard<LineEnds<Box<dyn Read + Send>>>>,
    record: csv::ByteRecord,
    /// The line on which the next row can begin at the earliest.
    next_line: u64,
}

impl CsvRows {
    pub(super) fn new(file: Box<dyn Read + Send>, delimiter: u8) -> Self {
        let doubt = "is a quotation mark left open?";
        let guarded = RowGuard::new(LineEnds::new(file), MOST_ROW, doubt);
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .buffer_capacity(BUFFER)
            .from_reader(guarded);
        Self {
            reader,
            record: csv::ByteRecord::new(),
            next_line: 1,
        }
    }

    /// Reads the next row, as its line and its cells; `None` at the end.
    ///
    /// # Errors
    /// Fails where the file cannot be read any further, or a row is too large.
    pub(super) fn next(
        &mut self,
    ) -> std::io::Result<Option<(u64, impl ExactSizeIterator<Item = &[u8]>)>> {
        self.reader.get_mut().row = self.bytes();
        if !self
            .reader
            .read_byte_record(&mut self.record)
            .map_err(Error::other)?
        {
            return Ok(None);
        }
        // The reader's own place of a row lies before the empty lines that it passed over, so the line is counted back
        // from the end of the row. In a last row whose quotes never close that is a line too far.
        let inside = self.record.as_slice().iter().filter(|b| **b == b'\n');
        let end = self.reader.position().line();
        let line = end
            .saturating_sub(1 + inside.count() as u64)
            .max(self.next_line);
        self.next_line = end;
        let columns = self.record.len().min(MOST_COLUMNS);
        let record = &self.record;
        Ok(Some((line, (0..columns).map(move |at| &record[at]))))
    }

    /// Says how many bytes were gone through.
    pub(super) fn bytes(&self) -> u64 {
        self.reader.position().byte()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_without_end_is_named_and_memory_stays_bounded() {
        let endless = b"number,price\n\"A1,".chain(std::io::repeat(b'x'));
        let mut rows = CsvRows::new(Box::new(endless), b',');
        {
            let (line, cells) = rows.next().expect("reads").expect("a row");
            assert_eq!((line, cells.len()), (1, 2));
        }
        let error = rows.next().err().expect("too large");
        assert!(error.to_string().contains("quotation mark"), "{error}");
    }

    #[test]
    fn cells_beyond_the_thousandth_are_left_out() {
        let wide = std::io::Cursor::new(",".repeat(5000));
        let mut rows = CsvRows::new(Box::new(wide), b',');
        let (_, cells) = rows.next().expect("reads").expect("a row");
        assert_eq!(cells.len(), MOST_COLUMNS);
    }
}
