//! One way to write every sign: capitals without accents, one sign of times, one dash, half-width figures.

use unicode_normalization::UnicodeNormalization as _;
use unicode_normalization::char::is_combining_mark;

/// The sign of a diameter, as every spelling of it is folded.
pub(super) const DIAMETER: char = 'Ø';

/// Folds a text; tables are folded by it too, so that a row is found however the word is written.
pub(super) fn fold(text: &str) -> String {
    if text.is_ascii() {
        return text.to_ascii_uppercase();
    }
    let letters: Vec<char> = text.chars().collect();
    let mut folded = String::with_capacity(text.len());
    for (at, letter) in letters.iter().enumerate() {
        push(&mut folded, *letter, &letters[at + 1..]);
    }
    folded
}

fn push(folded: &mut String, letter: char, behind: &[char]) {
    match letter {
        'Ø' | 'ø' | 'φ' | 'Φ' | '⌀' | '∅' => {
            // Danish and Norwegian write the letter inside words.
            let inside = folded.ends_with(char::is_alphabetic)
                || behind.len() > 1 && behind[..2].iter().all(|c| c.is_lowercase());
            folded.push(if inside && matches!(letter, 'Ø' | 'ø') {
                'O'
            } else {
                DIAMETER
            });
        }
        'х' | 'Х' if is_between_numbers(folded, behind) => folded.push('X'),
        '×' | '✕' | '⨯' | '∗' | '╳' | '✖' => folded.push('X'),
        '”' | '“' | '″' => folded.push('"'),
        '‐' | '‑' | '‒' | '–' | '—' | '−' | '－' => folded.push('-'),
        '’' | '‘' => folded.push('\''),
        'º' => folded.push('°'),
        '℃' => folded.push_str("°C"),
        '·' if folded.ends_with(|c: char| c.is_ascii_digit()) => folded.push('.'),
        'đ' | 'Đ' => folded.push('D'),
        'ł' | 'Ł' => folded.push('L'),
        'ı' => folded.push('I'),
        '¼' | '½' | '¾' | '⅛' | '⅜' | '⅝' | '⅞' => push_fraction(folded, letter),
        '\u{2044}' => folded.push('/'),
        _ if is_combining_mark(letter) => {}
        _ if is_latin(letter) => {
            let plain = std::iter::once(letter)
                .nfkd()
                .filter(|c| !is_combining_mark(*c));
            folded.extend(plain.flat_map(char::to_uppercase));
        }
        _ => folded.extend(letter.to_uppercase()),
    }
}

/// "1¼" is a whole and a fraction.
fn push_fraction(folded: &mut String, sign: char) {
    if folded.ends_with(|c: char| c.is_ascii_digit()) {
        folded.push('-');
    }
    folded.extend(
        std::iter::once(sign)
            .nfkd()
            .map(|c| if c == '\u{2044}' { '/' } else { c }),
    );
}

/// Latin letters with accents, full-width figures and letters.
fn is_latin(c: char) -> bool {
    matches!(c, '\u{80}'..='\u{24f}' | '\u{1e00}'..='\u{1eff}' | '\u{ff01}'..='\u{ff5e}')
}

/// The Cyrillic letter that looks like a sign of times is one between numbers.
fn is_between_numbers(before: &str, behind: &[char]) -> bool {
    let number = |c: char| c.is_numeric() || matches!(c, 'М' | 'M' | '.' | DIAMETER | 'ø');
    before.trim_end().ends_with(number)
        && behind
            .iter()
            .find(|c| !c.is_whitespace())
            .is_some_and(|c| number(*c))
}

/// Letters of scripts that write no white space between words.
pub(super) fn is_of_unspaced_script(c: char) -> bool {
    matches!(c, '\u{3005}' | '\u{3040}'..='\u{30ff}' | '\u{3400}'..='\u{9fff}' | '\u{ac00}'..='\u{d7af}' | '\u{f900}'..='\u{faff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_of_one_sign_become_one() {
        for (text, folded) in [
            ("Ｏリング １２×２", "Oリング 12X2"),
            ("10х2", "10X2"),
            ("ø14×1·78", "Ø14X1.78"),
            ("støttering", "STOTTERING"),
            ("1¼\" ⅛”", "1-1/4\" 1/8\""),
            ("außen tórica vitón", "AUSSEN TORICA VITON"),
            ("O–Ring", "O-RING"),
        ] {
            assert_eq!(fold(text), folded);
        }
    }
}
