//! The states in which a gland is judged: as assembled, cold, hot, swollen, after set, under pressure.

use super::compression_set::CompressionSet;
use super::geometry::Geometry;
use super::law::Law;
use super::metal::Metal;
use super::port_thread::PortThread;
use crate::core::elastomer::Polymer;
use crate::core::quantity::Spoken;
use crate::core::quantity::{Length, Pressure, PressureUnit, Temperature, TemperatureRange};

/// One state as the factors by which it changes the ring and the gland.
///
/// W' = W (1 + a ΔT), L' = L (1 + a_m ΔT) against 20 °C; a swell of V per cent by volume multiplies the lengths of the
/// ring by (1 + V/100)^(1/3).
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Name for the report.
    pub name: String,
    /// Factor on the ring's lengths.
    pub ring: f64,
    /// Factor on the gland's lengths.
    pub gland: f64,
    /// Relative growth of what pressure inside the outer part widens.
    pub growth: f64,
    /// Share of the squeeze that the ring has kept.
    pub kept: f64,
    /// Whether the inner part may rest on one side of its bore.
    pub rests: bool,
}

/// The temperature at which dimensions are stated (ISO 1).
const ASSEMBLY_C: f64 = 20.0;

/// What the states and the sampling follow from.
#[derive(Debug, Clone, Copy, Default)]
pub struct Conditions {
    pub temperature: Option<TemperatureRange>,
    /// Swell by volume in per cent.
    pub swell_pct: Option<f64>,
    pub polymer: Option<Polymer>,
    pub metal: Metal,
    /// Compression set by method B in per cent, and after how long it is expected.
    pub set: Option<CompressionSet>,
    /// Thickness of the wall around the bore.
    pub wall: Option<Length>,
    /// Whether the inner part may rest on one side of its bore.
    pub side_shift: bool,
    /// Law of the gland's dimensions; where none is stated it follows from how the tolerance is written.
    pub law: Option<Law>,
    /// The thread of a boss port.
    pub thread: Option<&'static PortThread>,
}

impl State {
    /// Returns the state in which everything is measured: 20 °C, dry.
    pub fn assembled() -> Self {
        Self {
            name: "as assembled, 20 °C".to_owned(),
            ring: 1.0,
            gland: 1.0,
            growth: 0.0,
            kept: 1.0,
            rests: false,
        }
    }

    /// Lists the states that the conditions call for, the assembled one first.
    ///
    /// Temperatures need the polymer, because its expansion is ten times that of metal; without it they give no state.
    pub fn all(conditions: &Conditions) -> Vec<Self> {
        let assembled = Self {
            rests: conditions.side_shift,
            ..Self::assembled()
        };
        let mut states = vec![assembled.clone()];
        states.extend(assembled.at_temperatures(conditions));
        let swell = conditions.swell_pct.unwrap_or(0.0);
        if swell != 0.0 {
            states.push(Self {
                name: format!("swollen {swell} %"),
                ring: swollen(swell),
                ..assembled.clone()
            });
        }
        if let Some(set) = &conditions.set {
            states.push(Self {
                name: set.state_name(),
                kept: 1.0 - set.percent / 100.0,
                ..assembled
            });
        }
        states
    }

    fn at_temperatures(&self, conditions: &Conditions) -> Vec<Self> {
        let mut states = Vec::new();
        let expansion = conditions
            .polymer
            .and_then(|p| p.facts().cte_1e6_per_k)
            .map(|a| a * 1e-6);
        let (Some(range), Some(expansion)) = (conditions.temperature, expansion) else {
            return states;
        };
        let swell = conditions.swell_pct.unwrap_or(0.0);
        let at = |name: &str, t: Temperature, swell_pct: f64| {
            let delta = t.celsius() - ASSEMBLY_C;
            Self {
                name: format!("{name}, {} °C", t.celsius()),
                ring: (1.0 + expansion * delta) * swollen(swell_pct),
                gland: 1.0 + conditions.metal.expansion() * delta,
                ..self.clone()
            }
        };
        if range.coldest.celsius() < ASSEMBLY_C {
            states.push(at("cold", range.coldest, 0.0));
        }
        if range.hottest.celsius() > ASSEMBLY_C {
            let name = if swell == 0.0 {
                "hot"
            } else {
                "hot and swollen"
            };
            states.push(at(name, range.hottest, swell));
        }
        states
    }

    /// Returns the state under pressure, where wall and pressure are known and the gland has a bore that grows.
    pub fn under_pressure(
        conditions: &Conditions,
        geometry: &Geometry,
        pressure: Option<Pressure>,
    ) -> Option<Self> {
        let (wall, pressure) = (conditions.wall?, pressure?);
        let bore = geometry.widened_by_pressure().first()?;
        let inner = geometry
            .dimensions()
            .iter()
            .find(|(d, _)| d == bore)?
            .1
            .nominal
            .mm();
        let pascals = pressure.gauge_in(PressureUnit::Pa);
        let bar = pressure.gauge_in(PressureUnit::Bar);
        let growth = conditions
            .metal
            .bore_growth(pascals, inner, inner + 2.0 * wall.mm());
        Some(Self {
            name: format!("at {}", Spoken::written(bar).say(bar)),
            growth,
            rests: conditions.side_shift,
            ..Self::assembled()
        })
    }

    /// Returns the factor on each dimension of a gland.
    pub(super) fn factors(&self, geometry: &Geometry) -> Vec<f64> {
        let widened = geometry.widened_by_pressure();
        let grown = 1.0 + self.growth;
        geometry
            .dimensions()
            .iter()
            .map(|(d, _)| self.gland * if widened.contains(d) { grown } else { 1.0 })
            .collect()
    }
}

fn swollen(percent: f64) -> f64 {
    libm::cbrt(1.0 + percent / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::quantity::parse_temperature_range;
    use crate::core::word::Word;

    #[test]
    fn cold_and_swell_change_the_section_as_the_check_values_say() {
        // NBR 112e-6 per K, 60 K colder, W 3.53 -> 3.506 mm; swell 15 % -> W x 1.0477 (derived check values, four digits).
        let conditions = Conditions {
            temperature: Some(parse_temperature_range("-40 C").expect("reads").value),
            swell_pct: Some(15.0),
            polymer: Some(Polymer::Nbr),
            ..Conditions::default()
        };
        let states = State::all(&conditions);
        assert_eq!(states.len(), 3);
        assert!((3.53 * states[1].ring - 3.506).abs() < 5e-4);
        assert!((states[2].ring - 1.0477).abs() < 5e-5);
    }

    #[test]
    fn the_squeeze_lost_to_cold_follows_both_expansions() {
        // FKM 162e-6, aluminium 24e-6, W 3.53, 60 K: -0.029 mm; the shipped table holds 160e-6 for FKM (-0.0288).
        let conditions = Conditions {
            temperature: Some(parse_temperature_range("-40 C").expect("reads").value),
            swell_pct: None,
            polymer: Some(Polymer::Fkm),
            metal: Metal::of_word("aluminium").expect("known"),
            ..Conditions::default()
        };
        let cold = &State::all(&conditions)[1];
        let lost = 3.53 * (cold.ring - cold.gland);
        assert!((lost + 0.029).abs() < 5e-4, "{lost}");
    }
}
