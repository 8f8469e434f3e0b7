//! Parts the words of a designation into size and material.

use super::DesignationReading;
use crate::core::elastomer::Polymer;
use crate::core::quantity::{Hardness, HardnessScale, hardness_scale};

/// One way to part a designation: what is left as the size, and the material words.
#[derive(Debug, Clone, Default)]
pub(super) struct Split {
    pub(super) size: String,
    polymer: Option<Polymer>,
    hardness: Option<Hardness>,
}

impl Split {
    /// Adds the material words to a reading of the size; words typed outrank those implied by a specification.
    pub(super) fn complete(&self, mut reading: DesignationReading) -> DesignationReading {
        reading.polymer = self.polymer.or(reading.polymer);
        reading.hardness = self.hardness.or(reading.hardness);
        reading
    }
}

/// What one word can be.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Word<'t> {
    Size(&'t str),
    Polymer(Polymer),
    Hardness(Hardness),
    Both(Polymer, Hardness),
    /// Two digits that are a hardness beside a polymer.
    Number(&'t str, f64),
    /// "Shore", "A", "duro", "IRHD" behind a number.
    Scale(&'t str, HardnessScale),
}

/// A ring compound is softer than 30 only in sponge and harder than 95 only in plastics.
const RING_HARDNESS: std::ops::RangeInclusive<f64> = 30.0..=95.0;

/// Names of size standards of which a word, or of whose codes one, reads as a material: "B" is a rubber elsewhere, "V70" another.
const NAMES_WITH_MATERIAL: [&str; 7] = [
    "JIS B 2401",
    "JIS B2401",
    "JIS B-2401",
    "JISB2401",
    "B 2401",
    "B2401",
    "JIS",
];

/// Gives the ways to part a text: first with material words taken out, then with the whole text as size.
pub(super) fn splits(text: &str) -> Vec<Split> {
    let (name, rest) = standard_name(text.trim());
    let words = loose_words(rest);
    let mut ways = Vec::new();
    if let Some(split) = part(&words) {
        ways.push(Split {
            size: format!("{name} {}", split.size).trim().to_owned(),
            ..split
        });
    }
    let whole = text.trim().to_owned();
    if ways.iter().all(|s: &Split| s.size != whole) {
        ways.push(Split {
            size: whole,
            ..Split::default()
        });
    }
    ways
}

/// Parts the name of a standard, with the code behind it, from what follows.
fn standard_name(text: &str) -> (&str, &str) {
    let name = NAMES_WITH_MATERIAL.iter().find(|name| {
        text.get(..name.len())
            .is_some_and(|head| head.eq_ignore_ascii_case(name))
    });
    let Some(behind) = name.and_then(|name| text.get(name.len()..)) else {
        return ("", text);
    };
    let code = behind.trim_start();
    let end = code.find(char::is_whitespace).unwrap_or(code.len());
    text.split_at(text.len() - code.len() + end)
}

/// Splits at white space, and at "/" or "-" where the pieces before it are material words ("012/FKM/90", "N70-012").
fn loose_words(text: &str) -> Vec<&str> {
    let is_material = |word: &str| !matches!(classify(word), Word::Size(_));
    let has_both = |word: &str| matches!(classify(word), Word::Both(..));
    let mut words = Vec::new();
    for word in text.split_whitespace() {
        let slashed: Vec<&str> = word.split('/').collect();
        if slashed.len() > 1 && slashed.iter().skip(1).all(|w| is_material(w)) {
            words.extend(slashed);
            continue;
        }
        match word.split_once('-') {
            Some((material, size)) if has_both(material) => words.extend([material, size]),
            _ => words.push(word),
        }
    }
    words
}

fn classify(word: &str) -> Word<'_> {
    let trimmed = word.trim_matches([',', ';', '(', ')']);
    if let Some(polymer) = Polymer::from_word(trimmed) {
        return Word::Polymer(polymer);
    }
    let digits = trimmed.trim_matches(|c: char| !c.is_ascii_digit());
    let two_digits = digits.len() == 2;
    let Some(value) = digits
        .parse::<f64>()
        .ok()
        .filter(|v| two_digits && RING_HARDNESS.contains(v))
    else {
        return hardness_scale(trimmed).map_or(Word::Size(word), |s| Word::Scale(word, s));
    };
    let (before, after) = trimmed.split_once(digits).unwrap_or(("", ""));
    let shore_a = Hardness {
        value,
        scale: HardnessScale::ShoreA,
    };
    if before.is_empty() && after.is_empty() {
        return Word::Number(word, value);
    }
    if before.is_empty() {
        // "70D" in a ring list is the durometer reading of a rubber, which is Shore A; no rubber ring is 70 Shore D.
        if after.eq_ignore_ascii_case("d") {
            return Word::Hardness(shore_a);
        }
        if let Some(scale) = hardness_scale(after) {
            return Word::Hardness(Hardness { value, scale });
        }
        return Polymer::from_word(after).map_or(Word::Size(word), |p| Word::Both(p, shore_a));
    }
    let material = before.trim_end_matches('-');
    match Polymer::from_word(material) {
        Some(polymer) if after.is_empty() => Word::Both(polymer, shore_a),
        _ => Word::Size(word),
    }
}

/// Takes the material words out. Returns `None` where there are none, or where two of a kind contradict each other.
fn part(words: &[&str]) -> Option<Split> {
    let classes: Vec<Word<'_>> = words.iter().map(|w| classify(w)).collect();
    let names_polymer = classes
        .iter()
        .any(|w| matches!(w, Word::Polymer(_) | Word::Both(..)));
    let mut split = Split::default();
    let mut size: Vec<&str> = Vec::new();
    for (at, class) in classes.iter().enumerate() {
        match *class {
            Word::Size(word) => size.push(word),
            Word::Polymer(polymer) => set(&mut split.polymer, polymer)?,
            Word::Hardness(hardness) => set(&mut split.hardness, hardness)?,
            Word::Both(polymer, hardness) => {
                set(&mut split.polymer, polymer)?;
                set(&mut split.hardness, hardness)?;
            }
            Word::Number(word, value) => {
                let scaled = matches!(classes.get(at + 1), Some(Word::Scale(..)));
                if names_polymer || scaled {
                    let scale = HardnessScale::ShoreA;
                    set(&mut split.hardness, Hardness { value, scale })?;
                } else {
                    size.push(word);
                }
            }
            Word::Scale(word, scale) => {
                match (&mut split.hardness, at.checked_sub(1).map(|i| classes[i])) {
                    (
                        Some(hardness),
                        Some(Word::Number(..) | Word::Hardness(_) | Word::Both(..)),
                    ) => {
                        hardness.scale = scale;
                    }
                    (Some(_), Some(Word::Scale(..))) => {}
                    _ => size.push(word),
                }
            }
        }
    }
    if split.polymer.is_none() && split.hardness.is_none() {
        return None;
    }
    split.size = size.join(" ");
    Some(split)
}

fn set<T>(slot: &mut Option<T>, value: T) -> Option<()> {
    if slot.is_some() {
        return None;
    }
    *slot = Some(value);
    Some(())
}
