//! `ring scan` and `ring scan calibrate` as a user gives them, on drawn pages.

use image::{ImageBuffer, ImageFormat, Rgb};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn run(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ringwright"))
        .args(words)
        .env_remove("RINGWRIGHT_BOOK")
        .env("XDG_DATA_HOME", folder)
        .output()
        .expect("the program runs")
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&output.stderr)))
}

/// Light of paper and of rubber.
const PAPER: f64 = 0.8;
const RUBBER: f64 = 0.04;
/// Points of the drawn page an inch.
const DPI: f64 = 300.0;

/// Draws rings (middle x and y, inside diameter, section, mm) on a page of 60 by 40 mm, edges blurred as by a lens and tubes darker
/// towards their sides.
fn page(file: &Path, rings: &[[f64; 4]], light: [f64; 2]) {
    let pitch = 25.4 / DPI;
    let picture = ImageBuffer::from_fn(709, 472, |x, y| {
        let (x, y) = ((f64::from(x) + 0.5) * pitch, (f64::from(y) + 0.5) * pitch);
        let covered = rings.iter().map(|[cx, cy, id, section]| {
            let off = (x - cx).hypot(y - cy) - (id + section) / 2.0;
            let covered = ((section / 2.0 - off.abs()) / (1.2 * pitch) + 0.5).clamp(0.0, 1.0);
            let side = (2.0 * off / section).powi(2).min(1.0);
            [covered, (1.0 - side).sqrt().midpoint(1.0)]
        });
        let [covered, shade] = covered.fold([0.0, 1.0], |a, b| if b[0] > a[0] { b } else { a });
        let linear = light[0] * (1.0 - covered) + light[1] * shade * covered;
        let code = 1.055 * linear.powf(1.0 / 2.4) - 0.055;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a code of a byte"
        )]
        let code = (code.clamp(0.0, 1.0) * 255.0).round() as u8;
        Rgb([code; 3])
    });
    picture
        .save_with_format(file, ImageFormat::Png)
        .expect("writes");
}

/// The rings -012 and -114, new.
const RINGS: [[f64; 4]; 2] = [[15.0, 20.0, 9.25, 1.78], [42.0, 20.0, 15.54, 2.62]];

fn drawn(folder: &Path) -> PathBuf {
    let file = folder.join("page.png");
    page(&file, &RINGS, [PAPER, RUBBER]);
    file
}

fn words<'w>(file: &'w Path, more: &[&'w str]) -> Vec<&'w str> {
    let file = file.to_str().expect("a plain path");
    [&["ring", "scan", file], more].concat()
}

#[test]
fn rings_of_a_page_are_measured_numbered_and_named_and_no_width_is_given() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = drawn(folder.path());
    let picture = folder.path().join("marked.svg");
    let more = [
        "--dpi",
        "300",
        "--condition",
        "new",
        "--format",
        "json",
        "--picture",
    ];
    let mut words = words(&file, &more);
    words.push(picture.to_str().expect("a plain path"));
    let output = run(folder.path(), &words);
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let answer = json(&output);
    assert_eq!(answer["tried_on_real_scanners"], false);
    let rings = answer["pages"][0]["rings"].as_array().expect("rings");
    assert_eq!(rings.len(), 2);
    for (ring, [x, _, id, section]) in rings.iter().zip(RINGS) {
        let mm = |key: &str| ring[key]["mm"].as_f64().expect("a length");
        assert!((mm("id") - id).abs() < 0.03, "{ring}");
        assert!((mm("od") - id - 2.0 * section).abs() < 0.03, "{ring}");
        assert!((ring["x_mm"].as_f64().expect("a place") - x).abs() < 0.1);
        assert_eq!(ring["sure"], true, "{ring}");
        assert!(ring.get("width").is_none() && ring["plan_width"]["mm"].is_number());
    }
    assert_eq!(rings[0]["number"], 1);
    let codes = rings[0]["candidates"][0]["codes"].to_string();
    assert!(codes.contains("AS568-012"), "{codes}");
    let drawing = std::fs::read_to_string(&picture).expect("a picture");
    assert!(drawing.starts_with("<svg") && drawing.contains(">2</text>"));
}

#[test]
fn a_height_taken_by_hand_counts_for_its_ring_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = drawn(folder.path());
    let more = [
        "--dpi",
        "300",
        "--height",
        "1=1.75 mm by caliper",
        "--format",
        "json",
    ];
    let answer = json(&run(folder.path(), &words(&file, &more)));
    let rings = &answer["pages"][0]["rings"];
    assert_eq!(rings[0]["has_height"], true);
    assert_eq!(rings[1]["has_height"], false);
    let twice = [&more[..], &["--height", "1=1.80 mm by gauge"]].concat();
    let answer = json(&run(folder.path(), &words(&file, &twice)));
    let with_both = &answer["pages"][0]["rings"][0]["candidates"];
    assert_ne!(*with_both, rings[0]["candidates"], "both heights count");
    let wrong = ["--dpi", "300", "--height", "7=1.75 mm by caliper"];
    let refused = run(folder.path(), &words(&file, &wrong));
    assert_eq!(refused.status.code(), Some(2));
}

#[test]
fn a_page_without_scale_and_a_dark_one_are_refused_with_the_remedy() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = drawn(folder.path());
    let bare = run(folder.path(), &words(&file, &[]));
    assert_eq!(bare.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&bare.stdout).contains("--dpi 600"));
    let dark = folder.path().join("dark.png");
    page(&dark, &RINGS, [0.02, RUBBER]);
    let dark = run(
        folder.path(),
        &words(&dark, &["--dpi", "300", "--format", "json"]),
    );
    assert_eq!(dark.status.code(), Some(1));
    assert_eq!(json(&dark)["pages"][0]["refused"]["why"], "dark_ground");
    let pale = folder.path().join("pale.png");
    page(&pale, &RINGS, [PAPER, 0.7]);
    let pale = run(folder.path(), &words(&pale, &["--dpi", "300"]));
    assert_eq!(pale.status.code(), Some(1));
    for coarse in ["72", "96"] {
        let coarse = run(folder.path(), &words(&file, &["--dpi", coarse]));
        assert_eq!(coarse.status.code(), Some(2));
    }
}

#[test]
fn a_scanner_calibrated_by_a_ring_is_kept_and_used_under_its_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = drawn(folder.path());
    let path = file.to_str().expect("a plain path");
    let common = ["--dpi", "300", "--scanner", "Bench"];
    let unknown = run(folder.path(), &words(&file, &common));
    assert_eq!(unknown.status.code(), Some(2));
    // The ring of 12.81 mm is said to have 12.84: the scanner writes points that are larger than it says.
    let calibrate = ["ring", "scan", "calibrate", path, "--by", "12.84 mm"];
    let output = run(folder.path(), &[&calibrate[..], &common].concat());
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let answer = json(&run(
        folder.path(),
        &words(
            &file,
            &["--dpi", "300", "--scanner", "bench", "--format", "json"],
        ),
    ));
    let page = &answer["pages"][0];
    assert_eq!(page["scale"]["source"], "calibrated");
    let od = page["rings"][0]["od"]["mm"].as_f64().expect("a length");
    assert!((od - 12.84).abs() < 0.004, "{od}");
    let list = run(folder.path(), &["ring", "scan", "calibrate", "--list"]);
    assert!(String::from_utf8_lossy(&list.stdout).contains("Bench"));
}

const NOTE: &str = "model Tarn\nunit T-1\ndate 2026-03-14\ngas air\n[cap]\n\
    o-ring ; at cap joint ; replace ; new ; scan page.png ring 1\n";

/// Runs the program in a folder on the book there.
fn at_bench(folder: &Path, book: &str, words: &[&str]) -> (Option<i32>, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_ringwright"))
        .args(words)
        .current_dir(folder)
        .env("RINGWRIGHT_BOOK", folder.join(book))
        .output()
        .expect("the program runs");
    let said = [output.stdout, output.stderr].concat();
    (
        output.status.code(),
        String::from_utf8_lossy(&said).into_owned(),
    )
}

#[test]
fn a_note_that_names_a_page_takes_the_diameters_and_the_picture_and_stands_without_the_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = drawn(folder.path());
    let bench = |words: &[&str]| at_bench(folder.path(), "own.book", words);
    std::fs::write(folder.path().join("a.note"), NOTE).expect("writes");
    let (code, said) = bench(&["note", "add", "a.note", "--dpi", "300"]);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("AS568-012"), "{said}");
    let (_, shown) = bench(&["note", "show", "T-1"]);
    assert!(shown.contains("scan page.png ring 1 ; id 9.2"), "{shown}");
    assert!(
        shown.contains(" mm by scan ; od 12.8") && !shown.contains("width"),
        "{shown}"
    );
    std::fs::remove_file(&file).expect("removes");
    let printed = shown.replace("replace", "inspect");
    std::fs::write(folder.path().join("b.note"), &printed).expect("writes");
    let (code, said) = bench(&["note", "add", "b.note", "--replace"]);
    assert_eq!(code, Some(0), "{said}");
    let (code, said) = bench(&["sheet", "book", "--out", "book.html"]);
    assert_eq!(code, Some(0), "{said}");
    let book = std::fs::read_to_string(folder.path().join("book.html")).expect("a book");
    assert_eq!(
        book.matches("data:image/jpeg").count(),
        1,
        "the picture stays"
    );
    assert!(
        book.contains("<svg role=\"img\""),
        "the outline of the size beside it"
    );
    // The readings travel to another shop, the picture does not.
    assert_eq!(
        bench(&["book", "export", "own.json", "--shop", "Own"]).0,
        Some(0)
    );
    let (code, said) = at_bench(folder.path(), "other.book", &["book", "merge", "own.json"]);
    assert_eq!(code, Some(0), "{said}");
    let (_, other) = at_bench(folder.path(), "other.book", &["note", "show", "T-1"]);
    assert!(other.contains(" mm by scan ; od 12.8"), "{other}");
}

#[test]
fn a_note_whose_page_is_not_there_or_has_no_such_ring_is_not_stored() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("a.note"), NOTE).expect("writes");
    let add = ["note", "add", "a.note", "--dpi", "300"];
    let (code, said) = at_bench(folder.path(), "own.book", &add);
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("page.png is not beside the note"), "{said}");
    drawn(folder.path());
    std::fs::write(
        folder.path().join("a.note"),
        NOTE.replace("ring 1", "ring 3"),
    )
    .expect("writes");
    let (code, said) = at_bench(folder.path(), "own.book", &add);
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("shows 2 rings and no ring 3"), "{said}");
    let (code, said) = at_bench(folder.path(), "own.book", &["note", "add", "a.note"]);
    assert_eq!(code, Some(2), "no scale: {said}");
    assert!(!folder.path().join("own.book").exists());
}
