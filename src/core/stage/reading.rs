//! Pressure readings as they are written: `142 psi at 195 bar`, `0 s 142 psi, 60 s 142.5 psi`, `hose 250 psi`.

use super::cylinder::{PLUS_CONDITIONS, plus_pressure};
use crate::core::quantity::{Pressure, QuantityError, Typed, parse_pressure};
use serde::{Deserialize, Serialize};

/// One reading: the intermediate pressure, and the supply it was read at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SettingReading {
    /// Intermediate pressure as the gauge showed it.
    pub pressure: Pressure,
    pub supply: Pressure,
    /// What was typed.
    pub text: String,
}

impl SettingReading {
    /// Returns the shown intermediate pressure in bar above the surroundings.
    pub fn bar(&self) -> f64 {
        self.pressure.bar()
    }

    /// Returns the supply in bar above the surroundings.
    pub fn supply_bar(&self) -> f64 {
        self.supply.bar()
    }
}

/// The recorded rating of a part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SupplyRating {
    pub part: String,
    pub rating: Pressure,
    /// Whether the part sees the supply; else it sees the intermediate pressure.
    pub on_supply: bool,
    /// What was typed.
    pub text: String,
}

impl SupplyRating {
    /// Makes the rating that a unit's note says, which sees the supply.
    pub fn of_unit(rated: &Typed<Pressure>) -> Self {
        Self {
            part: "unit".to_owned(),
            rating: rated.value,
            on_supply: true,
            text: format!("unit {} on supply, from its note", rated.text),
        }
    }
}

/// Says what of a reading cannot be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadingFault {
    /// The words do not have the form.
    #[error("{text:?} is not a {what}: write it as {example}")]
    Form {
        text: String,
        /// What was asked for.
        what: &'static str,
        /// A right one.
        example: &'static str,
    },
    /// A pressure in it cannot be read.
    #[error("in {text:?}: {error}")]
    Pressure {
        /// The piece.
        text: String,
        error: QuantityError,
    },
    /// More behind a stage than before it.
    #[error(
        "in {text:?} the intermediate pressure is above the supply: check both numbers and their units"
    )]
    AboveSupply {
        /// The reading.
        text: String,
    },
    /// Times that do not rise.
    #[error("the times must rise, and {text:?} does not: begin at 0 s after the last purge")]
    Order {
        /// The piece.
        text: String,
    },
}

fn pressure(text: &str) -> Result<Pressure, ReadingFault> {
    parse_pressure(text)
        .map(|typed| typed.value)
        .map_err(|error| ReadingFault::Pressure {
            text: text.trim().to_owned(),
            error,
        })
}

/// Reads `142 psi at 195 bar`.
pub fn parse_setting(text: &str) -> Result<SettingReading, ReadingFault> {
    let lower = text.to_lowercase();
    let at = lower.find(" at ").filter(|_| lower.len() == text.len());
    let (Some(shown), Some(supply)) = (
        at.and_then(|at| text.get(..at)),
        at.and_then(|at| text.get(at + " at ".len()..)),
    ) else {
        return Err(ReadingFault::Form {
            text: text.trim().to_owned(),
            what: "reading",
            example: "\"142 psi at 195 bar\" (intermediate pressure at supply)",
        });
    };
    let reading = SettingReading {
        pressure: pressure(shown)?,
        supply: pressure(supply)?,
        text: text.trim().to_owned(),
    };
    if reading.bar() > reading.supply_bar() {
        return Err(ReadingFault::AboveSupply { text: reading.text });
    }
    Ok(reading)
}

/// Reads one reading or several, `142 psi at 195 bar, 126 at 35`: a number without a unit has that of the reading before it.
///
/// # Errors
/// Says which of them cannot be read.
pub fn parse_settings(text: &str) -> Result<Vec<SettingReading>, ReadingFault> {
    let mut read: Vec<SettingReading> = Vec::new();
    for piece in text.split(", ") {
        let reading = match read.last() {
            Some(before) => parse_setting(&with_units_of(piece, &before.text))?,
            None => parse_setting(piece)?,
        };
        read.push(reading);
    }
    Ok(read)
}

fn with_units_of(piece: &str, before: &str) -> String {
    let sides = piece.split(" at ").zip(before.split(" at "));
    let sides: Vec<String> = sides
        .map(|(side, known)| with_unit_of(side, known))
        .collect();
    sides.join(" at ")
}

/// Gives a bare number the unit of the one before it.
fn with_unit_of(number: &str, before: &str) -> String {
    let number = number.trim();
    let unit = before.trim_start_matches(|c: char| !c.is_alphabetic());
    if number.ends_with(|c: char| c.is_ascii_digit()) {
        format!("{number} {unit}")
    } else {
        number.to_owned()
    }
}

/// Reads `0 s 142 psi, 60 s 142.5 psi, 5 min 143 psi` as seconds and bar; a pressure without a unit has that of the one before it.
///
/// # Errors
/// Says which piece cannot be read; times must rise.
pub fn parse_creep(text: &str) -> Result<Vec<(f64, f64)>, ReadingFault> {
    let form = |piece: &str| ReadingFault::Form {
        text: piece.trim().to_owned(),
        what: "watched reading",
        example: "\"0 s 142.0 psi, 60 s 142.5 psi, 5 min 143 psi\"",
    };
    let mut points: Vec<(f64, f64)> = Vec::new();
    let mut shown = String::new();
    for piece in text.split([',', ';']).filter(|p| !p.trim().is_empty()) {
        let mut words = piece.trim().splitn(3, char::is_whitespace);
        let (Some(number), Some(unit), Some(rest)) = (words.next(), words.next(), words.next())
        else {
            return Err(form(piece));
        };
        let factor = match unit.to_lowercase().as_str() {
            "s" | "sec" => 1.0,
            "min" => 60.0,
            "h" => 3600.0,
            _ => return Err(form(piece)),
        };
        let time: f64 = number.parse().map_err(|_| form(piece))?;
        let time = time * factor;
        if !(0.0..=MOST_SECONDS).contains(&time) {
            return Err(form(piece));
        }
        if points.last().is_some_and(|last| time <= last.0) {
            return Err(ReadingFault::Order {
                text: piece.trim().to_owned(),
            });
        }
        shown = with_unit_of(rest, &shown);
        points.push((time, pressure(&shown)?.bar()));
    }
    if points.len() < 2 {
        return Err(form(text));
    }
    Ok(points)
}

/// A week; gear is seldom watched longer than a night.
const MOST_SECONDS: f64 = 7.0 * 86_400.0;

/// Reads `hose 250 psi`, `body 3000 psi on supply`, or `cylinder 2250+ psi on supply` with the plus mark of a US cylinder.
///
/// A plus raises the rating as [`plus_pressure`] does, and the text kept says on what it rests.
pub fn parse_rating(text: &str) -> Result<SupplyRating, ReadingFault> {
    let trimmed = text.trim();
    let (body, on_supply) = match trimmed.strip_suffix("on supply") {
        Some(body) => (body.trim(), true),
        None => (trimmed, false),
    };
    let digit = body.find(|c: char| c.is_ascii_digit()).unwrap_or(0);
    let part = body.get(..digit).unwrap_or("").trim();
    if part.is_empty() || part.ends_with(['-', '−', '.', ',']) {
        return Err(ReadingFault::Form {
            text: trimmed.to_owned(),
            what: "rating",
            example: "\"hose 250 psi\" or \"body 3000 psi on supply\"",
        });
    }
    let stated = body.get(digit..).unwrap_or("");
    let plus = stated.contains('+');
    let rating = pressure(&stated.replacen('+', "", 1))?;
    Ok(SupplyRating {
        part: part.to_owned(),
        rating: if plus { plus_pressure(rating) } else { rating },
        on_supply,
        text: if plus {
            format!("{trimmed} ({PLUS_CONDITIONS})")
        } else {
            trimmed.to_owned()
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::quantity::PressureUnit;

    #[test]
    fn readings_series_and_ratings_are_read() {
        let reading = parse_setting("142 psi at 195 bar").expect("reads");
        assert!((reading.bar() - 9.79).abs() < 0.01 && (reading.supply_bar() - 195.0).abs() < 1e-9);
        let series = parse_creep("0 s 142 psi, 60 s 142.5 psi; 5 min 143 psi").expect("reads");
        assert_eq!(
            series.iter().map(|p| p.0).collect::<Vec<f64>>(),
            [0.0, 60.0, 300.0]
        );
        let hose = parse_rating("hose 250 psi").expect("reads");
        assert!(!hose.on_supply && hose.part == "hose");
        let psi = |text: &str| {
            let rating = parse_rating(text).expect("reads");
            (rating.rating.gauge_in(PressureUnit::Psi), rating.text)
        };
        let (plus, words) = psi("cylinder 2250+ psi on supply");
        assert!((plus - 2475.0).abs() < 1e-6 && words.contains("49 CFR 173.302a(b)"));
        assert!((psi("cylinder 3000+ psi on supply").0 - 3000.0).abs() < 1e-6);
        assert!(
            parse_rating("body 3000 psi on supply")
                .expect("reads")
                .on_supply
        );
    }

    #[test]
    fn a_number_without_a_unit_has_that_of_the_one_before_it() {
        let read = parse_settings("142 psi at 195 bar, 126 at 35").expect("reads");
        assert_eq!(read[1].text, "126 psi at 35 bar");
        assert_eq!(read.len(), 2);
        let series = parse_creep("0 s 142 psi, 60 s 142.5, 5 min 143").expect("reads");
        let whole = parse_creep("0 s 142 psi, 60 s 142.5 psi, 5 min 143 psi");
        assert_eq!(Ok(series), whole);
        for text in [
            "142 at 195 bar, 126 psi at 35 bar",
            "142 psi at 195, 126 psi at 35 bar",
            "142 psi at 195 bar, 126",
        ] {
            assert!(parse_settings(text).is_err(), "{text}");
        }
    }

    #[test]
    fn wrong_readings_are_refused_with_the_remedy() {
        for text in [
            "142 psi",
            "142 at 195 bar",
            "psi at bar",
            "",
            " at ",
            "142 psi at 3,000 psi",
        ] {
            assert!(parse_setting(text).is_err(), "{text}");
        }
        for text in [
            "0 s 142 psi",
            "60 s 1 psi, 0 s 1 psi",
            "0 x 1 psi, 1 s 2 psi",
            "NaN s 1 psi, 2 s 1 psi",
        ] {
            assert!(parse_creep(text).is_err(), "{text}");
        }
        assert!(parse_rating("250 psi").is_err() && parse_rating("hose").is_err());
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "\\PC{0,30}") {
            let _ = parse_settings(&text);
            let _ = parse_creep(&text);
            let _ = parse_rating(&text);
        }
    }
}
