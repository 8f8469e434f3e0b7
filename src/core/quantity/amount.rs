//! Quantities of one number in the unit of the program: angles, forces, torques, masses, temperatures, spans of time.

use super::error::QuantityError;
use super::scalar::ScalarForm;
use super::typed::Typed;
use super::unit_table::Measured;
use serde::{Deserialize, Serialize};
use std::time::Duration;

/// Gives a quantity that is one float within a range, in the unit that its functions are named by.
macro_rules! amount {
    ($(#[$doc:meta])* $named:ident, $from:ident, $get:ident, $range:expr) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $named(f64);

        impl $named {
            /// Makes it from a number in its unit; `None` outside its range, and where the number is not finite.
            pub fn $from(value: f64) -> Option<Self> {
                $range.contains(&value).then_some(Self(value))
            }

            /// Returns the number in its unit.
            pub const fn $get(self) -> f64 {
                self.0
            }
        }
    };
}

amount! {
    /// An angle in degrees, from 0 to below 90.
    Angle, from_degrees, degrees, (0.0..90.0)
}
amount! {
    /// A force in newtons. Range: ±1 MN.
    Force, from_newtons, newtons, (-1e6..=1e6)
}
amount! {
    /// A torque in newton metres. Range: ±100 kN m.
    Torque, from_newton_metres, newton_metres, (-1e5..=1e5)
}
amount! {
    /// A mass in grams. Range: 0 to 1000 kg.
    Mass, from_grams, grams, (0.0..=1e6)
}
amount! {
    /// A temperature in degrees Celsius. Range: −273.15 to 2000 °C.
    Temperature, from_celsius, celsius, (-273.15..=2000.0)
}

/// Newtons in one pound-force (exact: 0.45359237 kg × 9.80665 m/s²).
pub const NEWTON_PER_LBF: f64 = 0.453_592_37 * 9.806_65;
/// Newtons in one kilogram-force (exact).
pub const NEWTON_PER_KGF: f64 = 9.806_65;
/// Grams in one avoirdupois ounce (exact).
pub const GRAMS_PER_OUNCE: f64 = 28.349_523_125;

impl std::fmt::Display for Angle {
    /// Writes the angle as [`parse_angle`] reads it.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} deg", self.0)
    }
}

const ANGLE: ScalarForm = ScalarForm {
    quantity: "angle",
    example: "45 deg",
    known: "deg, °",
    missing: "unit",
    range: "0 to below 90 deg",
};

const FORCE: ScalarForm = ScalarForm {
    quantity: "force",
    example: "12.5 N or 3 lbf",
    known: "N, kN, cN, daN, lbf, ozf, kgf, gf",
    missing: "unit",
    range: "the forces that are handled (1 MN)",
};

const TORQUE: ScalarForm = ScalarForm {
    quantity: "torque",
    example: "25 N m or 18 lbf ft",
    known: "N m, N cm, lbf ft, lbf in, ozf in, kgf m, kgf cm",
    missing: "unit",
    range: "the torques that are handled (100 kN m)",
};

const MASS: ScalarForm = ScalarForm {
    quantity: "mass",
    example: "0.12 g",
    known: "g, mg, kg, oz, lb, grains",
    missing: "unit",
    range: "0 to 1000 kg",
};

const TEMPERATURE: ScalarForm = ScalarForm {
    quantity: "temperature",
    example: "20 C or 68 F",
    known: "C, °C, F, °F, K",
    missing: "unit",
    range: "-273.15 to 2000 C",
};

const TIME: ScalarForm = ScalarForm {
    quantity: "time",
    example: "5 s",
    known: "s, ms, min, h",
    missing: "unit",
    range: "0 to 24 h",
};

/// Reads an angle such as `45 deg` or `66°`.
pub fn parse_angle(text: &str) -> Result<Typed<Angle>, QuantityError> {
    let scalar = ANGLE.split(text)?;
    match scalar.unit.to_lowercase().as_str() {
        "deg" | "°" | "degree" | "degrees" => {
            ANGLE.within(&scalar, text, Angle::from_degrees(scalar.number))
        }
        _ => Err(ANGLE.bad_unit(&scalar, text)),
    }
}

/// Reads a force such as `12.5 N`, `3 lbf`.
pub fn parse_force(text: &str) -> Result<Typed<Force>, QuantityError> {
    FORCE.typed(Measured::Force, text, Force::from_newtons)
}

/// Reads a torque such as `25 N m`, `18 lbf ft`.
pub fn parse_torque(text: &str) -> Result<Typed<Torque>, QuantityError> {
    TORQUE.typed(Measured::Torque, text, Torque::from_newton_metres)
}

/// Reads a mass such as `0.12 g`, `120 mg`, `0.5 oz`.
pub fn parse_mass(text: &str) -> Result<Typed<Mass>, QuantityError> {
    MASS.typed(Measured::Mass, text, Mass::from_grams)
}

/// Reads a temperature such as `20 C`, `-40 °F`, `293 K`.
pub fn parse_temperature(text: &str) -> Result<Typed<Temperature>, QuantityError> {
    TEMPERATURE.typed(Measured::Temperature, text, Temperature::from_celsius)
}

/// Reads a span of time such as `5 s`, `500 ms`, `2 min`. Range: 0 to 24 h.
pub fn parse_duration(text: &str) -> Result<Typed<Duration>, QuantityError> {
    const LONGEST_S: f64 = 86_400.0;
    TIME.typed(Measured::Time, text, |seconds| {
        let span = (0.0..=LONGEST_S).contains(&seconds).then_some(seconds)?;
        Duration::try_from_secs_f64(span).ok()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_angle_needs_its_unit_and_its_range() {
        let read = |t| parse_angle(t).map(|a| a.value.degrees());
        assert_eq!(read("45 deg"), Ok(45.0));
        assert_eq!(read("12.5°"), Ok(12.5));
        let shown = Angle::from_degrees(12.5).expect("in range").to_string();
        assert_eq!(shown, "12.5 deg");
        assert_eq!(read(&shown), Ok(12.5));
        assert!(read("45").is_err());
        assert!(read("90 deg").is_err());
        assert!(read("-1 deg").is_err());
    }

    #[test]
    fn forces_and_torques_agree_with_nist_sp_811() {
        // NIST SP 811 (2008), appendix B.8: lbf 4.448222 N; lbf ft 1.355818 N m; lbf in 1.129848 E-01 N m.
        let force = |t| parse_force(t).expect("reads").value.newtons();
        let torque = |t| parse_torque(t).expect("reads").value.newton_metres();
        assert!((force("1 lbf") - 4.448_222).abs() < 1e-6);
        assert!((force("1 kgf") - 9.806_65).abs() < 1e-12);
        assert!((torque("1 lbf ft") - 1.355_818).abs() < 1e-6);
        assert!((torque("1 in-lb") - 0.112_984_8).abs() < 1e-7);
        assert!((torque("25 N·m") - 25.0).abs() < 1e-12);
    }

    #[test]
    fn a_force_without_unit_is_refused() {
        assert!(parse_force("12").is_err());
        assert!(parse_torque("12 bar").is_err());
        assert!(parse_torque("1,000 N m").is_err());
    }

    #[test]
    fn masses_read_in_grams() {
        let read = |t| parse_mass(t).expect("reads").value.grams();
        assert!((read("120 mg") - 0.12).abs() < 1e-12);
        // NIST SP 811 (2008), appendix B.8: pound (avoirdupois) 4.535924 E-01 kg.
        assert!((read("1 lb") - 453.592_4).abs() < 1e-4);
        assert!(parse_mass("0.12").is_err());
        assert!(parse_mass("-1 g").is_err());
    }

    #[test]
    fn spans_of_time_read_with_their_unit_alone() {
        let read = |text| parse_duration(text).map(|typed| typed.value);
        assert_eq!(read("5 s"), Ok(Duration::from_secs(5)));
        assert_eq!(read("500ms"), Ok(Duration::from_millis(500)));
        assert_eq!(read("1.5 min"), Ok(Duration::from_secs(90)));
        assert_eq!(read("24 h"), Ok(Duration::from_secs(86_400)));
        for text in ["5", "-1 s", "25 h", "", "5 bar", "s"] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn scales_meet_at_their_fixed_points() {
        let read = |t| parse_temperature(t).expect("reads").value.celsius();
        assert!((read("32 F") - 0.0).abs() < 1e-12);
        assert!((read("212 °F") - 100.0).abs() < 1e-12);
        assert!((read("-40 F") - read("-40 C")).abs() < 1e-12);
        assert!((read("273.15 K")).abs() < 1e-12);
    }
}
