//! Numbers that can be dimensions, with what is written beside each.

use super::item::Items;
use super::lexicon::Role;
use crate::core::quantity::{Length, LengthUnit};

/// Which dimension a number is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Label {
    Inside,
    Outside,
    /// Only beside a word for the inside.
    PerhapsOutside,
    Section,
    /// Section beside a diameter; cord by length else.
    Cord,
}

impl Label {
    pub(super) fn of(role: Role) -> Option<Self> {
        match role {
            Role::Inside => Some(Self::Inside),
            Role::Outside => Some(Self::Outside),
            Role::OutsideBesideInside => Some(Self::PerhapsOutside),
            Role::Section => Some(Self::Section),
            Role::Cord => Some(Self::Cord),
            _ => None,
        }
    }
}

/// A number that can be a dimension.
#[derive(Debug, Clone, Copy)]
pub(super) struct Figure<'t> {
    text: &'t str,
    /// The place of its item.
    pub(super) at: usize,
    /// Its value times a million.
    millionths: i64,
    /// Decimals written.
    pub(super) places: usize,
    /// Millimetres or inches: rings are written in no other.
    pub(super) unit: Option<LengthUnit>,
}

/// Millionths of one.
const ONE: i64 = 1_000_000;

impl<'t> Figure<'t> {
    /// Reads the number of an item; `None` where it is none that can be a dimension.
    pub(super) fn of(items: &Items<'t>, at: usize) -> Option<Self> {
        let item = items.get(at).filter(|item| item.is_number())?;
        let (millionths, places) = value(item.text)?;
        let mut next = at + 1;
        let unit = loop {
            match items.role(next) {
                Some(Role::UnitMm) => break Some(LengthUnit::Mm),
                Some(Role::UnitIn) => break Some(LengthUnit::In),
                // "3 mm": words for a diameter may stand before the unit.
                _ if items.is(next, |i| i.is_sign('"')) => break Some(LengthUnit::In),
                _ if next == at + 1 && items.is(next, |i| i.is_sign('.')) => next += 1,
                _ => break None,
            }
        };
        Some(Self {
            text: item.text,
            at,
            millionths,
            places,
            unit,
        })
    }

    /// The fraction with the whole number before it.
    pub(super) fn with_whole(self, whole: &Self) -> Self {
        Self {
            millionths: self.millionths + whole.millionths,
            ..self
        }
    }

    /// The figure in the unit of its neighbours where it has none.
    pub(super) fn or_unit(self, unit: Option<LengthUnit>) -> Self {
        Self {
            unit: self.unit.or(unit),
            ..self
        }
    }

    pub(super) fn is_fraction(&self) -> bool {
        self.text.contains('/')
    }

    /// The length in nanometres; its own unit outranks the one asked for.
    pub(super) fn nm(&self, unit: LengthUnit) -> i64 {
        let unit = self.unit.unwrap_or(unit);
        self.millionths.saturating_mul(unit.nm()) / ONE
    }

    /// The length in nanometres; a figure without a unit is taken for millimetres.
    pub(super) fn nm_or_mm(&self) -> i64 {
        self.nm(LengthUnit::Mm)
    }

    pub(super) fn length(&self) -> Option<Length> {
        self.unit.map(|unit| Length::from_nm(self.nm(unit)))
    }

    pub(super) fn is_whole(&self) -> bool {
        self.places == 0 && !self.is_fraction()
    }
}

/// Reads a number in millionths with its decimals; what can be two numbers is none.
fn value(text: &str) -> Option<(i64, usize)> {
    const MOST_DIGITS: usize = 5;
    if let Some((above, below)) = text.split_once('/') {
        let (whole, above) = above.split_once('-').unwrap_or(("0", above));
        let [whole, above, below]: [i64; 3] = [
            whole.parse().ok()?,
            above.parse().ok()?,
            below.parse().ok()?,
        ];
        // Rules and catalogues part an inch into halves down to 64ths.
        let parted = below > 1 && below <= 64 && 64 % below == 0 && whole < 100;
        return parted.then(|| (whole * ONE + above * ONE / below, 0));
    }
    let (whole, decimals) = text.split_once(['.', ',']).unwrap_or((text, ""));
    let plain = decimals.bytes().all(|b| b.is_ascii_digit())
        && decimals.len() <= 6
        && whole.len() <= MOST_DIGITS;
    // "3,000" may be thousands; "070" is a number with its point lost.
    let thousands = text.contains(',') && decimals.len() == 3 && !matches!(whole, "" | "0");
    let lost = whole.len() > 1 && whole.starts_with('0') && decimals.is_empty();
    if !plain || thousands || lost {
        return None;
    }
    let whole: i64 = if whole.is_empty() {
        0
    } else {
        whole.parse().ok()?
    };
    let part: i64 = format!("{decimals:0<6}").parse().ok()?;
    let value = whole * ONE + part;
    (value > 0).then_some((value, decimals.len()))
}
