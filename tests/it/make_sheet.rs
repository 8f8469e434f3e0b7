//! `sheet make`: a part that cannot be bought, drawn in true size.

use super::program::{Workshop, find};

fn svg(shop: &Workshop, line: &str) -> String {
    shop.done(&format!("sheet make {line} --date 2026-03-14 --out a.svg"));
    // One file a page: the drawing and the figures, then what each unit recorded.
    ["a-1.svg", "a-2.svg"].map(|page| shop.read(page)).concat()
}

/// The widths of all closed outlines of curves in points: circles.
fn circles(svg: &str) -> Vec<f64> {
    let paths = svg
        .split(" d=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next());
    let round = paths.filter(|path| path.contains('C'));
    round
        .map(|path| {
            let numbers = path
                .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
                .filter_map(|number| number.parse::<f64>().ok());
            let across: Vec<f64> = numbers.step_by(2).collect();
            let least = across.iter().copied().fold(f64::INFINITY, f64::min);
            across.iter().copied().fold(f64::NEG_INFINITY, f64::max) - least
        })
        .collect()
}

const POINTS_A_MM: f64 = 72.0 / 25.4;

#[test]
fn a_seat_is_drawn_in_true_size_with_what_is_known_and_what_is_asked() {
    let shop = Workshop::demo();
    let sheet = svg(&shop, "Beck \"seat at body end\"");
    for said in [
        "Make-it sheet",
        "Fellwater",
        "FB-000087",
        "FB-000214",
        "tolerance of",
        "material: record",
        "life support",
    ] {
        assert!(sheet.contains(said), "{said}");
    }
    // Both units record od 8.0 and hole 3.2.
    let drawn = circles(&sheet);
    for mm in [8.0, 3.2] {
        let near = drawn
            .iter()
            .any(|width| (width / POINTS_A_MM - mm).abs() < 0.1);
        assert!(near, "{mm}: {drawn:?}");
    }
}

#[test]
fn a_length_that_nobody_recorded_is_dashed_and_asked_for() {
    let shop = Workshop::demo();
    let sheet = svg(&shop, "Tarn \"shim under spring\"");
    for said in [
        "od ?",
        "id ?",
        "outside diameter: measure it",
        "stroke-dasharray",
    ] {
        assert!(sheet.contains(said), "{said}");
    }
}

#[test]
fn a_line_is_named_by_its_number_too_and_what_cannot_be_drawn_is_refused() {
    let shop = Workshop::demo();
    let by_words = svg(&shop, "Tarn \"filter disc under clip\"");
    let list = shop.json("parts Tarn");
    let number = |kind: &str| find(&list["lines"], "kind", kind)["number"].clone();
    assert!(by_words == svg(&shop, &format!("Tarn {}", number("filter"))));
    for (line, said) in [
        (
            format!("Tarn {} --out a.pdf", number("clip")),
            "flat round parts",
        ),
        ("Tarn 999 --out a.pdf".to_owned(), "line number"),
    ] {
        let output = shop.screen(&format!("sheet make {line}"));
        let error = &output.err;
        assert_eq!(output.code, Some(2), "{line}");
        assert!(output.out.is_empty(), "{}", output.shown());
        assert!(error.contains(said), "{error}");
    }
    assert_eq!(
        shop.screen("sheet make Nowhere 1 --out a.pdf").code,
        Some(1)
    );
}
