//! The shelf: what lies there, and what is taken from it; what expires first goes out first.

use super::add::{StockError, WantedPart};
use crate::core::book::{
    LifeRule, LotLife, Pick, Picked, StockKey, StockLot, WantedMaterial, pick,
};
use crate::core::caution::Caution;
use crate::core::elastomer::{Quarter, ShelfLifeSystem};
use crate::store::{Book, BookPlace, BookReader, StoreError, StoredLot};
use serde::Serialize;

/// What lies on the shelf.
#[derive(Debug, Clone, Serialize)]
pub struct StockReport {
    /// The system by which lives are counted.
    pub system: ShelfLifeSystem,
    pub now: Quarter,
    /// One line a bin.
    pub lots: Vec<StockLine>,
    /// What stands on every answer of this kind.
    pub cautions: Vec<Caution>,
}

/// Shows one lot with how long it may be used.
#[derive(Debug, Clone, Serialize)]
pub struct StockLine {
    #[serde(flatten)]
    pub lot: StockLot,
    #[serde(flatten)]
    pub life: LotLife,
}

impl StockLine {
    pub(in crate::app) fn of(lot: &StockLot, rule: LifeRule) -> Self {
        Self {
            life: lot.life(rule.system, rule.now),
            lot: lot.clone(),
        }
    }
}

/// Lists the lots of one part, or of all.
pub fn stock_list(
    place: &BookPlace,
    part: Option<&StockKey>,
    rule: LifeRule,
) -> Result<StockReport, StoreError> {
    let lots = shelf(place)?;
    let wanted = lots
        .iter()
        .filter(|stored| part.is_none_or(|key| *key == stored.lot.key));
    Ok(StockReport {
        system: rule.system,
        now: rule.now,
        lots: wanted
            .map(|stored| StockLine::of(&stored.lot, rule))
            .collect(),
        cautions: vec![Caution::Shelf],
    })
}

/// Reads every lot that lies in a bin.
pub(in crate::app) fn shelf(place: &BookPlace) -> Result<Vec<StoredLot>, StoreError> {
    let lots = |book: &BookReader<'_>| book.stock_lots();
    Book::open_to_read(place)?.read(lots)
}

/// Says what is taken, and by which rule lives are counted.
#[derive(Debug, Clone)]
pub struct TakeQuestion {
    pub part: WantedPart,
    pub quantity: u32,
    /// A bin to take from, whatever expires first elsewhere; also takes what is over, so that a bin can be emptied.
    pub bin: Option<String>,
    pub reason: String,
    pub rule: LifeRule,
    /// The moment, ISO 8601.
    pub taken_at: String,
}

/// What was taken from one bin.
#[derive(Debug, Clone, Serialize)]
pub struct TakenLine {
    pub quantity: u32,
    /// The lot as it stands afterwards.
    #[serde(flatten)]
    pub line: StockLine,
}

/// What was taken; where the shelf does not hold enough nothing is.
#[derive(Debug, Clone, Serialize)]
pub struct StockTaken {
    pub part: String,
    /// The system by which lives are counted.
    pub system: ShelfLifeSystem,
    /// What was taken, bin by bin.
    pub taken: Vec<TakenLine>,
    /// How many are lacking; nothing was taken then.
    pub short: u32,
    /// Whether a ring was taken whose lot names no polymer or no hardness.
    pub of_unknown_material: bool,
    /// How many lie there whose life is over.
    pub expired: u32,
    /// What stands on every answer of this kind.
    pub cautions: Vec<Caution>,
}

/// Takes parts from the shelf.
pub fn stock_take(place: &BookPlace, question: &TakeQuestion) -> Result<StockTaken, StockError> {
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        let lots = book.stock_lots()?;
        let mut plain: Vec<StockLot> = lots.iter().map(|stored| stored.lot.clone()).collect();
        let found = if let Some(bin) = &question.bin {
            from_bin(&lots, bin, question)
        } else {
            let wanted = WantedMaterial {
                polymer: question.part.polymer,
                hardness: question.part.hardness,
            };
            pick(
                &plain,
                &question.part.key,
                wanted,
                question.quantity,
                question.rule,
            )
        };
        let mut taken = Vec::new();
        let mut of_unknown_material = false;
        if found.short == 0 {
            for part in &found.taken {
                let minus = -i64::from(part.quantity);
                let lot = lots[part.lot].id;
                book.move_stock(lot, minus, &question.reason, &question.taken_at)?;
                let lot = &mut plain[part.lot];
                lot.on_hand -= part.quantity;
                of_unknown_material |= matches!(lot.key, StockKey::Ring(..))
                    && (lot.polymer.is_none() || lot.hardness.is_none());
                taken.push(TakenLine {
                    quantity: part.quantity,
                    line: StockLine::of(lot, question.rule),
                });
            }
        }
        Ok(StockTaken {
            part: question.part.shown.clone(),
            system: question.rule.system,
            taken,
            short: found.short,
            of_unknown_material,
            expired: found.expired,
            cautions: vec![Caution::Shelf],
        })
    })
}

fn from_bin(lots: &[StoredLot], bin: &str, question: &TakeQuestion) -> Pick {
    let at = lots.iter().position(|stored| {
        stored.lot.bin.to_lowercase() == bin.trim().to_lowercase()
            && stored.lot.key == question.part.key
    });
    let held = at.map_or(0, |at| lots[at].lot.on_hand);
    let quantity = question.quantity.min(held);
    let taken = at.filter(|_| quantity > 0);
    Pick {
        taken: taken
            .map(|lot| Picked { lot, quantity })
            .into_iter()
            .collect(),
        short: question.quantity - quantity,
        expired: 0,
    }
}

#[cfg(test)]
mod tests {
    use super::super::add::{NewLot, stock_add};
    use super::*;

    #[test]
    fn the_oldest_good_lot_goes_out_first_and_too_few_take_nothing() {
        let folder = tempfile::tempdir().expect("a folder");
        let place = BookPlace::named(folder.path().join("shop.book"));
        let part = WantedPart::ring("AS568-012 N70", None).expect("reads");
        for (bin, cured, quantity) in [("A1", "2Q82", 90), ("A2", "1Q23", 4), ("A3", "2025-Q2", 9)]
        {
            let new = NewLot {
                part: part.clone(),
                bin: bin.to_owned(),
                quantity,
                polymer: None,
                hardness: None,
                lot: Some(bin.to_owned()),
                cured: Quarter::from_code(cured, 2026),
                supplier: None,
                added_at: "2026-03-14T10:00:00Z".to_owned(),
            };
            stock_add(&place, new).expect("kept");
        }
        let take = |quantity, bin: Option<&str>| {
            let question = TakeQuestion {
                part: part.clone(),
                quantity,
                bin: bin.map(str::to_owned),
                reason: "FT-000311".to_owned(),
                rule: LifeRule {
                    system: ShelfLifeSystem::Iso,
                    now: Quarter {
                        year: 2026,
                        quarter: 4,
                    },
                },
                taken_at: "2026-03-15T10:00:00Z".to_owned(),
            };
            stock_take(&place, &question).expect("runs")
        };
        let six = take(6, None);
        let bins: Vec<_> = six
            .taken
            .iter()
            .map(|t| (t.line.lot.bin.as_str(), t.quantity))
            .collect();
        assert_eq!(bins, [("A2", 4), ("A3", 2)]);
        let many = take(8, None);
        assert_eq!((many.short, many.expired, many.taken.len()), (1, 90, 0));
        assert_eq!(take(7, None).taken[0].line.lot.on_hand, 0);
        // A bin that is named gives what it holds, so that what is over can be thrown away.
        assert_eq!(take(90, Some("a1")).taken[0].quantity, 90);
    }
}
