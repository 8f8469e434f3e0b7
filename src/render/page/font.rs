//! The embedded font: which glyph a character has and how wide it is.
//!
//! The files are TrueType (OpenType 1.9, "glyf" outlines). Every read is checked; a table that ends early reads as zero.

use std::sync::OnceLock;

/// Names a face of the embedded font.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    Plain,
    Bold,
}

impl Face {
    /// Lists both faces.
    pub const ALL: [Self; 2] = [Self::Plain, Self::Bold];

    pub(super) fn font(self) -> &'static Font {
        static PLAIN: OnceLock<Font> = OnceLock::new();
        static BOLD: OnceLock<Font> = OnceLock::new();
        match self {
            Self::Plain => PLAIN.get_or_init(|| {
                Font::new(include_bytes!(
                    "../../../data/fonts/DejaVuSansCondensed.ttf"
                ))
            }),
            Self::Bold => BOLD.get_or_init(|| {
                Font::new(include_bytes!(
                    "../../../data/fonts/DejaVuSansCondensed-Bold.ttf"
                ))
            }),
        }
    }

    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Plain => "DejaVuSansCondensed",
            Self::Bold => "DejaVuSansCondensed-Bold",
        }
    }

    /// Returns the width of a text in points.
    pub fn width(self, size: f64, text: &str) -> f64 {
        let font = self.font();
        let units: u32 = text.chars().map(|c| u32::from(font.char_width(c))).sum();
        f64::from(units) * size / font.units_per_em
    }
}

/// Widths of the characters below this are kept ready.
const READY: usize = 0x180;

/// A TrueType font with the places of its tables.
pub(super) struct Font {
    pub(super) data: &'static [u8],
    pub(super) units_per_em: f64,
    metrics: u16,
    long_offsets: bool,
    ready: Vec<u16>,
}

/// Reads two bytes, big end first; zero past the end.
pub(super) fn u16_at(data: &[u8], at: usize) -> u16 {
    match data.get(at..at + 2) {
        Some(bytes) => u16::from_be_bytes([bytes[0], bytes[1]]),
        None => 0,
    }
}

/// Reads four bytes, big end first; zero past the end.
pub(super) fn u32_at(data: &[u8], at: usize) -> u32 {
    u32::from(u16_at(data, at)) << 16 | u32::from(u16_at(data, at + 2))
}

impl Font {
    fn new(data: &'static [u8]) -> Self {
        let mut font = Self {
            data,
            units_per_em: 1.0,
            metrics: 1,
            long_offsets: false,
            ready: Vec::new(),
        };
        let head = font.table(*b"head");
        font.units_per_em = f64::from(u16_at(head, 18).max(1));
        font.long_offsets = u16_at(head, 50) == 1;
        font.metrics = u16_at(font.table(*b"hhea"), 34).max(1);
        font.ready = (0..READY)
            .filter_map(|code| char::from_u32(u32::try_from(code).ok()?))
            .map(|c| font.advance(font.glyph(c)))
            .collect();
        font
    }

    /// Returns a table; empty where the font has none of this name.
    pub(super) fn table(&self, tag: [u8; 4]) -> &'static [u8] {
        let count = usize::from(u16_at(self.data, 4));
        (0..count)
            .map(|at| 12 + 16 * at)
            .find(|at| self.data.get(*at..at + 4) == Some(&tag))
            .and_then(|at| {
                let start = u32_at(self.data, at + 8) as usize;
                let length = u32_at(self.data, at + 12) as usize;
                self.data.get(start..start + length)
            })
            .unwrap_or(&[])
    }

    /// Returns the glyph of a character; 0 where the font has none.
    ///
    /// Reads the segments of a cmap subtable of format 4 (characters up to U+FFFF), which the shipped files hold.
    pub(super) fn glyph(&self, character: char) -> u16 {
        let cmap = self.table(*b"cmap");
        let Ok(code) = u16::try_from(u32::from(character)) else {
            return 0;
        };
        let subtables = usize::from(u16_at(cmap, 2));
        let table = (0..subtables)
            .map(|at| u32_at(cmap, 4 + 8 * at + 4) as usize)
            .find(|start| u16_at(cmap, *start) == 4)
            .and_then(|start| cmap.get(start..))
            .unwrap_or(&[]);
        let doubled = usize::from(u16_at(table, 6));
        let (mut low, mut high) = (0, doubled / 2);
        while low < high {
            let middle = usize::midpoint(low, high);
            if u16_at(table, 14 + 2 * middle) < code {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        let start = u16_at(table, 16 + doubled + 2 * low);
        if low >= doubled / 2 || code < start {
            return 0;
        }
        let delta = u16_at(table, 16 + 2 * doubled + 2 * low);
        let place = 16 + 3 * doubled + 2 * low;
        match usize::from(u16_at(table, place)) {
            0 => code.wrapping_add(delta),
            range => match u16_at(table, place + range + 2 * usize::from(code - start)) {
                0 => 0,
                glyph => glyph.wrapping_add(delta),
            },
        }
    }

    /// Returns the width of a glyph in font units.
    pub(super) fn advance(&self, glyph: u16) -> u16 {
        let at = 4 * usize::from(glyph.min(self.metrics - 1));
        u16_at(self.table(*b"hmtx"), at)
    }

    /// Returns the left side bearing of a glyph in font units, two's complement.
    pub(super) fn side_bearing(&self, glyph: u16) -> u16 {
        let metrics = usize::from(self.metrics);
        let at = match usize::from(glyph).checked_sub(metrics) {
            None => 4 * usize::from(glyph) + 2,
            Some(beyond) => 4 * metrics + 2 * beyond,
        };
        u16_at(self.table(*b"hmtx"), at)
    }

    fn char_width(&self, character: char) -> u16 {
        match self.ready.get(u32::from(character) as usize) {
            Some(width) => *width,
            None => self.advance(self.glyph(character)),
        }
    }

    /// Returns the outline of a glyph as the file holds it; empty for a blank.
    pub(super) fn outline(&self, glyph: u16) -> &'static [u8] {
        let loca = self.table(*b"loca");
        let at = usize::from(glyph);
        let offset = |at: usize| {
            if self.long_offsets {
                u32_at(loca, 4 * at) as usize
            } else {
                2 * usize::from(u16_at(loca, 2 * at))
            }
        };
        self.table(*b"glyf")
            .get(offset(at)..offset(at + 1))
            .unwrap_or(&[])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_those_of_the_font_file() {
        // fontTools 4: hmtx of DejaVu Sans Condensed 2.37: space 585, "A" 1260, "0" 1172 of 2048 units.
        let font = Face::Plain.font();
        for (character, width) in [(' ', 585), ('A', 1260), ('0', 1172)] {
            assert_eq!(font.advance(font.glyph(character)), width, "{character:?}");
        }
    }

    #[test]
    fn signs_of_the_trade_have_glyphs_and_strangers_have_none() {
        for face in Face::ALL {
            for sign in "×±µ°øØ≤≥→←↑↓½⅛–—•✓√∅€£Ωжλćß".chars()
            {
                assert_ne!(face.font().glyph(sign), 0, "{sign} in {face:?}");
            }
            assert_eq!(face.font().glyph('漢'), 0);
            assert_eq!(face.font().glyph('🔧'), 0);
        }
    }
}
