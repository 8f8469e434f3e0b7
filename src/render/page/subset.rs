//! The part of the font that a sheet uses, as a small font of its own.

use super::font::{Face, Font, u16_at, u32_at};
use std::collections::BTreeMap;

/// The characters of one face that a sheet uses, with the glyphs of a small font that holds just these.
#[derive(Debug, Clone)]
pub(super) struct Subset {
    pub(super) face: Face,
    /// Glyphs of the whole font in the order of the small one; the first is the missing glyph.
    glyphs: Vec<u16>,
    /// Glyphs of the small font by character.
    characters: BTreeMap<char, u16>,
}

/// Flags of one component of a composite glyph ("glyf" table, OpenType 1.9).
const WORDS: u16 = 0x0001;
const ONE_SCALE: u16 = 0x0008;
const MORE: u16 = 0x0020;
const TWO_SCALES: u16 = 0x0040;
const MATRIX: u16 = 0x0080;

/// Returns where the glyph numbers of a composite outline's components stand.
fn component_places(outline: &[u8]) -> Vec<usize> {
    let mut places = Vec::new();
    if u16_at(outline, 0) < 0x8000 {
        return places; // a contour count of zero or more: a simple glyph
    }
    let mut at = 10;
    loop {
        let flags = u16_at(outline, at);
        places.push(at + 2);
        at += 4 + if flags & WORDS != 0 { 4 } else { 2 };
        at += match flags {
            f if f & ONE_SCALE != 0 => 2,
            f if f & TWO_SCALES != 0 => 4,
            f if f & MATRIX != 0 => 8,
            _ => 0,
        };
        if flags & MORE == 0 || at + 4 > outline.len() {
            return places;
        }
    }
}

impl Subset {
    pub(super) fn new(face: Face, used: impl IntoIterator<Item = char>) -> Self {
        let font = face.font();
        let mut by_character: BTreeMap<char, u16> = BTreeMap::new();
        for character in used {
            by_character
                .entry(character)
                .or_insert_with(|| font.glyph(character));
        }
        let mut glyphs: Vec<u16> = by_character.values().copied().chain([0]).collect();
        glyphs.sort_unstable();
        glyphs.dedup();
        let mut at = 0;
        while at < glyphs.len() {
            let outline = font.outline(glyphs[at]);
            for place in component_places(outline) {
                let part = u16_at(outline, place);
                if !glyphs.contains(&part) {
                    glyphs.push(part);
                }
            }
            at += 1;
        }
        let small = |glyph: u16| place_of(&glyphs, glyph);
        Self {
            face,
            characters: by_character.iter().map(|(c, g)| (*c, small(*g))).collect(),
            glyphs,
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.characters.is_empty()
    }

    /// Returns the glyph of a character in the small font.
    pub(super) fn glyph(&self, character: char) -> u16 {
        self.characters.get(&character).copied().unwrap_or(0)
    }

    pub(super) fn characters(&self) -> impl Iterator<Item = (char, u16)> {
        self.characters.iter().map(|(c, g)| (*c, *g))
    }

    /// Lists the widths of the small font's glyphs in thousandths of the size.
    pub(super) fn widths(&self) -> impl Iterator<Item = f64> {
        let font = self.face.font();
        self.glyphs
            .iter()
            .map(|glyph| f64::from(font.advance(*glyph)) * 1000.0 / font.units_per_em)
    }

    /// Writes the small font as a TrueType file.
    pub(super) fn file(&self) -> Vec<u8> {
        let font = self.face.font();
        let count = u16::try_from(self.glyphs.len()).unwrap_or(u16::MAX);
        let (glyf, loca) = self.outlines(font);
        let mut metrics = Vec::new();
        for glyph in &self.glyphs {
            metrics.extend(font.advance(*glyph).to_be_bytes());
            metrics.extend(font.side_bearing(*glyph).to_be_bytes());
        }
        let mut head = font.table(*b"head").to_vec();
        put(&mut head, 8, &[0; 4]); // the sum of the whole file, set below
        put(&mut head, 50, &[0, 1]); // long offsets
        let mut hhea = font.table(*b"hhea").to_vec();
        put(&mut hhea, 34, &count.to_be_bytes());
        let mut maxp = font.table(*b"maxp").to_vec();
        put(&mut maxp, 4, &count.to_be_bytes());
        let mut post = vec![0; 32];
        put(&mut post, 0, &[0, 3, 0, 0]); // version 3: no glyph names
        let tables: [([u8; 4], Vec<u8>); 10] = [
            (*b"OS/2", font.table(*b"OS/2").to_vec()),
            (*b"cmap", self.character_map()),
            (*b"glyf", glyf),
            (*b"head", head),
            (*b"hhea", hhea),
            (*b"hmtx", metrics),
            (*b"loca", loca),
            (*b"maxp", maxp),
            (*b"name", font.table(*b"name").to_vec()),
            (*b"post", post),
        ];
        font_file(&tables)
    }

    fn outlines(&self, font: &Font) -> (Vec<u8>, Vec<u8>) {
        let (mut glyf, mut loca) = (Vec::new(), Vec::new());
        for glyph in &self.glyphs {
            loca.extend(length_of(&glyf).to_be_bytes());
            let mut outline = font.outline(*glyph).to_vec();
            for place in component_places(&outline.clone()) {
                let part = place_of(&self.glyphs, u16_at(&outline, place));
                put(&mut outline, place, &part.to_be_bytes());
            }
            glyf.extend(outline);
            glyf.resize(glyf.len().next_multiple_of(4), 0);
        }
        loca.extend(length_of(&glyf).to_be_bytes());
        (glyf, loca)
    }

    /// A cmap of format 12, one group a character.
    fn character_map(&self) -> Vec<u8> {
        let groups: Vec<(char, u16)> = self.characters().collect();
        let count = u32::try_from(groups.len()).unwrap_or(0);
        let mut cmap = Vec::new();
        for half in [0_u16, 1, 3, 10, 0, 12, 12, 0] {
            cmap.extend(half.to_be_bytes());
        }
        for word in [16 + 12 * count, 0, count] {
            cmap.extend(word.to_be_bytes());
        }
        for (character, glyph) in groups {
            let code = u32::from(character);
            for word in [code, code, u32::from(glyph)] {
                cmap.extend(word.to_be_bytes());
            }
        }
        cmap
    }
}

fn place_of(glyphs: &[u16], glyph: u16) -> u16 {
    let place = glyphs.iter().position(|g| *g == glyph).unwrap_or(0);
    u16::try_from(place).unwrap_or(0)
}

fn length_of(bytes: &[u8]) -> u32 {
    u32::try_from(bytes.len()).unwrap_or(u32::MAX)
}

fn put(table: &mut [u8], at: usize, bytes: &[u8]) {
    if let Some(place) = table.get_mut(at..at + bytes.len()) {
        place.copy_from_slice(bytes);
    }
}

/// The sum of a table's words, which the directory carries.
fn checksum(bytes: &[u8]) -> u32 {
    (0..bytes.len().div_ceil(4)).fold(0, |sum: u32, word| {
        let mut four = [0; 4];
        let rest = &bytes[4 * word..];
        let taken = rest.len().min(4);
        four[..taken].copy_from_slice(&rest[..taken]);
        sum.wrapping_add(u32_at(&four, 0))
    })
}

fn font_file(tables: &[([u8; 4], Vec<u8>)]) -> Vec<u8> {
    /// What the sum of a whole file and the adjustment in "head" come to.
    const WHOLE: u32 = 0xB1B0_AFBA;
    let count = u16::try_from(tables.len()).unwrap_or(0);
    let power = count.max(1).ilog2();
    let range = 16_u16 << power;
    let mut file = vec![0, 1, 0, 0];
    for half in [
        count,
        range,
        u16::try_from(power).unwrap_or(0),
        16 * count - range,
    ] {
        file.extend(half.to_be_bytes());
    }
    let mut start = 12 + 16 * tables.len();
    let mut head_at = 0;
    for (tag, bytes) in tables {
        if tag == b"head" {
            head_at = start;
        }
        file.extend(tag);
        let place = u32::try_from(start).unwrap_or(u32::MAX);
        for word in [checksum(bytes), place, length_of(bytes)] {
            file.extend(word.to_be_bytes());
        }
        start = (start + bytes.len()).next_multiple_of(4);
    }
    for (_, bytes) in tables {
        file.extend(bytes);
        file.resize(file.len().next_multiple_of(4), 0);
    }
    let adjustment = WHOLE.wrapping_sub(checksum(&file));
    put(&mut file, head_at + 8, &adjustment.to_be_bytes());
    file
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_accented_letter_brings_its_parts() {
        let subset = Subset::new(Face::Plain, "é".chars());
        assert!(subset.glyphs.len() > 2, "{:?}", subset.glyphs);
        assert_eq!(subset.glyphs[0], 0);
    }

    #[test]
    fn a_subset_is_a_whole_font_file() {
        let file = Subset::new(Face::Bold, "Ring 012 ±é".chars()).file();
        assert_eq!(checksum(&file), 0xB1B0_AFBA, "the sum of the file");
        assert_eq!(u16_at(&file, 4), 10);
        assert!(file.len() < 20_000, "{}", file.len());
    }
}
