//! Money in whole minor units of a named currency.

use super::error::QuantityError;
use super::number::scan_number;
use super::scalar::ScalarForm;
use super::typed::Typed;
use serde::{Deserialize, Serialize};

/// Names a currency by its ISO 4217 letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "UPPERCASE")]
#[allow(missing_docs, reason = "the letters are the standard's own names")]
pub enum Currency {
    Aud,
    Cad,
    Chf,
    Czk,
    Dkk,
    Eur,
    Gbp,
    Jpy,
    Nok,
    Nzd,
    Pln,
    Sek,
    Usd,
}

impl Currency {
    const ALL: [(Self, &'static str); 13] = [
        (Self::Aud, "AUD"),
        (Self::Cad, "CAD"),
        (Self::Chf, "CHF"),
        (Self::Czk, "CZK"),
        (Self::Dkk, "DKK"),
        (Self::Eur, "EUR"),
        (Self::Gbp, "GBP"),
        (Self::Jpy, "JPY"),
        (Self::Nok, "NOK"),
        (Self::Nzd, "NZD"),
        (Self::Pln, "PLN"),
        (Self::Sek, "SEK"),
        (Self::Usd, "USD"),
    ];

    /// Finds a currency by its letters, or by a sign that belongs to one currency only.
    ///
    /// "$" is shared by several and finds none.
    pub fn from_word(word: &str) -> Option<Self> {
        let letters = match word {
            "€" => "EUR".to_owned(),
            "£" => "GBP".to_owned(),
            _ => word.to_uppercase(),
        };
        let found = Self::ALL.iter().find(|(_, known)| *known == letters);
        found.map(|(currency, _)| *currency)
    }

    /// Returns the ISO 4217 letters.
    pub fn letters(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(currency, _)| *currency == self)
            .map_or("", |(_, letters)| letters)
    }

    /// Returns how many decimal places the minor unit has (ISO 4217).
    pub fn places(self) -> u32 {
        if self == Self::Jpy { 0 } else { 2 }
    }
}

/// An amount of money in whole minor units (cents).
///
/// A price for a single ring can be below one cent in a large pack; prices are therefore kept for the pack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Money {
    pub minor: i64,
    pub currency: Currency,
}

impl Money {
    /// Makes an amount that is nought or more; `None` below nought, and beyond ten thousand million.
    pub fn amount(minor: i64, currency: Currency) -> Option<Self> {
        let sound = minor >= 0 && i128::from(minor) <= LIMIT_MINOR;
        sound.then_some(Self { minor, currency })
    }
}

impl std::fmt::Display for Money {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let letters = self.currency.letters();
        if self.currency.places() == 0 {
            return write!(f, "{} {letters}", self.minor);
        }
        let sign = if self.minor < 0 { "-" } else { "" };
        let cents = self.minor.unsigned_abs();
        write!(f, "{sign}{}.{:02} {letters}", cents / 100, cents % 100)
    }
}

const FORM: ScalarForm = ScalarForm {
    quantity: "money",
    example: "0.35 USD or 4.20 EUR",
    known: "ISO 4217 letters such as USD, EUR, GBP, CAD, AUD, JPY, or the signs € and £",
    missing: "currency",
    range: "ten thousand million",
};
const LIMIT_MINOR: i128 = 1_000_000_000_000;

/// Reads an amount such as `0.35 USD`, `€4,20`, `GBP 3`.
///
/// # Errors
/// Says what cannot be read, where and what to write; a bare number and a bare "$" are refused.
pub fn parse_money(text: &str) -> Result<Typed<Money>, QuantityError> {
    let trimmed = text.trim_start();
    let begin = text.len() - trimmed.len();
    let sign = trimmed
        .find(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-'))
        .unwrap_or(trimmed.len());
    let before = trimmed[..sign].trim();
    let number_at = begin + sign;
    let mut scalar = FORM
        .split(&text[number_at..])
        .map_err(|e| e.shifted(number_at))?;
    scalar.span = scalar.span.shifted(number_at);
    scalar.unit_span = scalar.unit_span.shifted(number_at);
    let word = if before.is_empty() {
        scalar.unit
    } else {
        before
    };
    let Some(currency) = Currency::from_word(word) else {
        return Err(FORM.bad_unit(&scalar, text));
    };
    let number = scan_number(text, scalar.span.start)?;
    let minor = number.map_or(0, |(n, _)| n.times(10_i128.pow(currency.places())));
    if minor.abs() > LIMIT_MINOR {
        return Err(QuantityError::out_of_range(text, scalar.span, FORM.range));
    }
    if !before.is_empty() && !scalar.unit.is_empty() {
        return Err(QuantityError::stray(
            text,
            scalar.unit_span,
            "name the currency once",
        ));
    }
    let minor = i64::try_from(minor).unwrap_or(0);
    Ok(Typed::new(Money { minor, currency }, text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_whole_minor_units_of_a_named_currency() {
        let read = |t| {
            parse_money(t)
                .unwrap_or_else(|e| panic!("{t}: {e}"))
                .value
                .to_string()
        };
        assert_eq!(read("0.35 USD"), "0.35 USD");
        assert_eq!(read("€4,20"), "4.20 EUR");
        assert_eq!(read("GBP 3"), "3.00 GBP");
        assert_eq!(read("120 JPY"), "120 JPY");
        for text in ["$3", "3", "EUR", "€3 USD", "3,000 EUR"] {
            assert!(parse_money(text).is_err(), "{text}");
        }
    }
}
