//! Rings of no listed size among listed ones: are they noticed, and are the odds of it honest?

use crate::identification::SEED;
use crate::oracle;
use crate::random::Draws;
use crate::simulator::{Draw, SCAN_FLAT, draw, population};
use ringwright::core::identification::{Candidates, Evidence, Identifier, Prior};
use ringwright::core::measurement::{Condition, Instruments};
use ringwright::core::sizes::SizeTable;

const SHARE: f64 = 0.05;
const FALSE_ALARMS: f64 = 0.05;

/// The stated share of unlisted sizes with whether the ring was one, a case each.
type Scores = Vec<(f64, bool)>;

/// Returns which share of the unlisted rings a score finds at the stated rate of false alarms.
fn found(scores: &[(f64, bool)]) -> f64 {
    let mut listed: Vec<f64> = scores.iter().filter(|s| !s.1).map(|s| s.0).collect();
    listed.sort_by(f64::total_cmp);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a count"
    )]
    let limit = listed[((1.0 - FALSE_ALARMS) * listed.len() as f64) as usize];
    let unlisted = scores.iter().filter(|s| s.1);
    unlisted.clone().filter(|s| s.0 > limit).count() as f64 / unlisted.count().max(1) as f64
}

fn scores(condition: Condition, rings: usize) -> (Scores, Scores) {
    // The engine is told what the oracle is told: the share, and that these rings lie between listed ones.
    let told = Prior::none().with_words("between=1");
    let mut prior = told.expect("sound words");
    prior.unlisted = SHARE;
    let candidates = Candidates::new(SizeTable::shipped(), &prior);
    let population = population();
    let mut identifier = Identifier::new(&candidates);
    let mut draws = Draws::new(SEED);
    let how = Draw {
        condition,
        set: SCAN_FLAT,
        gland: false,
        harsh: false,
        unlisted: SHARE,
    };
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    for _ in 0..rings {
        let case = draw(&mut draws, &population, how);
        let evidence = Evidence::new(&case.readings, condition, None, Instruments::shipped())
            .expect("simulated readings are sound");
        let answer = identifier.identify(&evidence);
        ours.push((answer.unlisted_probability, case.unlisted));
        let oracle = oracle::unlisted_share(&case, condition, (&population, SHARE));
        theirs.push((oracle, case.unlisted));
    }
    (ours, theirs)
}

/// Prints how unlisted rings are noticed; only where it is asked for.
#[test]
#[ignore = "prints a table that takes minutes: scripts/bench quality"]
fn table_of_unlisted_rings() {
    let rings = crate::rings_a_cell();
    for (condition, word) in Condition::ALL {
        let (ours, theirs) = scores(condition, rings);
        let mean = |of: bool| {
            let part: Vec<f64> = ours.iter().filter(|s| s.1 == of).map(|s| s.0).collect();
            100.0 * part.iter().sum::<f64>() / part.len().max(1) as f64
        };
        let stated = 100.0 * ours.iter().map(|s| s.0).sum::<f64>() / ours.len() as f64;
        println!(
            "{word:9} unlisted: found {:.1}% at 5% false alarms, oracle {:.1}%; stated on average {stated:.1}% (true 5%), {:.1}% for unlisted, {:.1}% for listed",
            100.0 * found(&ours),
            100.0 * found(&theirs),
            mean(true),
            mean(false)
        );
    }
}

#[test]
fn the_odds_of_an_unlisted_size_average_to_their_true_share() {
    // 3000 rings: the share of unlisted ones drawn is 5 % with a standard deviation of 0.4 %. The background follows the
    // density of the listed sizes and not the simulator's law of what lies between, so that 2 % more are allowed.
    let (ours, _) = scores(Condition::New, 600);
    let stated = ours.iter().map(|s| s.0).sum::<f64>() / ours.len() as f64;
    assert!((stated - SHARE).abs() < 0.03, "{stated}");
}
