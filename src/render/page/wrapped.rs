//! Breaking a text into lines.

use super::drawing::{Type, settable};

/// Distance of base lines in sizes of the type.
pub const LEADING: f64 = 1.3;

/// Breaks a text into lines that fit a width: at spaces, and within a word that is wider than a line.
///
/// Nothing is cut off; a width that holds no character gives one character a line. An empty text gives no line.
pub fn wrapped(text: &str, style: Type, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in words_of(text).flat_map(|word| pieces_of(word, style, width)) {
        let word = settable(word);
        let longer = if line.is_empty() {
            word.clone()
        } else {
            format!("{line} {word}")
        };
        if style.width(&longer) <= width {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        line = broken(&word, style, width, &mut lines);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Lists the words of a text; a space that must not be broken at (U+00A0) is part of its word.
pub(super) fn words_of(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| c.is_whitespace() && c != '\u{a0}')
        .filter(|word| !word.is_empty())
}

/// Keeps a word whole where a line holds it; a wider one may be broken at its no-break spaces too, sooner than in a letter.
fn pieces_of(word: &str, style: Type, width: f64) -> Vec<&str> {
    if style.width(word) <= width {
        return vec![word];
    }
    word.split('\u{a0}')
        .filter(|piece| !piece.is_empty())
        .collect()
}

/// Breaks a word into whole lines and returns what is left of it.
fn broken(word: &str, style: Type, width: f64, lines: &mut Vec<String>) -> String {
    if style.width(word) <= width {
        return word.to_owned();
    }
    let mut line = String::new();
    let mut reach = 0.0;
    for character in word.chars() {
        let wide = style.width(character.encode_utf8(&mut [0; 4]));
        if !line.is_empty() && reach + wide > width {
            lines.push(std::mem::take(&mut line));
            reach = 0.0;
        }
        line.push(character);
        reach += wide;
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_value_and_its_unit_part_only_where_no_line_holds_both() {
        let style = Type::plain(9.0);
        let together = "7.45\u{a0}mm";
        let wide = style.width(together);
        assert_eq!(
            wrapped(&format!("is {together}"), style, wide),
            ["is", together]
        );
        assert_eq!(wrapped(together, style, wide - 1.0), ["7.45", "mm"]);
    }

    proptest! {
        #[test]
        fn wrapping_loses_nothing_and_fits(text in "[a-zé漢 ]{0,120}", width in 12.0_f64..200.0) {
            let style = Type::plain(9.0);
            let lines = wrapped(&text, style, width);
            let dense = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            prop_assert_eq!(dense(&lines.concat()), dense(&settable(&text)));
            for line in &lines {
                prop_assert!(style.width(line) <= width || line.chars().count() == 1, "{}", line);
            }
        }
    }
}
