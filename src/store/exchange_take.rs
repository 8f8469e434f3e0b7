//! Takes items of another book into this one.

use super::book::BookWriter;
use super::error::StoreError;
use super::id::PriceListId;
use super::known_ring::NewKnownRing;
use super::offer::NewPriceList;
use super::stored::Word;
use crate::core::elastomer::Polymer;
use crate::core::exchange::{
    BookItem, FormerListItem, KnownRingItem, Origin, PriceListItem, RingItem, SetAside,
    SupplierItem,
};
use crate::core::measurement::KnownReading;
use crate::core::note::PartKind;
use crate::core::quantity::{Hardness, HardnessScale, Length};
use crate::core::supply::{Described, NamedRing, OfferPrice, OfferRow};

impl BookWriter<'_> {
    /// Keeps a ring of known size that came from another book.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn take_known_ring(&self, item: &KnownRingItem) -> Result<(), StoreError> {
        let readings = item.readings.iter().map(|r| {
            let reading = KnownReading {
                measurand: r.measurand,
                method: r.method.clone(),
                error: r.error,
                repeats: r.repeats as usize,
                scatter: r.scatter,
                ring_variance: r.ring_variance,
            };
            (r.typed.clone(), reading)
        });
        let readings: Vec<(String, KnownReading)> = readings.collect();
        self.add_known_ring(&NewKnownRing {
            person: &item.person,
            ring: &item.ring,
            added_at: &item.added_at,
            readings: &readings,
        })?;
        Ok(())
    }

    /// Keeps a supplier with its terms; one of whom nothing was said gets them.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn take_supplier(&self, item: &SupplierItem) -> Result<(), StoreError> {
        let id = self.supplier_or_new(&item.name)?;
        self.change(
            "UPDATE supplier SET mapping = ?2, terms_currency = ?3, carriage = ?4, minimum = ?5 WHERE id = ?1",
            &[
                &id,
                &item.mapping,
                &item.terms_currency,
                &item.carriage,
                &item.minimum,
            ],
        )
    }

    /// Puts a price list in force with its offers and their indexes.
    ///
    /// # Errors
    /// Fails where an offer has no sound price or the book cannot be written.
    pub fn take_price_list(&self, item: &PriceListItem) -> Result<(), StoreError> {
        let supplier = self.supplier_or_new(&item.supplier)?;
        let mut writer = self.begin_price_list(&NewPriceList {
            supplier,
            file: &item.file,
            imported_at: &item.imported_at,
            price_date: &item.price_date,
            currency: &item.currency,
            tax: &item.tax,
            rows_expected: item.offers.len() as u64,
        })?;
        for offer in &item.offers {
            let hardness = offer.hardness.as_ref().and_then(|(value, scale)| {
                let scale = HardnessScale::from_words(scale)?;
                Hardness::new(*value, scale)
            });
            let prices = offer.prices.iter().map(|(from_packs, minor)| OfferPrice {
                from_packs: *from_packs,
                minor: *minor,
            });
            writer.write(&OfferRow {
                line: offer.line,
                number: offer.number.clone(),
                description: offer.description.clone(),
                described: Described {
                    kind: offer.kind.as_deref().and_then(PartKind::from_words),
                    rings: offer.rings.iter().map(named_ring).collect(),
                    lengths: offer
                        .lengths_nm
                        .iter()
                        .map(|nm| Length::from_nm(*nm))
                        .collect(),
                    polymer: offer.polymer.as_deref().and_then(Polymer::from_word),
                    hardness,
                    ..Described::default()
                },
                pack: offer.pack,
                prices: prices.collect(),
                restored: false,
            })?;
        }
        writer.finish(item.rejected)
    }

    /// Keeps the prices of a list that another book had replaced already.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn take_former_list(&self, item: &FormerListItem) -> Result<(), StoreError> {
        let supplier = self.supplier_or_new(&item.supplier)?;
        let (read, accepted, rejected) = item.rows;
        self.change(
            "INSERT INTO price_list (supplier_id, file, imported_at, price_date, currency, tax, rows_read, accepted,
                                     rejected, replaced_at)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
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
        let body = serde_json::to_string(&aside.item)
            .map_err(|error| self.bad_row("item set aside", error.to_string()))?;
        self.change(
            "INSERT OR IGNORE INTO set_aside (what, key, content, reason, shop, merged_at, body)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            &[
                &aside.item.what(),
                &aside.item.key(),
                &aside.item.content(),
                &Word(aside.reason),
                &aside.shop,
                &aside.merged_at,
                &body,
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

fn named_ring(item: &RingItem) -> NamedRing {
    NamedRing {
        code: item.code.clone(),
        id: Length::from_nm(item.id_nm),
        section: Length::from_nm(item.section_nm),
    }
}
