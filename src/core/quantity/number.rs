//! Numbers as they are written in a shop: decimals with point or comma, fractions, mixed numbers.

use super::error::{QuantityError, QuantityErrorKind as Kind};

/// A typed number exactly, as a fraction of two integers.
///
/// At most 15 digits are read, so that products with a unit's nanometres stay far below the range of `i128`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Exact {
    pub(crate) numerator: i128,
    pub(crate) denominator: i128,
    /// A comma that could also part thousands ("3,000").
    pub(crate) thousands_like: bool,
}

const MOST_DIGITS: usize = 15;

impl Exact {
    /// No number of anything.
    pub(crate) const ZERO: Self = fraction(0, 1);

    /// Returns the middle between this number and a greater one, and half of what lies between them; `None` where the other is not
    /// greater, or the numbers are finer than any that is measured.
    pub(crate) fn middle(self, greater: Self) -> Option<(Self, Self)> {
        const FINEST: i128 = 1_000_000_000;
        let common = if self.denominator % greater.denominator == 0 {
            self.denominator
        } else if greater.denominator % self.denominator == 0 {
            greater.denominator
        } else {
            self.denominator * greater.denominator
        };
        let fine = [self.numerator, greater.numerator, common];
        if fine.iter().any(|part| part.abs() > FINEST) {
            return None;
        }
        let low = self.numerator * (common / self.denominator);
        let high = greater.numerator * (common / greater.denominator);
        let half = |numerator| fraction(numerator, 2 * common);
        (high > low && low >= 0).then(|| (half(low + high), half(high - low)))
    }

    /// Returns the number with its comma taken for one between thousands.
    pub(crate) fn as_thousands(self) -> Self {
        Self {
            numerator: self.numerator * 1000,
            ..self
        }
    }

    /// Returns the number as a float; for quantities that are not kept as integers.
    pub(crate) fn to_f64(self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }

    /// Returns `self × factor`, rounded to the nearest integer, halves away from zero.
    pub(crate) fn times(self, factor: i128) -> i128 {
        let product = self.numerator * factor;
        let half = self.denominator / 2;
        if product >= 0 {
            (product + half) / self.denominator
        } else {
            (product - half) / self.denominator
        }
    }
}

/// Reads one number at byte `at`. Returns it with the byte after it, or `None` where no number begins.
pub(crate) fn scan_number(text: &str, at: usize) -> Result<Option<(Exact, usize)>, QuantityError> {
    let (negative, begin) = match text[at..].chars().next() {
        Some(c @ ('-' | '−')) => (true, at + c.len_utf8()),
        Some('+') => (false, at + 1),
        _ => (false, at),
    };
    let Some((mut number, end)) = scan_unsigned(text, begin)? else {
        return Ok(None);
    };
    if negative {
        number.numerator = -number.numerator;
    }
    Ok(Some((number, end)))
}

fn scan_unsigned(text: &str, begin: usize) -> Result<Option<(Exact, usize)>, QuantityError> {
    let whole_end = digits_end(text, begin);
    let mark = decimal_mark(text, whole_end);
    if let Some(number) = grouped(text, begin, whole_end).filter(|_| mark.is_none()) {
        return Ok(Some(number));
    }
    if whole_end == begin && mark.is_none() {
        return Ok(vulgar(text, begin));
    }
    if let Some(decimals) = mark {
        return scan_decimal(text, begin, whole_end, decimals).map(Some);
    }
    let whole = integer(text, begin, whole_end)?;
    if text[whole_end..].starts_with('/') && digits_end(text, whole_end + 1) > whole_end + 1 {
        return scan_fraction(text, begin, whole_end).map(Some);
    }
    if let Some((part, end)) = mixed_fraction(text, whole_end)? {
        if part.numerator >= part.denominator {
            let found = text[begin..end].to_owned();
            return Err(QuantityError::new(
                begin,
                end,
                Kind::ImproperMixed { found },
            ));
        }
        let digits = text[begin..end].bytes().filter(u8::is_ascii_digit).count();
        if digits > MOST_DIGITS {
            return Err(QuantityError::new(begin, end, Kind::TooManyDigits));
        }
        let numerator = whole * part.denominator + part.numerator;
        return Ok(Some((fraction(numerator, part.denominator), end)));
    }
    refuse_power(text, whole_end)?;
    Ok(Some((fraction(whole, 1), whole_end)))
}

/// The byte after the decimal mark, where one stands at `at` with a digit behind it (or a bare final point).
fn decimal_mark(text: &str, at: usize) -> Option<usize> {
    let mut chars = text[at..].chars();
    let mark = chars.next()?;
    let digit_follows = chars.next().is_some_and(|c| c.is_ascii_digit());
    (matches!(mark, '.' | ',') && digit_follows).then_some(at + 1)
}

fn scan_decimal(
    text: &str,
    begin: usize,
    whole_end: usize,
    decimals: usize,
) -> Result<(Exact, usize), QuantityError> {
    let end = digits_end(text, decimals);
    if let Some(number) = grouped(text, begin, whole_end) {
        return Ok(number);
    }
    if decimal_mark(text, end).is_some() {
        let stop = text[end..]
            .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
            .map_or(text.len(), |n| end + n);
        let found = text[begin..stop].to_owned();
        return Err(QuantityError::new(begin, stop, Kind::TwoMarks { found }));
    }
    refuse_power(text, end)?;
    let places = u32::try_from(end - decimals).unwrap_or(0);
    let whole = &text[begin..whole_end];
    if whole.len() + (end - decimals) > MOST_DIGITS {
        return Err(QuantityError::new(begin, end, Kind::TooManyDigits));
    }
    let denominator = 10_i128.pow(places);
    let digits = |part: &str| part.parse::<i128>().unwrap_or(0);
    let numerator = digits(whole) * denominator + digits(&text[decimals..end]);
    let comma = text[whole_end..].starts_with(',');
    let thousands_like =
        comma && places == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
    let number = Exact {
        numerator,
        denominator,
        thousands_like,
    };
    Ok((number, end))
}

/// Reads a number whose thousands are parted by another mark than its decimals: "1.250,5", "1,250.5", "1'250.5", "12 345,6" with
/// a space that does not break; a mark that stands alone before three digits is for the decimals.
fn grouped(text: &str, begin: usize, whole_end: usize) -> Option<(Exact, usize)> {
    const GROUP: usize = 3;
    let whole = &text[begin..whole_end];
    let mark = text[whole_end..].chars().next()?;
    let parts = matches!(mark, '.' | ',' | '\'' | '’' | '\u{a0}' | '\u{202f}');
    let group = whole_end + mark.len_utf8();
    let end = digits_end(text, group);
    let sound =
        (1..=GROUP).contains(&whole.len()) && !whole.starts_with('0') && end - group == GROUP;
    if !parts || !sound {
        return None;
    }
    let digits = |part: &str| part.parse::<i128>().unwrap_or(0);
    let thousands = digits(whole) * 1000 + digits(&text[group..end]);
    let decimals = decimal_mark(text, end);
    let Some(decimals) = decimals.filter(|_| !text[end..].starts_with(mark)) else {
        return (decimals.is_none() && !matches!(mark, '.' | ','))
            .then(|| (fraction(thousands, 1), end));
    };
    let stop = digits_end(text, decimals);
    if stop - decimals > GROUP || decimal_mark(text, stop).is_some() {
        return None;
    }
    let denominator = 10_i128.pow(u32::try_from(stop - decimals).ok()?);
    let numerator = thousands * denominator + digits(&text[decimals..stop]);
    Some((fraction(numerator, denominator), stop))
}

fn scan_fraction(text: &str, begin: usize, slash: usize) -> Result<(Exact, usize), QuantityError> {
    let end = digits_end(text, slash + 1);
    let above = integer(text, begin, slash)?;
    let below = integer(text, slash + 1, end)?;
    if below == 0 {
        return Err(QuantityError::new(slash + 1, end, Kind::ZeroDenominator));
    }
    Ok((fraction(above, below), end))
}

/// Reads "-1/16", " 1/16" or "½" behind a whole number.
fn mixed_fraction(text: &str, at: usize) -> Result<Option<(Exact, usize)>, QuantityError> {
    if let Some(found) = vulgar(text, at) {
        return Ok(Some(found));
    }
    let rest = &text[at..];
    let begin = match rest.chars().next() {
        Some('-') => at + 1,
        Some(' ') => at + rest.len() - rest.trim_start_matches(' ').len(),
        _ => return Ok(None),
    };
    if let Some(found) = vulgar(text, begin) {
        return Ok(Some(found));
    }
    let slash = digits_end(text, begin);
    let is_fraction =
        slash > begin && text[slash..].starts_with('/') && digits_end(text, slash + 1) > slash + 1;
    if is_fraction {
        scan_fraction(text, begin, slash).map(Some)
    } else {
        Ok(None)
    }
}

fn vulgar(text: &str, at: usize) -> Option<(Exact, usize)> {
    let c = text[at..].chars().next()?;
    let (n, d) = match c {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    };
    Some((fraction(n, d), at + c.len_utf8()))
}

const fn fraction(numerator: i128, denominator: i128) -> Exact {
    Exact {
        numerator,
        denominator,
        thousands_like: false,
    }
}

fn integer(text: &str, begin: usize, end: usize) -> Result<i128, QuantityError> {
    if end - begin > MOST_DIGITS {
        return Err(QuantityError::new(begin, end, Kind::TooManyDigits));
    }
    Ok(text[begin..end].parse().unwrap_or(0))
}

fn refuse_power(text: &str, at: usize) -> Result<(), QuantityError> {
    let mut chars = text[at..].chars();
    let e = chars.next().is_some_and(|c| c == 'e' || c == 'E');
    let digit = chars
        .next()
        .is_some_and(|c| c.is_ascii_digit() || c == '-' || c == '+');
    if e && digit {
        let end = at + 2;
        return Err(QuantityError::new(at, end, Kind::PowerOfTen));
    }
    Ok(())
}

fn digits_end(text: &str, at: usize) -> usize {
    text[at..]
        .find(|c: char| !c.is_ascii_digit())
        .map_or(text.len(), |n| at + n)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (i128, i128, usize) {
        let (n, end) = scan_number(text, 0)
            .expect("readable")
            .expect("a number begins");
        (n.numerator, n.denominator, end)
    }

    #[test]
    fn decimals_fractions_and_mixed_numbers_are_exact() {
        assert_eq!(read("9.25"), (925, 100, 4));
        assert_eq!(read("9,25 mm"), (925, 100, 4));
        assert_eq!(read(".364"), (364, 1000, 4));
        assert_eq!(read("23/64\""), (23, 64, 5));
        assert_eq!(read("1-1/16 in"), (17, 16, 6));
        assert_eq!(read("1 1/16\""), (17, 16, 6));
        assert_eq!(read("1½ in"), (3, 2, 3));
        assert_eq!(read("-2"), (-2, 1, 2));
    }

    #[test]
    fn thousands_are_parted_by_another_mark_than_decimals() {
        assert_eq!(read("1.250,5 mm"), (12_505, 10, 7));
        assert_eq!(read("1,250.5"), (12_505, 10, 7));
        assert_eq!(read("1'250.5"), (12_505, 10, 7));
        assert_eq!(read("12\u{a0}345,6"), (123_456, 10, 9));
        assert_eq!(read("1'250"), (1250, 1, 5));
        assert_eq!(read("4' 2\""), (4, 1, 1));
    }

    #[test]
    fn two_readings_are_not_taken_for_a_mixed_number() {
        assert_eq!(read("9.20 9.25"), (920, 100, 4));
        assert_eq!(read("16 15.9"), (16, 1, 2));
    }

    #[test]
    fn wrong_numbers_are_refused_with_their_place() {
        let kind = |t: &str| scan_number(t, 0).expect_err("refused");
        assert_eq!(kind("1/0").kind, Kind::ZeroDenominator);
        assert_eq!(kind("1e400").kind, Kind::PowerOfTen);
        assert_eq!(kind("1.23,45").span.range(), 0..7);
        assert_eq!(kind("1.234.567").span.range(), 0..9);
        assert_eq!(kind("1234567890123456").kind, Kind::TooManyDigits);
        // In metres this would leave the range of the integers.
        let mixed = kind("999999999999999 1/999999999999999");
        assert_eq!(mixed.kind, Kind::TooManyDigits);
        assert!(matches!(kind("1 17/16").kind, Kind::ImproperMixed { .. }));
    }

    #[test]
    fn a_comma_before_three_digits_is_marked() {
        let flag = |t: &str| {
            scan_number(t, 0)
                .expect("ok")
                .expect("number")
                .0
                .thousands_like
        };
        assert!(flag("3,000"));
        assert!(!flag("0,364"));
        assert!(!flag("9,25"));
        assert!(!flag("3.000"));
    }
}
