//! Properties of the note language over random texts: it never panics, its places lie in the text, and what it prints it
//! reads back.

use super::right_notes;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use ringwright::core::note::{NoteReading, decode, print, read_note, read_sheet};

/// Checks what must hold of any text whatever.
fn holds(text: &str, reading: &NoteReading) -> Result<(), TestCaseError> {
    for diagnostic in &reading.diagnostics {
        prop_assert!(
            text.get(diagnostic.span.range()).is_some(),
            "{diagnostic:?}"
        );
        prop_assert_eq!(&text[diagnostic.span.range()], diagnostic.marked.as_str());
        prop_assert!(diagnostic.line >= 1 && diagnostic.column >= 1);
        prop_assert!(!diagnostic.message.is_empty());
    }
    prop_assert!(reading.diagnostics.is_sorted_by_key(|d| d.span));
    prop_assert!(
        reading
            .faulty
            .iter()
            .all(|at| *at < reading.note.entries.len())
    );
    prop_assert!(
        reading.sound_parts().entries.len() + reading.faulty.len() == reading.note.entries.len()
    );
    Ok(())
}

/// Checks that a sound note comes back from its canonical form.
fn returns(reading: NoteReading) -> Result<(), TestCaseError> {
    if !reading.is_sound() {
        return Ok(());
    }
    let printed = print(&reading.note);
    let again = read_note(&printed);
    prop_assert!(again.is_sound(), "{printed}\n{:?}", again.diagnostics);
    prop_assert_eq!(print(&again.note), printed);
    prop_assert_eq!(again.note.without_lines(), reading.note.without_lines());
    Ok(())
}

/// Words of the language, right and wrong, and marks that trip parsers.
const WORDS: [&str; 62] = [
    "model",
    "unit",
    "lengths",
    "date",
    "gas",
    "supply",
    "mm",
    "in",
    "2026-03-14",
    "200 bar",
    "Tarn",
    "[inlet]",
    "[",
    "]",
    ";",
    ";",
    ";",
    ";",
    "o-ring",
    "filter disc",
    "shim",
    "x2",
    "2 off",
    "×",
    "at cap",
    "on condition",
    "replace",
    "keep",
    "used",
    "flattened",
    "od",
    "cs",
    "id",
    "thick",
    "12.9",
    "1,75",
    "23/64\"",
    "1 1/16",
    "±0.02",
    "by",
    "caliper",
    "calliper",
    "flat",
    "gland",
    "piston",
    "face",
    "bore",
    "depth",
    "width",
    "moving",
    "pressure",
    "from",
    "inside",
    "#",
    "\\",
    "\\;",
    ":",
    "=",
    "remark",
    "kind",
    "size 2-012",
    "70A",
];

const JOINTS: [&str; 9] = [" ", " ", " ", "\n", "\n  ", "\t", "\r\n", "\u{a0}", ""];

fn soup() -> impl Strategy<Value = String> {
    vec((select(&WORDS[..]), select(&JOINTS[..])), 0..60)
        .prop_map(|words| words.into_iter().flat_map(|(w, j)| [w, j]).collect())
}

fn free_words() -> impl Strategy<Value = String> {
    "[a-z;#\\\\:=\\[\\]'\"µø0-9-][a-zA-Z0-9;#\\\\:='\"µø .,-]{0,12}"
}

/// A field that the language knows, with hard free words.
fn field() -> impl Strategy<Value = String> {
    prop_oneof![
        select(
            &[
                "replace",
                "keep",
                "inspect",
                "on condition",
                "used",
                "rough",
                "hardened",
                "x3",
                "70A",
                "NBR"
            ][..]
        )
        .prop_map(str::to_owned),
        (
            select(&["at", "under the", "behind", "next to"][..]),
            free_words()
        )
            .prop_map(|(at, w)| format!("{at} {}", escaped(&w))),
        (
            select(
                &[
                    "tool",
                    "colour:",
                    "material =",
                    "remark",
                    "photo",
                    "thread",
                    "position",
                    "drawer"
                ][..]
            ),
            free_words()
        )
            .prop_map(|(key, words)| format!("{key} {}", escaped(&words))),
        (
            select(&["od", "id", "width", "cs"][..]),
            10_u32..3000,
            select(&["", " mm", " by caliper"][..])
        )
            .prop_map(|(key, value, tail)| format!(
                "{key} {}.{:02}{tail}",
                value / 100,
                value % 100
            )),
    ]
}

fn escaped(words: &str) -> String {
    words
        .replace('\\', "\\\\")
        .replace(';', "\\;")
        .replace('#', "\\#")
}

fn part() -> impl Strategy<Value = String> {
    let name = prop_oneof![
        select(
            &[
                "o-ring",
                "filter",
                "shim x2",
                "3 off washer",
                "retaining nut",
                "spring under seat",
                "back-up ring"
            ][..]
        )
        .prop_map(str::to_owned),
        free_words().prop_map(|w| format!("{} ; kind other", escaped(&w))),
    ];
    let gland = select(
        &[
            "",
            "\n  gland face ; width 2.4 ; depth 1.35 ; outer 13 ; static ; pressure 200 bar from inside",
            "\n  gland piston ; bore 25.40±0.02 ; groove 22.4 ; from outside ; remark pitted",
            "\n  # a comment\n  torque 25 N m ; turns 2 1/2",
        ][..],
    );
    (
        name,
        vec(field(), 0..5),
        gland,
        select(&["", " # why", "\n# below", "\n[cap]", "\n[]"][..]),
    )
        .prop_map(|(name, fields, gland, tail)| {
            format!("{}{tail}{gland}", [vec![name], fields].concat().join(" ; "))
        })
}

fn likely_note() -> impl Strategy<Value = String> {
    let header = vec(
        (
            select(&["by", "owner", "remark", "found", "variant", "photo"][..]),
            free_words(),
        ),
        0..3,
    );
    (header, vec(part(), 0..6)).prop_map(|(header, parts)| {
        let lines = header
            .iter()
            .map(|(key, words)| format!("{key} {}\n", escaped(words)));
        format!(
            "# top\nmodel Tarn\nunit 1\ndate 2026-03-14\nlengths mm\n{}[inlet]\n{}\n# end",
            lines.collect::<String>(),
            parts.join("\n")
        )
    })
}

/// A right note with some of its characters taken out, doubled or replaced.
fn mutated() -> impl Strategy<Value = String> {
    let texts: Vec<String> = right_notes().map(|note| note.text).collect();
    let change = (
        any::<prop::sample::Index>(),
        0..4_u8,
        select(
            &[
                ';', '#', '\n', '\t', '"', '\\', 'x', '9', '\u{a0}', '\u{200b}', ',',
            ][..],
        ),
    );
    (select(texts), vec(change, 1..8)).prop_map(|(text, changes)| {
        let mut chars: Vec<char> = text.chars().collect();
        for (at, what, c) in changes {
            let at = at.index(chars.len().max(1)).min(chars.len());
            match what {
                0 if at < chars.len() => drop(chars.remove(at)),
                1 if at < chars.len() => chars.insert(at, chars[at]),
                2 if at < chars.len() => chars[at] = c,
                _ => chars.insert(at, c),
            }
        }
        chars.into_iter().collect()
    })
}

#[test]
fn an_instrument_that_a_line_break_parts_from_its_by_comes_back() {
    let reading = read_note(
        "model Tarn\nunit 7\ndate 2026-03-14\nlengths mm\n\n[inlet]\no-ring ; at cap ; replace ; cs 1,75 by\n  flat\n",
    );
    assert!(reading.is_sound(), "{:?}", reading.diagnostics);
    assert_eq!(reading.note.entries[0].readings[0].method, "flat");
    returns(reading).expect("comes back");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_read_without_panic(bytes in vec(any::<u8>(), 0..200)) {
        let text = decode(&bytes);
        holds(&text, &read_note(&text))?;
        holds(&text, &read_sheet(&text))?;
    }

    #[test]
    fn any_characters_are_read_without_panic(text in "\\PC{0,120}") {
        holds(&text, &read_note(&text))?;
        holds(&text, &read_sheet(&text))?;
        returns(read_note(&text))?;
    }

    #[test]
    fn any_soup_of_words_is_read_without_panic(text in soup()) {
        holds(&text, &read_note(&text))?;
        holds(&text, &read_sheet(&text))?;
        returns(read_note(&format!("model Tarn\nunit 1\n{text}")))?;
    }

    #[test]
    fn a_likely_note_comes_back_from_its_canonical_form(text in likely_note()) {
        let reading = read_note(&text);
        holds(&text, &reading)?;
        returns(reading)?;
    }

    #[test]
    fn a_spoilt_note_still_gives_places_inside_the_text(text in mutated()) {
        let reading = read_note(&text);
        holds(&text, &reading)?;
        holds(&text, &read_sheet(&text))?;
        returns(reading)?;
    }

    #[test]
    fn a_likely_note_comes_back_from_its_sheet(text in likely_note()) {
        super::sheet::returns_from_sheet(read_note(&text))?;
    }
}

/// Most likely notes must be sound, or the round trips above would test nothing.
#[test]
fn the_likely_notes_are_mostly_sound() {
    use proptest::strategy::ValueTree;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let sound = (0..300)
        .filter(|_| {
            let text = likely_note()
                .new_tree(&mut runner)
                .expect("a note")
                .current();
            read_note(&text).is_sound()
        })
        .count();
    assert!(sound >= 60, "{sound} of 300");
}

#[test]
fn a_long_hostile_note_is_read() {
    // Quadratic work would take minutes on these; how time grows is measured by `scripts/bench growth`.
    let line = format!("o-ring ; {} ; od 1\n", "wrong ; ".repeat(50));
    let text = format!("model a\nunit b\nlengths mm\n[x]\n{}", line.repeat(500));
    assert_eq!(read_note(&text).diagnostics.len(), 200);
    let one = format!("model {}", "; # \\ x ".repeat(100_000));
    read_note(&one);
    read_sheet(&"\"a\",".repeat(100_000));
}
