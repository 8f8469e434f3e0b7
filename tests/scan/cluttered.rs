//! Whole A4 pages: worn rings of AS568 in many colours among the other contents of the drawer.

use crate::layout::{Layout, disc};
use crate::page::{Errors, judged, measured, page, scale};
use crate::simulator::bed::{Backing, Bed, CREAM, WHITE, YELLOW};
use crate::simulator::picture::Scan;
use crate::simulator::random::Draws;
use crate::simulator::ring::{COLOURED, Defect, Edge, Ring, Rubber};
use crate::simulator::scanner::{Scanner, Sensor};
use crate::simulator::thing::{Thing, kind};
use ringwright::core::scan::{Doubt, ScannedRing, read_page};
use std::time::Instant;

/// Pages of the list, counted from 1.
pub(crate) const PAGES: usize = 9;

/// How one page is made.
struct Plan {
    sensor: Sensor,
    dpi: u32,
    backing: Backing,
    coloured: usize,
    talc: usize,
    white: usize,
    /// Rings in the row of those that touch.
    touching: usize,
    overlapping: bool,
    things: Vec<Thing>,
}

/// Page `number` (1 to 9): 348 coloured, 31 talc and 4 white rings and 78 other things on the nine; 21 rings touch, 8 overlap.
pub(crate) fn scan(number: usize) -> Scan {
    bed(number).scan()
}

/// The page before it is scanned.
pub(crate) fn bed(number: usize) -> Bed {
    let mut draws = Draws::new(0xc1u64.wrapping_mul(1009).wrapping_add(number as u64));
    let plan = plan(number, &mut draws);
    make(&plan, number as u64, &mut draws)
}

/// A white A4 page at 600 dpi with so many coloured rings and nothing else: for speed and memory.
pub(crate) fn full(rings: usize) -> Bed {
    let mut draws = Draws::new(600);
    let plan = Plan {
        sensor: Sensor::Cis,
        dpi: 600,
        backing: WHITE,
        coloured: rings,
        talc: 0,
        white: 0,
        touching: 0,
        overlapping: false,
        things: Vec::new(),
    };
    make(&plan, 600, &mut draws)
}

/// A page on which a flat washer of black rubber lies among rings: what looks like a ring and is none.
pub(crate) fn flat_washers() -> Scan {
    let mut draws = Draws::new(77);
    let plan = Plan {
        sensor: Sensor::Cis,
        dpi: 300,
        backing: WHITE,
        coloured: 10,
        talc: 0,
        white: 0,
        touching: 0,
        overlapping: false,
        things: [0.0, 0.4, 0.9].map(kind::flat_rubber).to_vec(),
    };
    make(&plan, 77, &mut draws).scan()
}

fn plan(number: usize, draws: &mut Draws) -> Plan {
    let talc = [0, 0, 0, 0, 6, 6, 10, 9, 0][number - 1];
    Plan {
        sensor: if number % 3 == 2 {
            Sensor::Ccd
        } else {
            Sensor::Cis
        },
        dpi: if number == 9 { 600 } else { 300 },
        backing: match number {
            4 => CREAM,
            6 => YELLOW,
            _ => WHITE,
        },
        coloured: [43, 43, 43, 42, 37, 36, 32, 32, 40][number - 1],
        talc,
        white: if matches!(number, 6 | 8) { 2 } else { 0 },
        touching: if number.is_multiple_of(3) { 3 } else { 2 },
        overlapping: matches!(number, 1 | 3 | 5 | 7),
        things: things(number, draws),
    }
}

/// Nine things, eight on every third page.
fn things(number: usize, draws: &mut Draws) -> Vec<Thing> {
    let mut things = vec![
        kind::coin(draws.uniform()),
        kind::washer(draws.uniform()),
        kind::washer(draws.uniform()),
        kind::nut(draws.uniform()),
        kind::circlip(draws.uniform()),
        kind::cut_ring(draws.uniform()),
        kind::spring(draws.uniform()),
        kind::gasket(draws.uniform()),
    ];
    if !number.is_multiple_of(3) {
        things.push(kind::nut(draws.uniform()));
    }
    things
}

fn make(plan: &Plan, seed: u64, draws: &mut Draws) -> Bed {
    let scanner = Scanner::random(plan.sensor, plan.dpi, draws);
    let mut bed = Bed::new(scanner, seed).under(plan.backing);
    bed.dust = 60;
    let stock = Stock::new();
    let mut rings: Vec<Ring> = (0..plan.coloured)
        .map(|_| {
            if draws.chance(0.6) {
                Rubber::Black
            } else {
                draws.pick(&COLOURED)
            }
        })
        .collect::<Vec<_>>()
        .into_iter()
        .chain([Rubber::Talc].repeat(plan.talc))
        .chain([Rubber::White].repeat(plan.white))
        .map(|rubber| stock.ring(rubber, draws))
        .collect();
    let mut layout = Layout::new(&bed);
    let mut things = plan.things.clone();
    things.sort_by(|one, other| other.bound().total_cmp(&one.bound()));
    for thing in &things {
        let placed = layout.put_thing(&mut bed, thing, draws);
        assert!(placed, "page {seed} has room for its things");
    }
    if plan.overlapping {
        overlap(&mut bed, &mut layout, &mut rings, draws);
    }
    row(&mut bed, &mut layout, plan.touching, &mut rings, draws);
    rings.sort_by(|one, other| other.outside().total_cmp(&one.outside()));
    for ring in &rings {
        settle(&mut bed, &mut layout, ring, draws);
    }
    bed
}

/// The first ring of a size in this range, taken out of the heap.
fn take(rings: &mut Vec<Ring>, least: f64, greatest: f64) -> Ring {
    let at = rings
        .iter()
        .position(|ring| ring.outside() > least && ring.outside() < greatest)
        .expect("a page has rings of every size");
    rings.remove(at)
}

/// Puts a ring where there is room; a page that is full takes it shrunk to a smaller ring of its kind.
fn settle(bed: &mut Bed, layout: &mut Layout, ring: &Ring, draws: &mut Draws) {
    let clear = draws.between(0.6, 3.0);
    let mut ring = ring.clone();
    while !layout.put(bed, &ring, clear, draws) {
        ring.inside *= 0.8;
        assert!(ring.inside > 1.0, "the page has room for its rings");
    }
}

/// A row of rings each of which touches the next.
fn row(bed: &mut Bed, layout: &mut Layout, count: usize, rings: &mut Vec<Ring>, draws: &mut Draws) {
    let mut row: Vec<Ring> = (0..count)
        .map(|_| take(rings, 8.0, 28.0))
        .map(|ring| Ring {
            ovality: 0.0,
            triangle: 0.0,
            defects: Vec::new(),
            ..ring
        })
        .collect();
    let Some(first) = row.first().cloned() else {
        return;
    };
    loop {
        let start = layout
            .place(&first, 2.0, draws)
            .expect("a page has room for a row");
        let turn = draws.angle();
        let mut off = -0.5 * first.outside();
        for ring in &mut row {
            let along = off + 0.5 * ring.outside();
            ring.centre = [start[0] + along * turn.cos(), start[1] + along * turn.sin()];
            off += ring.outside();
        }
        if row.iter().all(|ring| layout.free(ring, ring.centre, 2.0)) {
            break;
        }
    }
    for ring in row {
        layout.take(ring.clone());
        bed.rings.push(ring);
    }
}

/// Two rings of middle size, one of which leans on the other.
fn overlap(bed: &mut Bed, layout: &mut Layout, rings: &mut Vec<Ring>, draws: &mut Draws) {
    let (mut lower, mut upper) = (take(rings, 14.0, 40.0), take(rings, 14.0, 40.0));
    let (low, high) = (
        0.5 * (lower.inside + lower.width),
        0.5 * (upper.inside + upper.width),
    );
    let apart = (low + high) - draws.between(0.3, 0.7) * low.min(high);
    let whole = apart + 0.5 * (lower.outside() + upper.outside());
    let middle = layout
        .place(&disc(whole, [0.0; 2]), 2.0, draws)
        .expect("a page has room for two rings");
    let turn = draws.angle();
    let at = |off: f64| [middle[0] + off * turn.cos(), middle[1] + off * turn.sin()];
    lower.centre = at(0.5 * (whole - lower.outside()));
    upper.centre = at(0.5 * (upper.outside() - whole));
    // The upper lies on the glass at its far end and on the lower where the centre lines cross.
    let crossing = (apart * apart + high * high - low * low) / (2.0 * apart);
    upper.rise = lower.height * upper.outside() / (0.5 * upper.outside() + crossing);
    upper.lean_to = turn;
    layout.take(disc(whole, middle));
    bed.rings.extend([lower, upper]);
}

#[derive(Default)]
struct Count {
    plain: usize,
    found: usize,
    sure: usize,
    foreign: usize,
    foreign_sure: usize,
    errors: Vec<f64>,
    coarse_errors: Vec<f64>,
}

impl Count {
    fn page(&mut self, number: usize) {
        let scan = scan(number);
        let reading = measured(&scan, false).expect("rings are found");
        let judged = judged(&scan, &reading);
        let mut sure = 0;
        for pair in &judged.pairs {
            let plain = !matches!(pair.truth.rubber, Rubber::Talc | Rubber::White);
            self.plain += usize::from(plain);
            let Some(found) = pair.found else {
                if plain {
                    let truth = pair.truth;
                    println!(
                        "   page {number} missed {:?} {:.2} x {:.2} at {:.0?}",
                        truth.rubber, truth.inside, truth.width, truth.centre
                    );
                }
                continue;
            };
            let error = found.od.value.mm() - pair.truth.outside();
            if found.is_sure() {
                sure += 1;
                self.errors.push(error);
                if scan.dpi == 300 {
                    self.coarse_errors.push(error);
                }
            }
            self.found += usize::from(plain);
            self.sure += usize::from(plain && found.is_sure());
            if plain && (!found.is_sure() || error.abs() > 0.07) {
                println!(
                    "   page {number} {:?} {:.2} x {:.2} at {:.0?}: OD {error:+.3} u {:.3} {:?}",
                    pair.truth.rubber,
                    pair.truth.inside,
                    pair.truth.width,
                    pair.truth.centre,
                    found.od.uncertainty.mm(),
                    found.doubts
                );
            }
        }
        for foreign in &judged.foreign {
            println!(
                "   page {number} foreign {:.2} sure {} {:?}",
                foreign.od.value.mm(),
                foreign.is_sure(),
                foreign.doubts
            );
        }
        self.foreign += judged.foreign.len();
        self.foreign_sure += judged.foreign.iter().filter(|ring| ring.is_sure()).count();
        println!(
            "page {number}: {} rings, {} found, {sure} sure, {} foreign, lens {:?}",
            judged.pairs.len(),
            reading.rings.len(),
            judged.foreign.len(),
            reading.scale.lens.map(|lens| lens.distance_mm),
        );
    }
}

#[test]
fn no_sure_ring_of_a_cluttered_page_is_false_or_far_off() {
    let mut count = Count::default();
    count.page(1);
    assert_eq!(count.foreign_sure, 0);
    assert!(
        count.found * 100 >= count.plain * 95,
        "{} of {}",
        count.found,
        count.plain
    );
    assert!(Errors::of(&count.errors).greatest <= 0.10);
}

#[test]
#[ignore = "nine whole pages take minutes: scripts/bench"]
fn of_nine_cluttered_pages_nearly_all_rings_are_found_and_none_that_is_sure_is_false() {
    let mut count = Count::default();
    for number in 1..=PAGES {
        count.page(number);
    }
    let errors = Errors::of(&count.errors);
    println!(
        "{} plain rings, {} found, {} sure; foreign {}, sure {}; OD of the sure {errors:?}",
        count.plain, count.found, count.sure, count.foreign, count.foreign_sure
    );
    assert_eq!(count.foreign_sure, 0);
    assert!(count.foreign <= 2);
    assert!(count.found * 100 >= count.plain * 98);
    assert!(count.sure * 100 >= count.plain * 94);
    assert!(errors.greatest <= 0.10);
    assert!(Errors::of(&count.coarse_errors).scatter <= 0.03);
}

#[test]
fn flat_washers_of_rubber_are_never_sure_and_the_rings_beside_them_are() {
    let scan = flat_washers();
    let reading = measured(&scan, false).expect("rings are found");
    let judged = judged(&scan, &reading);
    let sure = judged
        .pairs
        .iter()
        .filter(|pair| pair.found.is_some_and(ScannedRing::is_sure));
    assert!(sure.count() + 1 >= judged.pairs.len());
    for washer in &judged.foreign {
        assert!(washer.doubts.contains(&Doubt::Flat), "{:?}", washer.doubts);
    }
}

#[test]
fn threads_give_the_same_answer() {
    let scan = scan(2);
    let (page, scale) = (page(&scan), scale(&scan, false));
    let figures = |threads| {
        let reading = read_page(&page, &scale, threads).expect("rings are found");
        let rings = reading.rings.iter();
        rings
            .map(|r| (r.x, r.y, r.od, r.id, r.doubts.clone()))
            .collect::<Vec<_>>()
    };
    let one = figures(1);
    assert_eq!(one, figures(2));
    assert_eq!(one, figures(5));
}

#[test]
#[ignore = "measures time: scripts/bench"]
fn a_page_of_35_million_points_takes_seconds() {
    let scan = full(32).scan();
    let (page, scale) = (page(&scan), scale(&scan, false));
    for threads in [1, 2] {
        let start = Instant::now();
        let reading = read_page(&page, &scale, threads).expect("rings are found");
        println!(
            "{} x {} points, {} rings, {threads} threads: {:.2} s",
            page.width(),
            page.height(),
            reading.rings.len(),
            start.elapsed().as_secs_f64()
        );
        assert!(reading.rings.len() >= 31);
    }
}

/// One size of the list: inside diameter and section in mm.
#[derive(Clone, Copy, Debug)]
struct Size {
    inside: f64,
    section: f64,
}

/// Sizes of AS568 with outside diameters that fit a cluttered page.
pub(super) struct Stock(Vec<Size>);

/// Least and greatest outside diameter on a page, mm.
const OUTSIDE: [f64; 2] = [5.0, 60.0];
/// Greatest inside diameter, mm.
const INSIDE: f64 = 55.0;
/// Share by which a ring that has taken a set has lost height.
const SET: f64 = 0.03;
const NICKED: f64 = 0.08;

impl Stock {
    pub(super) fn new() -> Self {
        let table = include_str!("../../data/sizes/as568.csv");
        let sizes = table
            .lines()
            .skip(1)
            .filter_map(|line| {
                let mut cells = line.split(',').skip(5);
                let inside = cells.next()?.parse().ok()?;
                let section = cells.nth(1)?.parse().ok()?;
                Some(Size { inside, section })
            })
            .filter(|size| {
                let outside = size.inside + 2.0 * size.section;
                size.inside <= INSIDE && (OUTSIDE[0]..=OUTSIDE[1]).contains(&outside)
            })
            .collect();
        Self(sizes)
    }

    /// A ring drawn so that small ones are as common on a logarithmic scale as large ones; it lies at the origin.
    pub(super) fn ring(&self, rubber: Rubber, draws: &mut Draws) -> Ring {
        let wanted = draws.between(OUTSIDE[0].ln(), OUTSIDE[1].ln()).exp();
        let near: Vec<Size> = self
            .0
            .iter()
            .copied()
            .filter(|size| ((size.inside + 2.0 * size.section) / wanted - 1.0).abs() < 0.12)
            .collect();
        let size = draws.pick(&near);
        let section = size.section * draws.normal(1.0, 0.01);
        let set = (SET * draws.between(0.0, 2.0)).min(0.06);
        let mut ring =
            Ring::new(size.inside * draws.normal(1.0, 0.005), section, [0.0, 0.0]).rubber(rubber);
        // What the set takes from the height goes to the width, the section's area being kept.
        ring.height = section * (1.0 - set);
        ring.width = section / (1.0 - set);
        ring.ovality = draws.normal(0.0, 0.01).abs();
        ring.long_axis = draws.angle();
        ring.triangle = draws.normal(0.0, 0.002);
        if draws.chance(NICKED) {
            ring = ring.defect(Defect::Nick {
                edge: draws.pick(&[Edge::Outer, Edge::Inner]),
                angle: draws.angle(),
                depth: draws.between(0.12, 0.4_f64.min(0.3 * section)),
                width: draws.between(0.6, 1.2),
            });
        }
        ring
    }
}
