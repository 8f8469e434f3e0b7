//! Everything that the book holds, as items that travel, and how those of another book are taken in.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::PriceListId;
use super::offer::NewPriceList;
use super::record::Word;
use super::record::{become_record, fields};
use crate::core::elastomer::Polymer;
use crate::core::exchange::{
    BookItem, FormerListItem, OfferItem, Origin, PriceListItem, RingItem, SetAside, SupplierItem,
};
use crate::core::note::PartKind;
use crate::core::supply::{DescriptionReader, OfferPrice, OfferRow};
use rusqlite::{ToSql, named_params};
use serde_json::{Map, Value};

/// The rows that become the items of one kind, each column named as the field that it fills.
pub(super) struct Shelf {
    /// The kind, as [`BookItem::what`] says it; of rows within an item the field that lists them.
    word: &'static str,
    /// The query; its column `row` is what the query of rows within it is asked for as `?1`.
    sql: &'static str,
    within: Option<&'static Shelf>,
}

pub(super) const KNOWN_RINGS: Shelf = Shelf {
    word: "known_ring",
    sql: "SELECT id AS row, person, ring, added_at FROM known_ring ORDER BY person, id",
    within: Some(&Shelf {
        word: "readings",
        sql: "SELECT measurand, method, typed, error, repeats, scatter, ring_variance
              FROM known_reading WHERE known_ring_id = ?1 ORDER BY place",
        within: None,
    }),
};

const SHELVES: [Shelf; 10] = [
    Shelf {
        word: "note",
        // The pages of a scanner do not travel: a note of scanned rings goes as the program prints it, with what was read of them.
        sql: "SELECT body ->> '$.header.maker' AS maker, body ->> '$.header.model' AS model, body ->> '$.header.unit' AS unit, date,
                     iif(scanned, 'text', form) AS form, iif(scanned, canonical, original) AS text, unread_lines, added_at,
                     replaced_at, named AS 'named{}'
              FROM (SELECT *, EXISTS (SELECT 1 FROM json_each(body, '$.entries') WHERE value ->> '$.scan' IS NOT NULL) AS scanned
                    FROM note)",
        within: None,
    },
    KNOWN_RINGS,
    Shelf {
        word: "setting",
        sql: "SELECT key, value FROM setting",
        within: None,
    },
    Shelf {
        word: "supplier",
        sql: "SELECT name, mapping, terms_currency, carriage, minimum, free_above FROM supplier",
        within: None,
    },
    Shelf {
        word: "price_list",
        sql: "SELECT l.id AS row, s.name AS supplier, file, imported_at, price_date, currency, tax, rejected
              FROM price_list l JOIN supplier s ON s.id = l.supplier_id WHERE l.replaced_at IS NULL",
        within: Some(&Shelf {
            word: "offers",
            sql: "SELECT line, number, description, kind,
                         CASE WHEN meanings > 1 THEN
                             (SELECT json_group_array(json_object('code', code, 'id_nm', id_nm, 'section_nm', section_nm))
                              FROM (SELECT * FROM offer_meaning WHERE offer_id = offer.id ORDER BY place))
                         WHEN id_nm + section_nm IS NULL THEN '[]'
                         ELSE json_array(json_object('code', code, 'id_nm', id_nm, 'section_nm', section_nm)) END AS 'rings{}',
                         '[' || coalesce(replace(lengths_nm, ' ', ','), '') || ']' AS 'lengths_nm{}',
                         polymer, hardness AS 'hardness[]', scale AS 'hardness[]', pack,
                         '[[1,' || price || coalesce('],[' || replace(replace(breaks, ' ', '],['), ':', ','), '') || ']]' AS 'prices{}'
                  FROM offer WHERE price_list_id = ?1 ORDER BY line, id",
            within: None,
        }),
    },
    Shelf {
        word: "former_list",
        sql: "SELECT l.id AS row, s.name AS supplier, file, imported_at, price_date, currency, tax,
                     rows_read AS 'rows[]', accepted AS 'rows[]', rejected AS 'rows[]', replaced_at
              FROM price_list l JOIN supplier s ON s.id = l.supplier_id WHERE l.replaced_at IS NOT NULL ORDER BY l.id",
        within: Some(&Shelf {
            word: "prices",
            sql: "SELECT line, key, description, pack, price, breaks FROM price_history
                  WHERE price_list_id = ?1 ORDER BY line, key",
            within: None,
        }),
    },
    Shelf {
        word: "statement",
        sql: "SELECT part, stand_in, grade, place AS at, person, evidence, said_at FROM statement ORDER BY said_at, id",
        within: None,
    },
    Shelf {
        word: "nickname",
        sql: "SELECT name, part, confidence, person, source, said_at FROM nickname ORDER BY key, id",
        within: None,
    },
    Shelf {
        word: "job",
        sql: "SELECT id AS row, id AS number, unit_id AS unit_row, model, serial, opened_at FROM job ORDER BY id",
        within: Some(&Shelf {
            word: "entries",
            sql: "SELECT place, added_at, person, kind, body, hash AS seal FROM job_entry WHERE job_id = ?1 ORDER BY place",
            within: None,
        }),
    },
    Shelf {
        word: "lot",
        sql: "SELECT id AS row, bin, part, id_nm AS 'ring_nm[]', cs_nm AS 'ring_nm[]', polymer, hardness AS 'hardness[]',
                     hardness_scale AS 'hardness[]', lot, cured_year AS 'cured[]', cured_quarter AS 'cured[]', supplier, added_at
              FROM stock_lot ORDER BY id",
        within: Some(&Shelf {
            word: "moves",
            sql: "SELECT quantity, reason, moved_at FROM stock_move WHERE stock_lot_id = ?1 ORDER BY id",
            within: None,
        }),
    },
];

impl BookReader<'_> {
    /// Lists everything that the book holds, sorted by kind and key, so that the same book gives the same list.
    pub fn items(&self) -> Result<Vec<BookItem>, StoreError> {
        let mut items: Vec<BookItem> = Vec::new();
        for shelf in &SHELVES {
            for mut item in self.shelved(shelf, &[])? {
                item.insert("what".to_owned(), shelf.word.into());
                items.push(become_record(item).map_err(|error| self.fault(error))?);
            }
        }
        items.extend(self.gauges()?.into_iter().map(BookItem::Gauge));
        items.extend(self.decisions()?.into_iter().map(BookItem::Decision));
        items.sort_by_cached_key(|item| (item.what(), item.key(), item.content()));
        Ok(items)
    }

    /// Reads the rows of a shelf with the rows within each.
    pub(super) fn shelved(
        &self,
        shelf: &Shelf,
        of: &[&dyn ToSql],
    ) -> Result<Vec<Map<String, Value>>, StoreError> {
        let mut items = self.list(shelf.sql, of, fields)?;
        if let Some(within) = shelf.within {
            for item in &mut items {
                let row = item.remove("row").and_then(|row| row.as_i64());
                let rows = self.shelved(within, &[&row])?.into_iter();
                item.insert(within.word.to_owned(), rows.map(Value::Object).collect());
            }
        }
        Ok(items)
    }

    /// Lists what was set aside when other books were merged, by kind and key.
    pub fn set_aside(&self) -> Result<Vec<SetAside>, StoreError> {
        self.records(
            "SELECT reason, refusal AS 'refusal{}', shop, merged_at, body AS 'item{}'
             FROM set_aside ORDER BY what, key, content",
            &[],
        )
    }

    /// Lists which items came from other shops.
    pub fn origins(&self) -> Result<Vec<Origin>, StoreError> {
        self.records(
            "SELECT what, key, shop, merged_at FROM origin ORDER BY what, key, shop",
            &[],
        )
    }
}

impl BookWriter<'_> {
    /// Keeps a supplier with its terms; one of whom nothing was said gets them.
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
    pub fn take_former_list(&self, item: &FormerListItem, shop: &str) -> Result<(), StoreError> {
        let supplier = self.supplier_or_new(&item.supplier)?;
        let (read, accepted, rejected) = item.rows;
        self.insert(
            "price_list",
            named_params! {
                ":supplier_id": supplier,
                ":file": item.file,
                ":imported_at": item.imported_at,
                ":price_date": item.price_date,
                ":currency": item.currency,
                ":tax": item.tax,
                ":rows_read": read,
                ":accepted": accepted,
                ":rejected": rejected,
                ":replaced_at": item.replaced_at,
                ":shop": shop,
            },
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
    pub fn forget_aside(&self, item: &BookItem) -> Result<(), StoreError> {
        self.change(
            "DELETE FROM set_aside WHERE what = ?1 AND key = ?2 AND content = ?3",
            &[&item.what(), &item.key(), &item.content()],
        )
    }

    /// Keeps where an item came from.
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
        id_nm: ring.size.id.nm(),
        section_nm: ring.size.section.nm(),
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
