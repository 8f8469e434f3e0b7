//! Suppliers: the mapping of their lists, and what an order costs beside the goods.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::SupplierId;
use crate::core::book::name_key;
use crate::core::quantity::{Currency, Money};

/// A supplier as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredSupplier {
    /// Its row.
    pub id: SupplierId,
    pub name: String,
    /// Which column of its lists holds what, as used last.
    pub mapping: Option<String>,
    /// The heads of the list that the mapping was used for.
    pub mapping_heads: Option<String>,
    pub terms: Terms,
    /// The other shop whose word the terms are.
    pub from_shop: Option<String>,
}

/// What an order at a supplier costs beside the goods.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, serde::Serialize)]
pub struct Terms {
    /// What an order costs beside the goods.
    pub carriage: Option<Money>,
    /// The least value of goods that an order is charged with.
    pub minimum: Option<Money>,
    /// The value of goods from which on carriage costs nothing.
    pub free_above: Option<Money>,
}

/// The price list of a supplier that is in force.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct StoredPriceList {
    pub supplier: String,
    /// The file it came from.
    pub file: String,
    /// When it was read, ISO 8601.
    pub imported_at: String,
    /// The day from which its prices hold.
    pub price_date: String,
    pub currency: String,
    /// Whether tax is in the prices.
    pub tax: String,
    /// Offers in it.
    pub accepted: i64,
    /// Rows that were rejected.
    pub rejected: i64,
    /// The other shop whose book brought it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_shop: Option<String>,
}

impl BookReader<'_> {
    /// Lists the suppliers by name.
    pub fn suppliers(&self) -> Result<Vec<StoredSupplier>, StoreError> {
        self.list("SELECT * FROM supplier ORDER BY key", &[], |row| {
            let currency: Option<String> = row.get("terms_currency")?;
            let currency = currency.and_then(|word| Currency::from_word(&word));
            let money = |minor: Option<i64>| {
                Some(Money {
                    minor: minor?,
                    currency: currency?,
                })
            };
            Ok(StoredSupplier {
                id: row.get("id")?,
                name: row.get("name")?,
                mapping: row.get("mapping")?,
                mapping_heads: row.get("mapping_heads")?,
                terms: Terms {
                    carriage: money(row.get("carriage")?),
                    minimum: money(row.get("minimum")?),
                    free_above: money(row.get("free_above")?),
                },
                from_shop: row.get("shop")?,
            })
        })
    }

    /// Finds a supplier by its name, whatever its case and signs.
    pub fn supplier(&self, name: &str) -> Result<Option<StoredSupplier>, StoreError> {
        let key = name_key(name);
        Ok(self
            .suppliers()?
            .into_iter()
            .find(|s| name_key(&s.name) == key))
    }

    /// Lists the price lists in force, by supplier.
    pub fn price_lists(&self) -> Result<Vec<StoredPriceList>, StoreError> {
        self.records(
            "SELECT s.name AS supplier, file, imported_at, price_date, currency, tax, accepted, rejected, l.shop AS from_shop
             FROM price_list l JOIN supplier s ON s.id = l.supplier_id
             WHERE l.replaced_at IS NULL ORDER BY s.key",
            &[],
        )
    }
}

impl BookWriter<'_> {
    /// Finds a supplier, or makes it.
    pub fn supplier_or_new(&self, name: &str) -> Result<SupplierId, StoreError> {
        if let Some(known) = self.supplier(name)? {
            return Ok(known.id);
        }
        self.change(
            "INSERT INTO supplier (name, key) VALUES (?1, ?2)",
            &[&name.trim(), &name_key(name)],
        )?;
        Ok(SupplierId::inserted(self.sql))
    }

    /// Keeps the mapping that a supplier's list was read with, and the heads that it lies under.
    pub fn set_mapping(
        &self,
        supplier: SupplierId,
        mapping: &str,
        heads: &str,
    ) -> Result<(), StoreError> {
        self.change(
            "UPDATE supplier SET mapping = ?2, mapping_heads = ?3 WHERE id = ?1",
            &[&supplier, &mapping, &heads],
        )
    }

    /// Keeps what an order at a supplier costs beside the goods, all sums in one currency.
    pub fn set_terms(
        &self,
        supplier: SupplierId,
        currency: Currency,
        terms: Terms,
    ) -> Result<(), StoreError> {
        let minor = |sum: Option<Money>| sum.map(|sum| sum.minor);
        self.change(
            "UPDATE supplier SET terms_currency = ?2, carriage = ?3, minimum = ?4, free_above = ?5, shop = NULL WHERE id = ?1",
            &[&supplier, &currency.letters(), &minor(terms.carriage), &minor(terms.minimum), &minor(terms.free_above)],
        )
    }
}
