//! Worn rings as they come off a unit, measured by hand.
//!
//! The wear is drawn in its physical form (set only ever flattens, in one of two directions), not in the linear form that
//! the engine computes with.

use crate::random::Draws;
use ringwright::core::identification::FOREIGN_SHARE;
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
pub(crate) const SLIP_SHARE: f64 = 0.005;
pub(crate) const REPEATS: usize = 2;
/// Half the width of the band that a tolerance is, in standard deviations: a copy of what `core/identification` takes.
pub(crate) const BAND: f64 = 1.96;

/// Wear of a condition: a copy of `data/measurement/conditions.csv`, so that a changed table shows in what is measured here.
pub(crate) struct Wear {
    pub(crate) swell: (f64, f64),
    pub(crate) set: (f64, f64),
}

pub(crate) fn wear(condition: Condition) -> Wear {
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
    /// The gland that it came out of, as it was measured.
    pub(crate) gland: Option<Gland>,
    /// Whether the ring is of no listed size; `truth` is then the next smaller one of its section.
    pub(crate) unlisted: bool,
    /// The ring itself, for further readings.
    worn: Worn,
}

impl Case {
    /// Takes one more reading of the same ring.
    pub(crate) fn read(&self, draws: &mut Draws, measurand: Measurand, method: &str) -> Reading {
        read(draws, (&self.worn, 0.0, false), measurand, method)
    }

    /// Returns the ring's true inside and outside diameter.
    pub(crate) fn diameters(&self) -> [f64; 2] {
        [self.worn.id, self.worn.od]
    }
}

/// How a case is drawn.
#[derive(Clone, Copy)]
pub(crate) struct Draw {
    pub(crate) condition: Condition,
    pub(crate) set: ReadingSet,
    /// Whether the gland was measured.
    pub(crate) gland: bool,
    /// Errors with heavier tails, errors shared by all readings of a ring, oval rings, flash on the section.
    pub(crate) harsh: bool,
    /// Share of rings of no listed size.
    pub(crate) unlisted: f64,
}

/// The rings that are drawn: every one up to 60 mm inside diameter that a standard lists; `trade.rs` draws those of shops.
pub(crate) fn population() -> Vec<usize> {
    const LARGEST_MM: f64 = 60.0;
    let table = SizeTable::shipped();
    let rings = table.rings();
    let published = |at: &usize| {
        let mut sizes = rings[*at].sizes().iter();
        sizes.any(|id| table.size(*id).standard.is_published())
    };
    (0..rings.len())
        .filter(|at| rings[*at].id.nominal.mm() <= LARGEST_MM)
        .filter(published)
        .collect()
}

/// Returns the range in which sizes between a listed ring and the next of its section lie: the middle 40 % of the gap; beyond
/// the largest of its section the gap is a twentieth.
pub(crate) fn between(at: usize) -> (f64, f64) {
    let rings = SizeTable::shipped().rings();
    let (d1, section) = (rings[at].id.nominal.mm(), rings[at].section.nominal);
    let larger = rings.iter().filter(|r| r.section.nominal == section);
    let larger = larger
        .map(|r| r.id.nominal.mm())
        .filter(|id| *id > d1 + 0.02);
    let gap = larger.min_by(f64::total_cmp).unwrap_or(d1 * 1.05) - d1;
    (d1 + 0.3 * gap, d1 + 0.7 * gap)
}

pub(crate) fn draw(draws: &mut Draws, population: &[usize], how: Draw) -> Case {
    let truth = population[draws.index(population.len())];
    let ring = &SizeTable::shipped().rings()[truth];
    let unlisted = how.unlisted > 0.0 && draws.chance(how.unlisted);
    let d1 = if unlisted {
        let (low, high) = between(truth);
        low + (high - low) * draws.uniform()
    } else {
        ring.id.nominal.mm()
    };
    let mut worn = Worn::draw(draws, (ring, d1), how.condition);
    let shared = if how.harsh {
        worn.od += draws.normal(0.0, OVAL_SHARE * worn.od);
        worn.id += draws.normal(0.0, OVAL_SHARE * worn.id);
        worn.width += draws.uniform() * FLASH_MM;
        draws.normal(0.0, SHARED_SD_MM)
    } else {
        0.0
    };
    let readings = how
        .set
        .iter()
        .map(|(measurand, method)| read(draws, (&worn, shared, how.harsh), *measurand, method))
        .collect();
    let gland = how.gland.then(|| {
        // Someone fitted what came to hand: the gland was then made for any ring.
        let own = if draws.chance(FOREIGN_SHARE) {
            &SizeTable::shipped().rings()[population[draws.index(population.len())]]
        } else {
            ring
        };
        Gland::draw(draws, own, (worn.radial, how.harsh))
    });
    Case {
        truth,
        readings,
        gland,
        unlisted,
        worn,
    }
}

/// A worn ring's real dimensions in millimetres.
struct Worn {
    id: f64,
    od: f64,
    height: f64,
    width: f64,
    radial: bool,
}

impl Worn {
    fn draw(draws: &mut Draws, (ring, d1): (&ListedRing, f64), condition: Condition) -> Self {
        let wear = wear(condition);
        let d1 = draws.normal(d1, ring.id.plus.mm() / BAND);
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
        let is_radial = draws.chance(0.5);
        let radial = if is_radial { height } else { width };
        Self {
            id: mean_line - radial,
            od: mean_line + radial,
            height,
            width,
            radial: is_radial,
        }
    }
}

/// Ovality left after the mean of two diameters, as a share of the diameter; greatest flash on the width; and the error that
/// all readings of a ring share (a worn jaw, a hand), for the harsh simulator.
const OVAL_SHARE: f64 = 0.003;
const FLASH_MM: f64 = 0.08;
const SHARED_SD_MM: f64 = 0.02;

fn read(
    draws: &mut Draws,
    (worn, shared, harsh): (&Worn, f64, bool),
    measurand: Measurand,
    method: &str,
) -> Reading {
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
    let error = if harsh {
        shared + instrument.sd_between * draws.student3()
    } else {
        draws.normal(0.0, instrument.sd_between)
    };
    let mut centre = truth + instrument.bias + error;
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

/// A measured gland, made for the ring by a designer who draws evenly within ranges: the squeeze that the published table
/// prints for the section, or with harsh errors whatever a textbook allows for any section.
pub(crate) enum Gland {
    /// Bore, groove, width.
    Piston(f64, f64, f64),
    /// Outer wall, depth, width.
    Face(f64, f64, f64),
}

/// A section in inches with its ranges of squeeze, radial and between faces.
type Printed = (f64, (f64, f64), (f64, f64));

/// Squeeze of static glands as a share of the free section: section in inches from which a row holds, what the industrial
/// static radial table prints, what the face table prints: a copy of `data/glands/industrial_inch.csv`. The O-Ring Store, O-Ring Groove Chart,
/// https://www.theoringstore.com/store/index.php?main_page=page&id=39&chapter=6 ; a row reaches half way to the next.
const PRINTED: [Printed; 5] = [
    (0.070, (0.22, 0.32), (0.19, 0.32)),
    (0.103, (0.17, 0.24), (0.20, 0.30)),
    (0.139, (0.16, 0.23), (0.20, 0.30)),
    (0.210, (0.15, 0.21), (0.21, 0.30)),
    (0.275, (0.15, 0.20), (0.21, 0.29)),
];

/// Returns the printed range of squeeze of the nearest section.
fn printed(d2: f64, radial: bool) -> (f64, f64) {
    let away = |row: &&Printed| (row.0 * 25.4 - d2).abs();
    let nearest = PRINTED.iter().min_by(|a, b| away(a).total_cmp(&away(b)));
    nearest.map_or(PRINTED[0].1, |row| if radial { row.1 } else { row.2 })
}

/// Ranges of squeeze on the seated section (harsh), stretch (piston), compression of the outside (face) and fill; textbook
/// figures for static glands.
const SQUEEZE: (f64, f64) = (0.16, 0.30);
const STRETCH: (f64, f64) = (0.01, 0.05);
const COMPRESSION: (f64, f64) = (0.0, 0.03);
const FILL: (f64, f64) = (0.60, 0.88);
/// Standard uncertainty of diameters and depths, and of widths, as measured.
const GLAND_SD: (f64, f64) = (0.02, 0.05);

impl Gland {
    pub(crate) fn radial(&self) -> bool {
        matches!(self, Self::Piston(..))
    }

    fn draw(draws: &mut Draws, ring: &ListedRing, (radial, harsh): (bool, bool)) -> Self {
        use std::f64::consts::PI;
        let (d1, d2) = (ring.id.nominal.mm(), ring.section.nominal.mm());
        let mut within = |(low, high): (f64, f64)| low + (high - low) * draws.uniform();
        let range = if harsh { SQUEEZE } else { printed(d2, radial) };
        let (squeeze, fill) = (within(range), within(FILL));
        let volume = PI * PI / 4.0 * d2 * d2 * (d1 + d2);
        let (first, second, third) = if radial {
            let groove = d1 * (1.0 + within(STRETCH));
            let seated = ((d1 + d2) / (groove + d2)).sqrt() * d2;
            let depth = if harsh { seated } else { d2 } * (1.0 - squeeze);
            let width = volume / fill / (PI * (groove + depth) * depth);
            (groove + 2.0 * depth, groove, width)
        } else {
            let outer = (d1 + 2.0 * d2) * (1.0 - within(COMPRESSION));
            let depth = d2 * (1.0 - squeeze);
            let width = volume / fill / (PI * (outer - d2) * depth);
            (outer, depth, width)
        };
        let first = draws.normal(first, GLAND_SD.0);
        let second = draws.normal(second, GLAND_SD.0);
        let third = draws.normal(third, GLAND_SD.1);
        if radial {
            Self::Piston(first, second, third)
        } else {
            Self::Face(first, second, third)
        }
    }

    /// The gland as the program reads it.
    pub(crate) fn words(&self) -> String {
        match self {
            Self::Piston(bore, groove, width) => format!(
                "piston; bore {bore:.2}±0.04; groove {groove:.2}±0.04; width {width:.2}±0.10"
            ),
            Self::Face(outer, depth, width) => {
                format!("face; outer {outer:.2}±0.04; depth {depth:.2}±0.04; width {width:.2}±0.10")
            }
        }
    }
}

/// What the simulator's own law says of a gland for a ring, the measuring error folded into soft ends.
pub(crate) fn gland_log_density(gland: &Gland, d1: f64, d2: f64) -> f64 {
    use std::f64::consts::PI;
    let law = |value: f64, (low, high): (f64, f64), sd: f64| {
        let cdf = ringwright::core::uncertainty::normal_cdf;
        let inside = cdf((value - low) / sd) - cdf((value - high) / sd);
        (inside / (high - low)).max(1e-300).ln()
    };
    let volume = PI * PI / 4.0 * d2 * d2 * (d1 + d2);
    match gland {
        Gland::Piston(bore, groove, width) => {
            let depth = 0.5 * (bore - groove);
            let fill = volume / (PI * (groove + depth) * depth * width);
            let depth_sd = GLAND_SD.0 / std::f64::consts::SQRT_2;
            law(groove / d1 - 1.0, STRETCH, GLAND_SD.0 / d1) - d1.ln()
                + law(1.0 - depth / d2, printed(d2, true), depth_sd / d2)
                - d2.ln()
                + law(
                    fill,
                    FILL,
                    fill * (GLAND_SD.1 / width).hypot(depth_sd / depth),
                )
                + fill.ln()
        }
        Gland::Face(outer, depth, width) => {
            let od = d1 + 2.0 * d2;
            let fill = volume / (PI * (outer - d2) * depth * width);
            law(1.0 - outer / od, COMPRESSION, GLAND_SD.0 / od) - od.ln()
                + law(1.0 - depth / d2, printed(d2, false), GLAND_SD.0 / d2)
                - d2.ln()
                + law(
                    fill,
                    FILL,
                    fill * (GLAND_SD.1 / width).hypot(GLAND_SD.0 / depth),
                )
                + fill.ln()
        }
    }
}
