//! Pressures, gauge and absolute told apart.

use super::error::QuantityError;
use super::scalar::ScalarForm;
use super::typed::Typed;
use super::unit_table::Measured;
use serde::{Deserialize, Serialize};

/// Says what a pressure is counted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PressureReference {
    /// Above the surroundings; what a gauge shows, and what is meant where nothing is said.
    Gauge,
    /// Above vacuum.
    Absolute,
}

/// A pressure in pascals with its reference.
///
/// Range: 0 to 1 GPa. Units are converted once, on reading; the factors stand in [`PressureUnit::pascals`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Pressure {
    pascals: f64,
    /// What the value is counted from.
    pub reference: PressureReference,
}

/// One standard atmosphere in pascals (exact, CGPM 1954).
pub const STANDARD_ATMOSPHERE_PA: f64 = 101_325.0;
const LIMIT_PA: f64 = 1e9;

impl Pressure {
    /// Makes a gauge pressure from a number of units; `None` when it is negative, not finite or beyond 10000 bar.
    pub fn gauge(value: f64, unit: PressureUnit) -> Option<Self> {
        Self::checked(value * unit.pascals(), PressureReference::Gauge)
    }

    /// Makes an absolute pressure, with the same range.
    pub fn absolute(value: f64, unit: PressureUnit) -> Option<Self> {
        Self::checked(value * unit.pascals(), PressureReference::Absolute)
    }

    fn checked(pascals: f64, reference: PressureReference) -> Option<Self> {
        (0.0..=LIMIT_PA)
            .contains(&pascals)
            .then_some(Self { pascals, reference })
    }

    /// Returns the pressure above the surroundings in the given unit, taking one standard atmosphere for them.
    pub fn gauge_in(self, unit: PressureUnit) -> f64 {
        let pascals = match self.reference {
            PressureReference::Gauge => self.pascals,
            PressureReference::Absolute => self.pascals - STANDARD_ATMOSPHERE_PA,
        };
        pascals / unit.pascals()
    }

    /// Returns the pressure above the surroundings in bar.
    pub fn bar(self) -> f64 {
        self.gauge_in(PressureUnit::Bar)
    }

    /// Returns the pressure above vacuum in the given unit, taking one standard atmosphere for the surroundings.
    pub fn absolute_in(self, unit: PressureUnit) -> f64 {
        let pascals = match self.reference {
            PressureReference::Gauge => self.pascals + STANDARD_ATMOSPHERE_PA,
            PressureReference::Absolute => self.pascals,
        };
        pascals / unit.pascals()
    }
}

/// Names the units in which the program works with pressures; those that may be typed stand in `data/quantity/units.csv`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PressureUnit {
    Bar,
    /// Pound-force per square inch.
    Psi,
    Pa,
    MPa,
}

impl PressureUnit {
    /// Returns the pascals of one unit.
    ///
    /// psi from the exact pound (0.45359237 kg), inch (25.4 mm) and standard gravity (9.80665 m/s²).
    pub const fn pascals(self) -> f64 {
        match self {
            Self::Bar => 1e5,
            Self::Psi => 0.453_592_37 * 9.806_65 / (0.0254 * 0.0254),
            Self::Pa => 1.0,
            Self::MPa => 1e6,
        }
    }
}

const FORM: ScalarForm = ScalarForm {
    quantity: "pressure",
    example: "200 bar or 3000 psi",
    known: "bar, mbar, psi, ksi, MPa, kPa, hPa, Pa, N/mm2, kgf/cm2, at, ata, atm, Torr, mmHg, inHg, inH2O (add g or abs: psig, psia, bar abs)",
    missing: "unit",
    range: "the pressures that are handled (0 to 10000 bar)",
};

/// Reads a pressure such as `200 bar`, `3000 psi`, `14.7 psia`, `10 bar abs`.
///
/// A pressure without a word on its reference is a gauge pressure.
///
/// # Errors
/// Says what cannot be read, where and what to write; "3,000 psi" is refused because a comma can part thousands
/// or decimals.
pub fn parse_pressure(text: &str) -> Result<Typed<Pressure>, QuantityError> {
    let read = FORM.read(Measured::Pressure, text)?;
    let reference = read.unit.reference.unwrap_or(PressureReference::Gauge);
    let pressure = Pressure::checked(read.value, reference);
    FORM.within(&read.scalar, text, pressure)
}

#[cfg(test)]
mod tests {
    use super::*;
    use PressureUnit::{Bar, MPa, Pa, Psi};

    fn close(a: f64, b: f64, relative: f64) {
        assert!((a - b).abs() <= relative * b.abs(), "{a} against {b}");
    }

    #[test]
    fn factors_agree_with_nist_sp_811() {
        // NIST SP 811 (2008), appendix B.8: psi 6.894757 E+03, technical atmosphere 9.80665 E+04, inH2O 2.490889 E+02.
        close(Psi.pascals(), 6.894_757e3, 1e-7);
        let pascals = |t| parse_pressure(t).expect("reads").value.gauge_in(Pa);
        close(pascals("1 kgf/cm2"), 9.806_65e4, 1e-12);
        close(pascals("1 inH2O"), 2.490_889e2, 1e-12);
    }

    #[test]
    fn units_and_references_are_told_apart() {
        let read = |t: &str| {
            parse_pressure(t)
                .unwrap_or_else(|e| panic!("{t}: {e}"))
                .value
        };
        close(read("3000 psi").gauge_in(Bar), 206.843, 1e-5);
        close(read("2 500 psi").gauge_in(Bar), 172.369, 1e-5);
        close(read("200 bar").gauge_in(Psi), 2900.75, 1e-5);
        close(read("20 MPa").gauge_in(Bar), 200.0, 1e-12);
        close(read("14.6959 psia").absolute_in(Pa), 101_325.0, 1e-5);
        close(read("10 bar abs").gauge_in(Bar), 8.986_75, 1e-9);
        close(read("10 bar(g)").absolute_in(Bar), 11.013_25, 1e-9);
        close(read("145.0377 psig").gauge_in(MPa), 1.0, 1e-6);
        assert_eq!(read("10 bar a").reference, PressureReference::Absolute);
        assert_eq!(read("1 Pa").reference, PressureReference::Gauge);
    }

    #[test]
    fn wrong_pressures_are_refused() {
        for text in [
            "3,000 psi",
            "200",
            "200 mm",
            "-5 bar",
            "2e9 bar",
            "bar",
            "",
            "10 psia abs",
            "1 bar x",
        ] {
            assert!(parse_pressure(text).is_err(), "{text}");
        }
    }
}
