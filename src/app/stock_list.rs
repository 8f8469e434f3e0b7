//! Lists what lies on the shelf.

use crate::core::book::{LotLife, StockKey, StockLot};
use crate::core::caution::Caution;
use crate::core::elastomer::{Polymer, Quarter, ShelfLifeSystem};
use crate::core::quantity::Hardness;
use crate::store::{Book, BookPlace, BookReader, StoreError, StoredLot};
use serde::Serialize;

/// Holds what lies on the shelf.
#[derive(Debug, Clone, Serialize)]
pub struct StockReport {
    /// The system by which lives are counted.
    pub system: ShelfLifeSystem,
    /// The quarter now.
    pub now: Quarter,
    /// One line a bin.
    pub lots: Vec<StockLine>,
    /// What stands on every answer of this kind.
    pub cautions: Vec<Caution>,
}

/// Holds one lot with how long it may be used.
#[derive(Debug, Clone, Serialize)]
pub struct StockLine {
    /// The bin.
    pub bin: String,
    /// The part.
    pub part: String,
    /// The polymer.
    pub polymer: Option<Polymer>,
    /// The hardness.
    pub hardness: Option<Hardness>,
    /// The lot number.
    pub lot: Option<String>,
    /// Quarter of cure.
    pub cured: Option<Quarter>,
    /// Who sold it.
    pub supplier: Option<String>,
    /// How many lie there.
    pub on_hand: u32,
    /// How long it may be used.
    #[serde(flatten)]
    pub life: LotLife,
}

impl StockLine {
    pub(super) fn of(lot: &StockLot, system: ShelfLifeSystem, now: Quarter) -> Self {
        Self {
            life: lot.life(system, now),
            bin: lot.bin.clone(),
            part: lot.part.clone(),
            polymer: lot.polymer,
            hardness: lot.hardness,
            lot: lot.lot.clone(),
            cured: lot.cured,
            supplier: lot.supplier.clone(),
            on_hand: lot.on_hand,
        }
    }
}

/// Lists the lots of one part, or of all.
///
/// # Errors
/// Fails where the book cannot be read.
pub fn stock_list(
    place: &BookPlace,
    part: Option<&StockKey>,
    system: ShelfLifeSystem,
    now: Quarter,
) -> Result<StockReport, StoreError> {
    let lots = shelf(place)?;
    let wanted = lots
        .iter()
        .filter(|stored| part.is_none_or(|key| *key == stored.lot.key));
    Ok(StockReport {
        system,
        now,
        lots: wanted
            .map(|stored| StockLine::of(&stored.lot, system, now))
            .collect(),
        cautions: vec![Caution::Shelf],
    })
}

/// Reads every lot that lies in a bin.
pub(super) fn shelf(place: &BookPlace) -> Result<Vec<StoredLot>, StoreError> {
    Book::open_to_read(place)?.read(lots)
}

fn lots(book: &BookReader<'_>) -> Result<Vec<StoredLot>, StoreError> {
    book.stock_lots()
}
