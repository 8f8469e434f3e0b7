//! `job` and `book check`: the demo's unit worked from as found to release, a record that was changed afterwards, records that were
//! taken away, and the figures that tell where nothing in the file does.

use super::program::{Workshop, items, text};
use rusqlite::Connection;
use serde_json::Value;
use std::path::Path;

/// The walk of the demo's unit, as its person types it; data/demo/job_walk.txt is what README and demo name.
const WALK: &str = include_str!("../../data/demo/job_walk.txt");

/// The gauge's check of the walk is put to this day, because a check stands for a year by the clock.
fn released() -> Workshop {
    let shop = Workshop::demo();
    let now = jiff::Timestamp::now().to_string();
    let walk = WALK.replace("2026-10-01", &now[..10]);
    for line in walk
        .lines()
        .filter(|l| !l.is_empty() && !l.starts_with('#'))
    {
        shop.printed(line);
    }
    shop
}

/// The words of a sheet in HTML: the SVG's runs of text joined by spaces.
fn sheet_words(shop: &Workshop, line: &str) -> String {
    shop.run(&format!("{line} --out sheet.html --date 2026-03-14"));
    // Figures hold to their units by spaces that do not break.
    let html = shop.read("sheet.html").replace('\u{a0}', " ");
    let mut words = String::new();
    for piece in html.split("</text>") {
        if let Some((_, text)) = piece.rsplit_once('>') {
            words.push_str(text);
            words.push(' ');
        }
    }
    words
}

#[test]
fn the_demo_unit_goes_from_as_found_to_release() {
    let shop = released();
    let shown = shop.json("job show 1");
    assert_eq!(shown["standing"], "released", "{shown}");
    assert_eq!(shown["lacking"].as_array().map(Vec::len), Some(0));
    let state = &shown["state"];
    assert_eq!(state["serial"], "FT2-004417");
    assert_eq!(state["closing"]["checked_by"], "J. Lind");
    assert_eq!(state["gas"]["service"]["gas"], "air");
    assert_eq!(state["gas"]["threshold"]["name"], "CGA usage");
    let readings = items(&state["readings"]);
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
    let page = shop.done("job show 1").out;
    for words in [
        "RELEASED",
        "CAUTION",
        "not tested",
        "checked by: J. Lind",
        "life support",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    assert!(shop.done("job list").out.contains("released"));
    assert!(
        shop.done("job show 1 --format md")
            .out
            .starts_with("# Job 1")
    );
    assert!(
        shop.done("job show 1 --format csv")
            .out
            .starts_with("entry,")
    );
    assert!(shop.done("book check").out.contains("Sound"));
}

#[test]
fn the_release_sheet_says_what_was_found_done_tested_and_not_tested() {
    let shop = released();
    let pdf = std::fs::read(shop.path("release.pdf")).expect("the walk ends with it");
    assert!(pdf.starts_with(b"%PDF-1.7"));
    let shown = shop.json("job show 1");
    let seal = text(&shown["state"]["seal"]);
    let page = sheet_words(&shop, "sheet release 1");
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
    shop.done("job correct 1 6 \"the lot was K-115\" --by \"M. Okafor\"");
    let corrected = sheet_words(&shop, "sheet release 1");
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
    let shop = Workshop::demo();
    shop.done("job open \"Tarn 2\" FT2-004417 --by Ada");
    let open = shop.run("sheet release 1 --out a.pdf");
    assert_eq!(open.code, Some(1));
    assert!(open.out.contains("NOT RELEASED"));
    let page = sheet_words(&shop, "sheet release 1");
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
    shop.done("job close 1 --not-released --by Bo");
    let page = sheet_words(&shop, "sheet release 1");
    assert!(
        page.contains("NOT RELEASED: this job was closed without release"),
        "{page}"
    );
    assert!(page.contains("a second person who checked it"), "{page}");
    assert_eq!(shop.run("sheet release 7 --out a.pdf").code, Some(2));
    let shop = released();
    let raw = rusqlite::Connection::open(shop.book()).expect("opens");
    raw.execute_batch(
        "DROP TRIGGER job_entry_is_never_changed;
         UPDATE job_entry SET body = replace(body, 'K-114', 'K-115') WHERE kind = 'part';",
    )
    .expect("a person with SQL can do that");
    drop(raw);
    assert_eq!(shop.run("sheet release 1 --out a.pdf").code, Some(1));
    let page = sheet_words(&shop, "sheet release 1");
    for words in [
        "NOT TO BE RELIED ON",
        "THE RECORD WAS CHANGED",
        "entry 6 (part, by M. Okafor",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    // Nothing is worked out from it either, and it stands at the head of the record.
    for line in ["setting --job 1", "shim --job 1 --target \"147 psi\""] {
        assert_eq!(shop.run(line).code, Some(2), "{line}");
    }
    assert!(
        shop.done("job show 1")
            .out
            .contains("THE RECORD WAS CHANGED")
    );
}

#[test]
fn shim_and_setting_take_the_units_own_settings_from_the_record() {
    let shop = released();
    let said = shop.json("shim --job 1 --target \"145 psi\" --stock \"0.05x2 mm\"");
    // Entries: 0.50 mm at 140.5 - 1.5 psi, and 1.20 mm at 148.5 - 1.5 psi; as found was read before shims were recorded.
    let used = items(&said["from_record"]["used"]);
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
    let page = shop
        .done("shim --job 1 --target \"145 psi\" --stock \"0.05x2 mm\"")
        .out;
    for words in [
        "From the record of job 1, at 195 bar of supply",
        "not used: entry",
        "as left",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    // A target above a recorded rating stops: the hose of the record bears 250 psi, the stop limit is put above it.
    let stop = shop.run("shim --job 1 --target \"260 psi\"");
    assert_eq!(stop.code, Some(1));
    assert!(stop.out.contains("rating of the hose"));
    let page = shop.done("setting --job 1").out;
    for words in ["GOOD", "job 1, entry", "as left", "Creep: still"] {
        assert!(page.contains(words), "{words}: {page}");
    }
    let found = shop.run("setting --job 1 --entry 4");
    assert!(found.out.contains("as found"), "{found:?}");
    // Readings that are typed are judged by the ratings of the record.
    let over = shop.run("setting --job 1 --reading \"140 psi at 3300 psi\"");
    assert!(over.out.contains("recorded rating of the unit"));
    assert_eq!(shop.run("setting --job 1 --entry 1").code, Some(2));
    assert_eq!(shop.run("setting --job 9").code, Some(2));
    // What was said of the design with a reading is asked again with it.
    let read = "--reading '140 psi at 3000 psi, 143 psi at 300 psi' --design balanced-piston";
    shop.done("job open \"Tarn 2\" FT2-004417 --by Ada");
    shop.done(&format!("job reading 2 --as-found {read} --by Ada"));
    let again = shop.run("setting --job 2 --format json").json();
    let typed = shop.run(&format!("setting --job 2 {read} --format json"));
    assert_eq!(again["checks"], typed.json()["checks"]);
    assert_eq!(again["design"], "balanced piston");
}

#[test]
fn a_closed_record_takes_corrections_only_and_the_wrong_entry_stays() {
    let shop = released();
    let before = shop.json("job show 1")["record"]["entries"]
        .as_array()
        .map_or(0, Vec::len);
    let refused = shop.run("job step 1 --remark \"polished\" --by \"M. Okafor\"");
    assert_eq!(refused.code, Some(2));
    assert!(refused.out.is_empty(), "{}", refused.shown());
    assert!(refused.err.contains("job correct"));
    shop.done("job correct 1 6 \"the lot was K-115\" --by \"M. Okafor\"");
    let entries = shop.json("job show 1")["record"]["entries"].clone();
    assert_eq!(entries.as_array().map_or(0, Vec::len), before + 1);
    assert_eq!(shop.run("job correct 1 99 \"x\" --by A").code, Some(2));
    assert_eq!(shop.run("job close 1 --not-released --by A").code, Some(2));
    // The book itself refuses what the program does not do.
    let raw = rusqlite::Connection::open(shop.book()).expect("opens");
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
    let shop = released();
    let sound = std::fs::read(shop.book()).expect("reads");
    let changed = Workshop::new();
    let mut tried = 0;
    // A lot, a person's name in an entry, the readings, a seal, the unit's serial in the job's own row.
    let shown = shop.json("job show 1");
    let seal = text(&shown["record"]["entries"][4]["seal"]);
    for (words, entry) in [
        ("K-114", "entry 6 (part, by"),
        ("M. Okafor", "entry "),
        ("142 psi at 195 bar", "entry 4 (reading, by"),
        ("J. Lind", "entry 21 (close, by"),
        (seal, "entry 5 (clean, by"),
    ] {
        let mut found = 0;
        for at in places(&sound, words) {
            let mut bytes = sound.clone();
            bytes[at + words.len() - 1] ^= 1;
            changed.write("shop.book", &bytes);
            let check = changed.run("book check");
            let page = check.out;
            if check.code == Some(1)
                && page.contains("record of job 1 (Fellwater Apparatus Tarn 2 FT2-004417)")
            {
                assert!(page.contains(entry), "{words}: {page}");
                found += 1;
            } else {
                // Bytes of a freed part of a page, or of a note: the record must read as before.
                assert_eq!(
                    changed.json("job show 1")["record"],
                    shown["record"],
                    "{words} at {at}: {page}"
                );
            }
            tried += 1;
        }
        assert!(found >= 1, "{words}");
    }
    println!("{tried} changed bytes tried");
}

#[test]
fn entries_or_guards_taken_out_of_the_file_are_named() {
    let shop = released();
    let raw = rusqlite::Connection::open(shop.book()).expect("opens");
    raw.execute_batch(
        "DROP TRIGGER job_entry_is_never_removed; DELETE FROM job_entry WHERE place = 3;",
    )
    .expect("a person with SQL can do that");
    drop(raw);
    let check = shop.run("book check");
    let page = check.out;
    assert_eq!(check.code, Some(1));
    assert!(
        page.contains("entry 3 is gone") && page.contains("the guard job_entry_is_never_removed"),
        "{page}"
    );
}

fn lacks(shop: &Workshop, line: &str) -> Vec<String> {
    let (code, said) = shop.coded(line);
    assert_eq!(code, Some(1), "{line}");
    let lacking = items(&said["lacking"]).iter();
    lacking.map(|one| text(one).to_owned()).collect()
}

#[test]
fn nothing_is_released_that_lacks_something_and_enriched_gas_needs_its_cleaning() {
    let shop = Workshop::demo();
    shop.done("job open \"Tarn 2\" FT2-004417 --gas \"nitrox 32\" --by Ada");
    shop.done("job step 1 --clean \"detergent\" --by Ada");
    let close = "job close 1 --checked-by Ada --due \"12 months\" --limits \"200 bar\" --by Bo";
    let found = lacks(&shop, close).join("\n");
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
    let fitted = shop.done(&format!(
        "{step} --part \"filter disc under clip\" --spec \"od 12.7 mm ; thick 3.2 mm\" --lot F-1"
    )).out;
    assert!(
        !fitted.contains("detergent"),
        "one entry alone is shown: {fitted}"
    );
    let kept = format!("{step} --why \"as new\" --kept");
    shop.done(&format!("{kept} \"circlip over filter\""));
    let vague = shop.run(&format!("{kept} \"that ring\""));
    let vague = vague.err;
    assert!(vague.contains("no one place"), "{vague}");
    let found = lacks(&shop, close).join("\n");
    assert!(found.contains("for: o-ring at cap joint;"), "{found}");
    // A threshold of 40 % makes the same gas not enriched, and names itself.
    shop.done("job open \"Tarn 2\" FT2-004417 --gas \"nitrox 32\" --threshold \"40 %\" --by Ada");
    let loose = shop.json("job show 2");
    assert_eq!(loose["state"]["gas"]["service"]["gas"], "air");
    assert_eq!(
        loose["state"]["gas"]["threshold"]["name"],
        "46 CFR 197.326 and NOAA practice"
    );
    // Readings that stop the work are kept, and forbid release; so does what was not tested.
    let stop = shop.run("job reading 1 --as-left --reading \"230 psi at 200 bar\" --by Ada");
    assert_eq!(stop.code, Some(1));
    assert!(
        lacks(&shop, close)
            .iter()
            .any(|l| l.contains("do not stop the work"))
    );
    shop.done("job reading 1 --as-left --not-tested \"no gas\" --by Ada");
    assert!(
        lacks(&shop, close)
            .iter()
            .any(|l| l.contains("was not done"))
    );
    // Supply above the rating of the unit's note (3000 psi) stops as well.
    let over = shop.run("job reading 1 --as-found --reading \"140 psi at 3300 psi\" --by Ada");
    assert!(over.out.contains("recorded rating of the unit"));
    shop.done("job close 1 --not-released --by Bo");
    assert!(shop.done("job show 1").out.contains("NOT RELEASED"));
}

#[test]
fn wrong_words_are_refused() {
    let shop = Workshop::demo();
    shop.done("job open \"Tarn 2\" FT2-004417 --by Ada");
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
        assert_eq!(shop.run(line).code, Some(2), "{line}");
    }
    assert_eq!(shop.run("job open \"Tarn 9\" X --by Ada").code, Some(1));
    assert_eq!(shop.run("job open \"Tarn 2\" X --by Ada").code, Some(1));
}

#[test]
fn a_part_of_another_size_than_the_parts_list_has_is_told_at_that_step() {
    let shop = Workshop::demo();
    shop.done("job open \"Tarn 2\" FT2-004417 --by M");
    let step = |spec: &str| {
        let line =
            format!("job step 1 --part \"o-ring on piston head\" --spec \"{spec}\" --lot K --by M");
        shop.done(&line).out
    };
    let wrong = step("AS568-210 N70");
    assert!(wrong.contains("the parts list has"), "{wrong}");
    assert!(wrong.contains("was AS568-210 N70"), "{wrong}");
    assert!(wrong.contains("NOT AS LISTED"), "{wrong}");
    let softer = step("AS568-119 N60");
    assert!(softer.contains("which is softer"), "{softer}");
    let other = step("AS568-119 silicone 70");
    assert!(other.contains("which is VMQ"), "{other}");
    let lacks = |page: &Value| {
        let lacking = items(&page["lacking"]).iter();
        lacking
            .filter(|l| text(l).contains("the part of entry"))
            .count()
    };
    // What was entered last in a place is what is there.
    assert_eq!(lacks(&shop.json("job show 1")), 1);
    // The likeliest ring, and the other one that fits the readings as well.
    for right in ["23.6x2.65 mm NBR 70", "AS568-119 N70"] {
        let said = step(right);
        assert!(!said.contains("the parts list has"), "{said}");
    }
    // The listed ring went in after them.
    assert_eq!(lacks(&shop.json("job show 1")), 0);
    let nowhere =
        shop.run("job step 1 --part \"o-ring on bonnet\" --spec \"AS568-010 N70\" --lot K --by M");
    assert_eq!(nowhere.code, Some(2));
    assert!(nowhere.out.is_empty(), "{}", nowhere.shown());
    let nowhere = nowhere.err;
    assert!(
        nowhere.contains("no one place") && nowhere.contains("o-ring on piston head"),
        "{nowhere}"
    );
    // The record keeps what was done, whatever the list says.
    assert_eq!(
        shop.json("job show 1")["record"]["entries"]
            .as_array()
            .map(Vec::len),
        Some(7)
    );
}

/// The demo's book with two jobs of several entries each.
fn two_jobs() -> Workshop {
    let shop = Workshop::demo();
    for line in [
        "job open \"Tarn 2\" FT2-004417 --by Ada",
        "job step 1 --clean detergent --by Ada",
        "job step 1 --remark \"one more\" --by Ada",
        "job open \"Tarn 2\" FT2-004417 --by Bo",
        "job step 2 --clean detergent --by Bo",
    ] {
        shop.printed(line);
    }
    shop
}

/// The faults that a check names, and the figures of the job records.
fn check(shop: &Workshop) -> (Vec<String>, Value) {
    let (code, report) = shop.coded("book check");
    let faults: Vec<String> = serde_json::from_value(report["faults"].clone()).expect("texts");
    assert_eq!(code, Some(i32::from(!faults.is_empty())));
    (faults, report["job_figures"].clone())
}

/// Changes the file as somebody does who knows SQL, and puts the guards back, so that nothing of it shows by itself.
fn behind_its_back(book: &Path, sql: &str) {
    let raw = Connection::open(book).expect("opens");
    let guards: Vec<(String, String)> = raw
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' AND name LIKE 'job%'")
        .expect("prepares")
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .expect("reads")
        .collect::<rusqlite::Result<_>>()
        .expect("texts");
    for (name, _) in &guards {
        raw.execute_batch(&format!("DROP TRIGGER {name}"))
            .expect("drops");
    }
    raw.execute_batch(sql).expect("changes it");
    for (_, guard) in &guards {
        raw.execute_batch(guard).expect("puts it back");
    }
}

#[test]
fn a_job_or_last_entries_taken_away_are_found_though_the_guards_were_put_back() {
    let sound = two_jobs();
    assert_eq!(check(&sound).0, Vec::<String>::new());
    for (sql, found) in [
        (
            "PRAGMA foreign_keys = OFF; DELETE FROM job_entry WHERE job_id = 2; DELETE FROM job WHERE id = 2",
            &["2 jobs were opened and 1 are there", "job 2 is gone"][..],
        ),
        (
            "DELETE FROM job_entry WHERE job_id = 1 AND place = (SELECT max(place) FROM job_entry WHERE job_id = 1)",
            &["record of job 1: entries behind"],
        ),
        (
            "DELETE FROM job_head WHERE job_id = 2",
            &["record of job 2: where it ends is not kept"],
        ),
        ("DELETE FROM job_count", &["the count of jobs is gone"]),
        (
            "UPDATE job_head SET entries = entries - 1 WHERE job_id = 1",
            &["record of job 1: entries behind"],
        ),
    ] {
        let spoiled = Workshop::with_book(&sound.bytes());
        behind_its_back(&spoiled.book(), sql);
        let faults = check(&spoiled).0;
        assert_eq!(faults.len(), found.len(), "{sql}: {faults:#?}");
        for (fault, words) in faults.iter().zip(found) {
            assert!(fault.starts_with(words), "{sql}: {fault}");
        }
    }
}

#[test]
fn nothing_is_added_where_entries_were_taken_away_or_a_job_takes_the_number_of_one_that_is_gone() {
    let shop = two_jobs();
    behind_its_back(
        &shop.book(),
        "DELETE FROM job_entry WHERE job_id = 1 AND place = (SELECT max(place) FROM job_entry WHERE job_id = 1);
         DELETE FROM job_entry WHERE job_id = 2; DELETE FROM job WHERE id = 2;",
    );
    for line in [
        "job step 1 --remark \"in its place\" --by Ada",
        "job open \"Tarn 2\" FT2-004417 --by Ada",
    ] {
        let answer = shop.run(line);
        let said = &answer.err;
        assert_eq!(answer.code, Some(3), "{line}: {said}");
        assert!(said.contains("see ringwright book check"), "{said}");
    }
}

#[test]
fn where_records_and_heads_are_both_set_back_the_figures_written_down_tell() {
    let shop = two_jobs();
    let (faults, before) = check(&shop);
    assert!(faults.is_empty());
    let page = shop.run("book check").out;
    let seal = text(&before["seal"]);
    assert!(
        page.contains("Job records: 2, ") && page.contains(seal),
        "{page}"
    );
    behind_its_back(
        &shop.book(),
        "DELETE FROM job_entry WHERE job_id = 2; DELETE FROM job WHERE id = 2; DELETE FROM job_head WHERE job_id = 2;
         UPDATE job_count SET jobs = 1;",
    );
    let (faults, after) = check(&shop);
    assert_eq!(faults, Vec::<String>::new(), "nothing in the file tells it");
    assert_ne!(before, after);
}

#[test]
fn an_older_book_gets_the_heads_of_its_records_and_is_checked_without_before() {
    let shop = two_jobs();
    let figures = check(&shop).1;
    let raw = Connection::open(shop.book()).expect("opens");
    // The heads are the twelfth step; those after it are undone with it. Of notes the tables are there, without rows.
    raw.pragma_update(None, "user_version", 11).expect("marks");
    raw.execute_batch("DROP TABLE ring_picture; DROP TABLE note;")
        .expect("drops");
    let first = include_str!("../../src/store/schema/2026-11-25_first_book.sql");
    let notes = first.find("CREATE TABLE note (").expect("notes");
    raw.execute_batch(&first[notes..]).expect("the first step");
    raw.execute_batch(
        "ALTER TABLE gland ADD COLUMN angle_deg REAL; ALTER TABLE gland ADD COLUMN angle_typed TEXT;
         ALTER TABLE note ADD COLUMN gear TEXT; ALTER TABLE note ADD COLUMN shop TEXT;
         ALTER TABLE note ADD COLUMN accepted_by TEXT; ALTER TABLE note ADD COLUMN accepted_at TEXT;
         DROP INDEX offer_unlisted; DROP TABLE offer_tie; ALTER TABLE supplier DROP COLUMN mapping_heads; DROP TABLE scanner; DROP TABLE decision;
         DROP TRIGGER job_head_is_never_removed; DROP TRIGGER job_head_only_grows; DROP TABLE job_head;
         DROP TRIGGER job_count_is_never_removed; DROP TRIGGER job_count_only_grows; DROP TABLE job_count;",
    )
    .expect("as the version before was");
    drop(raw);
    assert_eq!(check(&shop), (Vec::new(), Value::Null));
    shop.done("stock add AS568-012 --bin A --quantity 1");
    assert_eq!(check(&shop), (Vec::new(), figures));
}
