//! Offers of price lists: writing a list in place of the former one.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::{PriceListId, SupplierId};
use crate::core::supply::{OfferRow, number_key};
use rusqlite::{CachedStatement, named_params, params};
use std::collections::BTreeMap;

/// What is kept of a price list beside its offers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewPriceList<'l> {
    pub supplier: SupplierId,
    pub file: &'l str,
    /// When it is read, ISO 8601.
    pub imported_at: &'l str,
    /// The day from which the prices hold, ISO 8601.
    pub price_date: &'l str,
    pub currency: &'l str,
    /// "included" or "excluded".
    pub tax: &'l str,
    /// How many rows it will have, as well as that is known; decides how the indexes are kept.
    pub rows_expected: u64,
    /// The other shop whose book brought it.
    pub from_shop: Option<&'l str>,
}

/// Writes the offers of one list.
pub struct OfferWriter<'b> {
    book: &'b BookWriter<'b>,
    list: PriceListId,
    insert: CachedStatement<'b>,
    meaning: CachedStatement<'b>,
    text: CachedStatement<'b>,
    scan: ScanWriter,
    written: u64,
    /// The words that make the indexes again that were taken away for so long.
    indexes: Vec<String>,
}

/// Which words of the index are merged at once is left to SQLite; its pages are kept in memory up to this, in KiB.
const CACHE_KIB: i64 = -65_536;

impl BookWriter<'_> {
    /// Begins a price list; the supplier's former one goes to the history of prices when the new one is finished.
    pub fn begin_price_list<'b>(
        &'b self,
        new: &NewPriceList<'_>,
    ) -> Result<OfferWriter<'b>, StoreError> {
        let fault = |error| self.fault(error);
        self.sql
            .pragma_update(None, "cache_size", CACHE_KIB)
            .map_err(fault)?;
        self.insert(
            "price_list",
            named_params! {
                ":supplier_id": new.supplier,
                ":file": new.file,
                ":imported_at": new.imported_at,
                ":price_date": new.price_date,
                ":currency": new.currency,
                ":tax": new.tax,
                ":rows_read": 0,
                ":accepted": 0,
                ":rejected": 0,
                ":shop": new.from_shop,
            },
        )?;
        let list = PriceListId::inserted(self.sql);
        let indexes = if self.is_large(new.rows_expected)? {
            self.take_indexes()?
        } else {
            Vec::new()
        };
        let former: Vec<PriceListId> = self.list(
            "SELECT id FROM price_list WHERE supplier_id = ?1 AND id <> ?2 AND replaced_at IS NULL",
            &[&new.supplier, &list],
            |row| row.get(0),
        )?;
        for old in former {
            self.to_history(old, new.imported_at)?;
        }
        Ok(OfferWriter {
            book: self,
            list,
            insert: self
                .sql
                .prepare_cached(
                    "INSERT INTO offer (price_list_id, line, number, key, description, kind, meanings, code, id_nm, section_nm,
                                        lengths_nm, polymer, hardness, scale, pack, price, breaks)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17)",
                )
                .map_err(fault)?,
            meaning: self
                .sql
                .prepare_cached("INSERT INTO offer_meaning VALUES (?1, ?2, ?3, ?4, ?5)")
                .map_err(fault)?,
            text: self
                .sql
                .prepare_cached("INSERT INTO offer_text (rowid, number, description) VALUES (?1, ?2, ?3)")
                .map_err(fault)?,
            scan: ScanWriter::default(),
            written: 0,
            indexes,
        })
    }

    /// Tells whether a list is so large beside what is there that indexes are made faster anew than row by row.
    fn is_large(&self, rows_expected: u64) -> Result<bool, StoreError> {
        /// Below this nobody waits.
        const LEAST: u64 = 20_000;
        /// A row costs an index about so many times what it costs to sort it in.
        const DEARER: u64 = 3;
        let kept: Option<i64> = self.first(
            "SELECT COALESCE(SUM(accepted), 0) FROM price_list WHERE replaced_at IS NULL",
            &[],
            |row| row.get(0),
        )?;
        let kept = u64::try_from(kept.unwrap_or(0)).unwrap_or(0);
        Ok(rows_expected >= LEAST && kept <= rows_expected.saturating_mul(DEARER))
    }

    /// Takes the indexes of the offers away and returns the words that make them again, in the same transaction.
    fn take_indexes(&self) -> Result<Vec<String>, StoreError> {
        let indexes: Vec<(String, String)> = self.list(
            "SELECT name, sql FROM sqlite_schema WHERE type = 'index' AND tbl_name = 'offer' AND sql IS NOT NULL",
            &[],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        let mut again = Vec::new();
        for (name, sql) in indexes {
            self.change(&format!("DROP INDEX \"{name}\""), &[])?;
            again.push(sql);
        }
        Ok(again)
    }

    /// Moves the prices of a list to the history and takes its offers out of every index.
    fn to_history(&self, old: PriceListId, now: &str) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO price_history (price_list_id, line, key, description, pack, price, breaks)
             SELECT price_list_id, line, key, description, pack, price, breaks FROM offer WHERE price_list_id = ?1",
            &[&old],
        )?;
        self.change(
            "DELETE FROM offer_meaning WHERE offer_id IN (SELECT id FROM offer WHERE price_list_id = ?1)",
            &[&old],
        )?;
        // The words must go while the offers they belong to can still be read.
        self.change(
            "INSERT INTO offer_text (offer_text, rowid, number, description)
             SELECT 'delete', id, number, description FROM offer WHERE price_list_id = ?1",
            &[&old],
        )?;
        self.change("DELETE FROM offer WHERE price_list_id = ?1", &[&old])?;
        self.change("DELETE FROM offer_scan WHERE price_list_id = ?1", &[&old])?;
        self.change(
            "UPDATE price_list SET replaced_at = ?2 WHERE id = ?1",
            &[&old, &now],
        )
    }
}

impl OfferWriter<'_> {
    /// Writes one offer.
    pub fn write(&mut self, row: &OfferRow) -> Result<(), StoreError> {
        let key = number_key(&row.number);
        let fault = |error| self.book.fault(error);
        let described = &row.described;
        let only = match described.rings.as_slice() {
            [ring] => Some(ring),
            _ => None,
        };
        let lengths = words(described.lengths.iter().map(|l| l.nm().to_string()));
        let breaks = words(
            row.prices
                .iter()
                .skip(1)
                .map(|p| format!("{}:{}", p.from_packs, p.minor)),
        );
        let meanings = u32::try_from(described.rings.len()).unwrap_or(u32::MAX);
        let price = row.prices.first().map_or(0, |p| p.minor);
        let id = self
            .insert
            .insert(params![
                self.list,
                signed(row.line),
                row.number,
                key,
                row.description,
                described.kind.map(crate::core::note::PartKind::word),
                meanings,
                only.and_then(|r| r.code.as_deref()),
                only.map(|r| r.size.id.nm()),
                only.map(|r| r.size.section.nm()),
                lengths,
                described
                    .polymer
                    .map(crate::core::elastomer::Polymer::letters),
                described.hardness.map(|h| h.value),
                described.hardness.map(|h| h.scale.words()),
                row.pack,
                price,
                breaks,
            ])
            .map_err(fault)?;
        if described.rings.len() > 1 {
            for (place, ring) in (1_i64..).zip(&described.rings) {
                self.meaning
                    .execute(params![
                        id,
                        place,
                        ring.code,
                        ring.size.id.nm(),
                        ring.size.section.nm()
                    ])
                    .map_err(fault)?;
            }
        }
        // Words are indexed here and not at the end, while the next rows are being read on another thread.
        self.text
            .insert(params![id, row.number, row.description])
            .map_err(fault)?;
        self.written += 1;
        self.scan.push(self.book, self.list, &key, id)
    }

    /// Finishes the list: indexes that were taken away are made again and its rows counted.
    pub fn finish(mut self, rejected: u64) -> Result<(), StoreError> {
        self.scan.flush(self.book, self.list)?;
        for sql in &self.indexes {
            self.book.change(sql, &[])?;
        }
        let (read, written, rejected) = (
            signed(self.written + rejected),
            signed(self.written),
            signed(rejected),
        );
        self.book.change(
            "UPDATE price_list SET rows_read = ?2, accepted = ?3, rejected = ?4 WHERE id = ?1",
            &[&self.list, &read, &written, &rejected],
        )
    }
}

fn signed(count: u64) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

fn words(parts: impl Iterator<Item = String>) -> Option<String> {
    let parts: Vec<String> = parts.collect();
    (!parts.is_empty()).then(|| parts.join(" "))
}

impl BookReader<'_> {
    /// Lists the former prices of a part number, newest list first: date, currency, tax, pack and price.
    pub fn former_prices(&self, number: &str) -> Result<Vec<FormerPrice>, StoreError> {
        self.records(
            "SELECT s.name AS supplier, price_date, currency, tax, pack, price AS minor, l.shop AS from_shop
             FROM price_history h JOIN price_list l ON l.id = h.price_list_id JOIN supplier s ON s.id = l.supplier_id
             WHERE h.key = ?1 ORDER BY l.price_date DESC, h.price_list_id DESC LIMIT 200",
            &[&number_key(number)],
        )
    }
}

/// What a part cost before.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct FormerPrice {
    pub supplier: String,
    /// The day from which the price held.
    pub price_date: String,
    pub currency: String,
    /// Whether tax was in the price.
    pub tax: String,
    /// Pieces in a pack.
    pub pack: u32,
    /// Price of a pack in minor units.
    pub minor: i64,
    /// The other shop whose book brought the list.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_shop: Option<String>,
}

/// Numbers in one packed block.
const BLOCK: usize = 65_536;
/// Longer numbers are found by substring only.
pub(super) const LONGEST: usize = 64;

/// Gathers numbers by length until a block is full; holds at most one block a length.
#[derive(Debug, Default)]
pub(super) struct ScanWriter {
    blocks: BTreeMap<usize, (Vec<u8>, Vec<u8>)>,
    place: i64,
}

impl ScanWriter {
    pub(super) fn push(
        &mut self,
        book: &BookWriter<'_>,
        list: PriceListId,
        key: &str,
        offer: i64,
    ) -> Result<(), StoreError> {
        if key.is_empty() || key.len() > LONGEST {
            return Ok(());
        }
        let (keys, ids) = self.blocks.entry(key.len()).or_default();
        keys.extend_from_slice(key.as_bytes());
        ids.extend_from_slice(&offer.to_le_bytes());
        if ids.len() >= BLOCK * size_of::<i64>() {
            let (keys, ids) = (std::mem::take(keys), std::mem::take(ids));
            self.write(book, list, key.len(), &keys, &ids)?;
        }
        Ok(())
    }

    pub(super) fn flush(
        &mut self,
        book: &BookWriter<'_>,
        list: PriceListId,
    ) -> Result<(), StoreError> {
        for (length, (keys, ids)) in std::mem::take(&mut self.blocks) {
            if !ids.is_empty() {
                self.write(book, list, length, &keys, &ids)?;
            }
        }
        Ok(())
    }

    fn write(
        &mut self,
        book: &BookWriter<'_>,
        list: PriceListId,
        length: usize,
        keys: &[u8],
        ids: &[u8],
    ) -> Result<(), StoreError> {
        self.place += 1;
        let length = i64::try_from(length).unwrap_or(i64::MAX);
        book.change(
            "INSERT INTO offer_scan (price_list_id, place, length, keys, offer_ids) VALUES (?1, ?2, ?3, ?4, ?5)",
            &[&list, &self.place, &length, &keys, &ids],
        )
    }
}
