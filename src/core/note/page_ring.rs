//! A ring on the page of a scanner, as a note names it.

use super::piece::Piece;
use super::reader::Reader;
use serde::{Deserialize, Serialize};
use std::fmt;

/// Names a ring by the picture of a page, its number there, and the scanner: `page2.png ring 3 by bench`.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct PageRing {
    /// The picture's file name.
    pub page: String,
    /// The ring's number on the page, from 1, as `ring scan` counts.
    pub ring: u32,
    /// The scanner as it was calibrated; `None`: the scale is what the file states.
    pub scanner: Option<String>,
}

impl PageRing {
    /// Reads `page2.png ring 3`, with `by bench` behind it where the scanner is known; the picture is a plain file name.
    pub fn parse(text: &str) -> Option<Self> {
        let (page, rest) = text.rsplit_once(" ring ")?;
        let (ring, scanner) = match rest.split_once(" by ") {
            Some((ring, scanner)) => (ring, Some(scanner.trim()).filter(|name| !name.is_empty())),
            None => (rest, None),
        };
        let page = page.trim();
        let ring = ring.trim().parse().ok().filter(|ring| *ring > 0)?;
        let plain = !page.is_empty() && !page.contains(['/', '\\']);
        plain.then(|| Self {
            page: page.to_owned(),
            ring,
            scanner: scanner.map(str::to_owned),
        })
    }

    pub(super) fn read(value: &Piece, reader: &mut Reader) -> Option<Self> {
        let remedy =
            "write the picture beside the note and the ring's number, as: scan page2.png ring 3";
        let found = Self::parse(value.text());
        reader.known(value, found, "names no ring of a page", remedy)
    }
}

impl fmt::Display for PageRing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ring {}", self.page, self.ring)?;
        match &self.scanner {
            Some(scanner) => write!(f, " by {scanner}"),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ring_of_a_page_reads_back_as_it_is_written() {
        for text in [
            "page2.png ring 3",
            "two rings of a page ring 2.tif ring 12 by bench one",
        ] {
            let read = PageRing::parse(text).expect(text);
            assert_eq!(read.to_string(), text);
        }
        for wrong in [
            "page2.png",
            "page2.png ring",
            "a.png ring 0",
            "../a.png ring 1",
            "a.png ring x",
            " ring 3",
        ] {
            assert_eq!(PageRing::parse(wrong), None, "{wrong}");
        }
    }
}
