//! Prices as price lists write them, in a currency that is known from elsewhere.

use crate::core::quantity::Currency;

/// Says why a price cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PriceError {
    /// Nothing stands there.
    #[error("no price here")]
    Empty,
    /// It is no number.
    #[error("{0:?} is not a price")]
    NotANumber(String),
    /// The mark can part decimals or thousands.
    #[error("{0:?} can be thousands or decimals: write all prices with two decimals")]
    TwoMeanings(String),
    /// The price names another currency than the list.
    #[error(
        "{found:?} is in another currency than the list ({list}): import it as a list of its own"
    )]
    OtherCurrency {
        /// The text found.
        found: String,
        /// The currency of the list.
        list: &'static str,
    },
    /// The price has fractions of the smallest coin.
    #[error("{0:?} is not a whole number of cents: give the price of a pack")]
    BelowCent(String),
    /// The price is nought, below nought or beyond reason.
    #[error("{0:?} is not a price that is paid")]
    OutOfRange(String),
}

/// No price list sells a part for more than this, in minor units.
const LIMIT_MINOR: i64 = 1_000_000_000;

/// Tells whether so many minor units are a price that is paid for a pack.
pub fn is_price(minor: i64) -> bool {
    (1..=LIMIT_MINOR).contains(&minor)
}

/// Reads a price for `pieces` pieces at this price each, in minor units of a currency.
///
/// Decimal point and decimal comma are read, and thousands with the other mark; "1.234" alone is refused, because it can
/// be either.
pub fn parse_price(text: &str, currency: Currency, pieces: u32) -> Result<i64, PriceError> {
    ExactPrice::parse(text, currency)?.of(pieces, 1, 0.0)
}

/// A price as it is written, to the last digit.
#[derive(Debug, Clone)]
pub(super) struct ExactPrice {
    text: String,
    digits: i128,
    /// One whole unit of the currency has so many of the last digit.
    scale: i128,
    minor: i128,
}

impl ExactPrice {
    /// Reads a price.
    pub(super) fn parse(text: &str, currency: Currency) -> Result<Self, PriceError> {
        let trimmed = text.trim();
        if trimmed.is_empty() {
            return Err(PriceError::Empty);
        }
        let number = without_currency(trimmed, currency)?;
        let (whole, decimals) = split_decimals(&number, trimmed)?;
        let wrong = || PriceError::NotANumber(trimmed.to_owned());
        if whole.len() + decimals.len() > 15 || whole.is_empty() && decimals.is_empty() {
            return Err(wrong());
        }
        Ok(Self {
            text: trimmed.to_owned(),
            digits: format!("{whole}{decimals}").parse().map_err(|_| wrong())?,
            scale: 10_i128.pow(u32::try_from(decimals.len()).unwrap_or(0)),
            minor: 10_i128.pow(currency.places()),
        })
    }

    /// Works out what `pieces` pieces cost in minor units where the price is for `per` of them, less a share that is taken off.
    ///
    /// A price for one piece must come out in whole minor units; one for a hundred, or with a discount, is rounded as an invoice is.
    pub(super) fn of(&self, pieces: u32, per: u32, off: f64) -> Result<i64, PriceError> {
        let scaled = self.digits * i128::from(pieces) * self.minor;
        let scale = self.scale * i128::from(per.max(1));
        if per == 1 && off == 0.0 && scaled % scale != 0 {
            return Err(PriceError::BelowCent(self.text.clone()));
        }
        #[allow(
            clippy::cast_possible_truncation,
            reason = "a share in hundredths of a percent"
        )]
        let left = 10_000 - (off * 10_000.0).round() as i128;
        let (scaled, scale) = (scaled * left, scale * 10_000);
        i64::try_from((scaled + scale / 2) / scale)
            .ok()
            .filter(|minor| is_price(*minor))
            .ok_or_else(|| PriceError::OutOfRange(self.text.clone()))
    }
}

/// Takes the sign or letters of the currency away, which stand before or behind the number; "$" names no currency of its
/// own and goes with the list's.
fn without_currency(text: &str, currency: Currency) -> Result<String, PriceError> {
    let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let wrong = || PriceError::NotANumber(text.to_owned());
    let (begin, last) = text
        .find(is_number)
        .zip(text.rfind(is_number))
        .ok_or_else(wrong)?;
    let (before, number, behind) = (&text[..begin], &text[begin..=last], &text[last + 1..]);
    let word = [before.trim(), behind.trim()].concat();
    let dollars = matches!(
        currency,
        Currency::Usd | Currency::Cad | Currency::Aud | Currency::Nzd
    );
    let own =
        word.is_empty() || Currency::from_word(&word) == Some(currency) || (word == "$" && dollars);
    if own {
        return without_groups(number).ok_or_else(wrong);
    }
    if Currency::from_word(&word).is_some() || word == "$" {
        return Err(PriceError::OtherCurrency {
            found: text.to_owned(),
            list: currency.letters(),
        });
    }
    Err(wrong())
}

/// Takes the spaces or apostrophes out that part thousands: "4 20" and "4€20" are no number, least of all 420.
fn without_groups(number: &str) -> Option<String> {
    let is_mark = |c: char| c == '\'' || c.is_whitespace();
    let whole = number.split(['.', ',']).next().unwrap_or("");
    let mut groups = whole.split(is_mark);
    let first = groups.next().unwrap_or("");
    let parted = whole.len() > first.len();
    let grouped = !parted || ((1..=3).contains(&first.len()) && groups.all(|g| g.len() == 3));
    let plain: String = whole.chars().filter(|c| !is_mark(*c)).collect();
    let rest = &number[whole.len()..];
    let digits = |text: &str, marks: &[char]| {
        text.chars()
            .all(|c| c.is_ascii_digit() || marks.contains(&c))
    };
    (grouped && digits(&plain, &[]) && digits(rest, &['.', ','])).then(|| plain + rest)
}

/// Parts whole units and decimals.
fn split_decimals(number: &str, text: &str) -> Result<(String, String), PriceError> {
    let two = || PriceError::TwoMeanings(text.to_owned());
    let wrong = || PriceError::NotANumber(text.to_owned());
    let marks: Vec<(usize, char)> = number
        .char_indices()
        .filter(|(_, c)| matches!(c, '.' | ','))
        .collect();
    let Some((last, mark)) = marks.last().copied() else {
        return Ok((number.to_owned(), String::new()));
    };
    let after = &number[last + 1..];
    let before = &number[..last];
    match marks.len() {
        1 if after.len() == 3 && !before.is_empty() && !before.starts_with('0') => Err(two()),
        1 => Ok((before.to_owned(), after.to_owned())),
        _ => {
            let groups: Vec<&str> = before.split(['.', ',']).collect();
            let same = marks.iter().filter(|(_, c)| *c == mark).count();
            let grouped = groups.iter().skip(1).all(|g| g.len() == 3) && groups[0].len() <= 3;
            if !grouped {
                return Err(wrong());
            }
            if same == 1 {
                return Ok((groups.concat(), after.to_owned()));
            }
            // "1.234.567" has thousands only.
            let all = same == marks.len() && after.len() == 3;
            all.then(|| (format!("{}{after}", groups.concat()), String::new()))
                .ok_or_else(wrong)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_are_read_as_lists_write_them_and_doubt_is_refused() {
        let read = |t: &str| parse_price(t, Currency::Eur, 1);
        for (text, minor) in [
            ("4.20", 420),
            ("4,20", 420),
            ("€ 4,2", 420),
            ("12", 1200),
            ("1.234,50", 123_450),
            ("1,234.50", 123_450),
            ("0.35 EUR", 35),
            ("1'200.00", 120_000),
            ("1 200,00 €", 120_000),
            ("1\u{a0}200", 120_000),
            ("0.350", 35),
        ] {
            assert_eq!(read(text), Ok(minor), "{text}");
        }
        assert!(matches!(read("1.234"), Err(PriceError::TwoMeanings(_))));
        assert!(matches!(read("$4"), Err(PriceError::OtherCurrency { .. })));
        for text in ["4€20", "4 20", "4.20 3", "1'20", "1.2'000", "12 0000", "€"] {
            assert!(
                matches!(read(text), Err(PriceError::NotANumber(_))),
                "{text}"
            );
        }
        assert!(matches!(read("0.125"), Err(PriceError::BelowCent(_))));
        assert!(matches!(read("on request"), Err(PriceError::NotANumber(_))));
        assert!(matches!(read("0"), Err(PriceError::OutOfRange(_))));
        assert!(matches!(read(""), Err(PriceError::Empty)));
        assert_eq!(parse_price("0.125", Currency::Usd, 100), Ok(1250));
        assert_eq!(parse_price("120", Currency::Jpy, 1), Ok(120));
    }
}
