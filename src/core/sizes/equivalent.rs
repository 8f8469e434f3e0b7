//! The same or nearly the same ring in other families.

use super::ring_size::RingSize;
use super::table::{ListedRing, SizeTable};
use crate::core::quantity::{Dimension, Length};
use serde::Serialize;

/// Grades how near another listed ring is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum NearGrade {
    /// The same nominal dimensions to the hundredth of a millimetre.
    #[serde(rename = "same")]
    Same,
    /// Each nominal lies within the other's tolerance.
    #[serde(rename = "within tolerance")]
    WithinTolerance,
    /// Inside diameter within 3 %, section within 4 %: may do the same work, to be checked in the gland.
    #[serde(rename = "near")]
    Near,
}

impl NearGrade {
    /// Returns the word that is shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Same => "same",
            Self::WithinTolerance => "within tolerance",
            Self::Near => "near",
        }
    }
}

/// One listed ring near another, with the differences (its dimension less the asked one).
#[derive(Debug, Clone)]
pub struct Equivalent<'t> {
    pub size: &'t RingSize,
    pub grade: NearGrade,
    pub delta_id: Length,
    pub delta_section: Length,
}

/// A ring whose diameter differs by less stretches its gland's groove by that much more or less: three per cent is the
/// width of the stretch band that design guides share (1 to 3, or 2 to 5 per cent).
const NEAR_ID: f64 = 0.03;
/// A section that differs by less changes the squeeze by less than the band between two neighbouring duties.
const NEAR_SECTION: f64 = 0.04;

impl SizeTable {
    /// Lists the rings that are the same as, or near to, the asked dimensions, nearest first.
    ///
    /// `except` leaves out a code (the one that was asked for).
    pub fn equivalents(
        &self,
        id: Dimension,
        section: Dimension,
        except: &str,
    ) -> Vec<Equivalent<'_>> {
        let mut found: Vec<Equivalent<'_>> = Vec::new();
        for ring in self.rings() {
            let Some(grade) = ring.near_grade(id, section) else {
                continue;
            };
            for size in ring.sizes().iter().map(|s| self.size(*s)) {
                if size.code() != except {
                    found.push(Equivalent {
                        size,
                        grade,
                        delta_id: size.id.nominal - id.nominal,
                        delta_section: size.section.nominal - section.nominal,
                    });
                }
            }
        }
        found.sort_by_key(|e| {
            let distance = e.delta_id.nm().abs() + 2 * e.delta_section.nm().abs();
            (e.grade, distance, e.size.standard)
        });
        found
    }
}

impl ListedRing {
    /// Says how near the ring is to dimensions; `None` where it is another size.
    pub(crate) fn near_grade(&self, id: Dimension, section: Dimension) -> Option<NearGrade> {
        const SAME_NM: i64 = 10_000;
        let delta_id = (self.id.nominal.nm() - id.nominal.nm()).abs();
        let delta_section = (self.section.nominal.nm() - section.nominal.nm()).abs();
        if delta_id <= SAME_NM && delta_section <= SAME_NM {
            return Some(NearGrade::Same);
        }
        let within = |delta: i64, a: Dimension, b: Dimension| delta <= a.plus.nm().min(b.plus.nm());
        if within(delta_id, self.id, id) && within(delta_section, self.section, section) {
            return Some(NearGrade::WithinTolerance);
        }
        let near =
            |delta: i64, nominal: Length, share: f64| delta as f64 <= share * nominal.nm() as f64;
        (near(delta_id, id.nominal, NEAR_ID) && near(delta_section, section.nominal, NEAR_SECTION))
            .then_some(NearGrade::Near)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_iso_code_is_the_same_ring_as_the_dash_number() {
        let table = SizeTable::shipped();
        let asked = table.size(table.dash(12).expect("listed"));
        let near = table.equivalents(asked.id, asked.section, &asked.code());
        assert_eq!(near[0].size.code(), "ISO 3601-1 012");
        assert_eq!(near[0].grade, NearGrade::Same);
        assert!(near.iter().all(|e| e.size.code() != "AS568-012"));
        let metric = near.iter().find(|e| e.size.code() == "ISO 3601-1 9.5x1.8");
        assert_eq!(metric.map(|e| e.grade), Some(NearGrade::Near));
    }
}
