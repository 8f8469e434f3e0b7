//! `job` and `book check`: the demo's unit worked from as found to release, and a record that was changed afterwards.

use super::program::{lay_demo, run_at as run};
use serde_json::Value;
use std::path::{Path, PathBuf};

fn done(book: &Path, line: &str) -> String {
    let output = run(book, line);
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{line}: {said}");
    String::from_utf8(output.stdout).expect("text")
}

fn show(book: &Path) -> Value {
    serde_json::from_str(&done(book, "job show 1 --format json")).expect("json")
}

/// The walk of the demo's unit, as its person types it; data/demo/job_walk.txt is what README and demo name.
const WALK: &str = include_str!("../../data/demo/job_walk.txt");

/// The gauge's check of the walk is put to this day, because a check stands for a year by the clock.
fn walk(book: &Path) {
    lay_demo(book);
    let now = jiff::Timestamp::now().to_string();
    for line in WALK
        .lines()
        .filter(|l| !l.is_empty() && !l.starts_with('#'))
    {
        let said = run(book, &line.replace("2026-10-01", &now[..10]));
        assert!(
            said.status.code().is_some_and(|c| c <= 1),
            "{line}: {}",
            String::from_utf8_lossy(&said.stderr)
        );
    }
}

/// The words of a sheet in HTML: the SVG's runs of text joined by spaces.
fn sheet_words(book: &Path, line: &str) -> String {
    let file = book.parent().expect("a folder").join("sheet.html");
    run(book, &format!("{line} --out sheet.html --date 2026-03-14"));
    let html = std::fs::read_to_string(file).expect("the sheet is written");
    // Figures hold to their units by spaces that do not break.
    let html = html.replace('\u{a0}', " ");
    let mut words = String::new();
    for piece in html.split("</text>") {
        if let Some((_, text)) = piece.rsplit_once('>') {
            words.push_str(text);
            words.push(' ');
        }
    }
    words
}

fn released() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book");
    walk(&book);
    (folder, book)
}

#[test]
fn the_demo_unit_goes_from_as_found_to_release() {
    let (_folder, book) = released();
    let shown = show(&book);
    assert_eq!(shown["standing"], "released", "{shown}");
    assert_eq!(shown["lacking"].as_array().map(Vec::len), Some(0));
    let state = &shown["state"];
    assert_eq!(state["serial"], "FT2-004417");
    assert_eq!(state["closing"]["checked_by"], "J. Lind");
    assert_eq!(state["gas"]["service"]["gas"], "air");
    assert_eq!(state["gas"]["threshold"]["name"], "CGA usage");
    let readings = state["readings"].as_array().expect("readings");
    assert_eq!(readings[0]["state"], "as found");
    assert_eq!(readings[0]["readings"][0]["text"], "142 psi at 195 bar");
    assert_eq!(readings[2]["state"], "as left");
    assert_eq!(readings[2]["verdict"], "good");
    assert_eq!(readings[2]["gauge_known"], true);
    assert!(state["places"].as_array().is_some_and(|p| p.len() >= 3));
    assert!(
        state["not_tested"]
            .as_array()
            .is_some_and(|t| !t.is_empty())
    );
    assert!(state["closing"]["due"].is_string());
    assert!(state["seal"].as_str().is_some_and(|s| s.len() == 64));
    let page = done(&book, "job show 1");
    for words in [
        "RELEASED",
        "CAUTION",
        "not tested",
        "checked by: J. Lind",
        "life support",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    assert!(done(&book, "job list").contains("released"));
    assert!(done(&book, "job show 1 --format md").starts_with("# Job 1"));
    assert!(done(&book, "job show 1 --format csv").starts_with("entry,"));
    assert!(done(&book, "book check").contains("Sound"));
}

#[test]
fn the_release_sheet_says_what_was_found_done_tested_and_not_tested() {
    let (folder, book) = released();
    let pdf = std::fs::read(folder.path().join("release.pdf")).expect("the walk ends with it");
    assert!(pdf.starts_with(b"%PDF-1.7"));
    let seal = show(&book)["state"]["seal"]
        .as_str()
        .expect("a seal")
        .to_owned();
    let page = sheet_words(&book, "sheet release 1");
    for words in [
        "RELEASED for use within the limits below",
        "FT2-004417",
        "142 psi at 195 bar",
        "CREEPS",
        "148.5 psi at 195 bar",
        "AS568-119 NBR 70",
        "K-114",
        "detergent, ultrasonic",
        "not enriched: not above the threshold of 23.5 % (CGA usage)",
        "silicone grease, lot S-07",
        "cap 25 N m",
        "1.2 mm in all",
        "immersion 5 min",
        "NOT tested",
        "cracking effort: no water gauge",
        "J. Lind",
        "(12 months)",
        "air, 200 bar, pool and shallow training to 10 m",
        &seal[..8],
        &seal[56..],
        "life support",
        "page 1 of",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    assert!(!page.contains("NOT RELEASED") && !page.contains("correction, see below"));
    done(
        &book,
        "job correct 1 6 \"the lot was K-115\" --by \"M. Okafor\"",
    );
    let corrected = sheet_words(&book, "sheet release 1");
    for words in [
        "1 correction, see below",
        "the lot was K-115",
        "what is right",
    ] {
        assert!(corrected.contains(words), "{words}");
    }
}

#[test]
fn a_release_sheet_of_an_open_unreleased_or_changed_job_says_no_at_its_head() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book");
    lay_demo(&book);
    done(&book, "job open \"Tarn 2\" FT2-004417 --by Ada");
    let open = run(&book, "sheet release 1 --out a.pdf");
    assert_eq!(open.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&open.stdout).contains("NOT RELEASED"));
    let page = sheet_words(&book, "sheet release 1");
    for words in [
        "NOT RELEASED: this job is still open",
        "Missing for release",
        "the cleaning state",
        "as found: not recorded",
        "No part is recorded as fitted",
        "not closed",
        "NOBODY",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    done(&book, "job close 1 --not-released --by Bo");
    let page = sheet_words(&book, "sheet release 1");
    assert!(
        page.contains("NOT RELEASED: this job was closed without release"),
        "{page}"
    );
    assert!(page.contains("a second person who checked it"), "{page}");
    assert_eq!(
        run(&book, "sheet release 7 --out a.pdf").status.code(),
        Some(2)
    );
    let (_folder, book) = released();
    let raw = rusqlite::Connection::open(&book).expect("opens");
    raw.execute_batch(
        "DROP TRIGGER job_entry_is_never_changed;
         UPDATE job_entry SET body = replace(body, 'K-114', 'K-115') WHERE kind = 'part';",
    )
    .expect("a person with SQL can do that");
    drop(raw);
    assert_eq!(
        run(&book, "sheet release 1 --out a.pdf").status.code(),
        Some(1)
    );
    let page = sheet_words(&book, "sheet release 1");
    for words in [
        "NOT TO BE RELIED ON",
        "THE RECORD WAS CHANGED",
        "entry 6 (part, by M. Okafor",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    // Nothing is worked out from it either, and it stands at the head of the record.
    for line in ["setting --job 1", "shim --job 1 --target \"147 psi\""] {
        assert_eq!(run(&book, line).status.code(), Some(2), "{line}");
    }
    assert!(done(&book, "job show 1").contains("THE RECORD WAS CHANGED"));
}

#[test]
fn shim_and_setting_take_the_units_own_settings_from_the_record() {
    let (_folder, book) = released();
    let said: Value = serde_json::from_str(&done(
        &book,
        "shim --job 1 --target \"145 psi\" --stock \"0.05x2 mm\" --format json",
    ))
    .expect("json");
    // Entries: 0.50 mm at 140.5 - 1.5 psi, and 1.20 mm at 148.5 - 1.5 psi; as found was read before shims were recorded.
    let used = said["from_record"]["used"].as_array().expect("settings");
    let places: Vec<f64> = used.iter().filter_map(|u| u["place_mm"].as_f64()).collect();
    assert_eq!(places, [0.5, 1.2]);
    let psi = |at: usize| used[at]["pressure_bar"].as_f64().unwrap_or(0.0) / 0.068_947_573;
    assert!(
        (psi(0) - 139.0).abs() < 0.01 && (psi(1) - 147.0).abs() < 0.01,
        "{used:?}"
    );
    assert_eq!(
        said["from_record"]["left_out"].as_array().map(Vec::len),
        Some(1)
    );
    // Two settings 8 psi and 0.7 mm apart: 11.4 psi a millimetre. The prior (1.2 ± 0.5 bar, 17.4 ± 7.3 psi) weighs against a
    // doubt of √2 · 0.07 bar / 0.7 mm = 0.14 bar a millimetre, so that the rise lies within 1 psi above that.
    let rise = said["next"]["rise_bar_per_mm"].as_f64().unwrap_or(0.0) / 0.068_947_573;
    assert!((11.4..12.4).contains(&rise), "{rise}");
    assert_eq!(said["next"]["own_settings_rule"], true);
    let page = done(
        &book,
        "shim --job 1 --target \"145 psi\" --stock \"0.05x2 mm\"",
    );
    for words in [
        "From the record of job 1, at 195 bar of supply",
        "not used: entry",
        "as left",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    // A target above a recorded rating stops: the hose of the record bears 250 psi, the stop limit is put above it.
    let stop = run(&book, "shim --job 1 --target \"260 psi\"");
    assert_eq!(stop.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&stop.stdout).contains("rating of the hose"));
    let page = done(&book, "setting --job 1");
    for words in ["GOOD", "job 1, entry", "as left", "Creep: still"] {
        assert!(page.contains(words), "{words}: {page}");
    }
    let found = run(&book, "setting --job 1 --entry 4");
    assert!(
        String::from_utf8_lossy(&found.stdout).contains("as found"),
        "{found:?}"
    );
    // Readings that are typed are judged by the ratings of the record.
    let over = run(&book, "setting --job 1 --reading \"140 psi at 3300 psi\"");
    assert!(String::from_utf8_lossy(&over.stdout).contains("recorded rating of the unit"));
    assert_eq!(
        run(&book, "setting --job 1 --entry 1").status.code(),
        Some(2)
    );
    assert_eq!(run(&book, "setting --job 9").status.code(), Some(2));
}

#[test]
fn a_closed_record_takes_corrections_only_and_the_wrong_entry_stays() {
    let (_folder, book) = released();
    let before = show(&book)["record"]["entries"]
        .as_array()
        .map_or(0, Vec::len);
    let refused = run(&book, "job step 1 --remark \"polished\" --by \"M. Okafor\"");
    assert_eq!(refused.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&refused.stderr).contains("job correct"));
    done(
        &book,
        "job correct 1 6 \"the lot was K-115\" --by \"M. Okafor\"",
    );
    let entries = show(&book)["record"]["entries"].clone();
    assert_eq!(entries.as_array().map_or(0, Vec::len), before + 1);
    assert_eq!(
        run(&book, "job correct 1 99 \"x\" --by A").status.code(),
        Some(2)
    );
    assert_eq!(
        run(&book, "job close 1 --not-released --by A")
            .status
            .code(),
        Some(2)
    );
    // The book itself refuses what the program does not do.
    let raw = rusqlite::Connection::open(&book).expect("opens");
    for sql in [
        "UPDATE job_entry SET person = 'x'",
        "DELETE FROM job_entry",
        "UPDATE job SET serial = 'x'",
        "DELETE FROM job",
        "INSERT INTO job_entry (job_id, place, added_at, person, kind, body, hash) VALUES (1, 99, '', 'x', 'remark', '{}', '')",
        "INSERT INTO job_entry (job_id, place, added_at, person, kind, body, hash)
         SELECT 1, max(place) + 1, '', 'x', 'remark', '{}', '' FROM job_entry",
    ] {
        assert!(raw.execute(sql, []).is_err(), "{sql}");
    }
}

/// Every place where a text stands in the file.
fn places(bytes: &[u8], text: &str) -> Vec<usize> {
    let text = text.as_bytes();
    (0..bytes.len().saturating_sub(text.len()))
        .filter(|at| &bytes[*at..*at + text.len()] == text)
        .collect()
}

#[test]
fn one_changed_byte_of_a_closed_record_is_found_and_named() {
    let (folder, book) = released();
    let sound = std::fs::read(&book).expect("reads");
    let changed = folder.path().join("changed.book");
    let mut tried = 0;
    // A lot, a person's name in an entry, the readings, a seal, the unit's serial in the job's own row.
    let shown = show(&book);
    let seal = shown["record"]["entries"][4]["seal"]
        .as_str()
        .expect("a seal")
        .to_owned();
    for (text, entry) in [
        ("K-114", "entry 6 (part, by"),
        ("M. Okafor", "entry "),
        ("142 psi at 195 bar", "entry 4 (reading, by"),
        ("J. Lind", "entry 21 (close, by"),
        (seal.as_str(), "entry 5 (clean, by"),
    ] {
        let mut found = 0;
        for at in places(&sound, text) {
            let mut bytes = sound.clone();
            bytes[at + text.len() - 1] ^= 1;
            std::fs::write(&changed, &bytes).expect("written");
            let check = run(&changed, "book check");
            let page = String::from_utf8_lossy(&check.stdout).into_owned();
            if check.status.code() == Some(1)
                && page.contains("record of job 1 (Fellwater Apparatus Tarn 2 FT2-004417)")
            {
                assert!(page.contains(entry), "{text}: {page}");
                found += 1;
            } else {
                // Bytes of a freed part of a page, or of a note: the record must read as before.
                assert_eq!(
                    show(&changed)["record"],
                    shown["record"],
                    "{text} at {at}: {page}"
                );
            }
            tried += 1;
        }
        assert!(found >= 1, "{text}");
    }
    println!("{tried} changed bytes tried");
}

#[test]
fn entries_or_guards_taken_out_of_the_file_are_named() {
    let (_folder, book) = released();
    let raw = rusqlite::Connection::open(&book).expect("opens");
    raw.execute_batch(
        "DROP TRIGGER job_entry_is_never_removed; DELETE FROM job_entry WHERE place = 3;",
    )
    .expect("a person with SQL can do that");
    drop(raw);
    let check = run(&book, "book check");
    let page = String::from_utf8_lossy(&check.stdout).into_owned();
    assert_eq!(check.status.code(), Some(1));
    assert!(
        page.contains("entry 3 is gone") && page.contains("the guard job_entry_is_never_removed"),
        "{page}"
    );
}

fn lacks(book: &Path, line: &str) -> Vec<String> {
    let output = run(book, &format!("{line} --format json"));
    assert_eq!(output.status.code(), Some(1), "{line}");
    let said: Value = serde_json::from_slice(&output.stdout).expect("json");
    let lacking = said["lacking"].as_array().expect("a list");
    lacking
        .iter()
        .filter_map(|l| l.as_str().map(str::to_owned))
        .collect()
}

#[test]
fn nothing_is_released_that_lacks_something_and_enriched_gas_needs_its_cleaning() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book");
    lay_demo(&book);
    done(
        &book,
        "job open \"Tarn 2\" FT2-004417 --gas \"nitrox 32\" --by Ada",
    );
    done(&book, "job step 1 --clean \"detergent\" --by Ada");
    let close = "job close 1 --checked-by Ada --due \"12 months\" --limits \"200 bar\" --by Bo";
    let found = lacks(&book, close).join("\n");
    for words in [
        "as found",
        "as left",
        "cleaning for enriched gas",
        "second person",
        "circlip over filter; filter disc under clip; o-ring at cap joint;",
    ] {
        assert!(found.contains(words), "{words}: {found}");
    }
    // A part is no longer asked for when the record says what went in or why the old one stays; words that name none are told.
    let step = "job step 1 --by Ada";
    let fitted = done(
        &book,
        &format!(
            "{step} --part \"filter disc under clip\" --spec \"od 12.7 mm ; thick 3.2 mm\" --lot F-1"
        ),
    );
    assert!(
        !fitted.contains("detergent"),
        "one entry alone is shown: {fitted}"
    );
    let kept = format!("{step} --why \"as new\" --kept");
    done(&book, &format!("{kept} \"circlip over filter\""));
    let vague = run(&book, &format!("{kept} \"that ring\""));
    let vague = String::from_utf8_lossy(&vague.stderr).into_owned();
    assert!(vague.contains("no one place"), "{vague}");
    let found = lacks(&book, close).join("\n");
    assert!(found.contains("for: o-ring at cap joint;"), "{found}");
    // A threshold of 40 % makes the same gas not enriched, and names itself.
    done(
        &book,
        "job open \"Tarn 2\" FT2-004417 --gas \"nitrox 32\" --threshold \"40 %\" --by Ada",
    );
    let loose: Value =
        serde_json::from_str(&done(&book, "job show 2 --format json")).expect("json");
    assert_eq!(loose["state"]["gas"]["service"]["gas"], "air");
    assert_eq!(
        loose["state"]["gas"]["threshold"]["name"],
        "46 CFR 197.326 and NOAA practice"
    );
    // Readings that stop the work are kept, and forbid release; so does what was not tested.
    let stop = run(
        &book,
        "job reading 1 --as-left --reading \"230 psi at 200 bar\" --by Ada",
    );
    assert_eq!(stop.status.code(), Some(1));
    assert!(
        lacks(&book, close)
            .iter()
            .any(|l| l.contains("do not stop the work"))
    );
    done(
        &book,
        "job reading 1 --as-left --not-tested \"no gas\" --by Ada",
    );
    assert!(
        lacks(&book, close)
            .iter()
            .any(|l| l.contains("was not done"))
    );
    // Supply above the rating of the unit's note (3000 psi) stops as well.
    let over = run(
        &book,
        "job reading 1 --as-found --reading \"140 psi at 3300 psi\" --by Ada",
    );
    assert!(String::from_utf8_lossy(&over.stdout).contains("recorded rating of the unit"));
    done(&book, "job close 1 --not-released --by Bo");
    assert!(done(&book, "job show 1").contains("NOT RELEASED"));
}

#[test]
fn wrong_words_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book");
    lay_demo(&book);
    done(&book, "job open \"Tarn 2\" FT2-004417 --by Ada");
    for line in [
        "job show 9",
        "job step 1 --by Ada",
        "job step 1 --part x --by Ada",
        "job step 1 --remark \" \" --by Ada",
        "job step 1 --shims 0.25x2 --by Ada",
        "job step 1 --rated hose --by Ada",
        "job reading 1 --by Ada",
        "job close 1 --by Ada",
        "job close 1 --due \"1 month ago\" --limits x --by Ada",
        "job close 1 --due 2001-01-01 --limits x --by Ada",
        "job open \"Tarn 2\" FT2-004417 --by Ada --oxygen 32",
        "job open \"Tarn 2\" FT2-004417 --by \"\"",
    ] {
        assert_eq!(run(&book, line).status.code(), Some(2), "{line}");
    }
    assert_eq!(
        run(&book, "job open \"Tarn 9\" X --by Ada").status.code(),
        Some(1)
    );
    assert_eq!(
        run(&book, "job open \"Tarn 2\" X --by Ada").status.code(),
        Some(1)
    );
}

#[test]
fn a_part_of_another_size_than_the_parts_list_has_is_told_at_that_step() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book");
    lay_demo(&book);
    done(&book, "job open \"Tarn 2\" FT2-004417 --by M");
    let step = |spec: &str| {
        let line =
            format!("job step 1 --part \"o-ring on piston head\" --spec \"{spec}\" --lot K --by M");
        done(&book, &line)
    };
    let wrong = step("AS568-210 N70");
    assert!(wrong.contains("the parts list has"), "{wrong}");
    assert!(wrong.contains("was AS568-210 N70"), "{wrong}");
    assert!(wrong.contains("NOT AS LISTED"), "{wrong}");
    let softer = step("AS568-119 N60");
    assert!(softer.contains("which is softer"), "{softer}");
    let other = step("AS568-119 silicone 70");
    assert!(other.contains("which is VMQ"), "{other}");
    let lacks = |page: &serde_json::Value| {
        let lacking = page["lacking"].as_array().expect("a list").iter();
        lacking
            .filter(|l| l.as_str().is_some_and(|l| l.contains("the part of entry")))
            .count()
    };
    // What was entered last in a place is what is there.
    assert_eq!(lacks(&show(&book)), 1);
    // The likeliest ring, and the other one that fits the readings as well.
    for right in ["23.6x2.65 mm NBR 70", "AS568-119 N70"] {
        let said = step(right);
        assert!(!said.contains("the parts list has"), "{said}");
    }
    // The listed ring went in after them.
    assert_eq!(lacks(&show(&book)), 0);
    let nowhere = run(
        &book,
        "job step 1 --part \"o-ring on bonnet\" --spec \"AS568-010 N70\" --lot K --by M",
    );
    assert_eq!(nowhere.status.code(), Some(2));
    let nowhere = String::from_utf8_lossy(&nowhere.stderr).into_owned();
    assert!(
        nowhere.contains("no one place") && nowhere.contains("o-ring on piston head"),
        "{nowhere}"
    );
    // The record keeps what was done, whatever the list says.
    assert_eq!(
        show(&book)["record"]["entries"].as_array().map(Vec::len),
        Some(7)
    );
}
