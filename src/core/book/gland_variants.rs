//! Glands of several units that should be one: where they are not, the units are variants.

use super::ring_words::mm;
use crate::core::gland::{GlandDimension, GlandSpec};
use crate::core::quantity::Dimension;

/// Standard uncertainty of a gland's dimension by hand in millimetres, where no tolerance was stated: bores and grooves
/// are wanted to 0.01 to 0.05 mm, and inside jaws read 0.03 to 0.05 mm small in narrow bores (trade practice).
const READ_MM: f64 = 0.05;
/// Half the width of a 95 % band in standard deviations.
const BAND_95: f64 = 1.96;
/// Dimensions that differ by more combined standard uncertainties than this are two.
const APART_SIGMAS: f64 = 3.0;

/// Names the dimensions in which two glands differ by more than three combined standard uncertainties.
///
/// Only dimensions that both units recorded are compared; glands of two kinds differ in their kind.
pub(super) fn gland_differences(a: &GlandSpec, b: &GlandSpec) -> Vec<String> {
    if a.kind != b.kind {
        return vec![format!(
            "a {} gland against a {} gland",
            a.kind.word(),
            b.kind.word()
        )];
    }
    GlandDimension::ALL
        .iter()
        .filter_map(|(dimension, word)| {
            let (x, y) = (a.dimension(*dimension)?, b.dimension(*dimension)?);
            let difference = (x.nominal.mm() - y.nominal.mm()).abs();
            let combined = uncertainty(x).hypot(uncertainty(y));
            (difference > APART_SIGMAS * combined).then(|| {
                format!(
                    "{word} {} against {}",
                    mm(x.nominal.mm()),
                    mm(y.nominal.mm())
                )
            })
        })
        .collect()
}

fn uncertainty(dimension: Dimension) -> f64 {
    let stated = dimension.plus.mm().max(dimension.minus.mm()) / BAND_95;
    stated.max(READ_MM)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::gland::GlandKind;
    use crate::core::quantity::parse_dimension;

    fn gland(dimensions: &[(GlandDimension, &str)]) -> GlandSpec {
        let mut gland = GlandSpec::new(GlandKind::Piston);
        for (name, text) in dimensions {
            let typed = parse_dimension(text, None).expect("reads");
            gland.dimensions.push((*name, typed));
        }
        gland
    }

    #[test]
    fn a_wider_bore_is_another_variant_and_a_hundredth_is_not() {
        use GlandDimension::{Bore, Groove};
        let ours = gland(&[(Bore, "26.99±0.02 mm"), (Groove, "22.45 mm")]);
        let alike = gland(&[(Bore, "26.97 mm"), (Groove, "22.46 mm")]);
        let wider = gland(&[(Bore, "28.58 mm")]);
        assert!(gland_differences(&ours, &alike).is_empty());
        assert_eq!(
            gland_differences(&wider, &ours),
            ["bore 28.58 mm against 26.99 mm"]
        );
        let rough = gland(&[(Bore, "27.5±0.5 mm")]);
        assert!(gland_differences(&rough, &ours).is_empty());
    }
}
