//! Tolerances of ISO 3601-1 class B.

use super::class_b_formula::{inside_diameter_mm, section_mm};
use crate::core::quantity::Length;

/// Returns the class B tolerance of an inside diameter: ±(0.009 · d1^0.95 + 0.11) mm, d1 in millimetres.
///
/// Source: ISO 3601-1, general-purpose class; the formula reproduces the printed examples for 5 to 640 mm to the
/// hundredth (`data/sizes/iso3601_1_class_b_examples.csv`). Rounded to the micrometre.
pub fn class_b_inside_diameter(d1: Length) -> Length {
    Length::from_mm(inside_diameter_mm(d1.mm())).unwrap_or(Length::ZERO)
}

/// Returns the class B tolerance of a cross-section by its band.
///
/// Bands and values are recalled, not confirmed in a source; those at 1.8, 2.65, 3.55, 5.3 and 7.0 mm agree with the
/// metric series table.
pub fn class_b_section(d2: Length) -> Length {
    Length::from_mm(section_mm(d2.mm())).unwrap_or(Length::ZERO)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_formula_gives_the_printed_examples() {
        // Printed examples of ISO 3601-1 class B as quoted in data/sizes/iso3601_1_class_b_examples.csv. The print cuts
        // the value at the hundredth for 20, 320 and 640 mm (0.265 is printed 0.26), so half a hundredth more is allowed.
        let table = include_str!("../../../data/sizes/iso3601_1_class_b_examples.csv");
        let mut rows = 0;
        for line in table.lines().skip(1) {
            let fields: Vec<&str> = line.split(',').collect();
            let d1: f64 = fields[0].parse().expect("a diameter");
            let printed: f64 = fields[1].parse().expect("a tolerance");
            let d1 = Length::from_mm(d1).expect("in range");
            let computed = class_b_inside_diameter(d1).mm();
            assert!(
                (computed - printed).abs() <= 0.0055,
                "{d1:?}: {computed} against {printed}"
            );
            rows += 1;
        }
        assert_eq!(rows, 8);
    }
}
