//! Whether a line of a parts list is meant by the words of a search.

use super::part_line::PartLine;
use crate::core::elastomer::Polymer;
use crate::core::quantity::Length;
use crate::core::supply::{TypingErrors, number_key};

/// Says how words met a part, the surest first; of several words the least sure one decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WordsMet {
    /// Every word is a word of the part, a code of it, or one of its lengths.
    Exact,
    /// A word of the part begins so.
    Begins,
    /// The word stands inside one of the part's.
    Inside,
    /// A word of the part differs by this many typing errors in all.
    TypingErrors(usize),
}

/// The words under which a line of a parts list can be found: model, section, position, name, kind, codes, material.
#[derive(Debug, Clone)]
pub struct PartWords {
    /// Single words and whole fields, without signs and in capitals.
    keys: Vec<String>,
    /// Numbers that the line shows, in millimetres.
    numbers: Vec<f64>,
    polymer: Option<Polymer>,
}

/// A shorter word is looked for as a whole word and as the beginning of one; it stands inside too many others.
const LEAST_INSIDE: usize = 3;
/// A shorter word with an error in it is another word.
const LEAST_MISTYPED: usize = 4;

impl PartWords {
    /// Gathers the words of a line of a model's parts list.
    pub fn of(model: &str, line: &PartLine) -> Self {
        let material = line.material.words();
        let mut fields: Vec<&str> = vec![
            model,
            &line.section,
            &line.position,
            &line.part,
            line.kind.word(),
            &material,
        ];
        fields.extend(line.size.codes.iter().map(String::as_str));
        let mut keys: Vec<String> = fields
            .iter()
            .flat_map(|field| field.split_whitespace().chain([*field]))
            .map(number_key)
            .filter(|key| !key.is_empty())
            .collect();
        keys.sort_unstable();
        keys.dedup();
        let ring = [line.size.id, line.size.section];
        let mut numbers: Vec<f64> = ring.into_iter().flatten().map(Length::mm).collect();
        numbers.extend(line.size.lengths.iter().map(|length| length.length.mm()));
        Self {
            keys,
            numbers,
            polymer: line.material.polymer,
        }
    }

    /// Says how the words of a search meet the part; `None` where one of them does not, or there are none.
    ///
    /// A word with a decimal mark is a length in millimetres, and is met by one that rounds to it.
    pub fn met_by(&self, words: &str) -> Option<WordsMet> {
        let mut least = None;
        let mut errors = 0;
        for word in words.split_whitespace() {
            let met = self.met_by_word(word)?;
            if let WordsMet::TypingErrors(more) = met {
                errors += more;
            }
            least = least.max(Some(met));
        }
        match least? {
            WordsMet::TypingErrors(_) => Some(WordsMet::TypingErrors(errors)),
            met => Some(met),
        }
    }

    fn met_by_word(&self, word: &str) -> Option<WordsMet> {
        if let Some(number) = decimal(word) {
            let half = half_of_last_digit(word);
            let near = |shown: &f64| (shown - number).abs() <= half;
            return self.numbers.iter().any(near).then_some(WordsMet::Exact);
        }
        let key = number_key(word);
        if key.is_empty() {
            return None;
        }
        let polymer = Polymer::from_word(word);
        if self.keys.contains(&key) || (polymer.is_some() && polymer == self.polymer) {
            return Some(WordsMet::Exact);
        }
        if self.keys.iter().any(|own| own.starts_with(&key)) {
            return Some(WordsMet::Begins);
        }
        let letters = key.chars().count();
        if letters >= LEAST_INSIDE && self.keys.iter().any(|own| own.contains(&key)) {
            return Some(WordsMet::Inside);
        }
        // A digit of a bare number changed makes another number, no slip.
        let is_number = key.bytes().all(|byte| byte.is_ascii_digit());
        if letters < LEAST_MISTYPED || is_number {
            return None;
        }
        let typing = TypingErrors::new(&key);
        let keys = self.keys.iter();
        let errors = keys.filter_map(|own| typing.errors(own.as_bytes()));
        errors.min().map(WordsMet::TypingErrors)
    }
}

/// Reads a word with a decimal mark as a number.
fn decimal(word: &str) -> Option<f64> {
    let text = word.replace(',', ".");
    let digits = text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let has_mark = text.contains('.') && text.bytes().any(|b| b.is_ascii_digit());
    (digits && has_mark).then(|| text.parse().ok()).flatten()
}

/// Half of the last written digit, and a thousandth of that so that a number half-way between two is met by both.
fn half_of_last_digit(word: &str) -> f64 {
    let places = word.rsplit([',', '.']).next().map_or(0, str::len);
    0.5005 * libm::pow(10.0, -(places as f64))
}

#[cfg(test)]
mod tests {
    use super::super::name::MeasuredName;
    use super::super::part_line::PartSize;
    use super::*;
    use crate::core::note::PartKind;

    fn line(kind: PartKind, part: &str, size: PartSize) -> PartLine {
        PartLine {
            section: "inlet".to_owned(),
            position: "at filter seat".to_owned(),
            part: part.to_owned(),
            kind,
            size,
            ..PartLine::default()
        }
    }

    fn ring() -> PartWords {
        let size = PartSize {
            codes: vec!["AS568-012".to_owned(), "ISO 3601-1 012".to_owned()],
            id: Length::from_mm(9.25),
            section: Length::from_mm(1.78),
            ..PartSize::unknown("")
        };
        let mut line = line(PartKind::Ring, "o-ring", size);
        line.material.polymer = Some(Polymer::Nbr);
        PartWords::of("Tarn 2", &line)
    }

    fn filter() -> PartWords {
        let size = PartSize {
            lengths: MeasuredName::of("od 12.70 mm, thick 3.20 mm").named_lengths(),
            ..PartSize::unknown("")
        };
        PartWords::of("Tarn 2", &line(PartKind::Filter, "filter disc", size))
    }

    #[test]
    fn words_are_met_exactly_by_their_beginning_inside_and_mistyped() {
        for (words, met) in [
            ("as568-012", Some(WordsMet::Exact)),
            ("012 tarn inlet", Some(WordsMet::Exact)),
            ("filter seat", Some(WordsMet::Exact)),
            ("nitrile o-ring", Some(WordsMet::Exact)),
            ("AS568-01", Some(WordsMet::Begins)),
            ("68-012", Some(WordsMet::Inside)),
            ("fitler", Some(WordsMet::TypingErrors(1))),
            ("fitler inllet", Some(WordsMet::TypingErrors(2))),
            ("viton", None),
            ("spindle", None),
            ("o-ring spindle", None),
            ("", None),
            ("-", None),
        ] {
            assert_eq!(ring().met_by(words), met, "{words:?}");
        }
    }

    #[test]
    fn a_length_is_met_by_one_that_rounds_to_it_and_not_by_its_digits() {
        for (words, met) in [
            ("filter 12.7", Some(WordsMet::Exact)),
            ("filter 12,7 3.2", Some(WordsMet::Exact)),
            ("filter 12.71", None),
            ("filter 1.27", None),
            ("filter 127", None),
            ("filter 3.25", None),
        ] {
            assert_eq!(filter().met_by(words), met, "{words:?}");
        }
        assert_eq!(ring().met_by("9.3"), Some(WordsMet::Exact));
        assert_eq!(ring().met_by("9.4"), None);
    }

    #[test]
    fn a_digit_changed_in_a_bare_number_is_another_number() {
        assert_eq!(ring().met_by("0123"), None);
        assert_eq!(ring().met_by("013"), None);
    }
}
