//! Takes items of another book into this one.

use super::book::BookWriter;
use super::error::StoreError;
use super::id::PriceListId;
use super::offer::NewPriceList;
use super::stored::Word;
use crate::core::elastomer::Polymer;
use crate::core::exchange::{
    BookItem, FormerListItem, OfferItem, Origin, PriceListItem, RingItem, SetAside, SupplierItem,
};
use crate::core::note::PartKind;
use crate::core::supply::{DescriptionReader, OfferPrice, OfferRow};

impl BookWriter<'_> {
    /// Keeps a supplier with its terms; one of whom nothing was said gets them.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn take_supplier(&self, item: &SupplierItem, shop: &str) -> Result<(), StoreError> {
        let id = self.supplier_or_new(&item.name)?;
        self.change(
            "UPDATE supplier SET mapping = ?2, terms_currency = ?3, carriage = ?4, minimum = ?5, free_above = ?6, shop = ?7 WHERE id = ?1",
            &[
                &id,
                &item.mapping,
                &item.terms_currency,
                &item.carriage,
                &item.minimum,
                &item.free_above,
                &shop,
            ],
        )
    }

    /// Puts a price list in force with its offers and their indexes; every description is read again, and what the other shop read in
    /// it is not kept. Returns the offers of which it had read something else.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn take_price_list(
        &self,
        item: &PriceListItem,
        shop: &str,
    ) -> Result<Vec<OfferRow>, StoreError> {
        let supplier = self.supplier_or_new(&item.supplier)?;
        let mut writer = self.begin_price_list(&NewPriceList {
            supplier,
            file: &item.file,
            imported_at: &item.imported_at,
            price_date: &item.price_date,
            currency: &item.currency,
            tax: &item.tax,
            rows_expected: item.offers.len() as u64,
            from_shop: Some(shop),
        })?;
        let mut descriptions = DescriptionReader::default();
        let mut otherwise = Vec::new();
        for offer in &item.offers {
            let prices = offer.prices.iter().map(|(from_packs, minor)| OfferPrice {
                from_packs: *from_packs,
                minor: *minor,
            });
            let row = OfferRow {
                line: offer.line,
                number: offer.number.clone(),
                description: offer.description.clone(),
                described: descriptions.read(&offer.description),
                pack: offer.pack,
                prices: prices.collect(),
                restored: false,
                material_unread: None,
            };
            writer.write(&row)?;
            if !reads_alike(offer, &row) {
                otherwise.push(row);
            }
        }
        writer.finish(item.rejected)?;
        Ok(otherwise)
    }

    /// Keeps the prices of a list that another book had replaced already.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn take_former_list(&self, item: &FormerListItem, shop: &str) -> Result<(), StoreError> {
        let supplier = self.supplier_or_new(&item.supplier)?;
        let (read, accepted, rejected) = item.rows;
        self.change(
            "INSERT INTO price_list (supplier_id, file, imported_at, price_date, currency, tax, rows_read, accepted,
                                     rejected, replaced_at, shop)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
            &[
                &supplier,
                &item.file,
                &item.imported_at,
                &item.price_date,
                &item.currency,
                &item.tax,
                &read,
                &accepted,
                &rejected,
                &item.replaced_at,
                &shop,
            ],
        )?;
        let list = PriceListId::inserted(self.sql);
        for price in &item.prices {
            self.change(
                "INSERT INTO price_history (price_list_id, line, key, description, pack, price, breaks)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                &[
                    &list,
                    &price.line,
                    &price.key,
                    &price.description,
                    &price.pack,
                    &price.price,
                    &price.breaks,
                ],
            )?;
        }
        Ok(())
    }

    /// Keeps an item aside; what was set aside already is left as it is. Returns whether it was new.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn keep_aside(&self, aside: &SetAside) -> Result<bool, StoreError> {
        let wrong = |error: serde_json::Error| self.bad_row("item set aside", error.to_string());
        let body = serde_json::to_string(&aside.item).map_err(wrong)?;
        let refusal = aside.refusal.as_ref().map(serde_json::to_string);
        let refusal = refusal.transpose().map_err(wrong)?;
        self.change(
            "INSERT OR IGNORE INTO set_aside (what, key, content, reason, shop, merged_at, body, refusal)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            &[
                &aside.item.what(),
                &aside.item.key(),
                &aside.item.content(),
                &Word(aside.reason),
                &aside.shop,
                &aside.merged_at,
                &body,
                &refusal,
            ],
        )?;
        Ok(self.sql.changes() > 0)
    }

    /// Lets go of an item that was set aside, where a later state of it was.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn forget_aside(&self, item: &BookItem) -> Result<(), StoreError> {
        self.change(
            "DELETE FROM set_aside WHERE what = ?1 AND key = ?2 AND content = ?3",
            &[&item.what(), &item.key(), &item.content()],
        )
    }

    /// Keeps where an item came from.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn keep_origin(&self, origin: &Origin) -> Result<(), StoreError> {
        self.change(
            "INSERT OR IGNORE INTO origin (what, key, shop, merged_at) VALUES (?1, ?2, ?3, ?4)",
            &[&origin.what, &origin.key, &origin.shop, &origin.merged_at],
        )
    }
}

/// Tells whether the other shop read in a description what is read here.
fn reads_alike(offer: &OfferItem, row: &OfferRow) -> bool {
    let read = &row.described;
    let rings = read.rings.iter().map(|ring| RingItem {
        code: ring.code.clone(),
        id_nm: ring.id.nm(),
        section_nm: ring.section.nm(),
    });
    let lengths = read.lengths.iter().map(|length| length.nm());
    let hardness = read
        .hardness
        .map(|one| (one.value, one.scale.words().to_owned()));
    offer.kind.as_deref() == read.kind.map(PartKind::word)
        && offer.rings.iter().cloned().eq(rings)
        && offer.lengths_nm.iter().copied().eq(lengths)
        && offer.polymer.as_deref() == read.polymer.map(Polymer::letters)
        && offer.hardness == hardness
}
