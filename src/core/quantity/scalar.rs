//! One number and one unit: the shared grammar of pressures, forces, torques, temperatures, masses.

use super::error::{QuantityError, QuantityErrorKind as Kind};
use super::number::{Exact, scan_number};
use super::typed::{Span, Typed};
use super::unit_table::{Measured, Unit, unit};

/// Describes how one kind of quantity is read.
pub(crate) struct ScalarForm {
    pub(crate) quantity: &'static str,
    pub(crate) example: &'static str,
    pub(crate) known: &'static str,
    /// What a bare number lacks: its unit, scale or currency.
    pub(crate) missing: &'static str,
    /// What values are handled, in words.
    pub(crate) range: &'static str,
}

/// A number with its unit, in the unit of the program.
pub(crate) struct Read<'t> {
    pub(crate) value: f64,
    pub(crate) unit: Unit,
    pub(crate) scalar: Scalar<'t>,
}

/// A number with the text of its unit, not yet looked up.
pub(crate) struct Scalar<'t> {
    pub(crate) number: f64,
    pub(crate) unit: &'t str,
    pub(crate) unit_span: Span,
    pub(crate) span: Span,
}

/// Words in front of a number that take nothing from it but its last digit.
const ABOUT: [&str; 9] = [
    "approx.", "approx", "about", "circa", "ca.", "ca", "~", "≈", "abt.",
];

/// Skips space and a word for "about" in front of a number.
pub(crate) fn skip_about(text: &str, at: usize) -> usize {
    let begin = text.len() - text[at..].trim_start().len();
    let rest = &text[begin..];
    let word = ABOUT.iter().find(|word| {
        let head = rest.get(..word.len());
        let ends = || !rest[word.len()..].starts_with(char::is_alphabetic);
        head.is_some_and(|head| head.eq_ignore_ascii_case(word) && ends())
    });
    word.map_or(begin, |word| {
        let after = &rest[word.len()..];
        text.len() - after.trim_start().len()
    })
}

/// Takes a group of three digits behind a space to the whole number before it: "2 500".
fn with_group(text: &str, begin: usize, number: Exact, end: usize) -> (Exact, usize) {
    const GROUP: usize = 3;
    let whole = &text[begin..end];
    let bare = (1..=GROUP).contains(&whole.len())
        && !whole.starts_with('0')
        && whole.bytes().all(|b| b.is_ascii_digit());
    let Some(rest) = text[end..].strip_prefix(' ').filter(|_| bare) else {
        return (number, end);
    };
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    if digits != GROUP || rest[digits..].starts_with(['.', ',', '/']) {
        return (number, end);
    }
    let group: i128 = rest[..digits].parse().unwrap_or(0);
    let mut number = number.as_thousands();
    number.numerator += group;
    (number, end + 1 + digits)
}

impl ScalarForm {
    /// Reads a quantity of one number with its unit; `make` gives nothing for what is out of range.
    pub(crate) fn typed<T>(
        &self,
        of: Measured,
        text: &str,
        make: impl FnOnce(f64) -> Option<T>,
    ) -> Result<Typed<T>, QuantityError> {
        let read = self.read(of, text)?;
        self.within(&read.scalar, text, make(read.value))
    }

    /// Puts a value beside its text; there is none where it is out of range.
    pub(crate) fn within<T>(
        &self,
        scalar: &Scalar<'_>,
        text: &str,
        value: Option<T>,
    ) -> Result<Typed<T>, QuantityError> {
        let out_of_range = || QuantityError::out_of_range(text, scalar.span, self.range);
        let value = value.ok_or_else(out_of_range)?;
        Ok(Typed::new(value, text))
    }

    /// Reads a number with its unit; of two with falling units ("2 lb 3 oz") the sum.
    pub(crate) fn read<'t>(&self, of: Measured, text: &'t str) -> Result<Read<'t>, QuantityError> {
        let scalar = self.split(text)?;
        if let Some(unit) = unit(of, scalar.unit) {
            let value = unit.value(scalar.number);
            return Ok(Read {
                value,
                unit,
                scalar,
            });
        }
        let second = scalar.unit.find(|c: char| c.is_ascii_digit());
        if let (Some(at), Measured::Mass | Measured::Time) = (second, of)
            && let Some(unit) = unit(of, scalar.unit[..at].trim())
        {
            let offset = scalar.unit_span.start + at;
            let rest = self
                .read(of, &text[offset..])
                .map_err(|e| e.shifted(offset))?;
            if rest.unit.factor < unit.factor {
                let value = unit.value(scalar.number) + rest.value;
                return Ok(Read {
                    value,
                    unit,
                    scalar,
                });
            }
        }
        Err(self.bad_unit(&scalar, text))
    }

    /// Splits `text` into a number and its unit.
    ///
    /// A comma before exactly three digits ("3,000 psi") is refused, because it means 3 to one reader and 3000 to
    /// another; a space there parts thousands.
    pub(crate) fn split<'t>(&self, text: &'t str) -> Result<Scalar<'t>, QuantityError> {
        let begin = skip_about(text, 0);
        let Some((number, end)) = scan_number(text, begin)? else {
            return Err(self.no_number(text, begin));
        };
        let (number, end) = with_group(text, begin, number, end);
        let span = Span::new(begin, end);
        if number.thousands_like {
            let found = text[span.range()].to_owned();
            return Err(QuantityError {
                span,
                kind: Kind::ThousandsOrDecimals { found },
            });
        }
        let rest = &text[end..];
        let unit = rest.trim();
        let unit_begin = end + rest.len() - rest.trim_start().len();
        Ok(Scalar {
            number: number.to_f64(),
            unit,
            unit_span: Span::new(unit_begin, unit_begin + unit.len()),
            span,
        })
    }

    fn no_number(&self, text: &str, begin: usize) -> QuantityError {
        let found: String = text[begin..].trim_end().chars().take(24).collect();
        let kind = if found.is_empty() {
            Kind::Empty {
                example: self.example,
            }
        } else {
            Kind::NotANumber {
                found: found.clone(),
            }
        };
        QuantityError::new(begin, begin + found.len(), kind)
    }

    /// Makes the error for a unit that is missing or unknown.
    pub(crate) fn bad_unit(&self, scalar: &Scalar<'_>, text: &str) -> QuantityError {
        if scalar.unit.is_empty() {
            return QuantityError {
                span: scalar.span,
                kind: Kind::NoUnit {
                    found: text[scalar.span.range()].to_owned(),
                    example: self.example,
                    missing: self.missing,
                    declare: "",
                },
            };
        }
        QuantityError {
            span: scalar.unit_span,
            kind: Kind::UnknownUnit {
                found: scalar.unit.chars().take(24).collect(),
                quantity: self.quantity,
                known: self.known,
                meant: None,
            },
        }
    }
}
