//! Whole numbers with a fraction behind them: "1 1/16" in a description is one number.

use super::material_words::sold_hardness;

/// Joins the two words of each mixed number with a dash, "1-1/16", so that they stay one word.
///
/// Not joined is what can be two numbers: a whole of more than two digits or with a zero in front (a dash number), one that
/// compounds are sold in (a hardness), and a fraction that is not below one.
pub(super) fn join_mixed_numbers(text: String) -> String {
    let bytes = text.as_bytes();
    let slashes = (0..bytes.len()).filter(|at| bytes[*at] == b'/');
    let gaps: Vec<_> = slashes.filter_map(|at| gap_before(&text, at)).collect();
    if gaps.is_empty() {
        return text;
    }
    let mut joined = String::with_capacity(text.len());
    let mut from = 0;
    for gap in gaps {
        joined.push_str(&text[from..gap.start]);
        joined.push('-');
        from = gap.end;
    }
    joined.push_str(&text[from..]);
    joined
}

/// The white space between a whole number and the fraction whose line stands at `slash`.
fn gap_before(text: &str, slash: usize) -> Option<std::ops::Range<usize>> {
    let (before, above) = last_digits(&text[..slash]);
    let below = &text[slash + 1..];
    let end = below
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(below.len());
    let proper = above.parse::<u32>().ok()? < below[..end].parse().ok()?;
    let ends = !below[end..].starts_with(['/', '.', ',']);
    let words = before.trim_end();
    let (left, whole) = last_digits(words);
    let begins = left.ends_with(|c: char| c.is_whitespace() || matches!(c, 'X' | '*' | '=' | ':'))
        || left.is_empty();
    let number =
        (1..=2).contains(&whole.len()) && !whole.starts_with('0') && sold_hardness(whole).is_none();
    (proper && ends && begins && number && words.len() < before.len())
        .then_some(words.len()..before.len())
}

/// Tells whether a word is a whole number.
pub(super) fn is_whole(word: &str) -> bool {
    word.bytes().all(|b| b.is_ascii_digit())
}

/// Tells whether a word ends in digits that may be the whole of a mixed number: no dash number, no hardness, no decimals.
pub(super) fn may_be_whole(word: &str) -> bool {
    let (before, digits) = last_digits(word);
    let whole = (1..=2).contains(&digits.len()) && !before.ends_with(['.', ',', '/']);
    whole && sold_hardness(digits).is_none()
}

fn last_digits(text: &str) -> (&str, &str) {
    text.split_at(text.trim_end_matches(|c: char| c.is_ascii_digit()).len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_whole_and_its_fraction_become_one_word_and_two_numbers_do_not() {
        let join = |text: &str| join_mixed_numbers(text.to_owned());
        assert_eq!(join("1 1/16 X 1  1/4 X 3/32"), "1-1/16 X 1-1/4 X 3/32");
        assert_eq!(join("O-RING 11 1/2X11 3/4\""), "O-RING 11-1/2X11-3/4\"");
        for text in [
            "012 3/8 X 1/16",
            "210 3/4 X 1 X 1/8",
            "NBR 70 1/4 X 3/8 X 1/16",
            "PK10 1/4 X 1/16",
            "1 17/16",
            "1 1/2/3",
            "1/2 1/4",
            "1.5 1/4",
            "/",
            "× 1/",
        ] {
            assert_eq!(join(text), text);
        }
    }
}
