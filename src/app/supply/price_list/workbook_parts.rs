//! What a workbook holds when it is unpacked, looked through before anything of it is taken into memory.

use super::workbook_sheets::{open, unreadable};
use std::io::Read;
use std::path::Path;

/// The most that all parts of a workbook may hold unpacked, in MiB. Sheets are read piece by piece.
const MOST_MIB: u64 = 512;

/// The most of a part that is taken into memory whole (all texts that cells share, styles, the list of sheets), in MiB.
const MOST_WHOLE_MIB: u64 = 64;

/// The longest stretch without a new tag, in bytes: a cell of a workbook holds at most 32,767 letters.
const MOST_STRETCH: usize = 1 << 20;

/// Looks through every part of a workbook.
///
/// A few kilobytes can unpack to any size, so the sizes that the file states of itself are not relied on: every part is
/// unpacked and counted, and let go again. XML may hide a text of any length in a comment, a CDATA section or a document
/// type; programs that write workbooks use none of them, so they are refused.
///
/// # Errors
/// Says which part holds more than a price list can, and what to do.
pub(super) fn look_through(path: &Path) -> Result<(), String> {
    let mut parts = open(path)?;
    let mut left = MOST_MIB << 20;
    for number in 0..parts.len() {
        let part = parts.by_index(number).map_err(unreadable)?;
        let name = part.name().map_err(unreadable)?.into_owned();
        let whole = !name.starts_with("xl/worksheets/");
        let most = if whole { MOST_WHOLE_MIB } else { MOST_MIB };
        left -= Part::new(&name, most).look(part, left)?;
    }
    Ok(())
}

/// What was seen of one part.
struct Part<'n> {
    name: &'n str,
    most_mib: u64,
    seen: u64,
    since_tag: usize,
    /// Whether the piece before ended with the first sign of a tag.
    in_tag: bool,
}

impl<'n> Part<'n> {
    fn new(name: &'n str, most_mib: u64) -> Self {
        Self {
            name,
            most_mib,
            seen: 0,
            since_tag: 0,
            in_tag: false,
        }
    }

    /// Unpacks the part and returns its size; all parts together have `left` bytes.
    fn look(mut self, mut part: impl Read, left: u64) -> Result<u64, String> {
        let is_xml = Path::new(self.name)
            .extension()
            .is_some_and(|end| end.eq_ignore_ascii_case("xml"));
        let mut piece = vec![0; 1 << 16];
        loop {
            let got = part.read(&mut piece).map_err(|error| {
                format!("{} in the workbook cannot be read: {error}", self.name)
            })?;
            if got == 0 {
                return Ok(self.seen);
            }
            self.seen += got as u64;
            if self.seen > left.min(self.most_mib << 20) {
                return Err(self.refused(&format!("unpacks to more than {} MiB", self.most_mib)));
            }
            if is_xml {
                self.look_at_tags(&piece[..got])?;
            }
        }
    }

    fn look_at_tags(&mut self, piece: &[u8]) -> Result<(), String> {
        for (place, stretch) in piece.split(|byte| *byte == b'<').enumerate() {
            let begins_tag = place > 0 || self.in_tag;
            if place > 0 {
                self.since_tag = 0;
            }
            if begins_tag && stretch.first() == Some(&b'!') {
                return Err(self.refused("holds a comment, CDATA or a document type"));
            }
            self.since_tag += stretch.len();
            if self.since_tag > MOST_STRETCH {
                return Err(self.refused("holds a text of more than 1 MiB"));
            }
        }
        self.in_tag = piece.last() == Some(&b'<');
        Ok(())
    }

    fn refused(&self, why: &str) -> String {
        format!(
            "{} in the workbook {why}, as no price list does: open it in a spreadsheet and save the one sheet anew",
            self.name
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(name: &str, text: impl Read) -> String {
        Part::new(name, 8)
            .look(text, u64::MAX)
            .expect_err("refused")
    }

    #[test]
    fn a_part_that_unpacks_without_end_is_refused_at_its_most() {
        let rows = "<row/>".as_bytes().chain(std::io::repeat(b'<'));
        assert!(refused("xl/worksheets/sheet1.xml", rows).contains("more than 8 MiB"));
    }

    #[test]
    fn texts_of_any_length_are_refused_wherever_they_hide() {
        let long = || std::io::repeat(b'x');
        assert!(refused("xl/sharedStrings.xml", b"<t>".chain(long())).contains("more than 1 MiB"));
        for start in ["<!-- ", "<![CDATA[", "<!DOCTYPE lolz ["] {
            let text = start.as_bytes().chain(long());
            assert!(
                refused("xl/sharedStrings.xml", text).contains("CDATA"),
                "{start}"
            );
        }
    }
}
