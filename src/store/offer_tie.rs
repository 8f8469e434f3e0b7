//! Offers that a person tied to a place of a model.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::SupplierId;
use super::offer_find::StoredOffer;
use crate::core::book::name_key;
use crate::core::supply::number_key;
use serde::{Deserialize, Serialize};

/// One tie: this offer is the part of that place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OfferTie {
    pub supplier: String,
    /// The supplier's number.
    pub number: String,
    /// Model, section, part and position.
    pub place: String,
    /// Who says so.
    pub person: String,
    /// Since when, ISO 8601.
    pub tied_at: String,
}

impl BookReader<'_> {
    /// Lists the ties, or those of one place.
    pub fn offer_ties(&self, place: Option<&str>) -> Result<Vec<OfferTie>, StoreError> {
        let key = place.map(name_key);
        self.records(
            "SELECT s.name AS supplier, t.number, t.place, t.person, t.tied_at
             FROM offer_tie t JOIN supplier s ON s.id = t.supplier_id
             WHERE ?1 IS NULL OR t.place_key = ?1 ORDER BY t.place_key, s.key",
            &[&key],
        )
    }

    /// Lists the offers in force that are tied to a place.
    pub fn offers_tied_to(&self, place: &str) -> Result<Vec<StoredOffer>, StoreError> {
        let mut offers = Vec::new();
        for tie in self.offer_ties(Some(place))? {
            let named = self.offers_with_number(&tie.number, u32::MAX)?;
            offers.extend(
                named
                    .into_iter()
                    .filter(|offer| offer.supplier == tie.supplier),
            );
        }
        Ok(offers)
    }
}

impl BookWriter<'_> {
    /// Ties an offer to a place.
    pub fn tie_offer(&self, supplier: SupplierId, tie: &OfferTie) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO offer_tie (supplier_id, key, number, place, place_key, person, tied_at) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)
             ON CONFLICT DO UPDATE SET number = ?3, person = ?6, tied_at = ?7",
            &[
                &supplier,
                &number_key(&tie.number),
                &tie.number,
                &tie.place,
                &name_key(&tie.place),
                &tie.person,
                &tie.tied_at,
            ],
        )
    }

    /// Takes a tie away.
    pub fn untie_offer(
        &self,
        supplier: SupplierId,
        number: &str,
        place: &str,
    ) -> Result<(), StoreError> {
        self.change(
            "DELETE FROM offer_tie WHERE supplier_id = ?1 AND key = ?2 AND place_key = ?3",
            &[&supplier, &number_key(number), &name_key(place)],
        )
    }
}
