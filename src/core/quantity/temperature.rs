//! Ranges of temperature.

use super::amount::{Temperature, parse_temperature};
use super::error::{QuantityError, QuantityErrorKind as Kind};
use super::typed::Typed;
use serde::{Deserialize, Serialize};

/// A span of temperatures, coldest first.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TemperatureRange {
    pub coldest: Temperature,
    pub hottest: Temperature,
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
    let range = |coldest, hottest| Typed::new(TemperatureRange { coldest, hottest }, text);
    let parts = BETWEEN
        .iter()
        .find_map(|sign| Some((text.split_once(sign)?, sign.len())));
    let Some(((first, second), between)) = parts else {
        let one = parse_temperature(text)?.value;
        return Ok(range(one, one));
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
    Ok(range(coldest.value, hottest))
}

/// Reads a temperature with what it may be off by: `21 ± 2 °C`.
fn about(text: &str) -> Option<Typed<TemperatureRange>> {
    let (middle, off) = text.split_once('±').or_else(|| text.split_once("+/-"))?;
    let unit = off.trim_start_matches(|c: char| !c.is_alphabetic() && c != '°');
    let middle = parse_temperature(&format!("{middle} {unit}")).ok()?.value;
    let top = parse_temperature(off).ok()?.value;
    let zero = parse_temperature(&format!("0 {unit}")).ok()?.value;
    let off = top.celsius() - zero.celsius();
    let range = TemperatureRange {
        coldest: Temperature::from_celsius(middle.celsius() - off).filter(|_| off >= 0.0)?,
        hottest: Temperature::from_celsius(middle.celsius() + off)?,
    };
    Some(Typed::new(range, text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_shares_its_unit_and_goes_from_cold_to_hot() {
        let range = parse_temperature_range("-2..40 C").expect("reads").value;
        assert!((range.coldest.celsius() + 2.0).abs() < 1e-12);
        assert!((range.hottest.celsius() - range.coldest.celsius() - 42.0).abs() < 1e-12);
        let about = parse_temperature_range("21 ± 2 °C").expect("reads").value;
        assert!((about.coldest.celsius() - 19.0).abs() < 1e-9);
        assert!((about.hottest.celsius() - 23.0).abs() < 1e-9);
        assert!(parse_temperature_range("40..-2 C").is_err());
        assert!(parse_temperature_range("40..").is_err());
        assert!(parse_temperature("-300 C").is_err());
    }
}
