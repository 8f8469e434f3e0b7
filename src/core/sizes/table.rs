//! The tables of listed sizes and the physical rings behind them.

use super::class_b::{class_b_inside_diameter, class_b_section};
use super::ring_size::{RingSize, ToleranceBasis};
use super::standard::Standard;
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::quantity::{Dimension, Length, NM_PER_INCH};
use serde::Deserialize;
use std::sync::LazyLock;

/// Points at one size of the shipped table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SizeId(usize);

/// Holds one physical ring with every code under which it is listed.
#[derive(Debug, Clone, PartialEq)]
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
        ring.sizes
            .iter()
            .map(|id| self.size(*id).code.clone())
            .collect()
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
        self.sizes.iter().position(|s| s.code == code).map(SizeId)
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
    let mut order: Vec<usize> = (0..sizes.len()).collect();
    order.sort_by_key(|i| (sizes[*i].id.nominal, sizes[*i].section.nominal, *i));
    let mut rings: Vec<ListedRing> = Vec::new();
    for index in order {
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
    rings.sort_by_key(|ring| (ring.section.nominal, ring.id.nominal));
    rings
}

#[derive(Deserialize)]
struct As568Row {
    dash: String,
    id_in: f64,
    id_tol_in: f64,
    cs_in: f64,
    cs_tol_in: f64,
    id_mm: f64,
    id_tol_mm: f64,
    cs_mm: f64,
    cs_tol_mm: f64,
    source: String,
    confidence: Confidence,
}

static AS568_ROWS: LazyLock<Vec<As568Row>> = LazyLock::new(|| {
    shipped_rows(
        "sizes/as568.csv",
        include_str!("../../../data/sizes/as568.csv"),
    )
});

/// The first dash number of the tube-fitting boss rings.
const FIRST_BOSS_DASH: &str = "901";

fn as568_sizes() -> Vec<RingSize> {
    AS568_ROWS
        .iter()
        .map(|row| RingSize {
            standard: if row.dash.as_str() >= FIRST_BOSS_DASH {
                Standard::As568Boss
            } else {
                Standard::As568
            },
            code: format!("AS568-{}", row.dash),
            short_code: row.dash.clone(),
            id: Dimension::symmetric(inch(row.id_in), inch(row.id_tol_in)),
            section: Dimension::symmetric(inch(row.cs_in), inch(row.cs_tol_in)),
            id_tolerance_basis: ToleranceBasis::Listed,
            section_tolerance_basis: ToleranceBasis::Listed,
            source: row.source.clone(),
            confidence: row.confidence,
        })
        .collect()
}

fn iso3601_codes() -> Vec<RingSize> {
    AS568_ROWS
        .iter()
        .filter(|row| row.dash.as_str() < FIRST_BOSS_DASH)
        .map(|row| RingSize {
            standard: Standard::Iso3601,
            code: format!("ISO 3601-1 {}", row.dash),
            short_code: row.dash.clone(),
            id: Dimension::symmetric(mm(row.id_mm), mm(row.id_tol_mm)),
            section: Dimension::symmetric(mm(row.cs_mm), mm(row.cs_tol_mm)),
            id_tolerance_basis: ToleranceBasis::Listed,
            section_tolerance_basis: ToleranceBasis::Listed,
            source: row.source.clone(),
            confidence: row.confidence,
        })
        .collect()
}

#[derive(Deserialize)]
struct MetricRow {
    code: Option<String>,
    id_mm: f64,
    id_tol_mm: Option<f64>,
    cs_mm: f64,
    cs_tol_mm: Option<f64>,
    source: String,
    confidence: Confidence,
}

fn iso3601_metric() -> Vec<RingSize> {
    let text = include_str!("../../../data/sizes/iso3601_metric.csv");
    shipped_rows::<MetricRow>("sizes/iso3601_metric.csv", text)
        .into_iter()
        .map(|row| {
            let short_code = format!("{}x{:.2}", row.id_mm, row.cs_mm);
            let short_code = short_code
                .strip_suffix('0')
                .map_or(short_code.clone(), str::to_owned);
            metric_size(Standard::Iso3601Metric, "ISO 3601-1", short_code, row)
        })
        .collect()
}

fn jis_b2401() -> Vec<RingSize> {
    let text = include_str!("../../../data/sizes/jis_b2401.csv");
    shipped_rows::<MetricRow>("sizes/jis_b2401.csv", text)
        .into_iter()
        .map(|row| {
            let short_code = row.code.clone().unwrap_or_default();
            let standard = match short_code.chars().next() {
                Some('G') => Standard::JisG,
                Some('V') => Standard::JisV,
                _ => Standard::JisP,
            };
            metric_size(standard, "JIS B 2401", short_code, row)
        })
        .collect()
}

fn bs4518() -> Vec<RingSize> {
    let text = include_str!("../../../data/sizes/bs4518.csv");
    shipped_rows::<MetricRow>("sizes/bs4518.csv", text)
        .into_iter()
        .map(|row| {
            let short_code = row.code.clone().unwrap_or_default();
            metric_size(Standard::Bs4518, "BS 4518", short_code, row)
        })
        .collect()
}

fn metric_size(standard: Standard, name: &str, short_code: String, row: MetricRow) -> RingSize {
    let (id, section) = (mm(row.id_mm), mm(row.cs_mm));
    let basis = |listed: Option<f64>| match listed {
        Some(_) => ToleranceBasis::Listed,
        None => ToleranceBasis::AssumedClassB,
    };
    let id_tolerance = row
        .id_tol_mm
        .map_or_else(|| class_b_inside_diameter(id), mm);
    let section_tolerance = row.cs_tol_mm.map_or_else(|| class_b_section(section), mm);
    RingSize {
        standard,
        code: format!("{name} {short_code}"),
        short_code,
        id: Dimension::symmetric(id, id_tolerance),
        section: Dimension::symmetric(section, section_tolerance),
        id_tolerance_basis: basis(row.id_tol_mm),
        section_tolerance_basis: basis(row.cs_tol_mm),
        source: row.source,
        confidence: row.confidence,
    }
}

/// Turns a table's millimetres into a length; the tables hold at most three decimals.
fn mm(value: f64) -> Length {
    Length::from_mm(value).unwrap_or(Length::ZERO)
}

/// Turns a table's inches into a length, exactly: the tables hold whole thousandths.
fn inch(value: f64) -> Length {
    const THOUSANDTHS: f64 = 1000.0;
    #[allow(
        clippy::cast_possible_truncation,
        reason = "table values lie below 30 in"
    )]
    let thousandths = (value * THOUSANDTHS).round() as i64;
    Length::from_nm(thousandths * (NM_PER_INCH / 1000))
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
        let mut codes: Vec<&str> = table.sizes().iter().map(|s| s.code.as_str()).collect();
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
                size.code
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
                assert!(pair[0].id.nominal < pair[1].id.nominal, "{}", pair[1].code);
            }
        }
    }

    #[test]
    fn inch_and_millimetre_columns_agree_after_rounding() {
        // The table prints both; each millimetre figure must be the inch figure rounded to the hundredth.
        for row in AS568_ROWS.iter() {
            for (inches, printed) in [
                (row.id_in, row.id_mm),
                (row.id_tol_in, row.id_tol_mm),
                (row.cs_in, row.cs_mm),
                (row.cs_tol_in, row.cs_tol_mm),
            ] {
                let exact = inch(inches).mm();
                assert!(
                    (exact - printed).abs() <= 0.005 + 1e-9,
                    "-{}: {exact} against {printed}",
                    row.dash
                );
            }
        }
    }
}
