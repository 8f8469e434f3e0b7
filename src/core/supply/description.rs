//! Reads a supplier's description into size, polymer, hardness and pack, and guesses nothing.

use super::bare_size::{counts_something_else, is_bare_size, is_behind_family_letter};
use super::described::{Described, NamedRing};
use super::description_words::{WordRole, begins_kind, kind, role};
use super::dimension_run::{Piece, begins_fraction, goes_on, pieces, run_lengths, run_text};
use super::material_words::{
    is_polymer_word, is_tolerance, material, plain_signs, scale_word, sold_hardness, split_words,
};
use super::mixed_number::{is_whole, join_mixed_numbers, may_be_whole};
use super::plain_size::plain_size;
use crate::core::elastomer::Polymer;
use crate::core::note::PartKind;
use crate::core::quantity::{Hardness, HardnessScale};
use crate::core::sizes::read_designation;
use std::collections::HashMap;

/// Reads descriptions; sizes that were read once are remembered, because lists repeat them.
#[derive(Debug, Default)]
pub struct DescriptionReader {
    sizes: HashMap<String, Vec<NamedRing>>,
}

/// Sizes that are remembered at most, so that memory stays bounded.
const MOST_REMEMBERED: usize = 50_000;
/// Words that begin a code of a ring family or an old number.
const CODE_BEGINNINGS: [&str; 12] = [
    "AS568", "AS", "BS", "JIS", "ISO", "AN6227", "AN6230", "MS28775", "MS28778", "MS29513",
    "M83248", "ARP568",
];
/// The most words of which one code consists ("JIS B 2401 P10A").
const MOST_CODE_WORDS: usize = 4;

/// What is known while a description is read.
struct Reading<'t> {
    words: Vec<&'t str>,
    used: Vec<bool>,
    /// Words of a run of dimensions that could not be read.
    of_a_run: Vec<bool>,
    found: Described,
    /// Sizes that name themselves: a code with its family, or dimensions.
    plain: Vec<NamedRing>,
    /// Sizes that only a ring list makes sizes: "012", "P10A".
    bare: Vec<NamedRing>,
    bare_words: Vec<String>,
    not_a_ring: bool,
    polymers: Vec<Polymer>,
    hardnesses: Vec<Hardness>,
    packs: Vec<u32>,
}

impl DescriptionReader {
    /// Reads one description.
    ///
    /// Codes with their family and dimensions outrank bare numbers; where sizes of one rank differ, all are given. A text
    /// that names another kind of part, or no kind and no material, names no ring.
    ///
    /// ```
    /// use ringwright::core::supply::DescriptionReader;
    /// let read = DescriptionReader::default().read("O-RING 012 BUNA-N 70D PK/100");
    /// assert_eq!(read.rings[0].code.as_deref(), Some("AS568-012"));
    /// assert_eq!(read.pack, Some(100));
    /// ```
    pub fn read(&mut self, text: &str) -> Described {
        let upper = join_mixed_numbers(plain_signs(text));
        let words = split_words(&upper);
        let mut reading = Reading {
            used: vec![false; words.len()],
            of_a_run: vec![false; words.len()],
            words,
            found: Described::default(),
            plain: Vec::new(),
            bare: Vec::new(),
            bare_words: Vec::new(),
            not_a_ring: false,
            polymers: Vec::new(),
            hardnesses: Vec::new(),
            packs: Vec::new(),
        };
        reading.read_kind();
        reading.read_discontinued();
        reading.read_packs();
        self.read_codes(&mut reading);
        self.read_dimensions(&mut reading);
        reading.read_materials();
        self.read_bare(&mut reading);
        reading.finish()
    }

    fn sizes_of(&mut self, text: &str) -> Vec<NamedRing> {
        if let Some(known) = self.sizes.get(text) {
            return known.clone();
        }
        let mut rings: Vec<NamedRing> = Vec::new();
        for reading in read_designation(text, None).unwrap_or_default() {
            let ring = NamedRing::of(&reading.size);
            if !rings.contains(&ring) {
                rings.push(ring);
            }
        }
        if self.sizes.len() >= MOST_REMEMBERED {
            self.sizes.clear();
        }
        self.sizes.insert(text.to_owned(), rings.clone());
        rings
    }

    /// Reads codes that begin with the name of their family, and numbers with a dash.
    fn read_codes(&mut self, reading: &mut Reading<'_>) {
        let mut at = 0;
        while at < reading.words.len() {
            let word = reading.words[at];
            let family = CODE_BEGINNINGS.iter().any(|b| word.starts_with(b));
            let letter = is_behind_family_letter(&reading.words, at);
            if reading.used[at] || !(family || is_dashed(word) && !letter) {
                at += 1;
                continue;
            }
            let most = if family { MOST_CODE_WORDS } else { 1 };
            let end = (reading.words.len()).min(at + most);
            let window = (at + 1..=end)
                .rev()
                .filter(|end| reading.used[at..*end].iter().all(|used| !used))
                .find_map(|end| {
                    let rings = self.sizes_of(&reading.words[at..end].join(" "));
                    (!rings.is_empty()).then_some((end, rings))
                });
            if let Some((end, rings)) = window {
                reading.implied_material(&reading.words[at..end].join(" "));
                reading.used[at..end].fill(true);
                reading.plain.extend(rings);
                at = end;
            } else {
                at += 1;
            }
        }
    }

    /// Reads runs of numbers with units, labels and times signs.
    fn read_dimensions(&mut self, reading: &mut Reading<'_>) {
        let mut at = 0;
        while at < reading.words.len() {
            let (end, run) = reading.run_at(at);
            if run.len() > 1 {
                let ring =
                    reading.found.kind.is_none_or(|k| k == PartKind::Ring) && !reading.not_a_ring;
                let taken = if ring {
                    let rings = match plain_size(&run) {
                        Some(ring) => vec![ring],
                        None => run_text(&run)
                            .map(|text| self.sizes_of(&text))
                            .unwrap_or_default(),
                    };
                    let any = !rings.is_empty();
                    reading.plain.extend(rings);
                    any
                } else {
                    reading.found.lengths.extend(run_lengths(&run));
                    !reading.found.lengths.is_empty()
                };
                if taken {
                    reading.used[at..end].fill(true);
                }
            }
            at = end.max(at + 1);
        }
    }

    /// Reads three bare digits and codes of the metric families, which are sizes only in a ring list.
    fn read_bare(&mut self, reading: &mut Reading<'_>) {
        for at in 0..reading.words.len() {
            let word = reading.words[at];
            if reading.used[at]
                || reading.of_a_run[at]
                || !is_bare_size(word)
                || counts_something_else(&reading.words, &reading.used, at)
            {
                continue;
            }
            let rings = self.sizes_of(word);
            if !rings.is_empty() {
                reading.used[at] = true;
                reading.bare.extend(rings);
                reading.bare_words.push(word.to_owned());
            }
        }
    }
}

impl<'t> Reading<'t> {
    fn read_kind(&mut self) {
        for at in 0..self.words.len() {
            let word = self.words[at];
            if self.used[at] {
                continue;
            }
            if role(word) == Some(WordRole::NotARing) {
                self.not_a_ring = true;
                self.used[at] = true;
                continue;
            }
            let next = self.words.get(at + 1).filter(|_| begins_kind(word));
            let two = next.map(|next| format!("{word} {next}"));
            if let Some(found) = two.as_deref().and_then(kind) {
                self.set_kind(found);
                self.used[at..at + 2].fill(true);
            } else if (word != "OR" || at == 0)
                && let Some(found) = kind(word)
            {
                self.set_kind(found);
                self.used[at] = true;
            }
        }
    }

    fn read_discontinued(&mut self) {
        let gone = |word: &&&str| role(word) == Some(WordRole::Discontinued);
        self.found.discontinued = self.words.iter().find(gone).map(|word| (*word).to_owned());
    }

    fn set_kind(&mut self, kind: PartKind) {
        match self.found.kind {
            None => self.found.kind = Some(kind),
            Some(known) if known != kind => {
                // "O-RING FOR YOKE": the first word names the part; two soft parts under one number are no single part.
                self.not_a_ring |= kind.is_soft() && known.is_soft();
            }
            Some(_) => {}
        }
    }

    fn read_packs(&mut self) {
        for at in 0..self.words.len() {
            if self.used[at] {
                continue;
            }
            let word = self.words[at];
            if role(word) == Some(WordRole::Each) {
                self.packs.push(1);
                self.used[at] = true;
            } else if let Some(count) = pack_in_word(word) {
                self.packs.push(count);
                self.used[at] = true;
            } else if let Some((count, places)) = self.pack_beside(at) {
                self.packs.push(count);
                for place in places {
                    self.used[place] = true;
                }
            }
        }
    }

    /// Finds the count beside a pack word: behind it ("PACK OF 100", "PK 100") or before it ("100 PCS", "10 PER PACK").
    fn pack_beside(&self, at: usize) -> Option<(u32, Vec<usize>)> {
        let role = role(self.words[at]);
        if !matches!(role, Some(WordRole::Pack | WordRole::Pieces)) {
            return None;
        }
        let number = |place: usize| {
            let free = !*self.used.get(place)?;
            free.then(|| count(self.words[place])).flatten()
        };
        if role == Some(WordRole::Pack) {
            let of = matches!(
                self.words.get(at + 1),
                Some(&("OF" | ":" | "=" | "DE" | "DA" | "DI" | "MIT" | "ZU" | "À" | "A" | "WITH"))
            );
            let next = at + 1 + usize::from(of);
            if let Some(count) = number(next) {
                return Some((count, (at..=next).collect()));
            }
        }
        let mut before = at.checked_sub(1)?;
        if matches!(self.words[before], "PER" | "/" | "IN") {
            before = before.checked_sub(1)?;
        }
        Some((number(before)?, (before..=at).collect()))
    }

    /// A material specification such as M83248/1 names polymer and hardness beside the size.
    fn implied_material(&mut self, code: &str) {
        for reading in read_designation(code, None).unwrap_or_default() {
            self.polymers.extend(reading.polymer);
            self.hardnesses.extend(reading.hardness);
        }
    }

    fn read_materials(&mut self) {
        for at in 0..self.words.len() {
            if self.used[at] {
                continue;
            }
            let word = self.words[at];
            if word == "BUNA" && self.words.get(at + 1) == Some(&"S") {
                // Styrene-butadiene: no polymer that is known here, and not the nitrile that Buna alone means.
                continue;
            }
            if word == "BUNA" && self.words.get(at + 1) == Some(&"N") {
                self.used[at + 1] = true;
            }
            if let Some((polymer, hardness)) = material(word) {
                self.polymers.extend(polymer);
                self.hardnesses.extend(hardness);
                self.used[at] = true;
            }
        }
        for at in 0..self.words.len() {
            self.read_loose_hardness(at);
        }
    }

    /// Reads a bare hardness: beside a scale word ("70 SHORE A", "DURO 70"), or right beside a polymer ("NBR 70").
    fn read_loose_hardness(&mut self, at: usize) {
        let Some(value) = sold_hardness(self.words[at]).filter(|_| !self.used[at]) else {
            return;
        };
        let scale_at = |place: usize| self.words.get(place).and_then(|w| scale_word(w));
        let before = at.checked_sub(1);
        if let Some(mut scale) = scale_at(at + 1) {
            self.used[at + 1] = true;
            if let Some(letter) = scale_at(at + 2).filter(|_| self.words[at + 1].starts_with("SH"))
            {
                scale = letter;
                self.used[at + 2] = true;
            }
            self.push_hardness(at, value, scale);
        } else if let Some((place, scale)) = before.and_then(|b| Some((b, scale_at(b)?))) {
            self.used[place] = true;
            if let Some(earlier) = place
                .checked_sub(1)
                .filter(|e| self.words[*e].starts_with("SH"))
            {
                self.used[earlier] = true;
            }
            self.push_hardness(at, value, scale);
        } else {
            let polymer = |place: usize| {
                self.words
                    .get(place)
                    .is_some_and(|w| is_polymer_word(w) || (*w == "N" && self.used[place]))
            };
            if before.is_some_and(polymer) || polymer(at + 1) {
                self.push_hardness(at, value, HardnessScale::ShoreA);
            }
        }
    }

    /// A number that compounds are sold in and that stands beside no word of a material may be the whole of a mixed number:
    /// "80 8/13 x 1".
    fn is_loose_hardness(&self, at: usize) -> bool {
        let before = at.checked_sub(1).map_or("", |before| self.words[before]);
        let placed = is_polymer_word(before) || scale_word(before).is_some() || before == "N";
        let number = self.words[at].trim_start_matches(|c: char| !c.is_ascii_digit());
        sold_hardness(number).is_some() && !placed
    }

    fn push_hardness(&mut self, at: usize, value: f64, scale: HardnessScale) {
        self.used[at] = true;
        self.hardnesses.extend(Hardness::new(value, scale));
    }

    /// The run of pieces that begins at a word, with the word after it.
    ///
    /// A fraction behind a number that it may belong to makes a run none, as far as it goes, and its words name no size alone
    /// either. So it is with a run behind the sign of a tolerance, whose first number is no dimension, and with one that a
    /// comma opens, which may be a decimal mark or none.
    fn run_at(&mut self, at: usize) -> (usize, Vec<Piece<'t>>) {
        let mut run = Vec::new();
        let mut end = at;
        let before = at.checked_sub(1).map_or("", |before| self.words[before]);
        let mut broken = self.words[at].starts_with(',') || before.ends_with(is_tolerance);
        while end < self.words.len() && !self.used[end] {
            let Some(found) = pieces(self.words[end]) else {
                break;
            };
            let joins = matches!(run.last(), None | Some(Piece::Times | Piece::Label(_)))
                || !matches!(found.first(), Some(Piece::Number(_)))
                || run.iter().any(|p| matches!(p, Piece::Label(_)));
            let fraction =
                matches!(found.first(), Some(Piece::Number(number)) if number.contains('/'));
            let whole = match run.last() {
                None => may_be_whole(before) || end > 0 && self.is_loose_hardness(end - 1),
                // Behind a sign of times no number is a dash number.
                Some(Piece::Number(number)) => {
                    may_be_whole(number) || run.contains(&Piece::Times) && is_whole(number)
                }
                Some(_) => false,
            };
            broken |= fraction && whole;
            if !joins && !broken {
                break;
            }
            run.extend(found);
            end += 1;
        }
        // A sign of times with something behind it that was not read, or another unit: a dimension is missing, or another.
        let behind = self.words.get(end).filter(|_| end > at);
        let whole = matches!(run.last(), Some(Piece::Number(number)) if is_whole(number));
        // Nominal sizes are written in fractions, and have no tolerance.
        let fractions = run
            .iter()
            .any(|piece| matches!(piece, Piece::Number(number) if number.contains('/')));
        broken |= run.last() == Some(&Piece::Times)
            || behind.is_some_and(|word| {
                goes_on(word)
                    || whole && begins_fraction(word)
                    || fractions && word.starts_with(['±', '+'])
            });
        if broken {
            if run.contains(&Piece::Times) {
                self.of_a_run[at..end].fill(true);
            }
            run.clear();
        }
        (end, run)
    }

    fn finish(mut self) -> Described {
        let named = self.found.kind == Some(PartKind::Ring);
        let other = self.not_a_ring || self.found.kind.is_some_and(|k| k != PartKind::Ring);
        let material = !self.polymers.is_empty() || !self.hardnesses.is_empty();
        let rings = if other {
            Vec::new()
        } else if !self.plain.is_empty() && (named || material) {
            self.plain
        } else if named || material {
            std::mem::take(&mut self.bare)
        } else {
            Vec::new()
        };
        if !rings.is_empty() {
            self.found.kind = Some(PartKind::Ring);
        }
        for ring in rings {
            if !self.found.rings.iter().any(|known| known.is_same(&ring)) {
                self.found.rings.push(ring);
            }
        }
        if self.not_a_ring && self.found.kind.is_none_or(|k| k == PartKind::Ring) {
            self.found.kind = Some(PartKind::Other);
        }
        self.found.polymer = only(&self.polymers);
        self.found.hardness = only(&self.hardnesses);
        self.found.pack = only(&self.packs);
        let words = self.words.iter().zip(&self.used);
        self.found.unread = words
            .filter(|(word, used)| !**used && role(word) != Some(WordRole::PassOver))
            .map(|(word, _)| (*word).to_owned())
            .collect();
        self.found
    }
}

/// A text that says two different things of one kind says neither.
fn only<T: PartialEq + Copy>(found: &[T]) -> Option<T> {
    let first = *found.first()?;
    found.iter().all(|one| *one == first).then_some(first)
}

/// "-012", "2-012": a dash number with its dash.
fn is_dashed(word: &str) -> bool {
    let rest = word.strip_prefix("2-").or_else(|| word.strip_prefix('-'));
    rest.is_some_and(|r| r.len() == 3 && r.bytes().all(|b| b.is_ascii_digit()))
}

/// A count of pieces: no zero in front, which would make it a dash number.
fn count(word: &str) -> Option<u32> {
    // "10er Pack".
    let word = word.strip_suffix("ER").unwrap_or(word);
    let digits =
        !word.is_empty() && !word.starts_with('0') && word.bytes().all(|b| b.is_ascii_digit());
    digits
        .then(|| word.parse().ok())
        .flatten()
        .filter(|n| *n <= 100_000)
}

/// Reads "PK/100", "PK100", "100/PK", "100PCS".
fn pack_in_word(word: &str) -> Option<u32> {
    let digits = word.trim_matches(|c: char| !c.is_ascii_digit());
    let number = count(digits)?;
    let (before, after) = word.split_once(digits)?;
    let before = before.trim_end_matches(['/', ':', '=', '-', '.']);
    let after = after.trim_start_matches(['/', '-']).trim_end_matches('.');
    let found = match (before, after) {
        (word, "") => matches!(role(word), Some(WordRole::Pack)),
        ("", word) if word.starts_with("ER-") => matches!(role(&word[3..]), Some(WordRole::Pack)),
        ("", word) => matches!(role(word), Some(WordRole::Pack | WordRole::Pieces)),
        _ => false,
    };
    found.then_some(number)
}
