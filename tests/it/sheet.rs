//! `sheet`: files that are written, their forms, and what is refused.

use super::program::Workshop;

fn written(shop: &Workshop, line: &str, file: &str) -> Vec<u8> {
    shop.done(&format!("sheet {line} --date 2026-03-14 --out {file}"));
    std::fs::read(shop.path(file)).expect("the file is there")
}

/// A page of SVG or HTML.
fn page(shop: &Workshop, line: &str, file: &str) -> String {
    String::from_utf8(written(shop, line, file)).expect("UTF-8")
}

const GLAND: &str = "gland --kind piston --bore 25.40mm --groove 22.40mm --width 2.4mm --piston 25.35mm --ring AS568-020";

#[test]
fn every_sheet_is_written_as_pdf_and_the_same_twice() {
    let shop = Workshop::demo();
    for line in [
        "rings \"Tarn 2\"",
        "parts Beck --for owner",
        "parts Beck --units 3 --paper letter --unit in",
        "assembly Tarn",
        "make Tarn \"seat in piston stem\"",
        "labels \"Tarn 2\"",
        "labels \"Tarn 2\" --kind unit --label-width 62mm --label-height 34mm --one-a-page",
        GLAND,
    ] {
        let first = written(&shop, line, "a.pdf");
        assert!(first.starts_with(b"%PDF-1.7"), "{line}");
        assert!(
            first == written(&shop, line, "b.pdf"),
            "{line}: other bytes"
        );
    }
}

#[test]
fn a_sheet_in_svg_and_html_carries_its_words_its_frame_and_its_font() {
    let shop = Workshop::demo();
    let html = page(&shop, "parts \"Tarn 2\"", "parts.html");
    let svg = page(&shop, "rings \"Tarn 2\"", "rings.svg");
    for text in [&html, &svg] {
        for words in [
            "Fellwater Apparatus Tarn 2",
            "AS568-012",
            "2026-03-14",
            "shop.book",
            "life support",
            "page 1 of",
            "@font-face",
        ] {
            assert!(text.contains(words), "{words}");
        }
        assert!(
            !text.contains("http://")
                || text.matches("http://").count()
                    == text.matches("http://www.w3.org/2000/svg").count()
        );
    }
}

#[test]
fn true_size_follows_the_bar_that_was_measured() {
    let shop = Workshop::demo();
    let svg = |more: &str| {
        let line = format!("rings --ring \"100x2 mm\" {more}");
        page(&shop, &line, "one.svg")
    };
    // The 100 mm bar is a rectangle whose width, the first horizontal line of a path, is 100 mm in points of 1/72 in.
    let bar_mm = |svg: &str| {
        let (_, rest) = svg
            .split_once("d=\"M51.0236 ")
            .expect("the bar begins at the margin");
        let right = rest
            .split_once('L')
            .and_then(|(_, to)| to.split_once(' '))
            .expect("a line")
            .0;
        (right.parse::<f64>().expect("a number") - 51.0236) * 25.4 / 72.0
    };
    assert!(
        (bar_mm(&svg("")) - 100.0).abs() < 0.001,
        "{}",
        bar_mm(&svg(""))
    );
    let corrected = bar_mm(&svg("--bar \"99.2 mm\""));
    assert!(
        (corrected - 100.0 * 100.0 / 99.2).abs() < 0.001,
        "{corrected}"
    );
    let by_inch = bar_mm(&svg("--bar \"3.97 in\""));
    assert!((by_inch - 100.0 * 4.0 / 3.97).abs() < 0.001, "{by_inch}");
    let refused = shop.screen("sheet rings --ring AS568-012 --bar 80mm --out x.pdf");
    assert_eq!(refused.code, Some(2));
    assert!(refused.out.is_empty(), "{}", refused.shown());
}

#[test]
fn an_identification_is_written_beside_the_answer() {
    let shop = Workshop::demo();
    let line = "ring --od \"12.80 mm by caliper\" --cs \"1.72 mm by caliper\" --sheet id.html --date 2026-03-14";
    let output = shop.screen(line);
    assert!(output.code == Some(0));
    assert!(output.out.contains("AS568-012"));
    let html = shop.read("id.html");
    for words in [
        "Candidates",
        "AS568-012",
        "What to measure next",
        "100 mm: this bar measures",
    ] {
        assert!(html.contains(words), "{words}");
    }
}

#[test]
fn hostile_names_stay_text_in_the_book() {
    let shop = Workshop::new();
    let note = "model <script>alert(1)</script> \"& Co\nunit <img src=x onerror=alert(2)>\ndate 2026-03-14\n\n[inlet]\n\
        o-ring ; at </pre></details><b>seat ; replace ; od 16.0 mm by caliper ; cs 1.7 mm by caliper\n";
    shop.write("evil.note", note);
    let added = shop.screen("note add evil.note");
    assert!(added.code == Some(0), "{}", added.out);
    let html = page(&shop, "book", "book.html");
    assert!(html.contains("&lt;script&gt;alert(1)"));
    for tag in ["<script>alert", "<img src=x", "<b>seat"] {
        assert!(!html.contains(tag), "{tag}");
    }
    let sheet = page(&shop, "parts script", "parts.html");
    assert!(!sheet.contains("<script"));
}

#[test]
fn the_parts_stand_along_the_axis_on_the_sheets_and_in_the_book() {
    let shop = Workshop::demo();
    let text = |what: &str, file: &str| page(&shop, what, file);
    for (what, file) in [
        ("parts Beck", "parts.html"),
        ("assembly Beck", "built.html"),
    ] {
        assert!(text(what, file).contains("Parts along the axis"), "{what}");
    }
    let book = text("book", "book.html");
    let said = book.matches("is not thereby safe at high pressure").count();
    assert_eq!(said, 1, "the caution of all models, once");
    let at = |unit: &str| book.find(&format!("unit {unit}</h3>")).expect("listed");
    assert!(at("FT2-004417") < at("FT2-004623") && at("FT2-004623") < at("FT2-005102"));
    let drawings = book.matches("<svg viewBox=").count();
    assert_eq!(drawings, 3, "one for each model");
    assert!(book.contains("aria-label=\"Sections through the axis, scale 1:1"));
}

#[test]
fn assembly_is_that_of_the_unit_in_work() {
    let shop = Workshop::demo();
    let built = |file: &str| page(&shop, "assembly \"Tarn 2\"", file);
    assert!(!built("before.html").contains("of unit FT2-005102"));
    let opened = shop.screen("job open \"Tarn 2\" FT2-005102 --by Ada");
    assert!(opened.code == Some(0));
    assert!(built("during.html").contains("of unit FT2-005102"));
}

#[test]
fn assembly_says_the_size_of_every_new_part_frames_tools_and_draws_the_way_round() {
    let shop = Workshop::demo();
    let sheet = page(&shop, "assembly Beck", "built.html").replace('\u{a0}', " ");
    for words in [
        "NEW od 7.90 mm, width 1.30 mm",
        "tool pin spanner 5 mm\ntorque 30 N m",
        "side low pressure side",
    ] {
        assert!(sheet.contains(words), "{words}");
    }
    // The arrow of the pressure beside the back-up ring.
    assert!(sheet.contains(">P</text>"));
}

#[test]
fn a_gland_sheet_begins_with_the_verdict_and_charts_every_check_that_decides() {
    let shop = Workshop::demo();
    let sheet = page(
        &shop,
        &format!("{GLAND} --pressure \"200 bar\""),
        "gland.html",
    );
    let at = |words: &str| sheet.find(words).unwrap_or_else(|| panic!("{words}"));
    assert!(
        at("class=\"status\"") < at("sources ask for") && at("sources ask for") < at(">Checks<")
    );
    for chart in [
        "squeeze, %",
        "squeeze against the printed table, %",
        "stretch, %",
        "fill, %",
        "extrusion gap, mm",
    ] {
        assert!(sheet.contains(&format!(">{chart}</text>")), "{chart}");
    }
}

#[test]
fn labels_name_the_lines_the_unit_in_work_and_the_lots_of_a_bin() {
    let shop = Workshop::demo();
    for line in [
        "stock add \"AS568-012 NBR 90\" --bin A4 --quantity 20 --lot K-077 --cured 2Q24",
        "stock add \"AS568-012 NBR 90\" --bin A5 --quantity 3 --lot K-031 --cured 1Q08",
        "job open \"Tarn 2\" FT2-005102 --by Ada",
    ] {
        assert!(shop.screen(line).code == Some(0), "{line}");
    }
    let text = |line: &str| page(&shop, line, "labels.html");
    let codes = |page: &str| page.matches("aria-label=\"RW1|").count();
    let bags = text("labels \"Tarn 2\" 9 \"cap joint\"");
    // The figure and the drawing in it bear the text of the code.
    assert_eq!(codes(&bags), 4);
    assert!(bags.contains("for unit FT2-005102") && bags.contains("|unit=FT2-005102|"));
    let bins = text("labels \"Tarn 2\" 13 --kind bin");
    for words in [
        "bin A4",
        "lot K-077",
        "cured 2Q2024",
        "use before ",
        "lot K-031",
        "PAST ITS LIFE",
    ] {
        assert!(bins.contains(words), "{words}");
    }
    let unit = text("labels \"Tarn 2\" --kind unit --serial FT2-004417");
    assert_eq!(codes(&unit), 2);
    let refused = shop.screen("sheet labels \"Tarn 2\" 99 --out no.pdf");
    assert_eq!(refused.code, Some(2));
    assert!(refused.out.is_empty(), "{}", refused.shown());
}

#[test]
fn what_cannot_be_written_is_refused_with_a_remedy() {
    let shop = Workshop::demo();
    for (line, code, words) in [
        (
            "sheet rings Tarn --out rings.docx",
            2,
            "write .pdf, .svg or .html",
        ),
        (
            "sheet rings Tarn --out no/such/rings.pdf",
            2,
            "cannot be written",
        ),
        ("sheet book --out book.pdf", 2, ".html"),
        (
            "sheet rings --family as568 --section 9mm --out r.pdf",
            2,
            "no ring to draw",
        ),
        (
            "sheet labels Tarn --rows 40 --out l.pdf",
            2,
            "do not fit the paper",
        ),
        (
            "sheet labels Tarn --label-width 20mm --label-height 10mm --one-a-page --out l.pdf",
            2,
            "take larger labels",
        ),
        ("sheet parts Nowhere --out p.pdf", 1, ""),
        (
            "sheet read-label \"RW1|bag|size=AS568-012#00\"",
            2,
            "check digits are wrong",
        ),
    ] {
        let output = shop.screen(line);
        assert_eq!(output.code, Some(code), "{line}");
        let said = output.err;
        assert!(said.contains(words), "{line}: {said}");
    }
}
