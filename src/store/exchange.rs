//! Everything that the book holds, as items that travel.

use super::book::BookReader;
use super::error::StoreError;
use super::record::{become_record, fields};
use crate::core::exchange::{BookItem, Origin, SetAside};
use rusqlite::ToSql;
use serde_json::{Map, Value};

/// The rows that become the items of one kind, each column named as the field that it fills.
struct Shelf {
    /// The kind, as [`BookItem::what`] says it; of rows within an item the field that lists them.
    word: &'static str,
    /// The query; its column `row` is what the query of rows within it is asked for as `?1`.
    sql: &'static str,
    within: Option<&'static Shelf>,
}

const SHELVES: [Shelf; 10] = [
    Shelf {
        word: "note",
        // The pages of a scanner do not travel: a note of scanned rings goes as the program prints it, with what was read of them.
        sql: "SELECT id AS row, maker, model, unit, date, iif(scanned, 'text', form) AS form,
                     iif(scanned, canonical, original) AS text, unread_lines, added_at, replaced_at
              FROM (SELECT *, EXISTS (SELECT 1 FROM entry_scan s JOIN entry e ON e.id = s.entry_id
                                      WHERE e.note_id = note.id) AS scanned FROM note)",
        within: Some(&Shelf {
            word: "named",
            sql: "SELECT e.id AS row, e.removal, i.made_at, i.made_by, i.unlisted_probability
                  FROM entry e JOIN identification i ON i.entry_id = e.id WHERE e.note_id = ?1 ORDER BY e.removal",
            within: Some(&Shelf {
                word: "candidates",
                sql: "SELECT (SELECT json_group_array(code) FROM (SELECT code FROM candidate_code k
                                  WHERE k.entry_id = c.entry_id AND k.rank = c.rank ORDER BY place)) AS 'codes{}',
                             id_nm, section_nm, probability, misfit_sigma
                      FROM candidate c WHERE entry_id = ?1 ORDER BY rank",
                within: None,
            }),
        }),
    },
    Shelf {
        word: "known_ring",
        sql: "SELECT id AS row, person, ring, added_at FROM known_ring ORDER BY person, id",
        within: Some(&Shelf {
            word: "readings",
            sql: "SELECT measurand, method, typed, error, repeats, scatter, ring_variance
                  FROM known_reading WHERE known_ring_id = ?1 ORDER BY place",
            within: None,
        }),
    },
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
    ///
    /// # Errors
    /// Fails where the book cannot be read.
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
    fn shelved(
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
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn set_aside(&self) -> Result<Vec<SetAside>, StoreError> {
        self.records(
            "SELECT reason, refusal AS 'refusal{}', shop, merged_at, body AS 'item{}'
             FROM set_aside ORDER BY what, key, content",
            &[],
        )
    }

    /// Lists which items came from other shops.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn origins(&self) -> Result<Vec<Origin>, StoreError> {
        self.records(
            "SELECT what, key, shop, merged_at FROM origin ORDER BY what, key, shop",
            &[],
        )
    }
}
