//! Notes, words and photographs that were made to do harm: what steers a terminal, hides, computes, or leads out of a folder.

use super::{CAP, shown_in_every_form};
use crate::program::{Workshop, quoted};
use rand_core::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;
use std::fs;
use std::os::unix::fs::symlink;

/// Texts that nobody should ever be able to get through.
const EVIL: [&str; 9] = [
    "\u{1b}[31mred\u{1b}]0;title\u{7}",
    "\u{9b}2J\u{90}x\u{9c}",
    "gpj\u{202e}.exe\u{2066}x",
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "=HYPERLINK(\"http://example.invalid\")",
    "@SUM(A1:A9)",
    "a]]>b&amp;<!--c-->",
    "../../../etc/passwd",
];

fn evil_note(unit: &str, words: &str) -> String {
    format!(
        "model Evil {words}\nunit {unit}\ndate 2026-03-14\nowner {words}\nby {words}\nas found {words}\nremark {words}\nphoto {words}\nlengths mm\n\n\
         [{words}]\n{words} ; replace ; at {words} ; od 14.9 ; thick 2.8 ; remark {words} ; marking {words} ; tool {words}\n\
         o-ring ; at {words} ; replace ; od 12.8 by caliper ; cs 1.75 by flat ; colour {words}\n# {words}\n"
    )
}

#[test]
fn evil_words_of_a_note_reach_no_terminal_no_spreadsheet_and_no_page_as_what_they_are() {
    let workshop = Workshop::new();
    for (number, words) in EVIL.iter().enumerate() {
        workshop.write("evil.note", evil_note(&format!("E{number}"), words));
        workshop.run("note check evil.note");
        workshop.run("note check evil.note --format json");
        workshop.run("note add evil.note --partial");
    }
    let stored = workshop.done("note list").out;
    assert!(stored.matches(" E").count() >= EVIL.len() / 2, "{stored}");
    for number in 0..EVIL.len() {
        let unit = format!("E{number}");
        shown_in_every_form(&workshop, &format!("note show {unit}"));
        workshop.run(&format!("note show {unit} --original"));
    }
    for line in [
        "model list",
        "parts Evil",
        "stock list",
        "offer find script",
    ] {
        shown_in_every_form(&workshop, line);
    }
    workshop.done("sheet book --out book.html");
    no_script(&workshop.read("book.html"));
}

/// Expects that no element of the page came from a note.
fn no_script(page: &str) {
    for evil in ["<script>alert", "<img src=x", "\u{1b}", "\u{202e}"] {
        assert!(!page.contains(evil), "{evil:?} stands in the page");
    }
}

#[test]
fn evil_words_of_every_command_are_shown_without_harm() {
    let workshop = Workshop::demo();
    for words in EVIL {
        let evil = quoted(words);
        workshop.run(&format!(
            "stock add AS568-012 --bin {evil} --quantity 1 --lot {evil} --supplier {evil}"
        ));
        workshop.run(&format!("stock add --part {evil} --bin other --quantity 1"));
        workshop.run(&format!("job open Tarn FT-000311 --by {evil}"));
        workshop.run(&format!("job step 1 --torque {evil} --by {evil}"));
        workshop.run(&format!("offer supplier {evil} --carriage '4.50 EUR'"));
        workshop.run(&format!(
            "uses AS568-012 --stand-in AS568-013 --grade fits --by {evil} --evidence {evil}"
        ));
        workshop.run(&format!(
            "uses AS568-012 --nickname {evil} --by {evil} --evidence {evil}"
        ));
        let file = words.len();
        workshop.run(&format!("book export {file}.json --shop {evil}"));
        for command in [
            "size",
            "parts",
            "uses",
            "offer find",
            "model show",
            "note show",
            "sheet read-label",
            "material",
        ] {
            workshop.run(&format!("{command} {evil}"));
        }
    }
    for line in [
        "stock list",
        "job list",
        "job show 1",
        "offer supplier",
        "uses AS568-012",
    ] {
        shown_in_every_form(&workshop, line);
    }
    workshop.run("sheet labels --bins --out labels.svg");
    workshop.run("sheet release 1 --out release.html");
    for page in ["labels.svg", "release.html"] {
        if let Ok(page) = fs::read_to_string(workshop.path(page)) {
            no_script(&page);
        }
    }
}

#[test]
fn a_megabyte_of_text_in_any_place_of_a_note_is_read_in_bounded_memory_and_time() {
    let workshop = Workshop::new();
    let long = "x".repeat(1_000_000);
    let head = "model M\nunit 1\ndate 2026-03-14\nlengths mm\n\n[inlet]\n";
    let texts = [
        evil_note("1", &long),
        format!("{head}o-ring{}\n", " ; od 1".repeat(150_000)),
        format!("{head}{}", "o-ring ; od 12.8\n".repeat(60_000)),
        format!("{head}{}", "o-rign ; odd 12.8 ; zzz\n".repeat(5_000)),
        format!("{head}o-ring ; od {}\n", "9".repeat(1_000_000)),
        format!("{head}o-ring ; od {}\n", "1 ".repeat(500_000)),
        ";".repeat(1_000_000),
        "[".repeat(1_000_000),
        "\n".repeat(1_000_000),
        "\u{202e}".repeat(300_000),
    ];
    // How time grows with the length of a note is measured by `scripts/bench growth`; quadratic work would stand still here.
    for text in &texts {
        workshop.write("long.note", text);
        let answer = workshop.under(CAP, "note check long.note");
        assert!(matches!(answer.code, Some(0 | 2)), "{}", answer.shown());
    }
    workshop.write("huge.note", vec![b'x'; 17 << 20]);
    let answer = workshop.under(CAP, "note check huge.note");
    assert_eq!(answer.code, Some(2), "{}", answer.shown());
    assert!(answer.out.is_empty(), "{}", answer.shown());
    assert!(
        answer.err.contains("larger than 16 MiB"),
        "{}",
        answer.shown()
    );
    let endless = workshop.under(CAP, "note check /dev/zero");
    assert!(
        endless.err.contains("larger than 16 MiB"),
        "{}",
        endless.shown()
    );
}

#[test]
fn bytes_that_are_no_text_end_in_a_message() {
    let workshop = Workshop::new();
    let mut draw = Pcg64Mcg::seed_from_u64(3);
    for size in [1, 10, 1000, 100_000] {
        for _ in 0..5 {
            let mut junk = vec![0; size];
            draw.fill_bytes(&mut junk);
            workshop.write("junk.note", &junk);
            workshop.write("junk.csv", &junk);
            workshop.run("note check junk.note");
            workshop.run("note check junk.csv");
            workshop.run("ring --batch junk.csv --format csv");
            workshop.run("book merge junk.note");
        }
    }
}

#[test]
fn photographs_outside_the_named_folder_are_not_read() {
    let workshop = Workshop::new();
    // The good one alone is a PNG, by which it is known in the page.
    let picture = |format| {
        let mut bytes = std::io::Cursor::new(Vec::new());
        let dark = image::DynamicImage::new_luma8(20, 20);
        dark.write_to(&mut bytes, format).expect("packs");
        bytes.into_inner()
    };
    let secret = picture(image::ImageFormat::Jpeg);
    let photos = workshop.path("photos");
    fs::create_dir_all(photos.join("deeper")).expect("folders");
    workshop.write("secret.jpg", &secret);
    workshop.write("photos/good.png", picture(image::ImageFormat::Png));
    workshop.write("photos/deeper/secret.jpg", &secret);
    symlink(workshop.path("secret.jpg"), photos.join("link.jpg")).expect("links");
    symlink("..", photos.join("up")).expect("links");
    let absolute = workshop.path("secret.jpg");
    let names = [
        "good.png",
        "../secret.jpg",
        "link.jpg",
        "up/secret.jpg",
        "deeper/secret.jpg",
        "..\\secret.jpg",
        "../../etc/passwd",
        "/etc/passwd",
        absolute.to_str().expect("text"),
        ".",
        "..",
        "deeper",
    ];
    let lines: Vec<String> = names.iter().map(|name| format!("photo {name}\n")).collect();
    let lines = lines.concat();
    let note = format!(
        "model M\nunit 1\ndate 2026-03-14\n{lines}lengths mm\n\n[inlet]\nfilter disc ; replace ; od 14.9 ; photo link.jpg\n"
    );
    workshop.write("photo.note", note);
    workshop.done("note add photo.note");
    workshop.done("sheet book --photos photos --out book.html");
    let page = workshop.read("book.html");
    assert_eq!(page.matches("data:image/png;base64").count(), 1);
    assert_eq!(page.matches("data:image/jpeg;base64").count(), 0);
    assert!(!page.contains("root:"));
}
