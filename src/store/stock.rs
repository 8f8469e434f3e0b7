//! Lots on the shelf and their movements.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::StockLotId;
use super::record::{Word, optional_word};
use crate::core::book::{MeasuredName, StockKey, StockLot, name_key};
use crate::core::elastomer::Quarter;
use crate::core::quantity::{Hardness, Length};
use crate::core::sizes::NominalSize;
use rusqlite::{Row, named_params};

/// One lot as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredLot {
    /// Its row.
    pub id: StockLotId,
    pub lot: StockLot,
}

impl BookReader<'_> {
    /// Lists the lots that lie in a bin, by part and bin; empty bins are left out.
    pub fn stock_lots(&self) -> Result<Vec<StoredLot>, StoreError> {
        self.list(
            "SELECT stock_lot.*, sum(stock_move.quantity) AS on_hand
             FROM stock_lot JOIN stock_move ON stock_move.stock_lot_id = stock_lot.id
             GROUP BY stock_lot.id HAVING on_hand > 0
             ORDER BY cs_nm, id_nm, part, bin, stock_lot.id",
            &[],
            stored_lot,
        )
    }

    /// Lists what was taken from the shelf for a unit since a job on it was closed last: what lies in its bag.
    pub fn bagged_lots(&self, serial: &str) -> Result<Vec<StoredLot>, StoreError> {
        self.list(
            "SELECT stock_lot.*, -sum(stock_move.quantity) AS on_hand
             FROM stock_lot JOIN stock_move ON stock_move.stock_lot_id = stock_lot.id
             WHERE stock_move.reason = ?1 AND stock_move.moved_at > coalesce(
                 (SELECT max(job_entry.added_at) FROM job_entry JOIN job ON job.id = job_entry.job_id
                  WHERE job.serial = ?1 AND job_entry.kind = 'close'), '')
             GROUP BY stock_lot.id HAVING on_hand > 0
             ORDER BY cs_nm, id_nm, part, bin, stock_lot.id",
            &[&serial],
            stored_lot,
        )
    }
}

fn stored_lot(row: &Row<'_>) -> rusqlite::Result<StoredLot> {
    let ring: (Option<i64>, Option<i64>) = (row.get("id_nm")?, row.get("cs_nm")?);
    let part: String = row.get("part")?;
    let key = match ring {
        (Some(id), Some(section)) => StockKey::Ring(NominalSize {
            id: Length::from_nm(id),
            section: Length::from_nm(section),
        }),
        _ => StockKey::Named(MeasuredName::of(&part)),
    };
    let hardness: Option<f64> = row.get("hardness")?;
    let scale = optional_word(row, "hardness_scale")?;
    let year: Option<u16> = row.get("cured_year")?;
    let quarter: Option<u8> = row.get("cured_quarter")?;
    Ok(StoredLot {
        id: row.get("id")?,
        lot: StockLot {
            bin: row.get("bin")?,
            part,
            key,
            polymer: optional_word(row, "polymer")?,
            hardness: hardness
                .zip(scale)
                .and_then(|(value, scale)| Hardness::new(value, scale)),
            lot: row.get("lot")?,
            cured: year
                .zip(quarter)
                .map(|(year, quarter)| Quarter { year, quarter }),
            supplier: row.get("supplier")?,
            on_hand: row.get("on_hand")?,
        },
    })
}

impl BookWriter<'_> {
    /// Puts a lot on the shelf, as many as it says are on hand.
    pub fn add_stock_lot(&self, lot: &StockLot, added_at: &str) -> Result<StockLotId, StoreError> {
        let (id, section, words) = match &lot.key {
            StockKey::Ring(ring) => (Some(ring.id.nm()), Some(ring.section.nm()), None),
            // What it is matched by is read from `part`; the column says that it is no ring.
            StockKey::Named(_) => (None, None, Some(name_key(&lot.part))),
        };
        self.insert(
            "stock_lot",
            named_params! {
                ":bin": lot.bin,
                ":part": lot.part,
                ":id_nm": id,
                ":cs_nm": section,
                ":part_key": words,
                ":polymer": lot.polymer.map(Word),
                ":hardness": lot.hardness.map(|hardness| hardness.value),
                ":hardness_scale": lot.hardness.map(|hardness| Word(hardness.scale)),
                ":lot": lot.lot,
                ":cured_year": lot.cured.map(|cured| cured.year),
                ":cured_quarter": lot.cured.map(|cured| cured.quarter),
                ":supplier": lot.supplier,
                ":added_at": added_at,
            },
        )?;
        let id = StockLotId::inserted(self.sql);
        self.move_stock(id, i64::from(lot.on_hand), "received", added_at)?;
        Ok(id)
    }

    /// Notes that something came to a lot (positive) or went from it (negative), with why and when (ISO 8601).
    ///
    /// # Errors
    /// Fails where the bin would hold less than nothing, or the book cannot be written.
    pub fn move_stock(
        &self,
        lot: StockLotId,
        quantity: i64,
        reason: &str,
        moved_at: &str,
    ) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO stock_move (stock_lot_id, quantity, reason, moved_at) VALUES (?1, ?2, ?3, ?4)",
            &[&lot, &quantity, &reason, &moved_at],
        )
    }
}
