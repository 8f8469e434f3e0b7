//! The name of a part: how many there are, and what kind of part it is.

use super::part_kind::PartKind;
use super::piece::Piece;
use super::reader::Reader;
use super::vocabulary::{Context, begins, split_key, whole};
use crate::core::near_word::{did_you_mean, nearest_of};
use crate::core::quantity::Span;

/// What the first field of a part's line says.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PartName {
    /// The name without the count.
    pub(super) name: String,
    /// The count, where one was written.
    pub(super) count: Option<u32>,
    /// The kind that the name tells, if it tells one.
    pub(super) kind: Option<PartKind>,
    /// The thread that stands behind the name of a plug, nut or screw.
    pub(super) thread: Option<String>,
}

/// Most parts alike that one line can stand for.
const MOST_ALIKE: u32 = 999;

/// Words behind which a name says what the part is for, not what it is.
const TURNING_WORDS: [&str; 10] = [
    "for", "of", "under", "with", "from", "at", "in", "on", "over", "to",
];

impl PartName {
    /// Reads the first field of a part's line.
    pub(super) fn read(field: &Piece) -> Self {
        let text = field.text();
        // A name that holds two counts is kept as it stands: which of them counts cannot be told.
        let (name, count) = split_count(text)
            .filter(|(name, _)| split_count(name).is_none())
            .map_or((text, None), |(name, count)| (name, Some(count)));
        let threaded = Threaded::of(name);
        let (name, thread, behind) = threaded.map_or((name, None, None), |found| {
            (found.name, Some(found.thread), found.count)
        });
        Self {
            name: name.to_owned(),
            count: count.or(behind),
            kind: kind_of(name),
            thread: thread.map(str::to_owned),
        }
    }

    /// Tells whether a name with its count behind it is read as that name and that count.
    pub(super) fn reads_back(name: &str, count: u32) -> bool {
        let text = format!("{name} x{count}");
        let read = Self::read(&Piece::tidied(&text, Span::new(0, text.len())));
        // Without a kind the count could look like what stands behind a key.
        read.thread.is_none()
            && read.name == name
            && read.count == Some(count)
            && read.kind.is_some()
    }

    /// Reports a name that is no name: nothing at all, a key, a word of the header, or a kind with a slip in it.
    ///
    /// Returns the kind to go on with.
    pub(super) fn settle(
        &self,
        field: &Piece,
        stated: Option<PartKind>,
        reader: &mut Reader,
    ) -> PartKind {
        let is_name = !self.name.is_empty() && !self.name.starts_with('[');
        if let Some(kind) = stated.or(self.kind).filter(|_| is_name) {
            return kind;
        }
        let out = &mut reader.diagnostics;
        if !is_name {
            out.error(
                field.span(),
                "this line names no part",
                "begin it with the part's name, such as o-ring, filter or retaining nut",
            );
            return PartKind::Other;
        }
        let at = field.text().find(&self.name).unwrap_or(0);
        if report_no_name(&field.part(at..at + self.name.len()), reader) {
            return PartKind::Other;
        }
        let out = &mut reader.diagnostics;
        let Some((word, meant, kind)) = slip(&self.name) else {
            return PartKind::Other;
        };
        let at = field.text().find(&word).unwrap_or(0);
        out.error(
            field.place(Span::new(at, at + word.len())),
            format!("{word:?} is not a known part (did you mean {meant:?}?)"),
            format!("write {meant}, or say what it is with: kind other"),
        );
        kind
    }
}

/// Reports a first field that is a field of a part, a line of the header or a number, and no name.
fn report_no_name(name: &Piece, reader: &mut Reader) -> bool {
    const NAME_FIRST: &str =
        "begin the line with the part's name, or put this behind the part above with a semicolon";
    let text = name.text();
    let out = &mut reader.diagnostics;
    let is_plain_word = whole(Context::Fate, text).is_some()
        || whole(Context::Condition, text).is_some()
        || begins(Context::Position, text);
    let is_number = text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | 'ø' | 'Ø'));
    let keyed = |context| split_key(context, name).filter(|k| !k.value.is_empty());
    if let Some(keyed) = keyed(Context::Part) {
        let message = format!(
            "{:?} is a field of a part, and this line names no part",
            keyed.key
        );
        out.error(keyed.key_span, message, NAME_FIRST);
    } else if let Some(keyed) = keyed(Context::Header) {
        let message = format!("{:?} speaks of the whole unit", keyed.key);
        out.error(
            keyed.key_span,
            message,
            "move this line above the first part",
        );
    } else if is_plain_word || is_number {
        let message = format!("this line begins with {text:?}, which names no part");
        out.error(name.span(), message, NAME_FIRST);
    } else {
        return false;
    }
    true
}

/// Reads the value of a `kind` field.
pub(super) fn stated_kind(value: &Piece, reader: &mut Reader) -> Option<PartKind> {
    let kind = PartKind::from_words(value.text());
    let spellings = PartKind::spellings().map(|(spelling, _)| spelling);
    let hint = did_you_mean(nearest_of(spellings, value.text()));
    let remedy = "write one such as o-ring, seat, filter, clip, spring, or other";
    reader.known(value, kind, &format!("is not a kind of part{hint}"), remedy)
}

/// Reads a count such as `2` or `x2`.
pub(super) fn count_of(text: &str) -> Option<u32> {
    let digits = text.trim_start_matches(['x', 'X', '×']).trim_start();
    let count: u32 = Some(digits)
        .filter(|d| !d.is_empty() && d.len() <= 3 && d.chars().all(|c| c.is_ascii_digit()))?
        .parse()
        .ok()?;
    (1..=MOST_ALIKE).contains(&count).then_some(count)
}

/// Parts a count from a name: `shim x2`, `shim × 2`, `2x shim`, `2 off shim`, `2 shims`.
fn split_count(text: &str) -> Option<(&str, u32)> {
    trailing_count(text)
        .or_else(|| plural_count(text))
        .or_else(|| leading_count(text))
}

/// Parts a count from a name of several: `shims 3`. "stage 2" is no count.
fn plural_count(text: &str) -> Option<(&str, u32)> {
    let (name, last) = text.rsplit_once(' ')?;
    let word = plain(name.rsplit(' ').next()?);
    let one = word.strip_suffix('s')?;
    let is_plural = PartKind::from_words(&word).is_some() && PartKind::from_words(one).is_some();
    let count = count_of(last).filter(|_| last.bytes().all(|b| b.is_ascii_digit()))?;
    is_plural.then_some((name, count))
}

/// A plug, nut or screw with its thread behind it: `plug 7/16 x 4`, `port plug 7/16-20 UNF`, `screw M4 x 10`.
struct Threaded<'n> {
    name: &'n str,
    thread: &'n str,
    /// How many there are; behind a screw's thread stands its length.
    count: Option<u32>,
}

/// Words that name the form of a thread behind its size.
const THREAD_FORMS: [&str; 10] = [
    "unf", "unc", "unef", "un", "bsp", "bspp", "bspt", "bsf", "npt", "nptf",
];

impl<'n> Threaded<'n> {
    fn of(text: &'n str) -> Option<Self> {
        let at = text
            .match_indices(' ')
            .map(|(at, _)| at)
            .find(|at| is_thread(text[at + 1..].split(' ').next().unwrap_or("")))?;
        let (name, behind) = (&text[..at], &text[at + 1..]);
        let kind = kind_of(name)?;
        let mut size = behind.split(' ').next().unwrap_or("").len();
        let next = behind[size..].trim_start().split(' ').next().unwrap_or("");
        if THREAD_FORMS.contains(&next.to_lowercase().as_str()) {
            size += 1 + next.len();
        }
        let (thread, rest) = (&behind[..size], behind[size..].trim());
        let times = rest.starts_with(['x', 'X', '×']);
        let found = |thread, count| {
            Some(Self {
                name,
                thread,
                count,
            })
        };
        match kind {
            _ if rest.is_empty()
                && matches!(kind, PartKind::Plug | PartKind::Nut | PartKind::Screw) =>
            {
                found(thread, None)
            }
            PartKind::Plug | PartKind::Nut if times => found(thread, Some(count_of(rest)?)),
            PartKind::Screw if times => found(behind, None),
            _ => None,
        }
    }
}

/// Tells whether a word is the size of a thread: `7/16`, `7/16-20`, `8-32`, `M10x1`, `G1/4`.
fn is_thread(word: &str) -> bool {
    let number = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let (size, pitch) = word.split_once('-').unwrap_or((word, ""));
    let fraction = |text: &str| {
        text.split_once('/')
            .is_some_and(|(a, b)| number(a) && number(b))
    };
    let inch = (fraction(size) || number(size) && !pitch.is_empty())
        && (pitch.is_empty() || number(pitch));
    let metric = word.strip_prefix(['M', 'm']).is_some_and(|rest| {
        rest.starts_with(|c: char| c.is_ascii_digit())
            && rest
                .chars()
                .all(|c| c.is_ascii_digit() || matches!(c, 'x' | 'X' | '×' | '.' | ','))
    });
    let pipe = word.strip_prefix(['G', 'R']).is_some_and(fraction);
    inch || metric || pipe
}

fn trailing_count(text: &str) -> Option<(&str, u32)> {
    let (before, last) = text.rsplit_once(' ')?;
    let (name, count) = if last.starts_with(['x', 'X', '×']) {
        (before, count_of(last)?)
    } else {
        let (name, mark) = before.rsplit_once(' ')?;
        let count = match mark {
            "x" | "X" | "×" => count_of(last)?,
            _ if last == "off" => return Some((name, count_of(mark)?)),
            _ => return None,
        };
        (name, count)
    };
    // "12 x 2" is a size, not two of twelve.
    let is_size = name.ends_with(|c: char| c.is_ascii_digit() || matches!(c, '"' | '″'))
        || name.to_lowercase().ends_with("mm")
        || name.to_lowercase().ends_with(" in");
    (!is_size).then_some((name, count))
}

fn leading_count(text: &str) -> Option<(&str, u32)> {
    let (first, rest) = text.split_once(' ')?;
    if let Some(digits) = first.strip_suffix(['x', 'X', '×']) {
        return Some((rest, count_of(digits)?));
    }
    let count = count_of(first).filter(|_| first.starts_with(|c: char| c.is_ascii_digit()))?;
    let (second, behind) = rest.split_once(' ').unwrap_or((rest, ""));
    if matches!(second, "x" | "X" | "×" | "off") && !behind.is_empty() {
        return Some((behind, count));
    }
    kind_of(rest).map(|_| (rest, count))
}

/// The most words of one spelling of a kind.
const MOST_WORDS: usize = 3;

/// Finds the kind that a name tells: the last known word before words such as "for" or "under".
fn kind_of(name: &str) -> Option<PartKind> {
    let lower = plain(name);
    let words: Vec<&str> = lower.split(' ').collect();
    let head = words
        .iter()
        .position(|word| TURNING_WORDS.contains(word))
        .filter(|at| *at > 0)
        .unwrap_or(words.len());
    (0..head).rev().find_map(|at| {
        let from = at.saturating_sub(MOST_WORDS - 1);
        (from..=at).find_map(|first| PartKind::from_words(&words[first..=at].join(" ")))
    })
}

/// Finds a word of a name that is a kind with a slip in it.
fn slip(name: &str) -> Option<(String, &'static str, PartKind)> {
    name.split(' ').find_map(|word| {
        let spellings = PartKind::spellings().map(|(spelling, _)| spelling);
        let meant = nearest_of(spellings, &plain(word))?;
        Some((word.to_owned(), meant, PartKind::from_words(meant)?))
    })
}

/// Puts a name into lower case with plain hyphens and without marks at the ends of words.
fn plain(name: &str) -> String {
    let lower = name
        .to_lowercase()
        .replace(['\u{2010}', '\u{2011}', '\u{2013}'], "-");
    let words: Vec<&str> = lower
        .split(' ')
        .map(|word| word.trim_matches([',', '.', ':', '(', ')', '"', '\'']))
        .collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (String, Option<u32>, Option<PartKind>) {
        let name = PartName::read(&Piece::tidied(text, Span::new(0, text.len())));
        (name.name, name.count, name.kind)
    }

    #[test]
    fn counts_are_read_before_and_behind_the_name() {
        for text in [
            "shim x2",
            "shim ×2",
            "shim x 2",
            "2x shim",
            "2 x shim",
            "2 off shim",
            "shim 2 off",
            "2 shim",
        ] {
            assert_eq!(
                read(text),
                ("shim".to_owned(), Some(2), Some(PartKind::Shim)),
                "{text}"
            );
        }
        assert_eq!(read("o-ring 12 x 2").1, None);
        assert_eq!(read("o-ring 12 mm x 2").1, None);
        assert_eq!(read("1/2 in plug").1, None);
        assert_eq!(read("stage 2").1, None);
        assert_eq!(
            read("shims 3"),
            ("shims".to_owned(), Some(3), Some(PartKind::Shim))
        );
        assert_eq!(read("shim x0").1, None);
    }

    #[test]
    fn a_thread_behind_a_plug_nut_or_screw_is_no_part_of_its_name() {
        let read = |text: &str| {
            let name = PartName::read(&Piece::tidied(text, Span::new(0, text.len())));
            (name.name, name.thread.unwrap_or_default(), name.count)
        };
        let told = |name: &str, thread: &str, count| (name.to_owned(), thread.to_owned(), count);
        assert_eq!(read("plug 7/16 x 4"), told("plug", "7/16", Some(4)));
        assert_eq!(
            read("port plug 7/16-20 UNF"),
            told("port plug", "7/16-20 UNF", None)
        );
        assert_eq!(read("screw M4 x 10"), told("screw", "M4 x 10", None));
        assert_eq!(read("nut M10x1 x2"), told("nut", "M10x1", Some(2)));
        assert_eq!(read("nut 5/8 AF"), told("nut 5/8 AF", "", None));
        assert_eq!(read("o-ring 12 x 2"), told("o-ring 12 x 2", "", None));
    }

    #[test]
    fn the_last_word_before_a_turning_word_tells_the_kind() {
        for (name, kind) in [
            ("retaining nut", Some(PartKind::Nut)),
            ("filter disc", Some(PartKind::Filter)),
            ("filter clip", Some(PartKind::Clip)),
            ("piston O-ring", Some(PartKind::Ring)),
            ("O ring", Some(PartKind::Ring)),
            ("o\u{2011}ring", Some(PartKind::Ring)),
            ("retaining ring", Some(PartKind::Clip)),
            ("back-up ring", Some(PartKind::BackupRing)),
            ("piston backup ring", Some(PartKind::BackupRing)),
            ("X-ring", Some(PartKind::QuadRing)),
            ("square section ring", Some(PartKind::SquareRing)),
            ("nut for filter", Some(PartKind::Nut)),
            ("spring under the seat", Some(PartKind::Spring)),
            ("wing thing", None),
        ] {
            assert_eq!(read(name).2, kind, "{name}");
        }
    }
}
