//! Measures how rings of several units are weighed together: false alarms of the test that sets units apart, its power,
//! and how much surer three units are than one.

use crate::random::Draws;
use crate::score::{Outcome, Score};
use crate::simulator::{Draw, OD_CS, OD_CS_WIDTH, ReadingSet, SCAN_FLAT, draw, population};
use ringwright::core::identification::{
    Candidates, Evidence, Identification, Prior, THREE_SIGMA, disagreement, identify_together,
};
use ringwright::core::measurement::{Condition, Instruments};
use ringwright::core::sizes::SizeTable;

const SEED: u128 = 20_261_126;
const UNITS: usize = 3;

/// Draws a ring's readings in one unit.
fn unit(draws: &mut Draws, ring: usize, condition: Condition, set: ReadingSet) -> Evidence {
    let how = Draw {
        condition,
        set,
        gland: false,
        harsh: false,
        unlisted: 0.0,
    };
    let case = draw(draws, &[ring], how);
    Evidence::new(&case.readings, condition, None, Instruments::shipped())
        .expect("simulated readings are sound")
}

#[derive(Debug, Default)]
struct Figures {
    /// Share of pairs of one size that are set apart.
    pair_alarm: f64,
    /// Share of third units of one size that are set apart from the first two.
    third_alarm: f64,
    /// Share of units with the next dash number that are set apart from two.
    found: f64,
    alone: Score,
    together: Score,
}

fn outcome(found: &Identification, truth: usize) -> Outcome {
    let stated: Vec<(f64, bool)> = found
        .ranked
        .iter()
        .map(|r| (r.probability, r.ring == truth))
        .collect();
    Outcome {
        place: stated.iter().position(|(_, right)| *right),
        same_job: false,
        oracle: false,
        nearest: false,
        stated,
    }
}

fn measure(condition: Condition, set: ReadingSet, rings: usize) -> Figures {
    let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
    let population = population();
    let mut draws = Draws::new(SEED);
    let mut figures = Figures::default();
    let (mut pairs, mut thirds, mut apart, mut neighbours) = (0, 0, 0, 0);
    for _ in 0..rings {
        let ring = population[draws.index(population.len())];
        let units: Vec<Evidence> = (0..UNITS)
            .map(|_| unit(&mut draws, ring, condition, set))
            .collect();
        pairs += usize::from(disagreement(&units[..1], &units[1..2]) > THREE_SIGMA);
        thirds += usize::from(disagreement(&units[..2], &units[2..]) > THREE_SIGMA);
        if let Some(larger) = next_larger(ring) {
            let stranger = unit(&mut draws, larger, condition, set);
            neighbours += 1;
            apart += usize::from(disagreement(&units[..2], &[stranger]) > THREE_SIGMA);
        }
        let alone = identify_together(&units[..1], &candidates);
        figures.alone.add(&outcome(&alone, ring));
        let together = identify_together(&units, &candidates);
        figures.together.add(&outcome(&together, ring));
    }
    let share = |count: usize, of: usize| count as f64 / of.max(1) as f64;
    figures.pair_alarm = share(pairs, rings);
    figures.third_alarm = share(thirds, rings);
    figures.found = share(apart, neighbours);
    figures
}

/// Returns the ring of the same section that is larger inside by 1.2 to 2 mm: one dash number in the usual range.
fn next_larger(ring: usize) -> Option<usize> {
    let rings = SizeTable::shipped().rings();
    let own = &rings[ring];
    (0..rings.len()).find(|at| {
        let other = &rings[*at];
        let step = other.id.nominal.mm() - own.id.nominal.mm();
        let section = other.section.nominal.mm() - own.section.nominal.mm();
        (1.2..2.0).contains(&step) && section.abs() < 0.01
    })
}

const SETS: [(&str, ReadingSet); 3] = [
    ("OD, CS by caliper", OD_CS),
    ("OD, CS flat, width", OD_CS_WIDTH),
    ("ID, OD scan, CS, width flat", SCAN_FLAT),
];

/// Prints every cell; slow, so that it runs only where it is asked for (RINGWRIGHT_RINGS).
#[test]
fn table_of_units_weighed_together() {
    let Some(rings) = std::env::var("RINGWRIGHT_RINGS")
        .ok()
        .and_then(|n| n.parse().ok())
    else {
        return;
    };
    println!("{rings} rings a cell, {UNITS} units each, seed {SEED}");
    println!(
        "condition  readings                    pair alarm  third alarm  neighbour found  top-1 alone  top-1 of {UNITS}  calibration of {UNITS}"
    );
    for (condition, word) in Condition::ALL {
        for (name, set) in SETS {
            let f = measure(condition, set, rings);
            println!(
                "{word:9}  {name:27} {:9.2}% {:11.2}% {:15.1}% {:11.1}% {:10.1}% {:15.2}%",
                100.0 * f.pair_alarm,
                100.0 * f.third_alarm,
                100.0 * f.found,
                100.0 * f.alone.top1(),
                100.0 * f.together.top1(),
                100.0 * f.together.calibration_error()
            );
        }
    }
}

/// Bounds for worn rings with the section read flat. With 1000 rings the harness gives 0.4 % false alarms for a pair,
/// 59 % of neighbouring sizes found, 63.9 % named first by one unit and 82.2 % by three. A false alarm is mostly a slip
/// of a millimetre (one reading in 200 here), which the test is to find as well.
#[test]
fn units_of_one_size_are_seldom_set_apart_and_three_name_it_better_than_one() {
    const RINGS: usize = 400;
    let figures = measure(Condition::Used, OD_CS_WIDTH, RINGS);
    assert!(figures.pair_alarm <= 0.02, "{figures:?}");
    assert!(figures.third_alarm <= 0.02, "{figures:?}");
    assert!(figures.found >= 0.45, "{figures:?}");
    let gain = figures.together.top1() - figures.alone.top1();
    assert!(gain >= 0.10, "{figures:?}");
}
