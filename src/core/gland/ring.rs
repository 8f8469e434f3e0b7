//! The ring that goes into a gland.

use crate::core::elastomer::Polymer;
use crate::core::quantity::{Dimension, Hardness};
use crate::core::sizes::{
    Designated, DesignationReading, ListedRing, SizeTable, ToleranceBasis, class_b_inside_diameter,
    class_b_section,
};

/// Holds a ring with tolerances on both dimensions, ready to be put into a gland.
#[derive(Debug, Clone, PartialEq)]
pub struct GlandRing {
    /// Codes under which it is listed; empty for a ring known by dimensions alone.
    pub codes: Vec<String>,
    /// Inside diameter d1.
    pub id: Dimension,
    /// Cross-section W (d2).
    pub section: Dimension,
    /// Polymer, where it is known.
    pub polymer: Option<Polymer>,
    /// Hardness, where it is known.
    pub hardness: Option<Hardness>,
    /// What was assumed about its dimensions.
    pub notes: Vec<String>,
}

impl GlandRing {
    /// Makes a ring of its dimensions; one without tolerance takes that of ISO 3601-1 class B, and a note says so.
    pub fn of_dimensions(id: Dimension, section: Dimension) -> Self {
        let mut lacking = Vec::new();
        let mut assumed = |name: &'static str, given: Dimension, tolerance| {
            if given.has_tolerance() {
                return given;
            }
            lacking.push(name);
            Dimension::symmetric(given.nominal, tolerance)
        };
        let id = assumed("inside diameter", id, class_b_inside_diameter(id.nominal));
        let section = assumed("section", section, class_b_section(section.nominal));
        let notes = if lacking.is_empty() {
            Vec::new()
        } else {
            vec![format!(
                "no tolerance was given for the ring's {}: ISO 3601-1 class B is taken",
                lacking.join(" and ")
            )]
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
                        "no tolerance of {} is at hand: ISO 3601-1 class B is taken",
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
            .sizes
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
