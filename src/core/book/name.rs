//! Names of models, units and parts, and the words by which two spellings of one name meet.

use super::part_length::PartLength;
use crate::core::quantity::Length;
use serde::{Deserialize, Serialize};

/// The maker and the name of a model, as they were first written.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct ModelName {
    /// The maker, where it was named apart.
    pub maker: Option<String>,
    /// The name; it may begin with the maker.
    pub name: String,
}

impl ModelName {
    /// Returns the words by which two spellings of one model meet.
    ///
    /// A maker that the name repeats is counted once, so that "Tarn 2" of the maker Fellwater and "Fellwater Tarn 2" are
    /// one model.
    ///
    /// ```
    /// use ringwright::core::book::ModelName;
    /// let apart = ModelName { maker: Some("Fellwater".into()), name: "Tarn 2".into() };
    /// let whole = ModelName { maker: None, name: "Fellwater Tarn-2".into() };
    /// assert_eq!(apart.key(), whole.key());
    /// ```
    pub fn key(&self) -> String {
        name_key(&self.to_string())
    }
}

impl std::fmt::Display for ModelName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.maker {
            Some(maker) if !begins_with(&self.name, maker) => write!(f, "{maker} {}", self.name),
            _ => f.write_str(&self.name),
        }
    }
}

fn begins_with(name: &str, maker: &str) -> bool {
    let (name, maker) = (name_key(name), name_key(maker));
    name == maker || name.starts_with(&format!("{maker} "))
}

/// Returns a name in plain words: lower case, single spaces, no punctuation.
///
/// A name of punctuation alone is kept in lower case, so that no name has an empty key.
///
/// ```
/// use ringwright::core::book::name_key;
/// assert_eq!(name_key(" Fellwater  TARN-2"), "fellwater tarn 2");
/// ```
pub fn name_key(name: &str) -> String {
    let lower = name.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    if words.is_empty() {
        lower.trim().to_owned()
    } else {
        words.join(" ")
    }
}

/// Words that tell nothing of where a part sits.
const LINKS: [&str; 8] = ["at", "in", "of", "on", "over", "the", "under", "with"];

/// Lists the words of a name or place that tell something: "o-ring at the piston head" gives o, ring, piston, head.
pub fn place_words(name: &str) -> Vec<String> {
    let key = name_key(name);
    let words = key.split(' ').filter(|word| !word.is_empty());
    words
        .filter(|word| !LINKS.contains(word))
        .map(str::to_owned)
        .collect()
}

/// A name counts as near when no more than this share of its letters must change.
const NEAR_SHARE: f64 = 0.34;

/// Returns the names that are near to the asked one, nearest first, at most three.
///
/// Near are names that hold all its words, or whose letters differ by no more than a third (optimal string alignment);
/// the first words of a name, which are often its maker's, may be left out.
pub fn near_names<'n>(asked: &str, names: impl IntoIterator<Item = &'n str>) -> Vec<String> {
    const MOST: usize = 3;
    let asked = name_key(asked);
    let mut near: Vec<(f64, &str)> = names
        .into_iter()
        .filter_map(|name| Some((distance(&asked, &name_key(name))?, name)))
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(b.1)));
    near.into_iter()
        .take(MOST)
        .map(|(_, name)| name.to_owned())
        .collect()
}

fn distance(asked: &str, name: &str) -> Option<f64> {
    let words: Vec<&str> = name.split(' ').collect();
    if !asked.is_empty() && asked.split(' ').all(|word| words.contains(&word)) {
        return Some(0.0);
    }
    (0..words.len())
        .map(|from| {
            let tail = words[from..].join(" ");
            let longest = asked.chars().count().max(tail.chars().count()).max(1);
            strsim::osa_distance(asked, &tail) as f64 / longest as f64
        })
        .min_by(f64::total_cmp)
        .filter(|share| *share <= NEAR_SHARE)
}

/// Tells whether two lengths may be one length of one part, where one of them was read on a worn part or comes from a list:
/// they differ by at most 0.05 mm and 3 % of the smaller, and by no more than 0.3 mm. A shim of 0.25 mm is none of 0.35 mm.
/// The figures are this program's.
pub fn lengths_agree(a: Length, b: Length) -> bool {
    const LEAST_NM: i64 = 50_000;
    const MOST_NM: i64 = 300_000;
    const PER_CENT: i64 = 3;
    let share = a.nm().min(b.nm()).max(0) / 100 * PER_CENT;
    (a.nm() - b.nm()).abs() <= (LEAST_NM + share).min(MOST_NM)
}

/// A name with its lengths, each beside the word before it.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct MeasuredName {
    /// The words that stand before no length, in plain form.
    words: Vec<String>,
    /// Lengths by the word before them, as written.
    lengths: Vec<(String, Length)>,
}

impl MeasuredName {
    /// Reads a name as it is written in a note, on a list or on a bin. A bare number counts as millimetres; what is no number
    /// is a word.
    ///
    /// ```
    /// use ringwright::core::book::MeasuredName;
    /// let bin = MeasuredName::of("filter disc ; od 12.7 ; thick 3.2");
    /// assert!(bin.is_same(&MeasuredName::of("Filter disc od 12.71 mm, thick 3.18 mm")));
    /// assert!(!bin.is_same(&MeasuredName::of("filter disc od 12.71 mm, thick 2.50 mm")));
    /// ```
    pub fn of(text: &str) -> Self {
        let mut words: Vec<String> = Vec::new();
        let mut lengths: Vec<(String, Length)> = Vec::new();
        let tokens: Vec<&str> = text
            .split([' ', '\t', '\n', ';', '×'])
            .map(|token| {
                token
                    .trim_start_matches([',', ':'])
                    .trim_end_matches([',', '.', ':'])
            })
            .filter(|token| !token.is_empty())
            .collect();
        let mut at = 0;
        while at < tokens.len() {
            let (number, unit) = split_unit(tokens[at]);
            let value: Option<f64> = number.replace(',', ".").parse().ok();
            let Some(value) = value.filter(|value| value.is_finite()) else {
                words.push(name_key(tokens[at]));
                at += 1;
                continue;
            };
            at += 1;
            let beside = tokens.get(at).copied().filter(|_| unit.is_empty());
            let unit_mm = millimetres(beside.unwrap_or(unit));
            at += usize::from(beside.is_some() && unit_mm.is_some());
            if let Some(length) = Length::from_mm(value * unit_mm.unwrap_or(1.0)) {
                // A word serves one length as its label, and is then no part of the name.
                lengths.push((words.pop().unwrap_or_default(), length));
            }
        }
        Self { words, lengths }
    }

    /// Tells whether both name one part: the same words, and the same lengths as far as a worn part can be measured.
    pub fn is_same(&self, other: &Self) -> bool {
        let sorted = |name: &Self| {
            let mut lengths = name.lengths.clone();
            lengths.sort();
            lengths
        };
        let (ours, theirs) = (sorted(self), sorted(other));
        self.words == other.words
            && ours.len() == theirs.len()
            && ours
                .iter()
                .zip(&theirs)
                .all(|(a, b)| a.0 == b.0 && lengths_agree(a.1, b.1))
    }

    /// Takes the name of a part with its lengths.
    pub fn of_part(name: &str, lengths: &[PartLength]) -> Self {
        let mut named = Self::of(name);
        let lengths = lengths.iter();
        named
            .lengths
            .extend(lengths.map(|length| (length.word.to_owned(), length.length)));
        named
    }

    /// Lists the lengths that are written behind a word for one.
    pub fn named_lengths(&self) -> Vec<PartLength> {
        let lengths = self.lengths.iter();
        lengths
            .filter_map(|(word, length)| PartLength::of(word, *length))
            .collect()
    }
}

/// Parts "12.7mm" into number and unit.
fn split_unit(token: &str) -> (&str, &str) {
    let end = token
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
        .unwrap_or(token.len());
    let (number, unit) = token.split_at(end);
    if unit.is_empty() || millimetres(unit).is_some() {
        (number, unit)
    } else {
        (token, "")
    }
}

fn millimetres(unit: &str) -> Option<f64> {
    match unit.to_lowercase().as_str() {
        "mm" => Some(1.0),
        "in" | "\"" => Some(25.4),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_names_come_nearest_first() {
        let known = ["Fellwater Tarn", "Fellwater Tarn 2", "Fellwater Beck"];
        assert_eq!(
            near_names("tarn", known),
            ["Fellwater Tarn", "Fellwater Tarn 2"]
        );
        assert_eq!(near_names("Fellwater Tran", known)[0], "Fellwater Tarn");
        assert_eq!(near_names("bekc", known), ["Fellwater Beck"]);
        assert!(near_names("Halloran Mark 9", known).is_empty());
    }

    #[test]
    fn no_name_has_an_empty_key() {
        assert_eq!(name_key("---"), "---");
        assert_eq!(name_key("Größe 7½"), "größe 7½");
    }
}

#[cfg(test)]
mod measured_name_tests {
    use super::*;

    fn same(a: &str, b: &str) -> bool {
        MeasuredName::of(a).is_same(&MeasuredName::of(b))
    }

    #[test]
    fn the_words_of_note_list_and_bin_are_one_part() {
        let list = "seat od 8.00 mm, thick 2.45 mm, hole 3.20 mm";
        for bin in [
            "seat od 8.0 thick 2.5 hole 3.2",
            "Seat ; od 8,0 mm ; thick 2,45mm ; hole 3.2",
            "seat hole 3.20 mm, od 8 mm, thick 2.45",
            "seat od .315 in thick 2.45 mm hole 3.2 mm",
        ] {
            assert!(same(list, bin), "{bin}");
        }
        assert!(same("back-up ring", "Back-up  ring"));
    }

    #[test]
    fn another_part_or_length_is_another() {
        assert!(!same("seat od 8.0", "seat od 8.0 thick 2.5"));
        assert!(!same("seat od 8.0", "seat id 8.0"));
        assert!(!same("seat od 8.0", "filter od 8.0"));
        assert!(!same("shim thick 0.25 mm", "shim thick 0.35 mm"));
        assert!(!same("clip od 14.3 thick 0.9", "clip od 14.3 thick 1.1"));
        assert!(same("clip od 14.0", "clip od 14.27 mm"));
        assert!(!same("filter cone 12", "filter cone"));
    }
}
