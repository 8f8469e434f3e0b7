//! Puts a lot on the shelf.

use crate::core::book::{MeasuredName, StockKey, StockLot};
use crate::core::caution::Caution;
use crate::core::elastomer::{Polymer, Quarter};
use crate::core::quantity::{Hardness, LengthUnit};
use crate::core::sizes::{NominalSize, RingTextError, read_one_ring};
use crate::core::supply::NamedRing;
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;

/// A lot to be put on the shelf.
#[derive(Debug, Clone)]
pub struct NewLot {
    /// The part: a ring code or dimensions, or any other part in words.
    pub part: WantedPart,
    pub bin: String,
    pub quantity: u32,
    /// The polymer, where it is known.
    pub polymer: Option<Polymer>,
    /// The hardness, where it is known.
    pub hardness: Option<Hardness>,
    /// The lot number.
    pub lot: Option<String>,
    pub cured: Option<Quarter>,
    /// Who sold it.
    pub supplier: Option<String>,
    /// The moment, ISO 8601.
    pub added_at: String,
}

/// Names a part of the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct WantedPart {
    /// What it is matched by.
    pub key: StockKey,
    pub shown: String,
    /// The polymer that was written beside it.
    pub polymer: Option<Polymer>,
    /// The hardness that was written beside it.
    pub hardness: Option<Hardness>,
}

/// Says why a part or a lot is not taken.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StockError {
    /// The ring cannot be read, or can mean more than one.
    #[error(transparent)]
    Ring(#[from] RingTextError),
    /// The bin has no name.
    #[error("the bin has no name: write one, as --bin A3")]
    NoBin,
    /// The bin holds something else.
    #[error(
        "bin {bin:?} still holds {on_hand} of {holds}: one bin holds one lot, so that a bad lot can be found and \
         the oldest goes out first; use another bin, or empty this one with `ringwright stock take`"
    )]
    Occupied {
        bin: String,
        /// What lies in it.
        holds: String,
        on_hand: u32,
    },
    /// The book cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// What was put on the shelf.
#[derive(Debug, Clone, Serialize)]
pub struct StockAdded {
    pub part: String,
    pub bin: String,
    /// How many came.
    pub quantity: u32,
    /// How many lie in the bin now.
    pub on_hand: u32,
    /// Points to see.
    pub warnings: Vec<String>,
    /// What stands on every answer of this kind.
    pub cautions: Vec<Caution>,
}

impl WantedPart {
    /// Reads a ring: a code or dimensions, with polymer and hardness beside it if they are known.
    ///
    /// # Errors
    /// The text names no ring, or more than one.
    pub fn ring(text: &str, declared: Option<LengthUnit>) -> Result<Self, StockError> {
        let reading = read_one_ring(text, declared)?;
        let ring = NamedRing::of(&reading.size);
        Ok(Self {
            key: StockKey::Ring(ring.size),
            shown: ring.code.unwrap_or_else(|| shown(ring.size)),
            polymer: reading.polymer,
            hardness: reading.hardness,
        })
    }

    /// Takes any other part by its words.
    pub fn words(text: &str) -> Self {
        Self {
            key: StockKey::Named(MeasuredName::of(text)),
            shown: text.trim().to_owned(),
            polymer: None,
            hardness: None,
        }
    }
}

/// Shows a ring that no list has, as its lot is named.
pub(super) fn shown(ring: NominalSize) -> String {
    format!("{:.2} x {:.2} mm", ring.id.mm(), ring.section.mm())
}

/// Puts a lot on the shelf; more of the very lot that lies in the bin is added to it.
///
/// # Errors
/// The bin holds another lot, or the book cannot be written. Nothing is kept then.
pub fn stock_add(place: &BookPlace, new: NewLot) -> Result<StockAdded, StockError> {
    if new.bin.trim().is_empty() {
        return Err(StockError::NoBin);
    }
    let lot = StockLot {
        bin: new.bin.trim().to_owned(),
        part: new.part.shown,
        key: new.part.key,
        polymer: new.polymer.or(new.part.polymer),
        hardness: new.hardness.or(new.part.hardness),
        lot: new.lot,
        cured: new.cured,
        supplier: new.supplier,
        on_hand: new.quantity,
    };
    let mut book = Book::open_to_write(place)?;
    let on_hand = book.write(|book| {
        let lots = book.stock_lots()?;
        let in_bin = lots
            .iter()
            .find(|l| l.lot.bin.to_lowercase() == lot.bin.to_lowercase());
        let Some(stored) = in_bin else {
            book.add_stock_lot(&lot, &new.added_at)?;
            return Ok(lot.on_hand);
        };
        if !same_lot(&stored.lot, &lot) {
            return Err(StockError::Occupied {
                bin: stored.lot.bin.clone(),
                holds: words(&stored.lot),
                on_hand: stored.lot.on_hand,
            });
        }
        book.move_stock(stored.id, i64::from(lot.on_hand), "received", &new.added_at)?;
        Ok(stored.lot.on_hand.saturating_add(lot.on_hand))
    })?;
    Ok(StockAdded {
        warnings: warnings(&lot),
        cautions: vec![Caution::Shelf],
        part: lot.part,
        bin: lot.bin,
        quantity: lot.on_hand,
        on_hand,
    })
}

/// A lot can be topped up only by itself: everything agrees, and the lot number is known.
fn same_lot(a: &StockLot, b: &StockLot) -> bool {
    a.key.is_same(&b.key)
        && a.polymer == b.polymer
        && a.hardness == b.hardness
        && a.cured == b.cured
        && a.supplier == b.supplier
        && a.lot.is_some()
        && a.lot == b.lot
}

/// Describes a lot in one line.
pub(in crate::app) fn words(lot: &StockLot) -> String {
    let mut words = vec![lot.part.clone()];
    words.extend(lot.polymer.map(|p| p.to_string()));
    words.extend(lot.hardness.map(|h| h.to_string()));
    words.extend(lot.lot.as_ref().map(|l| format!("lot {l}")));
    words.extend(lot.cured.map(|c| format!("cured {c}")));
    words.join(", ")
}

fn warnings(lot: &StockLot) -> Vec<String> {
    let mut warnings = Vec::new();
    if matches!(lot.key, StockKey::Ring(..)) {
        if lot.polymer.is_none() || lot.hardness.is_none() {
            warnings.push(
                "polymer or hardness is not recorded: this lot is never picked for a place that asks for one (colour \
                    does not tell a rubber)"
                    .to_owned(),
            );
        }
        if lot.cured.is_none() {
            warnings.push(
                "no cure date is recorded: its shelf life is unknown, so it is used last"
                    .to_owned(),
            );
        }
    }
    warnings
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lot(bin: &str, number: &str) -> NewLot {
        NewLot {
            part: WantedPart::ring("2-012 N70", None).expect("reads"),
            bin: bin.to_owned(),
            quantity: 50,
            polymer: None,
            hardness: None,
            lot: Some(number.to_owned()),
            cured: Quarter::from_code("2025-Q2", 2026),
            supplier: None,
            added_at: "2026-03-14T10:00:00Z".to_owned(),
        }
    }

    #[test]
    fn a_bin_is_topped_up_by_its_own_lot_only() {
        let folder = tempfile::tempdir().expect("a folder");
        let place = BookPlace::named(folder.path().join("shop.book"));
        assert_eq!(
            stock_add(&place, lot("A3", "X1")).expect("kept").on_hand,
            50
        );
        assert_eq!(
            stock_add(&place, lot("a3", "X1")).expect("kept").on_hand,
            100
        );
        let other = stock_add(&place, lot("A3", "X2")).expect_err("another lot");
        assert!(
            matches!(other, StockError::Occupied { on_hand: 100, .. }),
            "{other}"
        );
        let lots = super::super::shelf::shelf(&place).expect("reads");
        assert_eq!(lots.len(), 1);
        assert_eq!(lots[0].lot.polymer, Some(Polymer::Nbr));
        assert_eq!(lots[0].lot.part, "AS568-012");
    }

    #[test]
    fn one_ring_is_one_part_however_it_is_written() {
        let by = |text: &str| WantedPart::ring(text, None).expect("reads").key;
        assert_eq!(by("AS568-012"), by("9.25x1.78 mm"));
        assert_eq!(by("AS568-012"), by("AN6227B-7"));
        assert_ne!(by("AS568-012"), by("AS568-013"));
    }
}
