//! Quantities: lengths, pressures, temperatures, dates, money, quarters and the rest.

use super::explains;
use ringwright::core::elastomer::Quarter;
use ringwright::core::quantity::{
    Dimension, LengthUnit, Money, PressureUnit, QuantityError, Typed, parse_angle, parse_date,
    parse_dimension, parse_force, parse_hardness, parse_mass, parse_money, parse_pressure,
    parse_readings, parse_temperature, parse_temperature_range, parse_torque,
};
use ringwright::core::supply::parse_price;
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::fmt::Debug;

/// The year in which the codes of quarters are read.
const THIS_YEAR: u16 = 2026;

/// Reads one text as every quantity.
pub fn quantity(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    for declared in [None, Some(LengthUnit::Mm), Some(LengthUnit::In)] {
        lengths(text, declared);
    }
    if let Some(pressure) = read(text, parse_pressure) {
        let (gauge, absolute) = (
            pressure.gauge_in(PressureUnit::Bar),
            pressure.absolute_in(PressureUnit::Bar),
        );
        assert!((absolute - gauge - 1.013_25).abs() < 1e-9, "{text:?}");
        assert!((-1.1..=10_001.1).contains(&gauge), "{text:?}");
    }
    if let Some(value) = read(text, parse_temperature) {
        assert!((-273.15..=2000.0).contains(&value.celsius()), "{text:?}");
    }
    if let Some(range) = read(text, parse_temperature_range) {
        assert!(range.coldest <= range.hottest, "{text:?}");
    }
    if let Some(date) = read(text, parse_date) {
        let again = parse_date(&date.to_string()).map(|typed| typed.value);
        assert_eq!(again, Ok(date), "{text:?}");
    }
    if let Some(money) = read(text, parse_money) {
        amount(text, money);
    }
    read(text, parse_hardness);
    read(text, parse_mass);
    read(text, parse_angle);
    read(text, parse_force);
    read(text, parse_torque);
    if let Some(quarter) = Quarter::from_code(text, THIS_YEAR) {
        assert!((1..=4).contains(&quarter.quarter), "{text:?}");
        let again = Quarter::from_code(&quarter.to_string(), THIS_YEAR);
        assert_eq!(again, Some(quarter), "{text:?}");
    }
}

/// What was read keeps its text, reads again as the same from it, and survives JSON; what was not says why and where.
fn read<T>(text: &str, reader: fn(&str) -> Result<Typed<T>, QuantityError>) -> Option<T>
where
    T: PartialEq + Debug + Serialize + DeserializeOwned,
{
    let typed = reader(text)
        .inspect_err(|error| explains(error, text))
        .ok()?;
    assert_eq!(typed.text, text.trim());
    let again = reader(&typed.text);
    assert_eq!(again.as_ref(), Ok(&typed), "without the space around it");
    let json = serde_json::to_string(&typed.value).expect("a quantity becomes JSON");
    let back: T = serde_json::from_str(&json).unwrap_or_else(|e| panic!("{text:?}: {json}: {e}"));
    assert_eq!(back, typed.value, "{json}");
    Some(typed.value)
}

fn lengths(text: &str, declared: Option<LengthUnit>) {
    match parse_readings(text, declared) {
        Err(error) => explains(&error, text),
        Ok(readings) => assert!(!readings.value.is_empty()),
    }
    let dimension = match parse_dimension(text, declared) {
        Err(error) => return explains(&error, text),
        Ok(typed) => typed.value,
    };
    assert!(
        dimension.least().nm() >= 0 && dimension.plus.nm() >= 0 && dimension.minus.nm() >= 0,
        "{text:?}"
    );
    if let Some(expected) = plain_millimetres(text, declared) {
        worked_out(text, dimension, expected);
    }
    // A length in whole nanometres, written out, is the same length.
    let written = format!("{} mm", dimension.nominal.mm());
    if let Ok(again) = parse_dimension(&written, None) {
        assert_eq!(again.value, Dimension::exact(dimension.nominal), "{text:?}");
    }
}

/// The same length worked out in floats: a second way to read the plainest texts, "9.25 mm", "1 1/16 in", "23/64".
fn plain_millimetres(text: &str, declared: Option<LengthUnit>) -> Option<f64> {
    let text = text.trim();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '/' | ' ')))
        .unwrap_or(text.len());
    let (number, word) = (text[..end].trim(), text[end..].trim());
    let unit = match word {
        "" => declared?,
        _ => LengthUnit::from_word(word)?,
    };
    let mut value = 0.0;
    let mut pieces = number.split(' ').filter(|piece| !piece.is_empty());
    let first = pieces.next()?;
    let second = pieces.next();
    if pieces.next().is_some() || second.is_some_and(|piece| !piece.contains('/')) {
        return None;
    }
    if second.is_some() && first.contains(['/', '.']) {
        return None;
    }
    for piece in [Some(first), second].into_iter().flatten() {
        value += match piece.split_once('/') {
            Some((above, below)) => above.parse::<f64>().ok()? / below.parse::<f64>().ok()?,
            None => piece.parse::<f64>().ok()?,
        };
    }
    Some(value * unit.nm() as f64 / 1e6)
}

/// Floats carry 15 digits, lengths whole nanometres.
fn worked_out(text: &str, dimension: Dimension, expected: f64) {
    let read = dimension.nominal.mm();
    assert!(
        (read - expected).abs() <= 1e-6 + 1e-14 * expected.abs(),
        "{text:?} reads as {read} mm, and is {expected}"
    );
    assert!(!dimension.has_tolerance(), "{text:?}");
}

/// An amount reads back from what is shown of it; a price list that reads the text at all reads the same amount.
fn amount(text: &str, money: Money) {
    let again = parse_money(&money.to_string()).map(|typed| typed.value);
    assert_eq!(again, Ok(money), "{text:?}");
    if let Ok(minor) = parse_price(text, money.currency, 1) {
        assert_eq!(minor, money.minor, "{text:?}");
    }
}
