//! Forces, and the torques of fasteners.

use super::error::QuantityError;
use super::scalar::ScalarForm;
use super::typed::Typed;
use super::unit_table::Measured;
use serde::{Deserialize, Serialize};

/// Holds a force in newtons. Range: ±1 MN.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Force(f64);

/// Newtons in one pound-force (exact: 0.45359237 kg × 9.80665 m/s²).
pub const NEWTON_PER_LBF: f64 = 0.453_592_37 * 9.806_65;
/// Newtons in one kilogram-force (exact).
pub const NEWTON_PER_KGF: f64 = 9.806_65;

impl Force {
    /// Makes a force from newtons; `None` when it is not finite or beyond ±1 MN.
    pub fn from_newtons(newtons: f64) -> Option<Self> {
        (newtons.abs() <= 1e6).then_some(Self(newtons))
    }

    /// Returns newtons.
    pub fn newtons(self) -> f64 {
        self.0
    }
}

/// Holds a torque in newton metres. Range: ±100 kN m.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Torque(f64);

impl Torque {
    /// Makes a torque from newton metres; `None` when it is not finite or beyond ±100 kN m.
    pub fn from_newton_metres(value: f64) -> Option<Self> {
        (value.abs() <= 1e5).then_some(Self(value))
    }

    /// Returns newton metres.
    pub fn newton_metres(self) -> f64 {
        self.0
    }
}

const FORCE: ScalarForm = ScalarForm {
    quantity: "force",
    example: "12.5 N or 3 lbf",
    known: "N, kN, cN, daN, lbf, ozf, kgf, gf",
    missing: "unit",
};

const TORQUE: ScalarForm = ScalarForm {
    quantity: "torque",
    example: "25 N m or 18 lbf ft",
    known: "N m, N cm, lbf ft, lbf in, ozf in, kgf m, kgf cm",
    missing: "unit",
};

/// Reads a force such as `12.5 N`, `3 lbf`.
pub fn parse_force(text: &str) -> Result<Typed<Force>, QuantityError> {
    let read = FORCE.read(Measured::Force, text)?;
    let value = Force::from_newtons(read.value).ok_or_else(|| {
        ScalarForm::out_of_range(&read.scalar, text, "the forces that are handled (1 MN)")
    })?;
    Ok(Typed::new(value, text))
}

/// Reads a torque such as `25 N m`, `18 lbf ft`.
pub fn parse_torque(text: &str) -> Result<Typed<Torque>, QuantityError> {
    let read = TORQUE.read(Measured::Torque, text)?;
    let value = Torque::from_newton_metres(read.value).ok_or_else(|| {
        ScalarForm::out_of_range(
            &read.scalar,
            text,
            "the torques that are handled (100 kN m)",
        )
    })?;
    Ok(Typed::new(value, text))
}

#[cfg(test)]
mod tests {
    use super::*;

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
}
