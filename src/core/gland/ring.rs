//! The ring that goes into a gland.

use crate::core::elastomer::Polymer;
use crate::core::quantity::{Dimension, Hardness};
use crate::core::sizes::{
    Designated, DesignationReading, ListedRing, NominalSize, SizeTable, ToleranceBasis,
    class_b_inside_diameter, class_b_section,
};

/// A ring with tolerances on both dimensions, ready to be put into a gland.
#[derive(Debug, Clone, PartialEq)]
pub struct GlandRing {
    /// Codes under which it is listed; empty for a ring known by dimensions alone.
    pub codes: Vec<String>,
    /// Inside diameter d1.
    pub id: Dimension,
    /// Cross-section W (d2).
    pub section: Dimension,
    pub polymer: Option<Polymer>,
    pub hardness: Option<Hardness>,
    /// What was assumed about its dimensions.
    pub notes: Vec<String>,
}

impl GlandRing {
    /// Returns its two lengths without their tolerances.
    pub fn nominal(&self) -> NominalSize {
        NominalSize::of(self.id, self.section)
    }

    /// Makes a ring of its dimensions.
    ///
    /// A ring without any tolerance takes those of ISO 3601-1 class B; where a tolerance was stated for one dimension
    /// only, the other is taken as exact, as every length of a gland is. A note says which.
    pub fn of_dimensions(id: Dimension, section: Dimension) -> Self {
        let (id, section, notes) = match (id.has_tolerance(), section.has_tolerance()) {
            (true, true) => (id, section, Vec::new()),
            (false, false) => (
                Dimension::symmetric(id.nominal, class_b_inside_diameter(id.nominal)),
                Dimension::symmetric(section.nominal, class_b_section(section.nominal)),
                vec![
                    "no tolerance given for the ring's inside diameter and section: ISO 3601-1 class B is used"
                        .to_owned(),
                ],
            ),
            (id_stated, _) => {
                let exact = if id_stated { "section" } else { "inside diameter" };
                let note = format!(
                    "a tolerance was given for one dimension of the ring only: the {exact} is taken as exact"
                );
                (id, section, vec![note])
            }
        };
        Self {
            codes: Vec::new(),
            id,
            section,
            polymer: None,
            hardness: None,
            notes,
        }
    }

    /// Makes the ring that one reading of a designation means.
    pub fn of_reading(reading: &DesignationReading, table: &SizeTable) -> Self {
        let mut ring = match &reading.size {
            Designated::Listed(size) => {
                let listed = table.size(*size);
                let mut ring = Self::of_dimensions(listed.id, listed.section);
                ring.codes = table
                    .ring_of(*size)
                    .map_or_else(|| vec![listed.code()], |ring| table.codes(ring));
                if listed.id_tolerance_basis == ToleranceBasis::AssumedClassB
                    || listed.section_tolerance_basis == ToleranceBasis::AssumedClassB
                {
                    ring.notes.push(format!(
                        "no tolerance of {} is known: ISO 3601-1 class B is used",
                        listed.standard
                    ));
                }
                ring.notes.extend(recalled(&[listed.confidence]));
                ring
            }
            Designated::Dimensions { id, section, same } => {
                let mut ring = Self::of_dimensions(*id, *section);
                ring.codes = same.iter().map(|s| table.size(*s).code()).collect();
                ring
            }
        };
        ring.polymer = reading.polymer;
        ring.hardness = reading.hardness;
        ring
    }

    /// Makes the ring of a row of the table of physical rings.
    pub fn of_listed(listed: &ListedRing, table: &SizeTable) -> Self {
        let mut ring = Self::of_dimensions(listed.id, listed.section);
        ring.codes = table.codes(listed);
        let grades: Vec<_> = listed
            .sizes()
            .iter()
            .map(|s| table.size(*s).confidence)
            .collect();
        ring.notes.extend(recalled(&grades));
        ring
    }
}

/// Says that a size is known from memory alone.
fn recalled(grades: &[crate::core::confidence::Confidence]) -> Option<String> {
    use crate::core::confidence::Confidence;
    let all_memory = !grades.is_empty() && grades.iter().all(|g| *g == Confidence::Memory);
    all_memory.then(|| {
        "this size was recalled and is not confirmed in a source: measure before you order"
            .to_owned()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::quantity::Length;

    #[test]
    fn a_tolerance_on_one_dimension_leaves_the_other_exact() {
        let length = Length::from_nm;
        let section = Dimension::symmetric(length(1_778_000), length(76_200));
        let id = Dimension::exact(length(25_146_000));
        let ring = GlandRing::of_dimensions(id, section);
        assert_eq!((ring.id, ring.section), (id, section));
        let bare = GlandRing::of_dimensions(id, Dimension::exact(section.nominal));
        assert!(bare.id.has_tolerance() && bare.section.has_tolerance());
    }
}
