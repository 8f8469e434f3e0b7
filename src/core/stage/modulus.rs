//! What springs are made of: shear modulus, and what a magnet says.

use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::quantity::Length;
use crate::core::word::words;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// Says how a spring takes a magnet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Magnet {
    /// Holds to it.
    Strong,
    /// Is drawn a little.
    Weak,
    /// Nothing.
    None,
}

words!(Magnet {
    Strong => "strong",
    Weak => "weak",
    None => "none",
});

/// One material of the table.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SpringMaterial {
    /// Its word on the command line.
    pub material: String,
    pub name: String,
    /// The thickest wire for which the row stands, in millimetres; empty: any.
    pub wire_to_mm: Option<f64>,
    /// Shear modulus in gigapascals at room temperature; falls about 2 % in 55 K (supplier tables).
    pub shear_modulus_gpa: f64,
    /// Least value seen.
    pub low_gpa: f64,
    /// Greatest value seen.
    pub high_gpa: f64,
    pub magnet: Magnet,
    pub source: String,
    pub confidence: Confidence,
}

static MATERIALS: LazyLock<Vec<SpringMaterial>> =
    LazyLock::new(|| shipped_rows!("stage/spring_materials.csv"));

/// Lists the materials that fit a wire: of each material the row for its thickness.
///
/// `word`: only this material; `magnet`: only those that take a magnet so.
pub fn spring_materials(
    wire: Option<Length>,
    word: Option<&str>,
    magnet: Option<Magnet>,
) -> Vec<&'static SpringMaterial> {
    let plain = |text: &str| text.trim().to_lowercase().replace([' ', '-'], "_");
    let asked = word.map(plain);
    let mut found: Vec<&SpringMaterial> = Vec::new();
    for row in MATERIALS.iter() {
        let fits_wire = match (wire, row.wire_to_mm) {
            (Some(wire), Some(most)) => wire.mm() <= most,
            _ => true,
        };
        let fits = fits_wire
            && asked.as_ref().is_none_or(|w| *w == plain(&row.material))
            && magnet.is_none_or(|m| m == row.magnet);
        if fits && found.iter().all(|f| f.material != row.material) {
            found.push(row);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_in_range_and_a_wire_takes_its_own_row() {
        for row in MATERIALS.iter() {
            assert!(row.low_gpa <= row.shear_modulus_gpa && row.shear_modulus_gpa <= row.high_gpa);
            assert!((30.0..90.0).contains(&row.shear_modulus_gpa) && !row.source.is_empty());
        }
        let of = |mm| {
            let rows = spring_materials(Length::from_mm(mm), Some("music wire"), None);
            rows[0].shear_modulus_gpa
        };
        assert!((of(0.8) - 82.7).abs() < 1e-9 && (of(3.0) - 81.0).abs() < 1e-9);
        assert!((of(3.4) - 80.0).abs() < 1e-9);
    }

    #[test]
    fn a_magnet_that_does_nothing_leaves_the_copper_alloys() {
        let left: Vec<&str> = spring_materials(None, None, Some(Magnet::None))
            .iter()
            .map(|m| m.material.as_str())
            .collect();
        assert_eq!(left, ["phosphor_bronze", "beryllium_copper"]);
    }
}
