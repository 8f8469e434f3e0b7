//! Numbers, runs of letters and single signs: what a folded text consists of.

use super::fold::is_of_unspaced_script;

/// What an atom is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum AtomKind {
    /// A number as written, with its decimals or its fraction.
    Number,
    /// Letters; of a script without white space a single one.
    Letters,
    /// A single sign.
    Sign,
}

/// One atom of a folded text.
#[derive(Debug, Clone, Copy)]
pub(super) struct Atom<'t> {
    pub(super) text: &'t str,
    pub(super) kind: AtomKind,
    /// White space stands before it.
    pub(super) spaced: bool,
    /// The byte at which it begins.
    pub(super) begin: usize,
}

/// Splits a folded text into atoms.
pub(super) fn atoms(text: &str) -> Vec<Atom<'_>> {
    let mut found: Vec<Atom<'_>> = Vec::with_capacity(16);
    let (mut at, mut spaced) = (0, true);
    while let Some(first) = text[at..].chars().next() {
        if first.is_whitespace() {
            at += first.len_utf8();
            spaced = true;
            continue;
        }
        let (kind, length) = measure(text, at, first, found.last());
        found.push(Atom {
            text: &text[at..at + length],
            kind,
            spaced,
            begin: at,
        });
        at += length;
        spaced = false;
    }
    found
}

fn measure(text: &str, at: usize, first: char, before: Option<&Atom<'_>>) -> (AtomKind, usize) {
    let rest = &text[at..];
    let opens = matches!(first, '.' | ',')
        && digits(&rest[1..]) > 0
        && begins_decimal(first, before, text, at);
    if first.is_ascii_digit() || opens {
        return (AtomKind::Number, number(rest));
    }
    if is_of_unspaced_script(first) || !first.is_alphabetic() {
        let kind = if first.is_alphabetic() {
            AtomKind::Letters
        } else {
            AtomKind::Sign
        };
        return (kind, first.len_utf8());
    }
    let run =
        |c: &char| c.is_alphabetic() && !is_of_unspaced_script(*c) && *c != super::fold::DIAMETER;
    if !run(&first) {
        return (AtomKind::Sign, first.len_utf8());
    }
    let length = rest.chars().take_while(run).map(char::len_utf8).sum();
    (
        AtomKind::Letters,
        part_of_run(&rest[..length], &rest[length..], before),
    )
}

/// A point opens a decimal behind anything but a digit or letter; a comma only behind a sign of times or tolerance.
fn begins_decimal(mark: char, before: Option<&Atom<'_>>, text: &str, at: usize) -> bool {
    let glued = !text[..at].ends_with(char::is_whitespace);
    match before {
        None => mark == '.',
        Some(atom) if atom.text.ends_with('X') || matches!(atom.text, "*" | "±") => true,
        // "10...12": a range.
        Some(atom) if atom.text == "." => false,
        Some(atom) => mark == '.' && (!glued || atom.kind == AtomKind::Sign),
    }
}

fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// The bytes of a number: decimals, "3/8", "1-1/4"; "1.2.3" is one number that no reader understands.
fn number(text: &str) -> usize {
    let mark = |at: usize| text[at..].starts_with(['.', ',']) && digits(&text[at + 1..]) > 0;
    let mut end = digits(text);
    if mark(end) {
        while mark(end) {
            end += 1 + digits(&text[end + 1..]);
        }
        return end;
    }
    if let Some(length) = fraction(text) {
        return length;
    }
    let whole = text[..end].len() <= 2 && !text.starts_with('0');
    if whole
        && text[end..].starts_with('-')
        && let Some(length) = fraction(&text[end + 1..])
    {
        return end + 1 + length;
    }
    end
}

/// The bytes of a fraction below one; what follows is no further fraction or decimal.
fn fraction(text: &str) -> Option<usize> {
    let above = digits(text);
    let below = digits(text[above..].strip_prefix('/')?);
    let end = above + 1 + below;
    let value = |part: &str| part.parse::<u32>().ok();
    let proper = value(&text[..above])? < value(&text[above + 1..end])?;
    let ends = !text[end..].starts_with(['/', '.', ','])
        || !text[end + 1..].starts_with(|c: char| c.is_ascii_digit());
    (proper && ends).then_some(end)
}

/// A run glued to numbers may hold a unit or a sign of times: "2MMX", "IDX0.07", "2XNBR".
fn part_of_run(run: &str, behind: &str, before: Option<&Atom<'_>>) -> usize {
    let after_number = before.is_some_and(|atom| atom.kind == AtomKind::Number);
    let before_number = behind.starts_with(|c: char| {
        c.is_ascii_digit() || matches!(c, '.' | ',' | super::fold::DIAMETER)
    });
    if after_number && run.len() > 1 {
        if run.starts_with('X') && !run.starts_with("XNBR") {
            return 1;
        }
        if let Some(unit) = ["MM", "IN"].into_iter().find(|unit| run.starts_with(unit)) {
            let rest = &run[unit.len()..];
            if rest.starts_with('X') || *unit == *"MM" {
                return unit.len();
            }
        }
    }
    match run.strip_suffix('X') {
        Some(rest)
            if before_number
                && !rest.is_empty()
                && (after_number || matches!(rest, "ID" | "OD" | "MM")) =>
        {
            rest.len()
        }
        _ => run.len(),
    }
}
