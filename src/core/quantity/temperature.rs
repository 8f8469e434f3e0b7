//! Temperatures and temperature differences, which are not the same thing.

use super::error::{QuantityError, QuantityErrorKind as Kind};
use super::scalar::ScalarForm;
use super::typed::Typed;
use super::unit_table::Measured;
use serde::{Deserialize, Serialize};

/// Holds a temperature in degrees Celsius. Range: −273.15 to 2000 °C.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Temperature(f64);

/// Holds a difference of two temperatures in kelvins.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct TemperatureDifference(f64);

const ABSOLUTE_ZERO_C: f64 = -273.15;

impl Temperature {
    /// Makes a temperature from degrees Celsius; `None` below absolute zero or above 2000 °C.
    pub fn from_celsius(celsius: f64) -> Option<Self> {
        (ABSOLUTE_ZERO_C..=2000.0)
            .contains(&celsius)
            .then_some(Self(celsius))
    }

    /// Returns degrees Celsius.
    pub fn celsius(self) -> f64 {
        self.0
    }
}

impl TemperatureDifference {
    /// Returns kelvins.
    pub fn kelvins(self) -> f64 {
        self.0
    }
}

impl std::ops::Sub for Temperature {
    type Output = TemperatureDifference;
    fn sub(self, other: Self) -> TemperatureDifference {
        TemperatureDifference(self.0 - other.0)
    }
}

/// Holds a span of temperatures, coldest first.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TemperatureRange {
    pub coldest: Temperature,
    pub hottest: Temperature,
}

const FORM: ScalarForm = ScalarForm {
    quantity: "temperature",
    example: "20 C or 68 F",
    known: "C, °C, F, °F, K",
    missing: "unit",
};

/// Reads a temperature such as `20 C`, `-40 °F`, `293 K`.
pub fn parse_temperature(text: &str) -> Result<Typed<Temperature>, QuantityError> {
    let read = FORM.read(Measured::Temperature, text)?;
    let value = Temperature::from_celsius(read.value)
        .ok_or_else(|| ScalarForm::out_of_range(&read.scalar, text, "-273.15 to 2000 C"))?;
    Ok(Typed::new(value, text))
}

/// What stands between the two ends of a range, the longest first.
const BETWEEN: [&str; 8] = ["...", "..", "…", " to ", " bis ", " – ", "/+", "/"];

/// Reads a range such as `-2..40 C` or `-2 to 40 C`; a single temperature is a range of no width.
///
/// # Errors
/// As [`parse_temperature`]; also where the second is colder than the first.
pub fn parse_temperature_range(text: &str) -> Result<Typed<TemperatureRange>, QuantityError> {
    if let Some(range) = about(text) {
        return Ok(range);
    }
    let parts = BETWEEN
        .iter()
        .find_map(|sign| Some((text.split_once(sign)?, sign.len())));
    let Some(((first, second), between)) = parts else {
        let one = parse_temperature(text)?.value;
        let range = TemperatureRange {
            coldest: one,
            hottest: one,
        };
        return Ok(Typed::new(range, text));
    };
    let offset = first.len() + between;
    let hottest = parse_temperature(second)
        .map_err(|e| e.shifted(offset))?
        .value;
    let coldest = parse_temperature(first).or_else(|error| {
        if !matches!(error.kind, Kind::NoUnit { .. }) {
            return Err(error);
        }
        let unit = second.trim_start_matches(|c: char| !c.is_alphabetic() && c != '°');
        parse_temperature(&format!("{first} {unit}"))
    })?;
    if coldest.value > hottest {
        let found = text.trim().to_owned();
        return Err(QuantityError::new(
            0,
            text.len(),
            Kind::Stray {
                found,
                remedy: "write the colder temperature first, as -2..40 C",
            },
        ));
    }
    let range = TemperatureRange {
        coldest: coldest.value,
        hottest,
    };
    Ok(Typed::new(range, text))
}

/// Reads a temperature with what it may be off by: `21 ± 2 °C`.
fn about(text: &str) -> Option<Typed<TemperatureRange>> {
    let (middle, off) = text.split_once('±').or_else(|| text.split_once("+/-"))?;
    let unit = off.trim_start_matches(|c: char| !c.is_alphabetic() && c != '°');
    let middle = parse_temperature(&format!("{middle} {unit}")).ok()?.value;
    let top = parse_temperature(off).ok()?.value;
    let zero = parse_temperature(&format!("0 {unit}")).ok()?.value;
    let off = (top - zero).kelvins();
    let at = |celsius| Temperature::from_celsius(celsius);
    let range = TemperatureRange {
        coldest: at(middle.celsius() - off).filter(|_| off >= 0.0)?,
        hottest: at(middle.celsius() + off)?,
    };
    Some(Typed::new(range, text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_meet_at_their_fixed_points() {
        let read = |t| parse_temperature(t).expect("reads").value.celsius();
        assert!((read("32 F") - 0.0).abs() < 1e-12);
        assert!((read("212 °F") - 100.0).abs() < 1e-12);
        assert!((read("-40 F") - read("-40 C")).abs() < 1e-12);
        assert!((read("273.15 K")).abs() < 1e-12);
    }

    #[test]
    fn a_range_shares_its_unit_and_goes_from_cold_to_hot() {
        let range = parse_temperature_range("-2..40 C").expect("reads").value;
        assert!((range.coldest.celsius() + 2.0).abs() < 1e-12);
        assert!(((range.hottest - range.coldest).kelvins() - 42.0).abs() < 1e-12);
        let about = parse_temperature_range("21 ± 2 °C").expect("reads").value;
        assert!((about.coldest.celsius() - 19.0).abs() < 1e-9);
        assert!((about.hottest.celsius() - 23.0).abs() < 1e-9);
        assert!(parse_temperature_range("40..-2 C").is_err());
        assert!(parse_temperature_range("40..").is_err());
        assert!(parse_temperature("-300 C").is_err());
    }
}
