//! Numbers of a price list packed by length, for a scan that allows for typing errors.
//!
//! A million numbers are some ten megabytes; read in one piece they are compared faster than an index of letter groups
//! can narrow them down, because a number of nine letters with two errors may share no group of three with its like.

use super::book::BookWriter;
use super::error::StoreError;
use super::id::PriceListId;
use std::collections::BTreeMap;

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
