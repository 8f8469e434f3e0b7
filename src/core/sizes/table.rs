//! The tables of listed sizes and the physical rings behind them.

use super::class_b::{class_b_inside_diameter, class_b_section};
use super::ring_size::{RingSize, ToleranceBasis};
use super::standard::Standard;
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_fields;
use crate::core::quantity::{Dimension, Length, LengthUnit};
use std::sync::LazyLock;

/// Points at one size of the shipped table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SizeId(usize);

/// Holds one physical ring with every code under which it is listed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ListedRing {
    /// Inside diameter of the first code.
    pub id: Dimension,
    /// Cross-section of the first code.
    pub section: Dimension,
    /// Sizes that name this ring, in the order of the families.
    pub sizes: Vec<SizeId>,
}

/// Holds every listed size of the shipped tables.
#[derive(Debug)]
pub struct SizeTable {
    sizes: Vec<RingSize>,
    rings: Vec<ListedRing>,
}

static SHIPPED: LazyLock<SizeTable> = LazyLock::new(SizeTable::read_shipped);

/// Two codes name one ring when both dimensions agree to this: the families print inch rings in millimetres rounded to
/// the hundredth, so that the same ring differs by up to half a hundredth in each.
const SAME_RING_NM: i64 = 10_000;

impl SizeTable {
    /// Returns the tables that ship with the program, read at first use.
    pub fn shipped() -> &'static Self {
        &SHIPPED
    }

    /// Lists every size in the order of the families.
    pub fn sizes(&self) -> &[RingSize] {
        &self.sizes
    }

    /// Lists every physical ring, by section and inside diameter.
    pub fn rings(&self) -> &[ListedRing] {
        &self.rings
    }

    /// Returns the size that an id of this table points at.
    pub fn size(&self, id: SizeId) -> &RingSize {
        &self.sizes[id.0]
    }

    /// Returns the codes of a physical ring.
    pub fn codes(&self, ring: &ListedRing) -> Vec<String> {
        ring.sizes.iter().map(|id| self.size(*id).code()).collect()
    }

    /// Finds a size by family and the code as its table prints it.
    pub fn find(&self, standard: Standard, short_code: &str) -> Option<SizeId> {
        self.sizes
            .iter()
            .position(|s| s.standard == standard && s.short_code == short_code)
            .map(SizeId)
    }

    /// Finds a size by its full code.
    pub fn find_code(&self, code: &str) -> Option<SizeId> {
        self.sizes
            .iter()
            .position(|s| {
                let own = code.strip_prefix(s.standard.code_prefix());
                own == Some(s.short_code)
            })
            .map(SizeId)
    }

    /// Finds the AS568 size of a dash number.
    pub fn dash(&self, number: u32) -> Option<SizeId> {
        let code = format!("{number:03}");
        self.find(Standard::As568, &code)
            .or_else(|| self.find(Standard::As568Boss, &code))
    }

    /// Finds the physical ring that a size names.
    pub fn ring_of(&self, size: SizeId) -> Option<&ListedRing> {
        self.rings.iter().find(|ring| ring.sizes.contains(&size))
    }

    /// Finds the sizes whose nominal dimensions are these to the hundredth of a millimetre.
    pub fn same_dimensions(&self, id: Length, section: Length) -> Vec<SizeId> {
        let near = |a: Length, b: Length| (a.nm() - b.nm()).abs() <= SAME_RING_NM;
        (0..self.sizes.len())
            .map(SizeId)
            .filter(|size| {
                let size = self.size(*size);
                near(size.id.nominal, id) && near(size.section.nominal, section)
            })
            .collect()
    }

    fn read_shipped() -> Self {
        let mut sizes = as568_sizes();
        sizes.extend(iso3601_codes());
        sizes.extend(iso3601_metric());
        sizes.extend(jis_b2401());
        sizes.extend(bs4518());
        let rings = merge_codes(&sizes);
        Self { sizes, rings }
    }
}

/// Gathers the codes of each physical ring, ordered by section and inside diameter.
fn merge_codes(sizes: &[RingSize]) -> Vec<ListedRing> {
    let mut rings: Vec<ListedRing> = Vec::with_capacity(sizes.len());
    for index in order_by(sizes, |size| (size.id.nominal, size.section.nominal)) {
        let size = &sizes[index];
        let near = |a: Length, b: Length| (a.nm() - b.nm()).abs() <= SAME_RING_NM;
        let twin = rings
            .iter_mut()
            .rev()
            .take_while(|ring| near(ring.id.nominal, size.id.nominal))
            .find(|ring| near(ring.section.nominal, size.section.nominal));
        match twin {
            Some(ring) => ring.sizes.push(SizeId(index)),
            None => rings.push(ListedRing {
                id: size.id,
                section: size.section,
                sizes: vec![SizeId(index)],
            }),
        }
    }
    for ring in &mut rings {
        ring.sizes.sort();
        let first = &sizes[ring.sizes[0].0];
        ring.id = first.id;
        ring.section = first.section;
    }
    let order = order_by(&rings, |ring| (ring.section.nominal, ring.id.nominal));
    order
        .into_iter()
        .map(|place| std::mem::take(&mut rings[place]))
        .collect()
}

/// Gives the places of the items in the order of two lengths, ties in their own order.
///
/// The lengths (below 1.6 m, to the hundred nanometres) and the place are packed into one number, because sorting plain
/// numbers is several times faster than sorting the items, and this is done at every start.
fn order_by<T>(items: &[T], lengths: impl Fn(&T) -> (Length, Length)) -> Vec<usize> {
    const STEP_NM: u64 = 100;
    const LENGTH_BITS: u32 = 24;
    const PLACE_BITS: u32 = 14;
    let packed = |length: Length| length.nm().unsigned_abs() / STEP_NM;
    let mut keys: Vec<u64> = items
        .iter()
        .enumerate()
        .map(|(place, item)| {
            let (first, second) = lengths(item);
            let both = (packed(first) << LENGTH_BITS) | packed(second);
            (both << PLACE_BITS) | place as u64
        })
        .collect();
    keys.sort_unstable();
    #[allow(clippy::cast_possible_truncation, reason = "the low bits hold a place")]
    keys.into_iter()
        .map(|key| (key & ((1 << PLACE_BITS) - 1)) as usize)
        .collect()
}

/// One row of the AS568 table, in the units it prints.
struct As568Row {
    dash: &'static str,
    /// ID, its tolerance, section, its tolerance.
    inches: [Length; 4],
    /// The same, as printed in millimetres.
    millimetres: [Length; 4],
    source: &'static str,
    confidence: Confidence,
}

static AS568_ROWS: LazyLock<Vec<As568Row>> = LazyLock::new(|| {
    let columns = [
        "dash",
        "id_in",
        "id_tol_in",
        "cs_in",
        "cs_tol_in",
        "id_mm",
        "id_tol_mm",
        "cs_mm",
        "cs_tol_mm",
        "source",
        "confidence",
    ];
    let text = include_str!("../../../data/sizes/as568.csv");
    shipped_fields("sizes/as568.csv", text, columns)
        .map(|row| As568Row {
            dash: row[0],
            inches: [row[1], row[2], row[3], row[4]].map(inch),
            millimetres: [row[5], row[6], row[7], row[8]].map(mm),
            source: row[9],
            confidence: confidence(row[10]),
        })
        .collect()
});

/// The first dash number of the tube-fitting boss rings.
const FIRST_BOSS_DASH: &str = "901";

impl As568Row {
    fn size(&self, standard: Standard, lengths: [Length; 4]) -> RingSize {
        RingSize {
            standard,
            short_code: self.dash,
            id: Dimension::symmetric(lengths[0], lengths[1]),
            section: Dimension::symmetric(lengths[2], lengths[3]),
            id_tolerance_basis: ToleranceBasis::Listed,
            section_tolerance_basis: ToleranceBasis::Listed,
            source: self.source,
            confidence: self.confidence,
        }
    }
}

fn as568_sizes() -> Vec<RingSize> {
    AS568_ROWS
        .iter()
        .map(|row| {
            let standard = if row.dash >= FIRST_BOSS_DASH {
                Standard::As568Boss
            } else {
                Standard::As568
            };
            row.size(standard, row.inches)
        })
        .collect()
}

fn iso3601_codes() -> impl Iterator<Item = RingSize> {
    AS568_ROWS
        .iter()
        .filter(|row| row.dash < FIRST_BOSS_DASH)
        .map(|row| row.size(Standard::Iso3601, row.millimetres))
}

/// One row of a metric table; an empty tolerance means that none is at hand.
struct MetricRow {
    standard: Standard,
    short_code: &'static str,
    /// ID, its tolerance, section, its tolerance.
    millimetres: [&'static str; 4],
    source: &'static str,
    confidence: &'static str,
}

/// The columns of the metric tables that state tolerances.
const METRIC_COLUMNS: [&str; 7] = [
    "code",
    "id_mm",
    "id_tol_mm",
    "cs_mm",
    "cs_tol_mm",
    "source",
    "confidence",
];

fn iso3601_metric() -> impl Iterator<Item = RingSize> {
    let text = include_str!("../../../data/sizes/iso3601_metric.csv");
    shipped_fields("sizes/iso3601_metric.csv", text, METRIC_COLUMNS).map(|row| {
        metric_size(&MetricRow {
            standard: Standard::Iso3601Metric,
            short_code: row[0],
            millimetres: [row[1], row[2], row[3], row[4]],
            source: row[5],
            confidence: row[6],
        })
    })
}

fn jis_b2401() -> impl Iterator<Item = RingSize> {
    let text = include_str!("../../../data/sizes/jis_b2401.csv");
    shipped_fields("sizes/jis_b2401.csv", text, METRIC_COLUMNS).map(|row| {
        let standard = match row[0].as_bytes().first() {
            Some(b'G') => Standard::JisG,
            Some(b'V') => Standard::JisV,
            _ => Standard::JisP,
        };
        metric_size(&MetricRow {
            standard,
            short_code: row[0],
            millimetres: [row[1], row[2], row[3], row[4]],
            source: row[5],
            confidence: row[6],
        })
    })
}

fn bs4518() -> impl Iterator<Item = RingSize> {
    let columns = ["code", "id_mm", "cs_mm", "source", "confidence"];
    let text = include_str!("../../../data/sizes/bs4518.csv");
    shipped_fields("sizes/bs4518.csv", text, columns).map(|row| {
        metric_size(&MetricRow {
            standard: Standard::Bs4518,
            short_code: row[0],
            millimetres: [row[1], "", row[2], ""],
            source: row[3],
            confidence: row[4],
        })
    })
}

fn metric_size(row: &MetricRow) -> RingSize {
    let [id, id_tolerance, section, section_tolerance] = row.millimetres;
    let (id, section) = (mm(id), mm(section));
    let (id_tolerance, id_tolerance_basis) =
        tolerance(id_tolerance, || class_b_inside_diameter(id));
    let (section_tolerance, section_tolerance_basis) =
        tolerance(section_tolerance, || class_b_section(section));
    RingSize {
        standard: row.standard,
        short_code: row.short_code,
        id: Dimension::symmetric(id, id_tolerance),
        section: Dimension::symmetric(section, section_tolerance),
        id_tolerance_basis,
        section_tolerance_basis,
        source: row.source,
        confidence: confidence(row.confidence),
    }
}

fn tolerance(listed: &str, assumed: impl Fn() -> Length) -> (Length, ToleranceBasis) {
    if listed.is_empty() {
        (assumed(), ToleranceBasis::AssumedClassB)
    } else {
        (mm(listed), ToleranceBasis::Listed)
    }
}

/// # Panics
/// Panics on a word that is no grade; a test reads every row.
fn confidence(word: &str) -> Confidence {
    Confidence::from_word(word).unwrap_or_else(|| panic!("no confidence grade: {word:?}"))
}

/// Turns a table's millimetres into a length, exactly.
fn mm(text: &str) -> Length {
    length(text, LengthUnit::Mm)
}

/// Turns a table's inches into a length, exactly.
fn inch(text: &str) -> Length {
    length(text, LengthUnit::In)
}

/// # Panics
/// Panics on a text that is no length; a test reads every row.
fn length(text: &str, unit: LengthUnit) -> Length {
    Length::from_decimal(text, unit).unwrap_or_else(|| panic!("no length: {text:?}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_inch_ring_012_carries_both_its_codes_once() {
        let table = SizeTable::shipped();
        let id = table.dash(12).expect("listed");
        let ring = table.ring_of(id).expect("a ring");
        assert_eq!(table.codes(ring), ["AS568-012", "ISO 3601-1 012"]);
        assert_eq!(ring.id.nominal.nm(), 9_245_600);
    }

    #[test]
    fn every_size_belongs_to_exactly_one_ring() {
        let table = SizeTable::shipped();
        let members: usize = table.rings().iter().map(|r| r.sizes.len()).sum();
        assert_eq!(members, table.sizes().len());
        assert!(table.rings().len() < table.sizes().len());
    }

    #[test]
    fn the_number_of_sizes_in_each_family_is_pinned() {
        let count = |standard| {
            SizeTable::shipped()
                .sizes()
                .iter()
                .filter(|s| s.standard == standard)
                .count()
        };
        let counts: Vec<usize> = Standard::ALL.into_iter().map(count).collect();
        assert_eq!(counts, [349, 20, 349, 360, 122, 46, 26, 197]);
    }

    #[test]
    fn codes_are_unique_and_dimensions_are_those_of_rings() {
        let table = SizeTable::shipped();
        let mut codes: Vec<String> = table.sizes().iter().map(RingSize::code).collect();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), table.sizes().len());
        for size in table.sizes() {
            assert!(
                (0.5..=700.0).contains(&size.id.nominal.mm()) || size.standard == Standard::JisV
            );
            assert!(
                (1.0..=10.0).contains(&size.section.nominal.mm()),
                "{}",
                size.code()
            );
            assert!(size.id.plus.mm() > 0.0 && size.section.plus.mm() > 0.0);
            assert!(!size.source.is_empty());
        }
    }

    #[test]
    fn inside_diameters_rise_within_a_family_and_section() {
        let table = SizeTable::shipped();
        for pair in table.sizes().windows(2) {
            let same = pair[0].standard == pair[1].standard
                && pair[0].section.nominal == pair[1].section.nominal;
            if same {
                assert!(
                    pair[0].id.nominal < pair[1].id.nominal,
                    "{}",
                    pair[1].code()
                );
            }
        }
    }

    #[test]
    fn inch_and_millimetre_columns_agree_after_rounding() {
        // The table prints both; each millimetre figure must be the inch figure rounded to the hundredth.
        for row in AS568_ROWS.iter() {
            for (inches, printed) in row.inches.iter().zip(row.millimetres) {
                let (exact, printed) = (inches.mm(), printed.mm());
                assert!(
                    (exact - printed).abs() <= 0.005 + 1e-9,
                    "-{}: {exact} against {printed}",
                    row.dash
                );
            }
        }
    }
}
