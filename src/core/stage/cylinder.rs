//! What a cylinder's mark allows, and what the gas in it holds.

use crate::core::quantity::{Pressure, PressureReference, PressureUnit, STANDARD_ATMOSPHERE_PA};

/// What a plus mark rests on, in words.
pub const PLUS_CONDITIONS: &str = "a plus adds 10 % only on a US 3A or 3AA cylinder, only while its latest test carries the plus, \
    and only where all of 49 CFR 173.302a(b) is met";

/// A cylinder marked this high gets no more for a plus: an interpretation letter (17-0035) denies a 3000+ a standing 3300 psi.
const NO_PLUS_FROM_PSI: f64 = 3000.0;
/// What the plus adds.
const PLUS: f64 = 1.10;

/// Returns the filling pressure of a US cylinder with a plus mark: 10 % more than the mark, and the mark itself from 3000 psi on.
///
/// Source: 49 CFR 173.302a(b) (read in excerpts) and interpretation letter 17-0035. Outside the US it does not apply.
///
/// ```
/// use ringwright::core::quantity::{Pressure, PressureUnit::Psi};
/// let marked = Pressure::gauge(2250.0, Psi).unwrap();
/// let filled = ringwright::core::stage::plus_pressure(marked);
/// assert!((filled.gauge_in(Psi) - 2475.0).abs() < 1e-9);
/// ```
pub fn plus_pressure(marked: Pressure) -> Pressure {
    let psi = marked.gauge_in(PressureUnit::Psi);
    // A mark read in another unit must not miss the bound by round-off.
    if psi >= NO_PLUS_FROM_PSI - 0.5 {
        return marked;
    }
    Pressure::gauge(psi * PLUS, PressureUnit::Psi).unwrap_or(marked)
}

/// Ratio of the heats of air and of oxygen, taken as ideal gases of two atoms.
const HEATS: f64 = 1.4;
const KELVIN: f64 = 273.15;

/// Returns the energy in kilojoules that gas of this pressure in so many litres gives up when it expands to the surroundings
/// without taking heat: `p V/(γ − 1) · (1 − (p0/p)^((γ − 1)/γ))`, an ideal gas with γ = 1.4.
pub fn burst_energy_kj(litres: f64, pressure: Pressure) -> f64 {
    let pascals = pressure.absolute_in(PressureUnit::Pa);
    let ratio = STANDARD_ATMOSPHERE_PA / pascals.max(STANDARD_ATMOSPHERE_PA);
    let left = libm::pow(ratio, (HEATS - 1.0) / HEATS);
    pascals * litres / 1e3 / (HEATS - 1.0) * (1.0 - left) / 1e3
}

/// Returns the temperature in degrees Celsius to which gas heats when it is filled from the surroundings to this pressure at
/// once: `T (p/p0)^((γ − 1)/γ)`, an upper bound, because real gas gives off heat as it fills.
pub fn sudden_fill_celsius(start_celsius: f64, pressure: Pressure) -> f64 {
    let ratio = pressure.absolute_in(PressureUnit::Pa) / STANDARD_ATMOSPHERE_PA;
    (start_celsius + KELVIN) * libm::pow(ratio.max(1.0), (HEATS - 1.0) / HEATS) - KELVIN
}

/// Returns by how many bar trapped gas rises for one kelvin: `p/T`, with the absolute pressure.
pub fn warming_bar_per_kelvin(pressure: Pressure, celsius: f64) -> f64 {
    pressure.absolute_in(PressureUnit::Bar) / (celsius + KELVIN)
}

/// Names the waters that depth is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DepthUnit {
    /// Metre of sea water by convention: 10 are one bar.
    Msw,
    /// Foot of sea water by convention: 3063.06 Pa.
    Fsw,
    /// A metre of sea water of 1025 kg/m³ under standard gravity.
    SeaMetre,
}

impl DepthUnit {
    /// Returns the pascals of one unit.
    pub const fn pascals(self) -> f64 {
        match self {
            Self::Msw => 1e4,
            Self::Fsw => 3063.06,
            Self::SeaMetre => 1025.0 * 9.806_65,
        }
    }
}

/// Returns how far the surroundings at a depth stand above the surface; `None` for a depth that is no number from 0 to 1000 m.
pub fn depth_pressure(depth: f64, unit: DepthUnit) -> Option<Pressure> {
    const DEEPEST_PA: f64 = 1.01e7;
    let pascals = depth * unit.pascals();
    let sound = (0.0..=DEEPEST_PA).contains(&pascals);
    sound
        .then(|| Pressure::gauge(pascals, PressureUnit::Pa))
        .flatten()
}

/// Reads a depth: `30 msw`, `99 fsw`, or `30 m` of sea water.
pub fn parse_depth(text: &str) -> Option<Pressure> {
    let text = text.trim();
    let at = text.find(|c: char| c.is_ascii_alphabetic())?;
    let number: f64 = text.get(..at)?.trim().replace(',', ".").parse().ok()?;
    let unit = match text.get(at..)?.trim() {
        "msw" => DepthUnit::Msw,
        "fsw" => DepthUnit::Fsw,
        "m" => DepthUnit::SeaMetre,
        _ => return None,
    };
    depth_pressure(number, unit)
}

/// Returns a pressure that stands above the surroundings, counted from the surface instead.
pub fn above_surface(over_ambient: Pressure, ambient: Pressure) -> Option<Pressure> {
    debug_assert!(ambient.reference == PressureReference::Gauge);
    let pascals = over_ambient.gauge_in(PressureUnit::Pa) + ambient.gauge_in(PressureUnit::Pa);
    Pressure::gauge(pascals, PressureUnit::Pa)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn depths_are_read_and_wrong_ones_refused() {
        let bar = |text: &str| parse_depth(text).map(Pressure::bar);
        assert!(bar("30 msw").is_some_and(|bar| (bar - 3.0).abs() < 1e-12));
        assert!(bar("10,5 m").is_some());
        for text in ["30", "m", "-3 m", "30 ft", "NaN m", "2000 m", ""] {
            assert!(bar(text).is_none(), "{text}");
        }
    }
}
