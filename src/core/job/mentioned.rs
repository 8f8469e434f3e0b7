//! Quantities that stand in free words: "air, 200 bar, to 10 m", "immersion 5 min at 195 bar".

use crate::core::quantity::{Pressure, parse_pressure, parse_temperature, parse_temperature_range};
use crate::core::stage::parse_depth;

/// What free words mention.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mentioned {
    /// Pressures, in the order of the words.
    pub pressures: Vec<Pressure>,
    /// Numbers that are no quantity with a unit, as they stand.
    pub unread: Vec<String>,
}

/// Units of what is counted or timed; they bound no pressure.
const COUNTED: [&str; 26] = [
    "%", "s", "sec", "second", "seconds", "min", "minute", "minutes", "h", "hour", "hours", "day",
    "days", "week", "weeks", "month", "months", "year", "years", "cycle", "cycles", "dive",
    "dives", "purges", "ft", "feet",
];
/// Words between the two ends of a range.
const TO: [&str; 5] = ["..", "–", "-", "to", "…"];
/// Most words that one quantity takes: "12 bar abs".
const MOST_WORDS: usize = 3;

/// Reads every quantity in free words.
pub fn mentioned(words: &str) -> Mentioned {
    let words = spaced(words);
    let tokens: Vec<&str> = words.split_whitespace().collect();
    let mut found = Mentioned::default();
    let mut at = 0;
    while at < tokens.len() {
        let figures = |c: char| c.is_numeric() && !c.is_ascii_digit();
        if tokens[at].contains(figures) {
            found.unread.push(tokens[at].to_owned());
        }
        if !tokens[at].starts_with(|c: char| c.is_ascii_digit()) {
            at += 1;
            continue;
        }
        let longest = (1..=MOST_WORDS.min(tokens.len() - at)).rev();
        let read = longest.filter_map(|many| {
            let text = tokens[at..at + many].join(" ");
            Some((many, quantity(&text)?))
        });
        match read.into_iter().next() {
            Some((many, Quantity(pressure))) => {
                found.pressures.extend(pressure);
                at += many;
            }
            // The lower end of a range has the unit of the upper one, which is read in its turn.
            None if tokens.get(at + 1).is_some_and(|next| TO.contains(next)) => at += 2,
            None => {
                found.unread.push(tokens[at].to_owned());
                at += 1;
            }
        }
    }
    found
}

impl Mentioned {
    /// Returns the greatest pressure.
    pub fn greatest(&self) -> Option<Pressure> {
        let greater = |a: &Pressure, b: &Pressure| a.bar().total_cmp(&b.bar());
        self.pressures.iter().copied().max_by(greater)
    }
}

/// A number with its unit: a pressure, or a time, a depth, a temperature, which bound none.
struct Quantity(Option<Pressure>);

fn quantity(text: &str) -> Option<Quantity> {
    if let Ok(pressure) = parse_pressure(text) {
        return Some(Quantity(Some(pressure.value)));
    }
    let unit = text.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','));
    let counted = COUNTED.contains(&unit.trim().to_lowercase().as_str());
    let known = counted
        || parse_temperature(text).is_ok()
        || parse_temperature_range(text).is_ok()
        || parse_depth(text).is_some();
    known.then_some(Quantity(None))
}

/// Sets signs apart from the numbers beside them; a decimal mark stays, and so does a dash inside a word.
fn spaced(words: &str) -> String {
    let letters: Vec<char> = words.chars().collect();
    let mut out = String::with_capacity(words.len() * 2);
    for (at, letter) in letters.iter().copied().enumerate() {
        let digit = |at: Option<usize>| {
            at.and_then(|at| letters.get(at))
                .is_some_and(char::is_ascii_digit)
        };
        let (before, after) = (digit(at.checked_sub(1)), digit(Some(at + 1)));
        let mark = matches!(letter, '.' | ',');
        let second_dot = letter == '.' && at > 0 && letters[at - 1] == '.';
        let range_dot = letter == '.' && (letters.get(at + 1) == Some(&'.') || second_dot);
        match letter {
            _ if range_dot && !second_dot => out.push_str(" .. "),
            _ if second_dot => {}
            _ if mark && before && after => out.push(letter),
            '.' | ',' | ';' | ':' | '(' | ')' | '[' | ']' | '/' | '=' | '<' | '>' | '≤' | '≥'
            | '~' => out.push(' '),
            '–' | '—' | '…' | '-' if before || after => {
                out.push_str(" - ");
            }
            _ => out.push(letter),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bars(words: &str) -> Vec<String> {
        let round = |p: &Pressure| format!("{:.0}", p.bar());
        mentioned(words).pressures.iter().map(round).collect()
    }

    #[test]
    fn every_pressure_of_free_words_is_read() {
        for (words, expected) in [
            ("air, 200 bar, pool and shallow training to 10 m", vec![200]),
            ("immersion 5 min at 195 bar, no bubbles", vec![195]),
            ("oxygen, 900 bar", vec![900]),
            ("900bar", vec![900]),
            ("max. 3000 psi (207 bar)", vec![207, 207]),
            ("0..232 bar", vec![232]),
            ("50-300 bar", vec![300]),
            ("50 to 300 bar; 12 months", vec![300]),
            ("200 bar/3000 psi", vec![200, 207]),
            ("20,6 bar", vec![21]),
            ("EAN32 to 40 m, 4..30 C", Vec::<i32>::new()),
        ] {
            let expected: Vec<String> = expected.iter().map(i32::to_string).collect();
            assert_eq!(bars(words), expected, "{words}");
        }
        assert!(
            mentioned("air, 200 bar, 10 m, 12 months, 32 %")
                .unread
                .is_empty()
        );
    }

    #[test]
    fn a_number_without_a_unit_is_named() {
        assert_eq!(mentioned("air, 900").unread, ["900"]);
        assert_eq!(
            mentioned("200 bars and 900 of it")
                .unread
                .last()
                .map(String::as_str),
            Some("900")
        );
    }

    proptest::proptest! {
        #[test]
        fn any_words_are_read(words in "\\PC{0,60}") {
            let _ = mentioned(&words);
        }
    }
}
