//! Everything that the book holds, as items that travel.

use super::book::BookReader;
use super::error::StoreError;
use super::id::EntryId;
use super::note::NoteForm;
use super::stored::Word;
use crate::core::exchange::{
    AsideReason, BookItem, CandidateItem, FormerListItem, FormerPriceItem, JobEntryItem, JobItem,
    KnownReadingItem, KnownRingItem, LotItem, MoveItem, NamedItem, NoteItem, OfferItem, Origin,
    PriceListItem, RingItem, SetAside, SettingItem, SupplierItem,
};
use rusqlite::{Row, types::FromSql};

impl BookReader<'_> {
    /// Lists everything that the book holds, sorted by kind and key, so that the same book gives the same list.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn items(&self) -> Result<Vec<BookItem>, StoreError> {
        let mut items: Vec<BookItem> = Vec::new();
        items.extend(self.note_items()?.into_iter().map(BookItem::Note));
        items.extend(self.known_items()?.into_iter().map(BookItem::KnownRing));
        items.extend(self.gauges()?.into_iter().map(BookItem::Gauge));
        items.extend(self.setting_items()?.into_iter().map(BookItem::Setting));
        items.extend(self.supplier_items()?.into_iter().map(BookItem::Supplier));
        items.extend(
            self.price_list_items()?
                .into_iter()
                .map(BookItem::PriceList),
        );
        items.extend(self.former_items()?.into_iter().map(BookItem::FormerList));
        let statements = self.statements()?.into_iter();
        items.extend(statements.map(|one| BookItem::Statement(one.said)));
        let nicknames = self.nicknames()?.into_iter();
        items.extend(nicknames.map(|one| BookItem::Nickname(one.said)));
        items.extend(self.job_items()?.into_iter().map(BookItem::Job));
        items.extend(self.lot_items()?.into_iter().map(BookItem::Lot));
        items.extend(self.decisions()?.into_iter().map(BookItem::Decision));
        items.sort_by_cached_key(|item| (item.what(), item.key(), item.content()));
        Ok(items)
    }

    fn note_items(&self) -> Result<Vec<NoteItem>, StoreError> {
        let notes: Vec<(i64, NoteItem)> = self.list(
            // The pages of a scanner do not travel: a note of scanned rings goes as the program prints it, with what was read of them.
            "SELECT n.id, n.maker, n.model, n.unit, n.date, n.form, n.original, n.canonical, n.unread_lines, n.added_at, n.replaced_at,
                    EXISTS (SELECT 1 FROM entry_scan s JOIN entry e ON e.id = s.entry_id WHERE e.note_id = n.id) AS scanned
             FROM note n ORDER BY n.id",
            &[],
            |row| {
                let scanned: bool = row.get("scanned")?;
                let form: NoteForm = row.get::<_, Word<_>>("form")?.0;
                let item = NoteItem {
                    maker: row.get("maker")?,
                    model: row.get("model")?,
                    unit: row.get("unit")?,
                    date: row.get("date")?,
                    form: match form {
                        NoteForm::Csv if !scanned => "csv",
                        _ => "text",
                    }
                    .to_owned(),
                    text: row.get(if scanned { "canonical" } else { "original" })?,
                    unread_lines: row.get("unread_lines")?,
                    added_at: row.get("added_at")?,
                    replaced_at: row.get("replaced_at")?,
                    named: Vec::new(),
                };
                Ok((row.get("id")?, item))
            },
        )?;
        notes
            .into_iter()
            .map(|(id, item)| {
                Ok(NoteItem {
                    named: self.named_items(id)?,
                    ..item
                })
            })
            .collect()
    }

    fn named_items(&self, note: i64) -> Result<Vec<NamedItem>, StoreError> {
        let mut named: Vec<(EntryId, NamedItem)> = self.list(
            "SELECT e.id, e.removal, i.made_at, i.made_by, i.unlisted_probability
             FROM entry e JOIN identification i ON i.entry_id = e.id WHERE e.note_id = ?1 ORDER BY e.removal",
            &[&note],
            |row| {
                let item = NamedItem {
                    removal: row.get(1)?,
                    made_at: row.get(2)?,
                    made_by: row.get(3)?,
                    unlisted_probability: row.get(4)?,
                    candidates: Vec::new(),
                };
                Ok((row.get(0)?, item))
            },
        )?;
        for (entry, item) in &mut named {
            let candidates = self.candidates(*entry)?.into_iter();
            item.candidates = candidates.map(CandidateItem::from).collect();
        }
        Ok(named.into_iter().map(|(_, item)| item).collect())
    }

    fn known_items(&self) -> Result<Vec<KnownRingItem>, StoreError> {
        let people: Vec<String> = self.list(
            "SELECT DISTINCT person FROM known_ring ORDER BY person",
            &[],
            |row| row.get(0),
        )?;
        let mut items = Vec::new();
        for person in people {
            for ring in self.known_rings(&person)? {
                let readings = ring
                    .readings
                    .into_iter()
                    .map(|(typed, r)| KnownReadingItem {
                        measurand: r.measurand,
                        method: r.method,
                        typed,
                        error: r.error,
                        repeats: u32::try_from(r.repeats).unwrap_or(u32::MAX),
                        scatter: r.scatter,
                        ring_variance: r.ring_variance,
                    });
                items.push(KnownRingItem {
                    person: person.clone(),
                    ring: ring.ring,
                    added_at: ring.added_at,
                    readings: readings.collect(),
                });
            }
        }
        Ok(items)
    }

    fn setting_items(&self) -> Result<Vec<SettingItem>, StoreError> {
        self.list("SELECT key, value FROM setting ORDER BY key", &[], |row| {
            Ok(SettingItem {
                key: row.get(0)?,
                value: row.get(1)?,
            })
        })
    }

    fn supplier_items(&self) -> Result<Vec<SupplierItem>, StoreError> {
        self.list(
            "SELECT name, mapping, terms_currency, carriage, minimum, free_above FROM supplier ORDER BY key",
            &[],
            |row| {
                Ok(SupplierItem {
                    name: row.get(0)?,
                    mapping: row.get(1)?,
                    terms_currency: row.get(2)?,
                    carriage: row.get(3)?,
                    minimum: row.get(4)?,
                    free_above: row.get(5)?,
                })
            },
        )
    }

    fn price_list_items(&self) -> Result<Vec<PriceListItem>, StoreError> {
        let lists: Vec<(i64, PriceListItem)> = self.list(
            "SELECT l.id, s.name, l.file, l.imported_at, l.price_date, l.currency, l.tax, l.rejected
             FROM price_list l JOIN supplier s ON s.id = l.supplier_id WHERE l.replaced_at IS NULL ORDER BY s.key",
            &[],
            |row| {
                let item = PriceListItem {
                    supplier: row.get(1)?,
                    file: row.get(2)?,
                    imported_at: row.get(3)?,
                    price_date: row.get(4)?,
                    currency: row.get(5)?,
                    tax: row.get(6)?,
                    rejected: row.get::<_, i64>(7)?.unsigned_abs(),
                    offers: Vec::new(),
                };
                Ok((row.get(0)?, item))
            },
        )?;
        lists
            .into_iter()
            .map(|(id, item)| {
                Ok(PriceListItem {
                    offers: self.offer_items(id)?,
                    ..item
                })
            })
            .collect()
    }

    fn offer_items(&self, list: i64) -> Result<Vec<OfferItem>, StoreError> {
        let mut offers: Vec<(i64, u32, OfferItem)> = self.list(
            "SELECT * FROM offer WHERE price_list_id = ?1 ORDER BY line, id",
            &[&list],
            |row| Ok((row.get("id")?, row.get("meanings")?, offer_item(row)?)),
        )?;
        for (id, meanings, offer) in &mut offers {
            if *meanings > 1 {
                offer.rings = self.list(
                    "SELECT code, id_nm, section_nm FROM offer_meaning WHERE offer_id = ?1 ORDER BY place",
                    &[id],
                    |row| {
                        Ok(RingItem {
                            code: row.get(0)?,
                            id_nm: row.get(1)?,
                            section_nm: row.get(2)?,
                        })
                    },
                )?;
            }
        }
        Ok(offers.into_iter().map(|(_, _, offer)| offer).collect())
    }

    fn former_items(&self) -> Result<Vec<FormerListItem>, StoreError> {
        let lists: Vec<(i64, FormerListItem)> = self.list(
            "SELECT l.id, s.name, l.file, l.imported_at, l.price_date, l.currency, l.tax, l.rows_read, l.accepted,
                    l.rejected, l.replaced_at
             FROM price_list l JOIN supplier s ON s.id = l.supplier_id WHERE l.replaced_at IS NOT NULL ORDER BY l.id",
            &[],
            |row| {
                let item = FormerListItem {
                    supplier: row.get(1)?,
                    file: row.get(2)?,
                    imported_at: row.get(3)?,
                    price_date: row.get(4)?,
                    currency: row.get(5)?,
                    tax: row.get(6)?,
                    rows: (row.get(7)?, row.get(8)?, row.get(9)?),
                    replaced_at: row.get(10)?,
                    prices: Vec::new(),
                };
                Ok((row.get(0)?, item))
            },
        )?;
        lists
            .into_iter()
            .map(|(id, item)| {
                let prices = self.list(
                    "SELECT line, key, description, pack, price, breaks FROM price_history
                     WHERE price_list_id = ?1 ORDER BY line, key",
                    &[&id],
                    |row| {
                        Ok(FormerPriceItem {
                            line: row.get(0)?,
                            key: row.get(1)?,
                            description: row.get(2)?,
                            pack: row.get(3)?,
                            price: row.get(4)?,
                            breaks: row.get(5)?,
                        })
                    },
                )?;
                Ok(FormerListItem { prices, ..item })
            })
            .collect()
    }

    fn job_items(&self) -> Result<Vec<JobItem>, StoreError> {
        let mut jobs: Vec<JobItem> = self.list(
            "SELECT id, unit_id, model, serial, opened_at FROM job ORDER BY id",
            &[],
            |row| {
                Ok(JobItem {
                    number: row.get(0)?,
                    unit_row: row.get(1)?,
                    model: row.get(2)?,
                    serial: row.get(3)?,
                    opened_at: row.get(4)?,
                    entries: Vec::new(),
                })
            },
        )?;
        for job in &mut jobs {
            job.entries = self.list(
                "SELECT place, added_at, person, kind, body, hash FROM job_entry WHERE job_id = ?1 ORDER BY place",
                &[&job.number],
                |row| {
                    Ok(JobEntryItem {
                        place: row.get(0)?,
                        added_at: row.get(1)?,
                        person: row.get(2)?,
                        kind: row.get(3)?,
                        body: row.get(4)?,
                        seal: row.get(5)?,
                    })
                },
            )?;
        }
        Ok(jobs)
    }

    fn lot_items(&self) -> Result<Vec<LotItem>, StoreError> {
        let mut lots: Vec<(i64, LotItem)> =
            self.list("SELECT * FROM stock_lot ORDER BY id", &[], |row| {
                let item = LotItem {
                    bin: row.get("bin")?,
                    part: row.get("part")?,
                    ring_nm: both(row, "id_nm", "cs_nm")?,
                    polymer: row.get("polymer")?,
                    hardness: both(row, "hardness", "hardness_scale")?,
                    lot: row.get("lot")?,
                    cured: both(row, "cured_year", "cured_quarter")?,
                    supplier: row.get("supplier")?,
                    added_at: row.get("added_at")?,
                    moves: Vec::new(),
                };
                Ok((row.get("id")?, item))
            })?;
        for (id, lot) in &mut lots {
            lot.moves = self.list(
                "SELECT quantity, reason, moved_at FROM stock_move WHERE stock_lot_id = ?1 ORDER BY id",
                &[id],
                |row| {
                    Ok(MoveItem {
                        quantity: row.get(0)?,
                        reason: row.get(1)?,
                        moved_at: row.get(2)?,
                    })
                },
            )?;
        }
        Ok(lots.into_iter().map(|(_, lot)| lot).collect())
    }

    /// Lists what was set aside when other books were merged, by kind and key.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn set_aside(&self) -> Result<Vec<SetAside>, StoreError> {
        /// One row, before its JSON is read.
        struct Kept {
            reason: AsideReason,
            refusal: Option<String>,
            shop: String,
            merged_at: String,
            body: String,
        }
        let rows: Vec<Kept> = self.list(
            "SELECT reason, refusal, shop, merged_at, body FROM set_aside ORDER BY what, key, content",
            &[],
            |row| {
                Ok(Kept {
                    reason: row.get::<_, Word<_>>("reason")?.0,
                    refusal: row.get("refusal")?,
                    shop: row.get("shop")?,
                    merged_at: row.get("merged_at")?,
                    body: row.get("body")?,
                })
            },
        )?;
        let wrong = |error: serde_json::Error| self.bad_row("item set aside", error.to_string());
        rows.into_iter()
            .map(|row| {
                let refusal = row.refusal.as_deref().map(serde_json::from_str);
                Ok(SetAside {
                    reason: row.reason,
                    refusal: refusal.transpose().map_err(wrong)?,
                    shop: row.shop,
                    merged_at: row.merged_at,
                    item: serde_json::from_str(&row.body).map_err(wrong)?,
                })
            })
            .collect()
    }

    /// Lists which items came from other shops.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn origins(&self) -> Result<Vec<Origin>, StoreError> {
        self.list(
            "SELECT what, key, shop, merged_at FROM origin ORDER BY what, key, shop",
            &[],
            |row| {
                Ok(Origin {
                    what: row.get(0)?,
                    key: row.get(1)?,
                    shop: row.get(2)?,
                    merged_at: row.get(3)?,
                })
            },
        )
    }
}

/// Reads two columns that hold something together or not at all.
fn both<A: FromSql, B: FromSql>(
    row: &Row<'_>,
    a: &str,
    b: &str,
) -> rusqlite::Result<Option<(A, B)>> {
    Ok(row.get::<_, Option<A>>(a)?.zip(row.get::<_, Option<B>>(b)?))
}

fn offer_item(row: &Row<'_>) -> rusqlite::Result<OfferItem> {
    let ring: Option<(i64, i64)> = both(row, "id_nm", "section_nm")?;
    let code: Option<String> = row.get("code")?;
    let lengths: Option<String> = row.get("lengths_nm")?;
    let breaks: Option<String> = row.get("breaks")?;
    let further = breaks.as_deref().unwrap_or_default().split_whitespace();
    let further = further.filter_map(|part| {
        let (from, price) = part.split_once(':')?;
        Some((from.parse().ok()?, price.parse().ok()?))
    });
    Ok(OfferItem {
        line: row.get::<_, i64>("line")?.unsigned_abs(),
        number: row.get("number")?,
        description: row.get("description")?,
        kind: row.get("kind")?,
        rings: ring
            .map(|(id_nm, section_nm)| RingItem {
                code,
                id_nm,
                section_nm,
            })
            .into_iter()
            .collect(),
        lengths_nm: lengths
            .as_deref()
            .unwrap_or_default()
            .split_whitespace()
            .filter_map(|nm| nm.parse().ok())
            .collect(),
        polymer: row.get("polymer")?,
        hardness: both(row, "hardness", "scale")?,
        pack: row.get("pack")?,
        prices: std::iter::once((1, row.get("price")?))
            .chain(further)
            .collect(),
    })
}
