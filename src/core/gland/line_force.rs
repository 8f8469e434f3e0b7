//! The force with which a squeezed ring bears on its gland.

/// Young's moduli of a rubber in megapascals by two published laws, which differ by about a factor of two.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Modulus {
    /// By Gent's law.
    pub gent: f64,
    /// By Ruess's law.
    pub ruess: f64,
}

/// Names the laws and their range, for the report.
pub const FORCE_LAWS: &str = "line force by Lindley (1967, recalled), F/(pi D d E) = 1.25 C^1.5 + 50 C^6, with the \
    modulus of Gent (recalled) from Shore A; measured forces are said to be higher, so take it as the lower side; \
    Ruess's modulus gives about twice as much";

/// Least and greatest Shore A hardness for which the moduli are given; Gent's law is stated for 20 to 80.
const SHORE_A: std::ops::RangeInclusive<f64> = 20.0..=95.0;

impl Modulus {
    /// Returns the moduli for a Shore A hardness, or `None` outside 20 to 95.
    ///
    /// Gent: E = 0.0981 (56 + 7.62336 S)/(0.137505 (254 − 2.54 S)), stated for 20 to 80 Shore A, recalled.
    /// Ruess: log10 E = 0.0235 S − 0.6403 (some pages print the constants with base e, which is wrong).
    pub fn of_shore_a(shore: f64) -> Option<Self> {
        SHORE_A.contains(&shore).then(|| Self {
            gent: 0.0981 * (56.0 + 7.62336 * shore) / (0.137_505 * (254.0 - 2.54 * shore)),
            ruess: libm::pow(10.0, 0.0235 * shore - 0.6403),
        })
    }
}

/// Returns Lindley's factor 1.25 C^1.5 + 50 C^6 for a squeeze C as a share of the section; zero without squeeze.
///
/// Stated for C up to about 0.3, sides free. Source: Lindley 1967, recalled; check values in the tests.
pub fn lindley_factor(squeeze: f64) -> f64 {
    if squeeze <= 0.0 {
        return 0.0;
    }
    let cubed = squeeze * squeeze * squeeze;
    1.25 * squeeze * libm::sqrt(squeeze) + 50.0 * cubed * cubed
}

/// Returns the force per millimetre of ring in newtons: section (mm) × modulus (MPa) × Lindley's factor.
pub fn line_force(section_mm: f64, squeeze: f64, modulus_mpa: f64) -> f64 {
    section_mm * modulus_mpa * lindley_factor(squeeze)
}

/// Returns the width of the contact in millimetres, by Hertz with Poisson's ratio 0.5: b = W √(6 f/π), f Lindley's factor.
///
/// Derived from Lindley's force; that the contact follows Hertz is confirmed by an abstract (Kim and others, 2007). The
/// modulus cancels.
pub fn contact_width(section_mm: f64, squeeze: f64) -> f64 {
    section_mm * libm::sqrt(6.0 * lindley_factor(squeeze) / std::f64::consts::PI)
}

/// Returns the peak contact stress in megapascals, p0 = E √(16 f/(6 π)); derived as [`contact_width`].
pub fn contact_stress(squeeze: f64, modulus_mpa: f64) -> f64 {
    modulus_mpa * libm::sqrt(16.0 * lindley_factor(squeeze) / (6.0 * std::f64::consts::PI))
}

/// Says what is known of friction.
pub const FRICTION: &str = "friction: it grows with the rubbing length (by squeeze) and with the projected area (by \
    pressure), but no constants for either are known here, so no figure is given; one source says that break-out \
    takes up to three times the running friction (70 Shore A on a fine surface)";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_moduli_give_their_printed_values() {
        // Gent: 40 1.690, 50 2.456, 60 3.605, 70 5.521, 80 9.351, 90 20.84; Ruess: 60 5.88, 70 10.11 (printed digits).
        for (shore, gent) in [
            (40.0, 1.690),
            (50.0, 2.456),
            (60.0, 3.605),
            (70.0, 5.521),
            (80.0, 9.351),
            (90.0, 20.84),
        ] {
            let e = Modulus::of_shore_a(shore).expect("in range").gent;
            assert!((e - gent).abs() < 6e-4 * gent.max(1.0), "{shore}: {e}");
        }
        for (shore, ruess) in [(60.0, 5.88), (70.0, 10.11)] {
            let e = Modulus::of_shore_a(shore).expect("in range").ruess;
            assert!((e - ruess).abs() < 0.006, "{shore}: {e}");
        }
        assert!(Modulus::of_shore_a(100.0).is_none());
    }

    #[test]
    fn lindleys_factor_gives_its_printed_values() {
        for (squeeze, factor) in [
            (0.10, 0.03958),
            (0.15, 0.07319),
            (0.20, 0.1150),
            (0.25, 0.1685),
            (0.30, 0.2419),
        ] {
            assert!((lindley_factor(squeeze) - factor).abs() < 6e-5, "{squeeze}");
        }
        assert!(lindley_factor(-0.1).abs() < f64::EPSILON);
    }

    #[test]
    fn contact_and_face_load_give_their_worked_values() {
        // Worked with the same formulas: b/d 0.469 and p0/E 0.312 at 20 %, 1.73 MPa at 70 Shore A, to the printed digit;
        // face D 50 mm, d 3.53, 70 A, 20 %: 2.24 N/mm and 352 N.
        let e = Modulus::of_shore_a(70.0).expect("in range").gent;
        assert!((contact_width(1.0, 0.20) - 0.469).abs() < 5e-4);
        assert!((contact_stress(0.20, 1.0) - 0.312).abs() < 5e-4);
        assert!((contact_stress(0.20, e) - 1.73).abs() < 0.01);
        let force = line_force(3.53, 0.20, e);
        assert!((force - 2.24).abs() < 5e-3, "{force}");
        assert!((force * std::f64::consts::PI * 50.0 - 352.0).abs() < 0.6);
    }

    #[test]
    fn the_force_of_a_small_ring_lies_in_the_published_band() {
        // Section .070 in at 20 % squeeze: 70 Shore A 5 to 18 lbf/in, 90 Shore A 9 to 25 (a maker's data sheet, examples
        // W08 and W09); computed 6.45 and 24.3.
        let per_inch = |shore: f64| {
            let e = Modulus::of_shore_a(shore).expect("in range").gent;
            line_force(1.778, 0.20, e) * 25.4 / crate::core::quantity::NEWTON_PER_LBF
        };
        assert!((5.0..=18.0).contains(&per_inch(70.0)));
        assert!((per_inch(70.0) - 6.45).abs() < 0.01);
        assert!((9.0..=25.0).contains(&per_inch(90.0)));
        assert!((per_inch(90.0) - 24.3).abs() < 0.1);
    }
}
