//! The metals of glands and how they expand.

use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::word::Word;
use serde::Deserialize;
use std::sync::LazyLock;

#[derive(Debug, Deserialize)]
struct MetalRow {
    metal: String,
    cte_1e6_per_k: f64,
    youngs_gpa: f64,
    poisson: f64,
    cte_source: String,
    cte_confidence: Confidence,
    elastic_source: String,
    elastic_confidence: Confidence,
}

static ROWS: LazyLock<Vec<MetalRow>> = LazyLock::new(|| shipped_rows!("glands/metals.csv"));

/// Points at a metal of the shipped table; brass, of which most regulators are made, where nothing is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Metal(usize);

impl Word for Metal {
    fn words() -> Vec<&'static str> {
        ROWS.iter().map(|row| row.metal.as_str()).collect()
    }

    fn of_word(word: &str) -> Option<Self> {
        let lower = word.trim().to_lowercase();
        ROWS.iter().position(|row| row.metal == lower).map(Self)
    }
}

impl Metal {
    /// Returns the word of the metal.
    pub fn word(self) -> &'static str {
        ROWS.get(self.0).map_or("", |row| row.metal.as_str())
    }

    /// Returns the linear expansion per kelvin.
    pub fn expansion(self) -> f64 {
        ROWS.get(self.0).map_or(0.0, |row| row.cte_1e6_per_k * 1e-6)
    }

    /// Returns the relative growth of the bore of a thick-walled tube with open ends under inside pressure.
    ///
    /// Lamé: u/r_i = p/E ((r_o² + r_i²)/(r_o² − r_i²) + ν). `outer` and `inner` in one unit, pressure in pascals. Moduli and
    /// Poisson's ratios differ by a few per cent between alloys; [`Metal::elastic_source`] says where they come from.
    pub fn bore_growth(self, pascals: f64, inner: f64, outer: f64) -> f64 {
        let Some(row) = ROWS.get(self.0) else {
            return 0.0;
        };
        let (i, o) = (inner * inner, outer * outer);
        pascals / (row.youngs_gpa * 1e9) * ((o + i) / (o - i) + row.poisson)
    }

    /// Returns where the expansion comes from and how well it is known.
    pub fn expansion_source(self) -> (&'static str, Confidence) {
        ROWS.get(self.0).map_or(("", Confidence::Memory), |row| {
            (row.cte_source.as_str(), row.cte_confidence)
        })
    }

    /// Returns where modulus and Poisson's ratio come from and how well they are known.
    pub fn elastic_source(self) -> (&'static str, Confidence) {
        ROWS.get(self.0).map_or(("", Confidence::Memory), |row| {
            (row.elastic_source.as_str(), row.elastic_confidence)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bore_grows_as_the_thick_wall_formula_says() {
        // Worked by hand: steel 205 GPa, 0.29, bore 50 mm, outside 80 mm, 20 MPa:
        // 20e6/205e9 x ((6400 + 2500)/(6400 - 2500) + 0.29) = 2.50948e-4.
        let steel = Metal::of_word("steel").expect("listed");
        let growth = steel.bore_growth(20e6, 50.0, 80.0);
        assert!((growth - 2.509_4e-4).abs() < 1e-8, "{growth}");
        // A thin tube nears p r/(t E): 1 mm wall on 100 mm, 1 MPa: 50/205e3 = 2.44e-4, 2 % more by the mean radius.
        let thin = steel.bore_growth(1e6, 100.0, 102.0);
        assert!((thin / 2.439e-4 - 1.0).abs() < 0.02, "{thin}");
    }

    #[test]
    fn brass_stands_first_and_metals_expand_like_metals() {
        assert_eq!(Metal::default().word(), "brass");
        for word in Metal::words() {
            let metal = Metal::of_word(word).expect("listed");
            assert!((10e-6..=25e-6).contains(&metal.expansion()), "{word}");
            assert!(!metal.expansion_source().0.is_empty());
            assert_eq!(metal.elastic_source().1, Confidence::Memory);
        }
    }
}
