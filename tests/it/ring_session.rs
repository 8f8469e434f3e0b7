//! The dialogue at the bench: as a library, and as a user holds it over a pipe.

use super::program::{Answer, Workshop};
use proptest::prelude::*;
use ringwright::app::ring::identify::RingNamer;
use ringwright::app::ring::question::RingQuestion;
use ringwright::app::ring::session::RingSession;
use ringwright::app::ring::session_said::{Advice, Said};
use ringwright::core::identification::Prior;
use ringwright::core::measurement::{Condition, Measurand};
use ringwright::core::note::read_note;
use ringwright::core::quantity::LengthUnit;
use ringwright::render::said_text;

fn session(declared: Option<LengthUnit>) -> RingSession {
    let namer = RingNamer::new(&Prior::default());
    let mut session = RingSession::new(namer, RingQuestion::default(), declared);
    session.greet();
    session
}

fn hold(lines: &[&str]) -> (RingSession, Vec<Said>) {
    let mut session = session(None);
    let mut said = Vec::new();
    for line in lines {
        said = session.hear(line);
    }
    (session, said)
}

/// The lines for the note, read by the note language as they stand.
fn note_of(said: &[Said]) -> (String, ringwright::core::note::NoteReading) {
    let lines = said
        .iter()
        .find_map(|s| match s {
            Said::Note(lines) => Some(lines.join("\n")),
            _ => None,
        })
        .expect("a note line");
    let note = format!("model Tarn\nunit 1\ndate 2026-03-14\nlengths mm\n[cap]\n{lines}\n");
    let reading = read_note(&note);
    (lines, reading)
}

#[test]
fn two_readings_name_the_ring_and_end_with_a_line_that_a_note_takes() {
    let (session, said) = hold(&["od 12.80 12.85 mm by caliper", "cs 1.74 mm by flat", "done"]);
    assert!(session.is_over());
    let first = &session.answer().expect("named").candidates[0];
    assert_eq!(first.codes[0], "AS568-012");
    let (lines, reading) = note_of(&said);
    assert!(reading.is_sound(), "{lines}: {:?}", reading.diagnostics);
    let entry = &reading.note.entries[0];
    assert_eq!(entry.readings.len(), 2);
    assert_eq!(entry.readings[0].values, [12.80, 12.85]);
    assert_eq!(entry.readings[1].method, "flat");
    assert_eq!(
        entry.condition.as_ref().map(|c| c.value),
        Some(Condition::Used)
    );
    assert!(
        entry.remarks[0].contains("AS568-012"),
        "{:?}",
        entry.remarks
    );
}

#[test]
fn a_bare_answer_goes_to_the_question_with_its_instrument() {
    let mut session = session(Some(LengthUnit::Mm));
    session.hear("12.85");
    let answer = session.answer().expect("named");
    assert_eq!(answer.readings[0].reading, "od");
    assert_eq!(answer.readings[0].typed, "12.85 mm by caliper");
}

#[test]
fn undo_gives_back_the_very_odds_from_before() {
    let (one, _) = hold(&["od 12.80 mm by caliper"]);
    let (two, said) = hold(&["od 12.80 mm by caliper", "cs 17.4 mm by flat", "undo"]);
    let odds = |s: &RingSession| -> Vec<(String, f64)> {
        let answer = s.answer().expect("named");
        let pairs = answer.candidates.iter();
        pairs.map(|c| (c.codes[0].clone(), c.probability)).collect()
    };
    assert_eq!(odds(&one), odds(&two));
    assert!(said_text(&said).contains("Taken back: section 17.4 mm by flat."));
    let (none, said) = hold(&["undo"]);
    assert!(none.answer().is_none());
    assert!(said_text(&said).contains("nothing to take back"));
}

#[test]
fn a_repeat_joins_the_reading_it_repeats() {
    let (session, _) = hold(&["od 12.80 mm by caliper", "od .506 in by caliper"]);
    let answer = session.answer().expect("named");
    assert_eq!(answer.readings.len(), 1);
    let (both, _) = hold(&["od 12.80 mm .506 in by caliper"]);
    let value = |s: &RingSession| s.answer().map(|a| a.readings[0].value);
    assert_eq!(value(&session), value(&both));
    let (_, said) = hold(&["od 12.80 mm by caliper", "od .506 in by caliper", "undo"]);
    assert!(said_text(&said).contains("is 12.80 mm by caliper again"));
}

#[test]
fn what_changed_is_said_and_the_end_is_advised_when_one_ring_leads() {
    let (_, said) = hold(&["od 12.80 12.81 mm by scan", "cs 1.76 mm by flat"]);
    assert!(
        said_text(&said).contains("What changed: "),
        "{}",
        said_text(&said)
    );
    // 10.46 x 5.33 mm has no listed neighbour near it: its diameter and section settle it.
    let (session, said) = hold(&[
        "condition new",
        "od 21.12 21.11 mm by scan",
        "cs 5.32 mm by flat",
    ]);
    let first = &session.answer().expect("named").candidates[0];
    let advised = said.iter().any(|s| {
        matches!(
            s,
            Said::Ask {
                advice: Advice::Enough,
                ..
            }
        )
    });
    assert_eq!(advised, first.probability >= 0.95, "{first:?}");
    assert!(advised, "{first:?}");
}

#[test]
fn only_the_instruments_at_hand_are_asked_for_and_skipped_dimensions_are_not() {
    let asked = |said: &[Said]| {
        said.iter().find_map(|s| match s {
            Said::Ask { ask, .. } => ask.clone(),
            _ => None,
        })
    };
    let (_, said) = hold(&["have rule, scale", "od 13 mm by rule"]);
    let ask = asked(&said).expect("a question");
    assert!(["rule", "scale"].contains(&ask.method.as_str()), "{ask:?}");
    let (_, said) = hold(&["have caliper", "skip"]);
    assert_ne!(asked(&said).map(|a| a.measurand), Some(Measurand::Od));
    let (_, said) = hold(&["have calipre"]);
    assert!(matches!(&said[0], Said::Fault { span, .. } if span.range() == (5..12)));
}

#[test]
fn wrong_lines_are_marked_and_the_question_stands_again() {
    let cases = [
        ("od 12.85 furlong", "furlong"),
        ("12.85 mm by laser", "laser"),
        ("12.85", "12.85"),
        ("od", ""),
        ("undoo", "undoo"),
        ("unit km", "km"),
        ("undo it", "it"),
        ("condition flat", "flat"),
        ("od 9.25±0.1 mm", "9.25±0.1 mm"),
        ("od 0 mm by caliper", "od 0 mm by caliper"),
    ];
    for (line, marked) in cases {
        let (session, said) = hold(&[line]);
        let [
            Said::Fault { span, message, .. },
            Said::Ask { ask: Some(_), .. },
        ] = said.as_slice()
        else {
            panic!("{line}: {said:?}");
        };
        assert_eq!(&line[span.range()], marked, "{line}: {message}");
        assert!(session.answer().is_none());
    }
}

#[test]
fn a_second_method_and_a_mass_are_not_lost_in_the_note() {
    let (_, said) = hold(&[
        "od 12,80; 12,85 mm by caliper",
        "od 12.83 mm by scan",
        "cs 1.74 mm by flat",
        "mass 0.05 g by scale",
        "mass 0.06 g by scale",
        "done",
    ]);
    let (lines, reading) = note_of(&said);
    assert!(reading.is_sound(), "{lines}: {:?}", reading.diagnostics);
    for text in ["12,80  12,85 mm", "12.83 mm by scan", "0.05 g", "0.06 g"] {
        assert!(lines.contains(text), "{lines}");
    }
    assert!(
        lines.lines().all(|line| line.chars().count() <= 80),
        "{lines}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is typed, the dialogue answers within 80 columns and ends with a sound note line where anything was read.
    #[test]
    fn any_lines_are_answered_in_eighty_columns(
        lines in prop::collection::vec(
            prop_oneof![
                "\\PC{0,120}",
                "(od|id|cs|width|cut|mass)[ :=]{1,2}[0-9]{1,2}[.,][0-9]{1,3} (mm|in|g|\")( by (caliper|flat|scan|rule|scale))?",
                Just("undo".to_owned()),
                Just("skip".to_owned()),
                "have (caliper|rule|scale|x)",
                "(new|used|rough|odds|help|unit mm)",
            ],
            0..8,
        )
    ) {
        let mut session = session(None);
        for line in &lines {
            if session.is_over() {
                break;
            }
            let text = said_text(&session.hear(line));
            for shown in text.lines() {
                prop_assert!(shown.chars().count() <= 80, "{}", shown);
            }
        }
        let said = session.end();
        if session.answer().is_some() {
            let (text, reading) = note_of(&said);
            prop_assert!(reading.is_sound(), "{}: {:?}", text, reading.diagnostics);
        }
    }
}

fn pipe(line: &str, input: &str) -> Answer {
    Workshop::new().typed(line, input)
}

#[test]
fn over_a_pipe_the_end_of_the_input_ends_with_the_note_line() {
    let output = pipe("ring --ask --unit mm", "12.80 12.85\ncs 1.74 by flat");
    let text = output.out;
    assert_eq!(output.code, Some(0), "{text}");
    assert!(!text.contains("> "), "{text}");
    let last: Vec<&str> = text.lines().rev().take(2).collect();
    assert_eq!(
        last[1],
        "o-ring ; used ; od 12.80 12.85 mm by caliper ; cs 1.74 mm by flat"
    );
    assert!(
        last[0].starts_with("  remark looks like AS568-012"),
        "{text}"
    );
    let nothing = pipe("ring --ask", "");
    assert_eq!(nothing.code, Some(1));
    let json = pipe("ring --ask --format json", "");
    assert_eq!(json.code, Some(2));
}

#[test]
fn bytes_that_are_no_text_and_endless_lines_do_not_end_the_dialogue() {
    let long = "9".repeat(20_000);
    let output = pipe(
        "ring --ask",
        &format!("{long}\n\u{1b}[2J\nod 12.8 mm\ndone\n"),
    );
    assert_eq!(output.code, Some(0));
    assert!(!output.out.contains('\u{1b}'));
}

#[test]
fn without_a_reading_and_without_a_terminal_the_command_says_what_to_give() {
    let output = pipe("ring", "od 12.8 mm\n");
    assert_eq!(output.code, Some(2));
    assert!(output.out.is_empty(), "{}", output.shown());
    let text = output.err;
    assert!(text.contains("--od"), "{text}");
}
