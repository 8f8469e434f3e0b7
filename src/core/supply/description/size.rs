//! From numbers to the rings that they can mean, by arithmetic and the listed sizes.

use super::figure::Figure;
use crate::core::quantity::{Length, LengthUnit, NM_PER_INCH, NM_PER_MM};
use crate::core::sizes::{
    Designated, ListedRing, NominalSize, SizeId, SizeTable, Standard, nominal_ring,
};
use crate::core::supply::described::{NamedRing, SizeFlag};
use std::sync::LazyLock;

/// One ring that numbers can mean.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reading {
    pub(super) ring: NamedRing,
    pub(super) flag: Option<SizeFlag>,
    /// Its dimensions are those of a standard, so that numbers in doubt mean it.
    listed: bool,
    /// It is listed in inches, so that its figures in millimetres are hardly another's.
    inch: bool,
    /// The dimensions as written.
    pub(super) written: NominalSize,
}

/// What a ring's dimensions lie between.
const SECTION_NM: std::ops::RangeInclusive<i64> = 300_000..=12_700_000;
const ID_NM: std::ops::RangeInclusive<i64> = 300_000..=3_000_000_000;
/// Without a unit, a section of more inches than this is one in millimetres.
const MOST_BARE_INCH_SECTION_NM: i64 = 11_000_000;
/// A section may be so much of the inside diameter where no list has the ring; listed ones go up to 2.1 (AS568-102).
const MOST_SECTION_OF_ID: f64 = 1.25;
/// A written outside diameter may differ from ID + 2 sections by this share of the section, being rounded.
const OD_SLACK: f64 = 0.12;
/// Dimensions that are those of a listed ring to this are that ring; as the table of sizes has it.
const SAME_NM: i64 = 10_000;
/// What rounding alone explains: half a hundredth of a millimetre, and what an inch figure of three decimals leaves.
const ROUNDED_NM: i64 = 5_100;
/// Families write the same section so differently (2.62 and 2.65).
const NEIGHBOUR_SECTION_NM: i64 = 30_000;

/// Two figures as ID and section.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair<'f, 't> {
    pub(super) id: &'f Figure<'t>,
    pub(super) section: &'f Figure<'t>,
}

/// Gives every ring that two figures with a sign of times between them can mean.
pub(super) fn of_two(first: &Figure<'_>, second: &Figure<'_>) -> Vec<Reading> {
    let mut found = Vec::new();
    for unit in units(&[first, second]) {
        let (a, b) = (first.nm(unit), second.nm(unit));
        let mut readings: Vec<Reading> = Vec::new();
        let natural = Pair {
            id: first,
            section: second,
        };
        let swapped = Pair {
            id: second,
            section: first,
        };
        for pair in [natural, swapped]
            .into_iter()
            .take(if a == b { 1 } else { 2 })
        {
            readings.extend(pair.reading(unit));
        }
        // The figures of an inch ring, and a listed ring in the order ID x section, are no other's.
        let settled = readings
            .iter()
            .any(|r| r.listed && (r.inch || r.written.id.nm() == a && a >= b));
        if settled {
            readings.retain(|r| r.listed);
        } else if b > a && !readings.is_empty() && !first.is_fraction() {
            readings.extend(inside_and_outside(a, b));
        }
        found.extend(readings);
    }
    settle(found)
}

/// "2x4" can be inside and outside, where what lies between is a section in half millimetres that the hole is not smaller than.
fn inside_and_outside(inside: i64, outside: i64) -> Option<Reading> {
    let section = (outside - inside) / 2;
    let step = NM_PER_MM / 2;
    (section <= inside && section % step == 0 && section > 0).then(|| exact(inside, section))
}

/// Gives the ring of three figures where one is the outside diameter of the two others.
pub(super) fn of_three(figures: [&Figure<'_>; 3]) -> Vec<Reading> {
    let mut found = Vec::new();
    for unit in units(&figures) {
        let mut sorted = figures;
        sorted.sort_by_key(|figure| figure.nm(unit));
        let [low, middle, high] = sorted;
        for pair in [
            Pair {
                id: middle,
                section: low,
            },
            Pair {
                id: low,
                section: middle,
            },
        ] {
            if agree(pair.id.nm(unit), high.nm(unit), pair.section.nm(unit)) {
                found.extend(pair.reading(unit));
            }
        }
    }
    settle(found)
}

/// Tells whether three lengths are those of one ring.
pub(super) fn agree(id: i64, od: i64, section: i64) -> bool {
    (od - id - 2 * section).abs() as f64 <= OD_SLACK * section as f64
}

/// Gives the ring of an inside diameter and a section that words name.
pub(super) fn of_named(pair: Pair<'_, '_>) -> Vec<Reading> {
    settle(
        units(&[pair.id, pair.section])
            .into_iter()
            .filter_map(|unit| pair.reading(unit))
            .collect(),
    )
}

/// Gives the ring between an inside and an outside diameter.
pub(super) fn between(inside: &Figure<'_>, outside: &Figure<'_>) -> Vec<Reading> {
    worked_out([inside, outside], |unit| {
        let id = inside.nm(unit);
        (id, (outside.nm(unit) - id) / 2)
    })
}

/// Gives the ring of an outside diameter and a section.
pub(super) fn within(outside: &Figure<'_>, section: &Figure<'_>) -> Vec<Reading> {
    worked_out([outside, section], |unit| {
        let section = section.nm(unit);
        (outside.nm(unit) - 2 * section, section)
    })
}

/// Gives the ring whose inside diameter and section follow from two figures.
fn worked_out(
    figures: [&Figure<'_>; 2],
    lengths: impl Fn(LengthUnit) -> (i64, i64),
) -> Vec<Reading> {
    let fraction = figures.iter().any(|figure| figure.is_fraction());
    let places = figures[0].places.max(figures[1].places);
    let readings = units(&figures).into_iter().filter_map(|unit| {
        let (id, section) = lengths(unit);
        of_lengths(id, section, fraction, places)
    });
    settle(readings.collect())
}

fn of_lengths(id: i64, section: i64, fraction: bool, places: usize) -> Option<Reading> {
    if !SECTION_NM.contains(&section) || !ID_NM.contains(&id) {
        return None;
    }
    if fraction {
        let table = SizeTable::shipped();
        let size = nominal_ring(Length::from_nm(id), Length::from_nm(section), table)?;
        return Some(listed(size, None, written(id, section)));
    }
    let reading = identify(id, section, places, places);
    is_ring(&reading).then_some(reading)
}

/// The units in which figures can stand: those written, or both.
fn units(figures: &[&Figure<'_>]) -> Vec<LengthUnit> {
    let mut written = figures.iter().filter_map(|figure| figure.unit);
    match written.next() {
        // Each figure has its own unit; one that has none takes the one that is written.
        Some(unit) => vec![unit],
        None if figures.iter().any(|figure| figure.is_fraction()) => vec![LengthUnit::In],
        None => vec![LengthUnit::Mm, LengthUnit::In],
    }
}

/// Of readings in two units those that a list has outrank the others.
fn settle(mut readings: Vec<Reading>) -> Vec<Reading> {
    if readings.iter().any(|r| r.inch) {
        readings.retain(|r| r.inch);
    }
    let mut unique: Vec<Reading> = Vec::new();
    for reading in readings {
        if !unique.iter().any(|known| known.ring.is_same(&reading.ring)) {
            unique.push(reading);
        }
    }
    unique
}

impl Pair<'_, '_> {
    fn reading(self, unit: LengthUnit) -> Option<Reading> {
        let (id, section) = (self.id.nm(unit), self.section.nm(unit));
        if !SECTION_NM.contains(&section) || !ID_NM.contains(&id) {
            return None;
        }
        let bare = self.id.unit.is_none() && self.section.unit.is_none();
        if self.id.is_fraction() || self.section.is_fraction() {
            let table = SizeTable::shipped();
            let size = nominal_ring(Length::from_nm(id), Length::from_nm(section), table)?;
            // "1/4 x .070": beside a real section a fraction is told to be a nominal one.
            let mixed = self.id.places + self.section.places > 0;
            let written = written(id, section);
            return Some(listed(
                size,
                mixed.then_some(SizeFlag::NominalInch(written)),
                written,
            ));
        }
        if bare && unit == LengthUnit::In && section > MOST_BARE_INCH_SECTION_NM {
            return None;
        }
        let reading = if unit == LengthUnit::In {
            exact(id, section)
        } else {
            identify(id, section, self.id.places, self.section.places)
        };
        is_ring(&reading).then_some(reading)
    }
}

fn is_ring(reading: &Reading) -> bool {
    let ratio = reading.written.section.nm() as f64 / reading.written.id.nm() as f64;
    reading.listed || ratio <= MOST_SECTION_OF_ID
}

fn written(id: i64, section: i64) -> NominalSize {
    NominalSize {
        id: Length::from_nm(id),
        section: Length::from_nm(section),
    }
}

/// Names an inch ring.
fn listed(size: SizeId, flag: Option<SizeFlag>, written: NominalSize) -> Reading {
    Reading {
        ring: NamedRing::listed(size),
        flag,
        listed: true,
        inch: true,
        written,
    }
}

/// A listed size by its nominal dimensions in nanometres.
struct Known {
    id: i64,
    section: i64,
    size: SizeId,
    ring: NamedRing,
    /// Its family writes two decimals, by which it is known: the inch rings in millimetres.
    inch: bool,
    /// A family that a body published; what shops stock is common practice.
    standard: bool,
}

static KNOWN: LazyLock<Vec<Known>> = LazyLock::new(|| {
    let table = SizeTable::shipped();
    let sizes = table.rings().iter().flat_map(ListedRing::sizes);
    let mut known: Vec<Known> = sizes
        .map(|id| {
            let size = table.size(*id);
            Known {
                id: size.id.nominal.nm(),
                section: size.section.nominal.nm(),
                size: *id,
                ring: NamedRing::of(&Designated::Listed(*id)),
                inch: matches!(
                    size.standard,
                    Standard::As568 | Standard::As568Boss | Standard::Iso3601
                ),
                standard: size.standard.is_published(),
            }
        })
        .collect();
    known.sort_by_key(|one| one.id);
    known
});

fn near(id: i64, slack: i64) -> impl Iterator<Item = &'static Known> {
    let from = KNOWN.partition_point(|one| one.id < id - slack);
    KNOWN[from..]
        .iter()
        .take_while(move |one| one.id <= id + slack)
}

/// Names dimensions without looking at their digits.
fn exact(id: i64, section: i64) -> Reading {
    let same = near(id, SAME_NM).filter(|one| (one.section - section).abs() <= SAME_NM);
    let same = same.min_by_key(|one| one.size);
    let written = written(id, section);
    let unlisted = NamedRing {
        code: None,
        size: written,
    };
    Reading {
        ring: same.map_or(unlisted, |one| one.ring.clone()),
        flag: None,
        listed: same.is_some_and(|one| one.standard),
        inch: same.is_some_and(|one| one.inch),
        written,
    }
}

/// Names dimensions in millimetres: a listed ring, one whose last digits differ, the nominal size of an inch ring, or as written.
fn identify(id: i64, section: i64, id_places: usize, section_places: usize) -> Reading {
    let as_written = exact(id, section);
    let written = as_written.written;
    if as_written.ring.code.is_some() {
        let rounded = near(id, SAME_NM).any(|one| {
            (one.id - id).abs() <= ROUNDED_NM && (one.section - section).abs() <= ROUNDED_NM
        });
        let flag = (!rounded).then_some(SizeFlag::LastDigit(written));
        return Reading { flag, ..as_written };
    }
    if let Some(one) = last_digit(id, section, id_places, section_places) {
        return listed(one.size, Some(SizeFlag::LastDigit(written)), written);
    }
    let sixteenth = NM_PER_INCH / 16;
    let off = (id + sixteenth / 2).rem_euclid(sixteenth) - sixteenth / 2;
    let decimals = id_places > 0 || id == 5 * NM_PER_INCH;
    if decimals && off.abs() <= ROUNDED_NM && section_places > 1 {
        let nominal = Length::from_nm(id - off);
        if let Some(size) = nominal_ring(nominal, Length::from_nm(section), SizeTable::shipped()) {
            return listed(size, Some(SizeFlag::NominalInch(written)), written);
        }
    }
    as_written
}

/// Finds the inch ring in millimetres whose figures were rounded to fewer decimals, or whose last digit is off by one.
///
/// A size in half millimetres is one that shops stock, and no rounded inch ring; and a whole number is no rounded one.
fn last_digit(
    id: i64,
    section: i64,
    id_places: usize,
    section_places: usize,
) -> Option<&'static Known> {
    if id_places == 0 {
        return None;
    }
    let half = NM_PER_MM / 2;
    if id % half == 0 && section % half == 0 {
        return None;
    }
    let id_slack = slack(id_places);
    let candidates = near(id, id_slack).filter(|one| one.inch).filter(|one| {
        let off = (one.section - section).abs();
        let exact_id = (one.id - id).abs() <= ROUNDED_NM && id % (NM_PER_MM / 10) != 0;
        off <= slack(section_places) && section_places > 0
            || exact_id && off <= NEIGHBOUR_SECTION_NM
    });
    candidates.min_by_key(|one| (one.id - id).abs() + (one.section - section).abs())
}

/// What a figure of so many decimals may be off: half of the last place of one, one of the last place of two.
fn slack(places: usize) -> i64 {
    match places {
        0 => 0,
        1 => NM_PER_MM / 20,
        _ => NM_PER_MM / 100,
    }
}
