//! Ways to an unsafe release: each is refused, with its reason. The ways stand in fixtures/release_refused.txt.

use super::program::{Workshop, items, text, words};
use ringwright::app::job::{Hand, JobDesk, NewEntry};
use ringwright::core::job::{FittedPart, JobEntry, Words};
use ringwright::core::stage::SettingLimits;
use ringwright::store::{Book, BookPlace};
use std::path::Path;
use std::sync::LazyLock;

const WAYS: &str = include_str!("fixtures/release_refused.txt");
const WALK: &str = include_str!("../../data/demo/job_walk.txt");

/// A model with two rings in one place, for which the demo has none.
const PAIR: &str = "maker Fellwater Apparatus\nmodel Gill\nunit FG-1\ndate 2026-03-14\ngas air\nsupply 200 bar\nlengths mm\n\n[body]\n\
    o-ring x2 ; at stem ; replace ; new ; od 12.80 12.81 12.80 by caliper ; cs 1.78 1.78 by flat\n  \
    gland face ; outer 12.75 ; depth 1.35 ; width 2.4 ; static ; pressure 10 bar from inside\n";
/// Another unit of that model, with a ring of which nobody can be sure.
const UNSURE: &str = "maker Fellwater Apparatus\nmodel Gill\nunit FG-2\ndate 2026-03-15\ngas air\nsupply 200 bar\nlengths mm\n\n[body]\n\
    o-ring ; at vent ; replace ; used ; od 12.8 by rule\n  \
    gland piston ; static ; pressure 10 bar\n";

/// Books that ways begin from.
struct Beginnings {
    /// The unit of the demo, worked up to its closing.
    worked: Vec<u8>,
    /// The same, as it was opened.
    opened: Vec<u8>,
    /// Worked as well, with one ring where the list has two.
    pair: Vec<u8>,
    /// The lists that are kept beside the first two, so that each of many hundred copies need not compute them.
    lists: Vec<u8>,
}

static BEGINNINGS: LazyLock<Beginnings> = LazyLock::new(|| {
    let today = &jiff::Timestamp::now().to_string()[..10];
    let walk = WALK.replace("2026-10-01", today);
    let lines: Vec<&str> = walk
        .lines()
        .filter(|line| !line.starts_with('#') && !line.is_empty())
        .take_while(|line| !line.starts_with("job close"))
        .collect();
    let (worked, pair, mut opened) = (Workshop::demo(), Workshop::new(), Vec::new());
    for line in &lines {
        worked.printed(line);
        if line.starts_with("job open") {
            opened = worked.bytes();
        }
    }
    pair.add_note(PAIR);
    for line in &lines {
        let other = line.replace("\"Tarn 2\" FT2-004417", "Gill FG-1");
        let part = other.contains("--part") || other.contains("--kept");
        if !part && !other.starts_with("spring") && !other.starts_with("shim") {
            pair.printed(&other);
        }
        if other.contains("--clean") {
            pair.printed(
                "job step 1 --part 1 --spec 'AS568-012 NBR 70' --lot K-1 --by 'M. Okafor'",
            );
        }
    }
    Beginnings {
        worked: worked.bytes(),
        opened,
        pair: pair.bytes(),
        lists: std::fs::read(worked.path("shop.book.lists")).expect("kept"),
    }
});

/// Copies a beginning into a folder of its own.
fn copy(beginning: &[u8]) -> Workshop {
    let shop = Workshop::with_book(beginning);
    shop.write("shop.book.lists", &BEGINNINGS.lists);
    shop.write("unsure.note", UNSURE);
    shop
}

const CLOSING: [(&str, &str); 4] = [
    ("--checked-by", "J. Lind"),
    ("--due", "12 months"),
    (
        "--limits",
        "air, 200 bar, pool and shallow training to 10 m",
    ),
    ("--by", "M. Okafor"),
];

/// The closing of the walk, with other words where a line gives them.
fn closing(other: Option<&str>) -> String {
    let given = words(other.unwrap_or(""));
    let mut line = "job close 1 --format json".to_owned();
    for (flag, usual) in CLOSING {
        let at = given.iter().position(|word| word == flag);
        let value = at
            .and_then(|at| given.get(at + 1))
            .map_or(usual, String::as_str);
        line = format!("{line} {flag} \"{value}\"");
    }
    line
}

/// The reasons for which a closing is refused; `None` where it is released.
fn reasons(shop: &Workshop, line: &str) -> Option<Vec<String>> {
    let answer = shop.run(line);
    let shown = answer.json();
    if answer.code == Some(0) {
        return None;
    }
    assert_eq!(answer.code, Some(1), "{}", answer.shown());
    let codes = items(&shown["lacking_codes"]).iter();
    let codes = codes.filter_map(|code| code.as_str().map(str::to_owned));
    let mut sentences = items(&shown["lacking"]).iter();
    assert!(sentences.all(|s| text(s).len() > 20));
    Some(codes.collect())
}

/// What is wrong with one way; `None` where it is refused as it says.
fn fault(way: &str) -> Option<String> {
    let mut lines = way.lines().map(str::trim).filter(|line| !line.is_empty());
    let name = lines.next()?;
    let (mut beginning, mut close) = (&BEGINNINGS.worked, None);
    let (mut typed, mut expected): (Vec<String>, Option<Vec<&str>>) = (Vec::new(), None);
    for line in lines {
        match line.split_once(' ').unwrap_or((line, "")) {
            ("from", "opened") => beginning = &BEGINNINGS.opened,
            ("from", "pair") => beginning = &BEGINNINGS.pair,
            ("close", other) => close = Some(other),
            ("expect", codes) => expected = Some(codes.split(' ').collect()),
            ("refused", _) => expected = None,
            _ => typed.push(line.replace(" BY", " --by \"M. Okafor\"")),
        }
    }
    let shop = copy(beginning);
    let Some(expected) = expected else {
        let before = shop.bytes();
        if let Some(other) = close {
            typed.push(closing(Some(other)));
        }
        let last = typed.pop().expect("a line");
        for line in &typed {
            shop.run(line);
        }
        let output = shop.run(&last);
        let untouched = !typed.is_empty() || shop.bytes() == before;
        let refused = output.code == Some(2) && untouched;
        return (!refused).then(|| format!("{name}: taken: {}", output.said()));
    };
    for line in &typed {
        let output = shop.run(line);
        if output.code.is_none_or(|code| code > 1) {
            return Some(format!("{name}: {line}: {}", output.said()));
        }
    }
    let Some(found) = reasons(&shop, &closing(close)) else {
        return Some(format!("{name}: RELEASED"));
    };
    let lacks: Vec<&&str> = expected
        .iter()
        .filter(|code| !found.iter().any(|f| f == **code))
        .collect();
    (!lacks.is_empty()).then(|| format!("{name}: {lacks:?} is not among {found:?}"))
}

#[test]
fn every_way_to_an_unsafe_release_is_refused_with_its_reason() {
    let ways: Vec<&str> = WAYS.split("\n== ").skip(1).collect();
    assert!(ways.len() >= 60, "{} ways", ways.len());
    let threads = std::thread::available_parallelism().map_or(2, usize::from);
    LazyLock::force(&BEGINNINGS);
    let faults: Vec<String> = std::thread::scope(|scope| {
        let chunk = ways.len().div_ceil(threads);
        let started: Vec<_> = ways
            .chunks(chunk)
            .map(|some| {
                scope.spawn(move || some.iter().filter_map(|way| fault(way)).collect::<Vec<_>>())
            })
            .collect();
        started
            .into_iter()
            .flat_map(|one| one.join().expect("runs"))
            .collect()
    });
    println!("{} ways tried", ways.len());
    assert!(
        faults.is_empty(),
        "{} of {}:\n{}",
        faults.len(),
        ways.len(),
        faults.join("\n")
    );
}

#[test]
fn the_walk_itself_is_released() {
    let shop = copy(&BEGINNINGS.worked);
    assert_eq!(reasons(&shop, &closing(None)), None);
    // So is the pair, once both rings are recorded before the readings, by a correction that says that the same ring is there twice:
    // what was read before another count was believed does not count.
    let shop = copy(&BEGINNINGS.pair);
    shop.run("job correct 1 5 \"two went in\" --part 1 --spec \"AS568-012 NBR 70\" --count 2 --lot K-1 --by \"M. Okafor\"",
    );
    let found = reasons(&shop, &closing(None)).expect("refused");
    assert!(
        found.contains(&"as-left-before-last-step".to_owned()),
        "{found:?}"
    );
    assert!(!found.contains(&"count".to_owned()), "{found:?}");
}

#[test]
fn what_the_unit_s_note_says_now_counts_whatever_the_job_was_opened_with() {
    for (line, expected) in [
        ("gas oxygen", "other-gas-than-noted"),
        ("rated 1500 psi", "supply-above-rating"),
        ("gear pneumatic", "other-gear-than-noted"),
    ] {
        let shop = copy(&BEGINNINGS.worked);
        let key = line.split(' ').next().unwrap_or_default();
        let shown = shop.run("note show FT2-004417");
        let note = &shown.out;
        let changed: Vec<&str> = note
            .lines()
            .map(|old| {
                if old.split_whitespace().next() == Some(key) {
                    line
                } else {
                    old
                }
            })
            .collect();
        shop.write("n.note", changed.join("\n"));
        let added = shop.run("note add n.note --replace");
        assert_eq!(added.code, Some(0), "{}", added.said());
        let found = reasons(&shop, &closing(None)).expect("refused");
        assert!(
            found.iter().any(|code| code == expected),
            "{line}: {found:?}"
        );
    }
}

/// A welding regulator for argon, at 1 bar: nothing of a breathing stage limits it, and what is recorded does.
#[test]
fn a_welding_regulator_is_released_by_what_its_kind_is_asked_for() {
    let shop = Workshop::new();
    let note = PAIR
        .replace("model Gill", "model Forge\ngear welding regulator")
        .replace("FG-1", "F-1")
        .replace("gas air", "gas argon")
        .replace("supply 200 bar", "supply 200 bar\nrated 230 bar")
        .replace("o-ring x2", "o-ring");
    shop.write("forge.note", note);
    let today = &jiff::Timestamp::now().to_string()[..10];
    for line in [
        "note add forge.note",
        &format!("setting gauge add 2 --checked {today} --against \"dead weight tester\""),
        "job open Forge F-1 BY",
        "job reading 1 --as-found --not-tested \"it leaked\" BY",
        "job step 1 --rated \"gauge 4 bar\" BY",
        "job step 1 --clean detergent BY",
        "job step 1 --part 1 --spec \"AS568-012 FKM 70\" --lot K-1 --why \"the supplier names FKM for argon\" BY",
        "job step 1 --lubricant \"PFPE grease\" --lot S-1 --why \"the supplier names it for argon\" BY",
        "job reading 1 --as-left --reading \"1 bar at 195 bar\" --reading \"1.05 bar at 40 bar\" --gauge 2 --lock-up \"1 s\" \
         --creep \"0 s 1 bar, 300 s 1 bar, 900 s 1 bar\" BY",
        "job step 1 --leak-test \"soap, 5 min at 195 bar\" --result passed BY",
    ] {
        let output = shop.run(&line.replace(" BY", " --by \"M. Okafor\""));
        assert_eq!(output.code, Some(0), "{line}: {}", output.said());
    }
    let close = |limits: &str| reasons(&shop, &closing(Some(&format!("--limits \"{limits}\""))));
    assert_eq!(
        close("acetylene, 200 bar"),
        Some(vec!["limits-gas".to_owned()])
    );
    assert_eq!(close("argon, 200 bar"), None);
    // What is recorded bounds it: the gauge bears 4 bar.
    let page = shop.run("job show 1").said();
    assert!(!page.contains("life support"), "{page}");
}

/// Adds an entry through the library, with a clock of the test's own.
fn add_at(book: &Path, at: &str, entry: JobEntry) {
    let limits = SettingLimits::shipped();
    let place = BookPlace::named(book);
    let desk = JobDesk {
        book: &place,
        limits: &limits,
    };
    let hand = Hand {
        person: "M. Okafor".to_owned(),
        at: at.to_owned(),
    };
    let new = NewEntry::Step {
        entry: Box::new(entry),
        as_listed: false,
        step: None,
    };
    desk.add(1, &hand, &[new]).expect("added");
}

fn remark() -> JobEntry {
    JobEntry::Remark(Words {
        words: "seen".to_owned(),
    })
}

#[test]
fn entries_of_another_time_are_refused_until_they_are_taken_back() {
    for (at, expected) in [
        ("2100-01-01T10:00:00Z", "entry-in-the-future"),
        ("1970-01-01T00:00:10Z", "entry-out-of-order"),
        ("1970-01-01T00:00:10Z", "entry-before-teardown"),
        ("2026-03-10T08:00:00Z", "entry-before-teardown"),
    ] {
        let shop = copy(&BEGINNINGS.worked);
        add_at(&shop.book(), at, remark());
        let found = reasons(&shop, &closing(None)).expect("refused");
        assert!(found.iter().any(|code| code == expected), "{at}: {found:?}");
        shop.run("job correct 1 21 \"the clock was wrong\" --by \"M. Okafor\"");
        assert_eq!(reasons(&shop, &closing(None)), None, "{at}");
    }
    // A note of a later teardown makes all the work older than it.
    let shop = copy(&BEGINNINGS.worked);
    let note = "maker Fellwater Apparatus\nmodel Tarn 2\nunit FT2-004417\ndate 2100-01-01\ngas air\nsupply 200 bar\n\n[body]\nvent plug ; keep\n";
    shop.write("late.note", note);
    let added = shop.run("note add late.note");
    if added.code == Some(0) {
        let found = reasons(&shop, &closing(None)).expect("refused");
        assert!(
            found.iter().any(|code| code == "entry-before-teardown"),
            "{found:?}"
        );
    }
}

#[test]
fn a_record_that_another_hand_wrote_is_judged_by_the_same_rules() {
    // An older program took any words for a place.
    let shop = copy(&BEGINNINGS.worked);
    let place = BookPlace::named(shop.book());
    let entry = JobEntry::Part(FittedPart {
        part: "some ring".to_owned(),
        spec: "AS568-025 N70".to_owned(),
        lot: "K".to_owned(),
        count: 1,
        oxygen_clean: false,
        unlike: None,
        deviation: None,
    });
    let now = jiff::Timestamp::now().to_string();
    Book::open_to_write(&place)
        .expect("opens")
        .write(|book| book.add_job_entry(1, "M. Okafor", &now, &entry))
        .expect("written");
    let found = reasons(&shop, &closing(None)).expect("refused");
    assert!(
        found.iter().any(|code| code == "unknown-place"),
        "{found:?}"
    );
    // A record that was changed in the file is released by nobody.
    let shop = copy(&BEGINNINGS.worked);
    rusqlite::Connection::open(shop.book())
        .expect("opens")
        .execute_batch(
            "DROP TRIGGER job_entry_is_never_changed;
             UPDATE job_entry SET body = replace(body, '148.5', '147.5') WHERE kind = 'reading';",
        )
        .expect("a person with SQL can do that");
    let found = reasons(&shop, &closing(None)).expect("refused");
    assert!(
        found.iter().any(|code| code == "record-changed"),
        "{found:?}"
    );
}

#[test]
fn a_release_that_a_correction_undoes_is_no_release_any_more() {
    let shop = copy(&BEGINNINGS.worked);
    assert_eq!(reasons(&shop, &closing(None)), None);
    let shown = |line: &str| shop.run(line).said();
    assert!(shown("job show 1").contains(", RELEASED"));
    // Another lot changes nothing that was fitted.
    shop.run("job correct 1 6 \"the lot was K-115\" --part 9 --spec \"AS568-119 NBR 70\" --lot K-115 --by \"J. Lind\"",
    );
    let page = shown("job show 1");
    assert!(
        page.contains("RELEASED, corrected since") && page.contains("K-115"),
        "{page}"
    );
    assert_eq!(shop.run("sheet release 1 --out a.pdf").code, Some(0));
    // Readings that were of another unit do.
    shop.run("job correct 1 18 \"was another unit\" --by \"J. Lind\"");
    let page = shown("job show 1");
    assert!(page.contains("NOT TO BE RELIED ON"), "{page}");
    assert!(page.contains("readings as left"), "{page}");
    assert_eq!(shop.run("sheet release 1 --out a.pdf").code, Some(1));
    // The closing itself can be taken back, and opens nothing.
    shop.run("job correct 1 21 \"released in error\" --by \"J. Lind\"");
    assert!(shown("job show 1").contains("NOT RELEASED"));
    assert!(shown("job list").contains("closed, NOT released"));
    assert_eq!(shop.run(&closing(None)).code, Some(2));
    // Nothing is released by a correction.
    let released = shop.run("job correct 1 21 \"released\" --remark x --by \"J. Lind\"");
    assert_eq!(released.code, Some(2));
    assert!(released.out.is_empty(), "{}", released.shown());
}

/// A reading that is rejected and a closing, from 0 to 50 ms apart: whichever comes first, nothing is released with a rejected reading.
#[test]
fn a_reading_and_a_closing_at_one_time_release_nothing_that_is_rejected() {
    const RUNS: u64 = 200;
    let mut released = 0;
    for round in 0..RUNS {
        let shop = copy(&BEGINNINGS.worked);
        let start = |line: &str| shop.start(line);
        let reading = "job reading 1 --reading \"300 psi at 195 bar\" --gauge 2 --by \"M. Okafor\"";
        let apart = std::time::Duration::from_micros(round * 50_000 / RUNS);
        let (mut first, mut second);
        if round % 2 == 0 {
            first = start(reading);
            std::thread::sleep(apart);
            second = start(&closing(None));
        } else {
            first = start(&closing(None));
            std::thread::sleep(apart);
            second = start(reading);
        }
        first.wait().expect("ends");
        second.wait().expect("ends");
        let shown = shop.json("job show 1");
        let closed = shown["standing"] == "released";
        let read = items(&shown["state"]["readings"]).iter();
        let runaway = read
            .filter(|r| r["readings"][0]["text"] == "300 psi at 195 bar")
            .count();
        assert!(
            !(closed && runaway > 0),
            "round {round}: released with a runaway reading"
        );
        assert!(
            closed || runaway == 1,
            "round {round}: one of both was done"
        );
        released += usize::from(closed);
    }
    println!("{RUNS} runs, {released} released before the reading came");
}
