//! The tables of listed sizes and the physical rings behind them.

use super::nominal_size::NominalSize;
use super::ring_size::{RingSize, ToleranceBasis};
use super::short_code::ShortCode;
use super::standard::Standard;
use crate::core::confidence::Confidence;
use crate::core::quantity::{Dimension, Length};

// `SIZES` and `RINGS`, made of data/sizes by scripts/build_tables.rs before the program is compiled.
include!(concat!(env!("OUT_DIR"), "/listed_sizes.rs"));

/// Points at one size of the shipped table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SizeId(u16);

impl SizeId {
    /// # Panics
    /// Never: the table holds far fewer sizes than the number can count.
    fn of(place: usize) -> Self {
        Self(u16::try_from(place).expect("the table is short"))
    }
}

/// The most codes under which one ring is listed.
const MOST_CODES: usize = 4;

/// One physical ring with every code under which it is listed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ListedRing {
    /// Inside diameter of the first code.
    pub id: Dimension,
    /// Cross-section of the first code.
    pub section: Dimension,
    /// Sizes that name this ring, in the order of the families; the first `count` places are used.
    members: [SizeId; MOST_CODES],
    count: u8,
}

impl ListedRing {
    /// Returns its two lengths without their tolerances.
    pub fn nominal(&self) -> NominalSize {
        NominalSize::of(self.id, self.section)
    }

    /// Returns the sizes that name this ring, in the order of the families.
    pub fn sizes(&self) -> &[SizeId] {
        &self.members[..usize::from(self.count)]
    }
}

/// Every listed size of the shipped tables.
#[derive(Debug)]
pub struct SizeTable {
    sizes: &'static [RingSize],
    rings: &'static [ListedRing],
}

static SHIPPED: SizeTable = SizeTable {
    sizes: &SIZES,
    rings: &RINGS,
};

/// Two codes name one ring when both dimensions agree to this: the families print inch rings in millimetres rounded to
/// the hundredth, so that the same ring differs by up to half a hundredth in each.
const SAME_RING_NM: i64 = 10_000;

impl SizeTable {
    /// Returns the tables that ship with the program.
    pub fn shipped() -> &'static Self {
        &SHIPPED
    }

    /// Lists every size in the order of the families.
    pub fn sizes(&self) -> &[RingSize] {
        self.sizes
    }

    /// Lists every physical ring, by section and inside diameter.
    pub fn rings(&self) -> &[ListedRing] {
        self.rings
    }

    /// Returns the size that an id of this table points at.
    pub fn size(&self, id: SizeId) -> &RingSize {
        &self.sizes[usize::from(id.0)]
    }

    /// Returns the codes of a physical ring.
    pub fn codes(&self, ring: &ListedRing) -> Vec<String> {
        ring.sizes()
            .iter()
            .map(|id| self.size(*id).code())
            .collect()
    }

    /// Returns the first code of the ring at a place in [`Self::rings`].
    pub fn first_code(&self, ring: usize) -> String {
        self.codes(&self.rings[ring]).swap_remove(0)
    }

    /// Finds a size by family and the code as its table prints it.
    pub fn find(&self, standard: Standard, short_code: &str) -> Option<SizeId> {
        self.sizes
            .iter()
            .position(|s| s.standard == standard && s.short_code.as_str() == short_code)
            .map(SizeId::of)
    }

    /// Finds a size by its full code.
    pub fn find_code(&self, code: &str) -> Option<SizeId> {
        self.sizes
            .iter()
            .position(|s| {
                let own = code.strip_prefix(s.standard.code_prefix());
                own == Some(s.short_code.as_str())
            })
            .map(SizeId::of)
    }

    /// Finds the AS568 size of a dash number.
    pub fn dash(&self, number: u32) -> Option<SizeId> {
        let code = format!("{number:03}");
        self.find(Standard::As568, &code)
            .or_else(|| self.find(Standard::As568Boss, &code))
    }

    /// Finds the physical ring that a size names.
    pub fn ring_of(&self, size: SizeId) -> Option<&ListedRing> {
        self.rings.iter().find(|ring| ring.sizes().contains(&size))
    }

    /// Finds the sizes whose nominal dimensions are these to the hundredth of a millimetre.
    pub fn same_dimensions(&self, id: Length, section: Length) -> Vec<SizeId> {
        let near = |a: Length, b: Length| (a.nm() - b.nm()).abs() <= SAME_RING_NM;
        (0..self.sizes.len())
            .map(SizeId::of)
            .filter(|size| {
                let size = self.size(*size);
                near(size.id.nominal, id) && near(size.section.nominal, section)
            })
            .collect()
    }
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
        let members: usize = table.rings().iter().map(|r| r.sizes().len()).sum();
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
        assert_eq!(counts, [349, 20, 349, 360, 122, 46, 26, 197, 133, 163]);
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
            assert!(!size.source().is_empty());
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
        // The AS568 table prints both; each millimetre figure must be the inch figure rounded to the hundredth.
        let table = SizeTable::shipped();
        let mut compared = 0;
        for printed in table
            .sizes()
            .iter()
            .filter(|s| s.standard == Standard::Iso3601)
        {
            let inch = table.size(
                table
                    .find(Standard::As568, printed.short_code.as_str())
                    .expect("listed"),
            );
            for (exact, rounded) in [
                (inch.id.nominal, printed.id.nominal),
                (inch.id.plus, printed.id.plus),
                (inch.section.nominal, printed.section.nominal),
                (inch.section.plus, printed.section.plus),
            ] {
                let apart = (exact.mm() - rounded.mm()).abs();
                assert!(
                    apart <= 0.005 + 1e-9,
                    "-{}: {exact:?} against {rounded:?}",
                    printed.short_code.as_str()
                );
                compared += 1;
            }
        }
        assert_eq!(compared, 4 * 349);
    }
}
