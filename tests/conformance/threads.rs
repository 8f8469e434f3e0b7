//! Threads measured as they are made: limits printed in standards, and pairs that the trade warns of.

use ringwright::app::thread_named::{ThreadReport, name_thread};
use ringwright::core::gear::GearKind;
use ringwright::core::quantity::{Dimension, Length};
use ringwright::core::thread::{
    ListedThread, MadeDiameter, Rival, RivalSign, ThreadPitch, ThreadReadings, ThreadSide,
};

fn named(side: ThreadSide, mm: f64, pitch: &str) -> ThreadReport {
    let length = Length::from_mm(mm).expect("a length");
    name_thread(&ThreadReadings {
        diameter: Some((side, Dimension::exact(length))),
        pitch: Some(ThreadPitch::read(pitch, None).expect("a pitch")),
        // A taper pipe thread shares pitch and form with the parallel one: whoever measures looks for the taper.
        taper: Some(false),
        ..ThreadReadings::default()
    })
}

/// Crest limits of male threads in millimetres: ISO 965-2 6g (metric, recalled), ASME B1.1 class 2A (UN, recalled, turned from inches),
/// ISO 228-1 class A (G, recalled). The reading is the least, the middle and the greatest.
const MALE: [(&str, &str, f64, f64); 12] = [
    ("M6x1", "1.0 mm", 5.794, 5.974),
    ("M8x1", "1.0 mm", 7.794, 7.974),
    ("M10x1", "1.0 mm", 9.794, 9.974),
    ("M12x1.5", "1.5 mm", 11.732, 11.968),
    ("M14x1.5", "1.5 mm", 13.732, 13.968),
    ("M26x2", "2.0 mm", 25.682, 25.962),
    ("3/8-24 UNF", "24 tpi", 9.317, 9.500),
    ("7/16-20 UNF", "20 tpi", 10.874, 11.079),
    ("1/2-20 UNF", "20 tpi", 12.462, 12.667),
    ("G 1/8", "28 tpi", 9.514, 9.728),
    ("G 1/4", "19 tpi", 12.907, 13.157),
    ("G 5/8", "14 tpi", 22.627, 22.911),
];

#[test]
fn a_male_thread_anywhere_in_its_printed_limits_comes_first() {
    for (size, pitch, least, greatest) in MALE {
        for mm in [least, f64::midpoint(least, greatest), greatest] {
            let report = named(ThreadSide::Male, mm, pitch);
            let first = &report.threads[0];
            let found = first.thread.size == size;
            assert!(
                found && report.is_found(),
                "{size} at {mm}: {:?}",
                first.thread.size
            );
        }
    }
}

#[test]
fn a_female_thread_in_its_printed_limits_comes_first() {
    // ISO 965-2 6H minor diameters (recalled).
    for (size, pitch, least, greatest) in [
        ("M8x1", "1.0 mm", 6.917, 7.153),
        ("M10x1.5", "1.5 mm", 8.376, 8.676),
        ("M12x1.5", "1.5 mm", 10.376, 10.676),
    ] {
        for mm in [least, greatest] {
            let report = named(ThreadSide::Female, mm, pitch);
            assert_eq!(report.threads[0].thread.size, size, "{mm}");
        }
    }
}

#[test]
fn every_parallel_thread_that_was_read_whole_comes_first() {
    // Read as made, with pitch, flank angle and the look for a taper. Threads that share all four with another one to the tolerance
    // cannot be told apart by readings: at most one in a hundred may stand second.
    let threads: Vec<&ListedThread> = ListedThread::all()
        .iter()
        .filter(|t| !t.is_taper())
        .collect();
    let wrong: Vec<&str> = threads
        .iter()
        .filter(|thread| {
            let mean = MadeDiameter::of(thread, ThreadSide::Male).mean_mm;
            let length = Length::from_mm(mean).expect("a length");
            let pitch = format!("{:.4} mm", thread.pitch_mm());
            let readings = ThreadReadings {
                diameter: Some((ThreadSide::Male, Dimension::exact(length))),
                pitch: Some(ThreadPitch::read(&pitch, None).expect("a pitch")),
                taper: Some(false),
                angle_deg: Some(thread.angle_deg),
                gear: None,
            };
            readings.odds().candidates[0].thread.size != thread.size
        })
        .map(|thread| thread.size.as_str())
        .collect();
    assert!(
        wrong.len() * 100 <= threads.len(),
        "{} of {}: {wrong:?}",
        wrong.len(),
        threads.len()
    );
}

#[test]
fn odds_of_all_threads_and_of_none_sum_to_one() {
    for (mm, pitch) in [
        (9.85, "1.0 mm"),
        (9.6, "28 tpi"),
        (3.3, "9 mm"),
        (150.0, "3 mm"),
    ] {
        let length = Length::from_mm(mm).expect("a length");
        let readings = ThreadReadings {
            diameter: Some((ThreadSide::Male, Dimension::exact(length))),
            pitch: Some(ThreadPitch::read(pitch, None).expect("a pitch")),
            gear: Some(GearKind::FirstStage),
            ..ThreadReadings::default()
        };
        let odds = readings.odds();
        let sum: f64 = odds.candidates.iter().map(|c| c.probability).sum();
        assert!(
            (sum + odds.none_listed - 1.0).abs() < 1e-9,
            "{mm} {pitch}: {sum}"
        );
    }
    // A pitch that no thread of the diameter has points to none.
    assert!(!named(ThreadSide::Male, 3.3, "9 mm").is_found());
}

#[test]
fn pairs_that_the_trade_warns_of_are_flagged_both_ways_with_what_tells_them_apart() {
    // Warned of in the trade (no source but common practice): one starts in the other by hand.
    for (one, other) in [
        ("G 1/8", "M10x1"),
        ("G 1/8", "3/8-24 UNF"),
        ("M10x1", "3/8-24 UNF"),
        ("G 1/8", "R 1/8"),
        ("M25x2", "3/4-14 NPSM"),
        ("G 5/8", ".903-14 NGO"),
        ("1/2-14 NPT", "R 1/2"),
    ] {
        for (thread, rival) in [(one, other), (other, one)] {
            let thread = ListedThread::find(thread).expect("listed");
            let rivals = Rival::of(thread, ThreadSide::Male);
            let found = rivals.iter().find(|r| r.size == rival);
            let found = found.unwrap_or_else(|| panic!("{} and {rival}", thread.size));
            assert!(!found.signs.is_empty(), "{} and {rival}", thread.size);
        }
    }
    let far = Rival::of(
        ListedThread::find("M10x1").expect("listed"),
        ThreadSide::Male,
    );
    assert!(far.iter().all(|rival| rival.size != "M10x1.5"));
}

#[test]
fn the_crests_that_part_a_pair_are_those_of_the_pitches() {
    // Worked by hand: 25.4/28 = 0.9071 mm against 1 mm is 10.24 % more, so that half a pitch is reached after 4.88 crests.
    let thread = ListedThread::find("G 1/8").expect("listed");
    let rivals = Rival::of(thread, ThreadSide::Male);
    let metric = rivals.iter().find(|r| r.size == "M10x1").expect("a rival");
    let RivalSign::Pitch { apart_after, .. } = metric.signs[0] else {
        panic!("{:?}", metric.signs);
    };
    assert!((apart_after - 4.88).abs() < 0.01, "{apart_after}");
}
