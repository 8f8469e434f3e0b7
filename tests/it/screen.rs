//! Answers fit on one screen: what to do, the figures that carry it, what to know; the rest is shown with `--full`.

use super::program::at_book;
use std::path::Path;

fn lines(book: &Path, line: &str) -> Vec<String> {
    let output = at_book(book, line).output().expect("the program runs");
    let text = String::from_utf8(output.stdout).expect("text");
    text.lines().map(str::to_owned).collect()
}

const GLAND: &str = "--kind piston --bore \"25.40+0.05/-0 mm\" --groove \"22.40±0.02 mm\" --width \"2.40 mm\" --piston \"25.33 mm\" \
    --pressure \"10 bar\" --duty moving";

#[test]
fn each_answer_of_the_demo_is_one_screen() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book");
    lines(&book, "demo");
    lines(&book, "job open \"Tarn 2\" FT2-005102 --by \"M. Okafor\"");
    let long: Vec<String> = [
        (String::new(), 12),
        (
            "ring --od \"12.80 12.85 mm by caliper\" --cs \"1.72 mm by caliper\" --condition used"
                .to_owned(),
            20,
        ),
        ("parts Tarn".to_owned(), 27),
        ("parts \"Tarn 2\"".to_owned(), 27),
        (format!("gland check {GLAND} --ring AS568-020"), 20),
        (format!("gland fit {GLAND}"), 20),
        ("order Tarn".to_owned(), 30),
        ("stock kit Tarn --for FT-000311".to_owned(), 30),
        ("offer find AS568-012".to_owned(), 26),
        ("book check".to_owned(), 14),
        ("size AS568-012".to_owned(), 29),
        ("thread --od 20.8mm --pitch \"14 tpi\"".to_owned(), 20),
        ("job show 1".to_owned(), 60),
    ]
    .into_iter()
    .filter_map(|(line, most)| {
        let shown = lines(&book, &line);
        let empty = shown.is_empty();
        (shown.len() > most || empty).then(|| {
            format!(
                "{line}: {} lines, {most} at most\n{}",
                shown.len(),
                shown.join("\n")
            )
        })
    })
    .collect();
    assert!(long.is_empty(), "{}", long.join("\n\n"));
}

#[test]
fn what_stands_behind_an_answer_is_shown_when_asked_and_the_caution_is_never_left_out() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("no.book");
    let check = format!("gland check {GLAND} --ring AS568-020");
    let (short, why, full) = (
        lines(&book, &check),
        lines(&book, &format!("{check} --why")),
        lines(&book, &format!("{check} --full")),
    );
    let has = |page: &[String], what: &str| page.iter().any(|line| line.contains(what));
    assert!(has(&short, "CAUTION: life support") && has(&short, "--full"));
    assert!(!has(&short, "Sources") && !has(&short, "Figures"));
    assert!(has(&why, "Sources") && !has(&why, "Figures"));
    assert!(has(&full, "Sources") && has(&full, "Figures"));
    assert!(has(&full, "CAUTION: Breathing gas is life support."));
}
