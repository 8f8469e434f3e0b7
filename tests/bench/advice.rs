//! One more reading: by the program's advice, at random, or always the section.

use crate::identification::SEED;
use crate::random::Draws;
use crate::simulator::{Case, Draw, OD_CS, draw, population};
use ringwright::core::identification::{Candidates, Evidence, Identifier, Prior, identify};
use ringwright::core::measurement::{Condition, Instruments, Measurand};
use ringwright::core::sizes::SizeTable;

/// What lies on the bench: each of these can be read next.
const BENCH: [(Measurand, &str); 5] = [
    (Measurand::Id, "caliper"),
    (Measurand::Id, "scan"),
    (Measurand::Od, "scan"),
    (Measurand::Cs, "flat"),
    (Measurand::Width, "caliper"),
];
const CONDITION: Condition = Condition::Used;

struct Shares {
    before: f64,
    advised: f64,
    random: f64,
    section: f64,
}

fn first_is_right(
    case: &Case,
    extra: Option<ringwright::core::measurement::Reading>,
    candidates: &Candidates,
) -> bool {
    let mut readings = case.readings.clone();
    readings.extend(extra);
    let evidence = Evidence::new(&readings, CONDITION, None, Instruments::shipped())
        .expect("simulated readings are sound");
    let found = Identifier::new(candidates).identify(&evidence);
    found.ranked.first().is_some_and(|r| r.ring == case.truth)
}

fn run(rings: usize) -> Shares {
    let candidates = Candidates::new(SizeTable::shipped(), &Prior::none());
    let population = population();
    let mut draws = Draws::new(SEED);
    let how = Draw {
        condition: CONDITION,
        set: OD_CS,
        gland: false,
        harsh: false,
        unlisted: 0.0,
    };
    let mut counts = [0_usize; 4];
    for _ in 0..rings {
        let case = draw(&mut draws, &population, how);
        let evidence = Evidence::new(&case.readings, CONDITION, None, Instruments::shipped())
            .expect("simulated readings are sound");
        let next = identify(&evidence, &candidates, Instruments::shipped()).next;
        let at_hand = next.iter().filter(|n| {
            BENCH
                .iter()
                .any(|(m, method)| n.measurand == *m && n.method == *method)
        });
        // All are free here: the question is what tells most, not what tells most a minute.
        let best = at_hand.max_by(|a, b| a.gain_bits.total_cmp(&b.gain_bits));
        let advised = best.map_or(BENCH[3], |n| {
            (
                n.measurand,
                BENCH
                    .iter()
                    .find(|b| b.1 == n.method)
                    .map_or("flat", |b| b.1),
            )
        });
        let random = BENCH[draws.index(BENCH.len())];
        let choices = [None, Some(advised), Some(random), Some(BENCH[3])];
        for (count, choice) in counts.iter_mut().zip(choices) {
            let extra = choice.map(|(m, method)| case.read(&mut draws, m, method));
            *count += usize::from(first_is_right(&case, extra, &candidates));
        }
    }
    let [before, advised, random, section] = counts.map(|c| c as f64 / rings as f64);
    Shares {
        before,
        advised,
        random,
        section,
    }
}

/// Prints what one more reading is worth; only where it is asked for.
#[test]
#[ignore = "prints a table that takes minutes: scripts/bench quality"]
fn table_of_advice() {
    let rings = crate::rings_a_cell();
    let shares = run(rings);
    println!(
        "advice, used, OD and CS by caliper: {:.1}% first; one more reading as advised {:.1}%, at random {:.1}%, always the section flat {:.1}%",
        100.0 * shares.before,
        100.0 * shares.advised,
        100.0 * shares.random,
        100.0 * shares.section
    );
}

#[test]
fn a_reading_that_was_advised_tells_more_than_a_random_one() {
    // 400 rings: the two shares differ by chance with a standard deviation of about 3 %.
    let shares = run(400);
    assert!(
        shares.advised > shares.random - 0.03,
        "{} {}",
        shares.advised,
        shares.random
    );
    assert!(shares.advised > shares.before);
}
