//! Shims: how they are written, and which of those in stock make a thickness.

use crate::core::quantity::{Length, LengthUnit, as_mm, parse_dimension};
use serde::Serialize;
use std::collections::BTreeMap;

/// Shims of one thickness.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct ShimStock {
    #[serde(rename = "thickness_mm", serialize_with = "as_mm")]
    pub thickness: Length,
    pub count: u32,
}

/// A stack of shims.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Stack {
    /// Shims, thickest first.
    pub shims: Vec<ShimStock>,
    /// Thickness in all.
    #[serde(rename = "total_mm", serialize_with = "as_mm")]
    pub total: Length,
}

impl Stack {
    /// Returns the stack in words, such as `0.50 + 2 x 0.25 mm`.
    pub fn words(&self) -> String {
        let parts: Vec<String> = self
            .shims
            .iter()
            .map(|s| match s.count {
                1 => format!("{}", s.thickness.mm()),
                n => format!("{n} x {}", s.thickness.mm()),
            })
            .collect();
        match parts.as_slice() {
            [] => "no shim".to_owned(),
            parts => format!("{} mm", parts.join(" + ")),
        }
    }
}

/// Says why shims cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StackFault {
    /// A piece is no shim.
    #[error(
        "{piece:?} is not a shim ({reason}): write thickness and count, as \"0.25x2 0.10x4 0.50 mm\""
    )]
    Piece { piece: String, reason: String },
    #[error("{count} shims of one thickness: give at most {MOST_SHIMS}")]
    TooMany { count: u32 },
    /// Nothing was written.
    #[error("no shims are named: write them as \"0.25x2 0.10x4 0.50 mm\"")]
    Empty,
}

/// More of one thickness are never stacked.
const MOST_SHIMS: u32 = 50;
/// Ways to a thickness that are looked at; far beyond what a bench holds.
const MOST_SUMS: usize = 200_000;
/// Thinnest and thickest shim that is believed, in millimetres.
const BELIEVED_MM: std::ops::RangeInclusive<f64> = 0.005..=10.0;

/// Reads shims such as `0.25x2 0.10x4 0.50 mm`; a unit at the end serves all that have none.
///
/// # Errors
/// Names the piece that is no shim.
pub fn parse_shims(text: &str, declared: Option<LengthUnit>) -> Result<Vec<ShimStock>, StackFault> {
    let spaced = text.replace([',', ';'], " ").replace('×', "x");
    let (body, unit) = trailing_unit(spaced.trim());
    let unit = unit.or(declared);
    let mut shims: Vec<ShimStock> = Vec::new();
    for piece in body.split_whitespace() {
        let shim = one_shim(piece, unit)?;
        match shims.iter_mut().find(|s| s.thickness == shim.thickness) {
            Some(known) => known.count = known.count.saturating_add(shim.count),
            None => shims.push(shim),
        }
    }
    if let Some(over) = shims.iter().find(|s| s.count > MOST_SHIMS) {
        return Err(StackFault::TooMany { count: over.count });
    }
    if shims.is_empty() {
        return Err(StackFault::Empty);
    }
    shims.sort_by_key(|shim| std::cmp::Reverse(shim.thickness));
    Ok(shims)
}

fn trailing_unit(text: &str) -> (&str, Option<LengthUnit>) {
    let split = text.rsplit_once(char::is_whitespace);
    match split.and_then(|(body, word)| Some((body, LengthUnit::from_word(word)?))) {
        Some((body, unit)) => (body, Some(unit)),
        None => (text, None),
    }
}

fn one_shim(piece: &str, unit: Option<LengthUnit>) -> Result<ShimStock, StackFault> {
    let fault = |reason: String| StackFault::Piece {
        piece: piece.to_owned(),
        reason,
    };
    let (size, count) = match piece.split_once(['x', 'X']) {
        Some((size, count)) => {
            let count = count
                .parse()
                .map_err(|_| fault("the count after x is not a whole number".to_owned()))?;
            (size, count)
        }
        None => (piece, 1),
    };
    let thickness = parse_dimension(size, unit)
        .map_err(|error| fault(error.to_string()))?
        .value
        .nominal;
    if !BELIEVED_MM.contains(&thickness.mm()) {
        return Err(fault(format!(
            "{} mm is not between {} and {} mm",
            thickness.mm(),
            BELIEVED_MM.start(),
            BELIEVED_MM.end()
        )));
    }
    Ok(ShimStock { thickness, count })
}

/// Finds the stack from `shims` whose thickness comes nearest to `wanted`; of equal ones that with fewest shims.
///
/// Every sum that can be made is formed once (with its least count), so that the answer is exact, not greedy.
pub fn stack_for(shims: &[ShimStock], wanted: Length) -> Stack {
    // Sum in nanometres -> (shims in all, count of each thickness).
    let mut sums: BTreeMap<i64, (u32, Vec<u32>)> = BTreeMap::new();
    sums.insert(0, (0, Vec::new()));
    for shim in shims {
        let mut next = BTreeMap::new();
        for (sum, (total, counts)) in &sums {
            for count in 0..=shim.count {
                let reached = sum + i64::from(count) * shim.thickness.nm();
                let mut with = counts.clone();
                with.push(count);
                let entry = (total + count, with);
                let better = next
                    .get(&reached)
                    .is_none_or(|(fewest, _): &(u32, Vec<u32>)| entry.0 < *fewest);
                if better {
                    next.insert(reached, entry);
                }
            }
            if next.len() > MOST_SUMS {
                break;
            }
        }
        sums = next;
    }
    let nearest = sums
        .iter()
        .min_by_key(|(sum, (count, _))| ((**sum - wanted.nm()).abs(), *count));
    let Some((sum, (_, counts))) = nearest else {
        return Stack {
            shims: Vec::new(),
            total: Length::ZERO,
        };
    };
    Stack {
        shims: shims
            .iter()
            .zip(counts)
            .filter(|(_, count)| **count > 0)
            .map(|(shim, count)| ShimStock {
                thickness: shim.thickness,
                count: *count,
            })
            .collect(),
        total: Length::from_nm(*sum),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> Length {
        Length::from_mm(value).expect("in range")
    }

    #[test]
    fn shims_are_read_and_the_nearest_stack_is_exact() {
        let stock = parse_shims("0.25x2 0.10x4, 0.50 mm", None).expect("reads");
        assert_eq!(stock.len(), 3);
        let stack = stack_for(&stock, mm(0.81));
        assert_eq!(
            (stack.total, stack.words().as_str()),
            (mm(0.8), "0.5 + 3 x 0.1 mm")
        );
        // A greedy choice takes 0.50 + 0.10 = 0.60 for 0.70; 0.50 + 2 x 0.10 is exact.
        assert_eq!(stack_for(&stock, mm(0.7)).total, mm(0.7));
        assert_eq!(stack_for(&stock, mm(99.0)).total, mm(1.4));
        assert_eq!(stack_for(&stock, mm(0.01)).words(), "no shim");
    }

    #[test]
    fn what_is_no_shim_is_refused() {
        for text in [
            "",
            "0.25",
            "0.25x mm",
            "x2 mm",
            "0 mm",
            "0.25x99 mm",
            "-0.1 mm",
            "25 mm",
        ] {
            assert!(parse_shims(text, None).is_err(), "{text}");
        }
        assert!(parse_shims("0.25x2", Some(LengthUnit::Mm)).is_ok());
    }
}
