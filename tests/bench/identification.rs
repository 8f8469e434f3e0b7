//! The harness: conditions × reading sets, against the nearest table row.

use crate::oracle;
use crate::random::Draws;
use crate::score::{Outcome, Score};
use crate::simulator::{Case, Draw, OD_CS, OD_CS_WIDTH, ReadingSet, SCAN_FLAT, draw, population};
use ringwright::core::identification::{Candidates, Evidence, GlandEvidence, Identifier, Prior};
use ringwright::core::measurement::{Condition, Instruments, Measurand};
use ringwright::core::note::read_gland;
use ringwright::core::quantity::LengthUnit;
use ringwright::core::sizes::SizeTable;

pub(crate) const SEED: u128 = 20_261_125;

/// The rings of standards, each alike: those that are drawn. What the rings of shops cost is in `trade.rs`.
fn standards() -> Prior {
    let prior = Prior::none().with_words("trade=0,trade-implied=0");
    prior.expect("sound words")
}

fn score_cell(how: Draw, rings: usize, with_oracle: bool) -> Score {
    // What the oracle is told, the engine is told: which share of the rings is of no listed size. Of the harsh simulator
    // it is told nothing, and keeps its usual share.
    let mut prior = standards();
    if !how.harsh {
        prior.unlisted = how.unlisted;
    }
    let candidates = Candidates::new(SizeTable::shipped(), &prior);
    let population = population();
    let mut identifier = Identifier::new(&candidates);
    let mut draws = Draws::new(SEED);
    let mut score = Score::default();
    for _ in 0..rings {
        let case = draw(&mut draws, &population, how);
        let mut evidence =
            Evidence::new(&case.readings, how.condition, None, Instruments::shipped())
                .expect("simulated readings are sound");
        if let Some(gland) = &case.gland {
            let spec = read_gland(&gland.words(), Some(LengthUnit::Mm)).expect("a sound gland");
            let gland = GlandEvidence::new(&spec).expect("it has dimensions");
            evidence = evidence.with_gland(&gland, &candidates);
        }
        let found = identifier.identify(&evidence);
        let stated: Vec<(f64, bool)> = found
            .ranked
            .iter()
            .map(|r| (r.probability, r.ring == case.truth))
            .collect();
        score.add(&Outcome {
            place: stated.iter().position(|(_, right)| *right),
            same_job: found
                .ranked
                .first()
                .is_some_and(|r| same_job(r.ring, case.truth)),
            oracle: with_oracle && oracle::best(&case, how.condition, &population) == case.truth,
            nearest: nearest_row(&case, &population) == case.truth,
            stated,
        });
    }
    score
}

fn same_job(ring: usize, truth: usize) -> bool {
    let rings = SizeTable::shipped().rings();
    let (a, b) = (&rings[ring], &rings[truth]);
    let near = |x: f64, y: f64, share: f64| (x - y).abs() <= share * y;
    near(a.id.nominal.mm(), b.id.nominal.mm(), 0.03)
        && near(a.section.nominal.mm(), b.section.nominal.mm(), 0.04)
}

/// What a paper chart gives: the row nearest to the inside diameter (or OD less two sections) and the section as they
/// were read, both counting alike.
fn nearest_row(case: &Case, population: &[usize]) -> usize {
    let mean = |measurand| {
        case.readings
            .iter()
            .find(|r| r.measurand == measurand)
            .map(ringwright::core::measurement::Reading::mean)
    };
    let section = mean(Measurand::Cs).expect("every set reads a section");
    let from_od = mean(Measurand::Od).map(|od| od - 2.0 * section);
    let id = mean(Measurand::Id)
        .or(from_od)
        .expect("every set reads a diameter");
    let rings = SizeTable::shipped().rings();
    let distance = |at: usize| {
        let ring = &rings[at];
        (ring.id.nominal.mm() - id).hypot(ring.section.nominal.mm() - section)
    };
    population
        .iter()
        .copied()
        .min_by(|a, b| distance(*a).total_cmp(&distance(*b)))
        .expect("rings are listed")
}

const SETS: [(&str, ReadingSet); 3] = [
    ("OD, CS by caliper", OD_CS),
    ("OD, CS flat, width", OD_CS_WIDTH),
    ("ID, OD scan, CS, width flat", SCAN_FLAT),
];

/// Whether a cell is wanted: every word of RINGWRIGHT_CELLS ("used gland plain"), where it is given, stands in its name.
fn wanted(cell: &[&str]) -> bool {
    let words = std::env::var("RINGWRIGHT_CELLS").unwrap_or_default();
    words.split_whitespace().all(|word| cell.contains(&word))
}

/// Prints every cell; slow, so that it runs only where it is asked for (scripts/bench asks).
#[test]
#[ignore = "prints a table that takes minutes: scripts/bench quality"]
fn table_of_conditions_and_readings() {
    let rings = crate::rings_a_cell();
    println!(
        "{rings} rings a cell, seed {SEED}, {} rings listed up to 60 mm",
        population().len()
    );
    println!(
        "condition  readings                    gland  errors  top-1 oracle  top-3  top-5  same job  nearest row  calibration  log score"
    );
    for (condition, word) in Condition::ALL {
        for (name, set) in SETS {
            for (gland, harsh) in [(false, false), (true, false), (false, true), (true, true)] {
                let how = Draw {
                    condition,
                    set,
                    gland,
                    harsh,
                    unlisted: 0.0,
                };
                let beside = if gland { "gland" } else { "bare" };
                let errors = if harsh { "harsh" } else { "plain" };
                if !wanted(&[word, beside, errors]) {
                    continue;
                }
                let score = score_cell(how, rings, !harsh);
                println!(
                    "{word:9}  {name:27} {beside:5}  {errors:6} {:5.1}% {:5.1}% {:5.1}% {:5.1}% {:8.1}% {:11.1}% {:11.2}% {:10.3}",
                    100.0 * score.top1(),
                    100.0 * score.oracle(),
                    100.0 * score.top3(),
                    100.0 * score.top5(),
                    100.0 * score.same_job(),
                    100.0 * score.nearest(),
                    100.0 * score.calibration_error(),
                    score.log_score()
                );
            }
        }
    }
}

/// Bounds for worn rings with scanned diameters and the section read flat both ways. With 20,000 rings the harness gives
/// 68.1 % first, 99.8 % in the first five, calibration error 1.1 %, nearest row 48.5 %.
#[test]
fn used_rings_are_named_better_than_by_the_nearest_row_and_the_odds_are_honest() {
    const RINGS: usize = 4000;
    let how = Draw {
        condition: Condition::Used,
        set: SCAN_FLAT,
        gland: false,
        harsh: false,
        unlisted: 0.0,
    };
    let score = score_cell(how, RINGS, false);
    assert!(score.top1() >= 0.65, "first: {}", score.top1());
    assert!(score.top5() >= 0.98, "in five: {}", score.top5());
    let gain = score.top1() - score.nearest();
    assert!(gain >= 0.18, "over the nearest row: {gain}");
    let error = score.calibration_error() - score.calibration_noise();
    assert!(error <= 0.02, "calibration: {error}");
}
