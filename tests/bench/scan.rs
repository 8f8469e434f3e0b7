//! Rings measured from scanned pages, whose errors are one group, with one height by hand.

use crate::identification::SEED;
use crate::random::Draws;
use crate::score::{Outcome, Score};
use crate::simulator::{Case, Draw, draw, population};
use ringwright::core::identification::{Candidates, Evidence, Identifier, Prior};
use ringwright::core::measurement::{Condition, Instruments, Measurand, Reading};
use ringwright::core::sizes::SizeTable;

/// Rings of a page; its scale and the look of its edges err once for all of them.
const RINGS_OF_PAGE: usize = 30;
/// Standard deviations: of a calibrated scale, of the edges of a page and of each edge by itself (reference, 600 dots an inch).
const SCALE: f64 = 0.0006;
const EDGE_OF_PAGE_MM: f64 = 0.006;
const EDGE_MM: f64 = 0.005;

struct Page {
    scale: f64,
    edge: f64,
}

impl Page {
    fn draw(draws: &mut Draws) -> Self {
        Self {
            scale: draws.normal(0.0, SCALE),
            edge: draws.normal(0.0, EDGE_OF_PAGE_MM),
        }
    }

    /// Reads both diameters: what makes the section wide makes the outside large and the inside small.
    fn read(&self, draws: &mut Draws, case: &Case) -> Vec<Reading> {
        let sides = [(Measurand::Id, -1.0), (Measurand::Od, 1.0)].into_iter();
        let read = sides
            .zip(case.diameters())
            .map(|((measurand, side), truth)| {
                let edge = self.edge + draws.normal(0.0, EDGE_MM);
                let value = truth * (1.0 + self.scale) + side * 2.0 * edge;
                let own = (2.0 * EDGE_OF_PAGE_MM.hypot(EDGE_MM)).hypot(SCALE * truth);
                let typed = format!("{:.3} mm u {own:.3} mm by scan", value.max(0.1));
                Reading::parse(measurand, &typed, None).expect("a reading")
            });
        read.collect()
    }
}

/// What is read of a ring.
#[derive(Clone, Copy)]
struct Read {
    /// Both diameters from a scanned page; else the outside alone by a caliper.
    scan: bool,
    /// The method of the height, where it is taken.
    height: Option<&'static str>,
}

/// Scores readings of rings that are drawn alike from those of standards.
fn score(rings: usize, read: Read) -> Score {
    let prior = Prior::none()
        .with_words("trade=0,trade-implied=0")
        .expect("sound words");
    let candidates = Candidates::new(SizeTable::shipped(), &prior.with_unlisted(0.0));
    let population = population();
    let mut identifier = Identifier::new(&candidates);
    let mut draws = Draws::new(SEED);
    let mut score = Score::default();
    let how = Draw {
        condition: Condition::Used,
        set: &[],
        gland: false,
        harsh: false,
        unlisted: 0.0,
    };
    let mut page = Page::draw(&mut draws);
    for ring in 0..rings {
        if ring % RINGS_OF_PAGE == 0 {
            page = Page::draw(&mut draws);
        }
        let case = draw(&mut draws, &population, how);
        let mut readings = if read.scan {
            page.read(&mut draws, &case)
        } else {
            vec![case.read(&mut draws, Measurand::Od, "caliper")]
        };
        let height = read.height;
        readings.extend(height.map(|method| case.read(&mut draws, Measurand::Cs, method)));
        let evidence = Evidence::new(&readings, how.condition, None, Instruments::shipped());
        let found = identifier.identify(&evidence.expect("sound readings"));
        let ranked = found.ranked.iter();
        let stated: Vec<(f64, bool)> = ranked
            .map(|r| (r.probability, r.ring == case.truth))
            .collect();
        score.add(&Outcome {
            place: stated.iter().position(|(_, right)| *right),
            stated,
            same_job: false,
            oracle: false,
            nearest: false,
        });
    }
    score
}

/// What a scan with one height gives of used rings, each listed one alike, beside the caliper with the same rings. Of AS568 rings
/// alone, and of a thousand: caliper OD and CS 0.587, scan alone 0.590, with a caliper's height 0.618, with a drop gauge's 0.641. Of all
/// 466 listed rings: 0.577, 0.542, 0.631, 0.649.
#[test]
fn scanned_diameters_and_one_height_name_a_used_ring_and_the_odds_are_honest() {
    const RINGS: usize = 3000;
    let ways = [
        (false, Some("caliper"), 0.54),
        (true, None, 0.52),
        (true, Some("caliper"), 0.59),
        (true, Some("gauge"), 0.62),
    ];
    let scores = ways.map(|(scan, height, least)| {
        let score = score(RINGS, Read { scan, height });
        println!(
            "{} and {:8} first {:.3} in three {:.3} calibration {:.4} (noise {:.4})",
            if scan { "scan" } else { "caliper OD" },
            height.unwrap_or("nothing"),
            score.top1(),
            score.top3(),
            score.calibration_error(),
            score.calibration_noise()
        );
        (score, least)
    });
    for (score, least) in scores {
        assert!(score.top1() >= least, "{} of {least}", score.top1());
        let error = score.calibration_error() - score.calibration_noise();
        assert!(error <= 0.02, "calibration: {error}");
    }
}
