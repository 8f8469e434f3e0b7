//! Worn rings as they come off a unit, measured by hand.
//!
//! The wear is drawn in its physical form (set only ever flattens, in one of two directions), not in the linear form that
//! the engine computes with.

use crate::random::Draws;
use ringwright::core::measurement::{Condition, Instruments, Measurand, Reading};
use ringwright::core::sizes::{ListedRing, SizeTable};

/// What is measured, with which method.
pub(crate) type ReadingSet = &'static [(Measurand, &'static str)];

pub(crate) const OD_CS: ReadingSet = &[(Measurand::Od, "caliper"), (Measurand::Cs, "caliper")];
pub(crate) const OD_CS_WIDTH: ReadingSet = &[
    (Measurand::Od, "caliper"),
    (Measurand::Cs, "flat"),
    (Measurand::Width, "caliper"),
];
pub(crate) const SCAN_FLAT: ReadingSet = &[
    (Measurand::Id, "scan"),
    (Measurand::Od, "scan"),
    (Measurand::Cs, "flat"),
    (Measurand::Width, "flat"),
];

/// Share of readings that are a slip: a misread millimetre.
const SLIP_SHARE: f64 = 0.005;
const REPEATS: usize = 2;

/// Wear of a condition, in the figures of `data/measurement/conditions.csv`.
struct Wear {
    swell: (f64, f64),
    set: (f64, f64),
}

fn wear(condition: Condition) -> Wear {
    match condition {
        Condition::New => Wear {
            swell: (0.0, 0.002),
            set: (0.0, 0.004),
        },
        Condition::Used => Wear {
            swell: (0.0, 0.012),
            set: (0.032, 0.024),
        },
        Condition::Rough => Wear {
            swell: (0.005, 0.030),
            set: (0.090, 0.055),
        },
    }
}

/// A ring's true size with the readings taken of it.
pub(crate) struct Case {
    pub(crate) truth: usize,
    pub(crate) readings: Vec<Reading>,
}

/// The rings that are drawn: every listed one up to 60 mm inside diameter.
pub(crate) fn population() -> Vec<usize> {
    const LARGEST_MM: f64 = 60.0;
    let rings = SizeTable::shipped().rings();
    (0..rings.len())
        .filter(|at| rings[*at].id.nominal.mm() <= LARGEST_MM)
        .collect()
}

pub(crate) fn draw(
    draws: &mut Draws,
    population: &[usize],
    condition: Condition,
    set: ReadingSet,
) -> Case {
    let truth = population[draws.index(population.len())];
    let ring = &SizeTable::shipped().rings()[truth];
    let worn = Worn::draw(draws, ring, condition);
    let readings = set
        .iter()
        .map(|(measurand, method)| read(draws, &worn, *measurand, method))
        .collect();
    Case { truth, readings }
}

/// A worn ring's real dimensions in millimetres.
struct Worn {
    id: f64,
    od: f64,
    height: f64,
    width: f64,
}

impl Worn {
    fn draw(draws: &mut Draws, ring: &ListedRing, condition: Condition) -> Self {
        const BAND: f64 = 1.96;
        let wear = wear(condition);
        let d1 = draws.normal(ring.id.nominal.mm(), ring.id.plus.mm() / BAND);
        let d2 = draws.normal(ring.section.nominal.mm(), ring.section.plus.mm() / BAND);
        let swell = 1.0 + draws.normal(wear.swell.0, wear.swell.1);
        let set = loop {
            let set = draws.normal(wear.set.0, wear.set.1);
            if set >= 0.0 {
                break set;
            }
        };
        let (height, width) = (d2 * (1.0 - set) * swell, d2 / (1.0 - set) * swell);
        let mean_line = (d1 + d2) * swell;
        // Squeezed between bore and groove the radial thickness is the height, between faces it is the width.
        let radial = if draws.chance(0.5) { height } else { width };
        Self {
            id: mean_line - radial,
            od: mean_line + radial,
            height,
            width,
        }
    }
}

fn read(draws: &mut Draws, worn: &Worn, measurand: Measurand, method: &str) -> Reading {
    let instrument = Instruments::shipped()
        .find(method, measurand)
        .expect("the method is listed");
    let truth = match measurand {
        Measurand::Id => worn.id,
        Measurand::Od => worn.od,
        Measurand::Cs => worn.height,
        Measurand::Width => worn.width,
        Measurand::CutLength | Measurand::Mass | Measurand::Stack => {
            unreachable!("no set asks for it")
        }
    };
    let mut centre = draws.normal(truth + instrument.bias, instrument.sd_between);
    if draws.chance(SLIP_SHARE) {
        centre += if draws.chance(0.5) { 1.0 } else { -1.0 };
    }
    let values = (0..REPEATS)
        .map(|_| to_hundredth(draws.normal(centre, instrument.sd_repeat)).max(0.05))
        .collect();
    Reading {
        measurand,
        values,
        method: method.to_owned(),
        typed: String::new(),
    }
}

/// A caliper shows hundredths.
fn to_hundredth(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}
