//! Searching offers by number, words and dimensions.
//!
//! Numbers by B-tree, words by SQLite's index of three letters (detail none), dimensions by cells of a tenth of a
//! millimetre of section, typing errors by a scan of numbers packed by length, which beats letter groups because two
//! errors in nine letters may leave no group whole.

use super::book::BookReader;
use super::error::StoreError;
use crate::core::elastomer::Polymer;
use crate::core::identification::SoldSize;
use crate::core::quantity::{Currency, Length, Money, as_optional_mm};
use crate::core::sizes::NominalSize;
use crate::core::supply::{OfferPrice, TypingErrors, number_key};
use rusqlite::{Row, ToSql};
use serde::Serialize;
use std::sync::Arc;

/// One offer as it is kept.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StoredOffer {
    /// Its row.
    #[serde(skip)]
    pub id: i64,
    /// Its line in the list.
    pub line: i64,
    pub supplier: String,
    /// The supplier's number.
    pub number: String,
    /// The description as written.
    pub description: String,
    /// The kind of part, where the description names one.
    pub kind: Option<String>,
    /// How many sizes the description can mean.
    pub meanings: u32,
    /// First code of the ring.
    pub code: Option<String>,
    /// Inside diameter.
    #[serde(rename = "id_mm", serialize_with = "as_optional_mm")]
    pub ring_id: Option<Length>,
    /// Cross-section.
    #[serde(rename = "cs_mm", serialize_with = "as_optional_mm")]
    pub section: Option<Length>,
    /// Lengths of a part that is no ring.
    #[serde(skip)]
    pub lengths: Vec<Length>,
    pub polymer: Option<Polymer>,
    /// Hardness on its scale.
    pub hardness: Option<f64>,
    pub scale: Option<String>,
    /// Pieces in a pack.
    pub pack: u32,
    /// Price of a pack.
    pub price: Money,
    /// All prices of a pack, the first from one pack on.
    pub prices: Vec<OfferPrice>,
    /// Whether tax is in the price: included or excluded.
    pub tax: String,
    /// The day from which the price holds.
    pub price_date: String,
    /// The other shop whose book brought the list.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_shop: Option<String>,
}

const COLUMNS: &str = "SELECT o.id, s.name, o.number, o.description, o.kind, o.meanings, o.code, o.id_nm, o.section_nm,
    o.lengths_nm, o.polymer, o.hardness, o.scale, o.pack, o.price, o.breaks, l.currency, l.tax, l.price_date, l.shop, o.line
    FROM offer o JOIN price_list l ON l.id = o.price_list_id JOIN supplier s ON s.id = l.supplier_id";

/// A window on both dimensions of a ring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RingWindow {
    /// Least and greatest inside diameter.
    pub id: (Length, Length),
    /// Least and greatest cross-section.
    pub section: (Length, Length),
}

impl RingWindow {
    /// Tells whether a ring lies in the window.
    pub fn holds(&self, ring: NominalSize) -> bool {
        (self.id.0..=self.id.1).contains(&ring.id)
            && (self.section.0..=self.section.1).contains(&ring.section)
    }
}

/// One cell of the index over both dimensions.
const CELL_NM: i64 = 100_000;

impl BookReader<'_> {
    /// Lists the offers of which a condition holds.
    fn offers(
        &self,
        condition: &str,
        values: &[&dyn ToSql],
    ) -> Result<Vec<StoredOffer>, StoreError> {
        self.list(&format!("{COLUMNS} WHERE {condition}"), values, offer)
    }

    /// Lists offers with exactly this number, whatever its signs and case.
    pub fn offers_with_number(
        &self,
        number: &str,
        most: u32,
    ) -> Result<Vec<StoredOffer>, StoreError> {
        self.offers(
            "o.key = ?1 AND o.key <> '' LIMIT ?2",
            &[&number_key(number), &most],
        )
    }

    /// Lists offers whose number begins so.
    pub fn offers_beginning(
        &self,
        number: &str,
        most: u32,
    ) -> Result<Vec<StoredOffer>, StoreError> {
        let key = number_key(number);
        let end = format!("{key}\u{10ffff}");
        self.offers(
            "o.key >= ?1 AND o.key < ?2 AND o.key <> '' ORDER BY o.key LIMIT ?3",
            &[&key, &end, &most],
        )
    }

    /// Lists offers that hold every word, in their number or description; words of fewer than three letters are checked only
    /// beside a longer one.
    pub fn offers_holding(
        &self,
        words: &[&str],
        most: u32,
    ) -> Result<Vec<StoredOffer>, StoreError> {
        let groups = letter_groups(words);
        if groups.is_empty() {
            return Ok(Vec::new());
        }
        let holds: Vec<String> = (3..words.len() + 3)
            .map(|place| {
                format!(" AND (o.number LIKE ?{place} ESCAPE '\\' OR o.description LIKE ?{place} ESCAPE '\\')")
            })
            .collect();
        let holds = holds.concat();
        let likes: Vec<String> = words.iter().map(|word| like(word)).collect();
        let query = groups.join(" AND ");
        let mut values: Vec<&dyn ToSql> = vec![&query, &most];
        values.extend(likes.iter().map(|l| l as &dyn ToSql));
        self.offers(
            &format!(
                "o.id IN (SELECT rowid FROM offer_text WHERE offer_text MATCH ?1){holds} LIMIT ?2"
            ),
            &values,
        )
    }

    /// Lists offers whose number differs from this one by at most two typing errors, nearest first.
    pub fn offers_mistyped(
        &self,
        number: &str,
        most: usize,
    ) -> Result<Vec<(usize, StoredOffer)>, StoreError> {
        let key = number_key(number);
        let typing = TypingErrors::new(&key);
        let signed = |length: &usize| i64::try_from(*length).unwrap_or(i64::MAX);
        let lengths = typing.lengths();
        let (shortest, longest) = (signed(lengths.start()), signed(lengths.end()));
        let mut near: Vec<(usize, i64, usize)> = Vec::new();
        let mut scan = || -> rusqlite::Result<()> {
            let mut blocks = self.sql.prepare_cached(
                "SELECT rowid, length, keys FROM offer_scan WHERE length BETWEEN ?1 AND ?2",
            )?;
            let mut rows = blocks.query([shortest, longest])?;
            while let Some(row) = rows.next()? {
                let (block, length): (i64, u32) = (row.get(0)?, row.get(1)?);
                let keys = row.get_ref(2)?.as_blob()?;
                typing.scan(keys, length as usize, &mut |place, errors| {
                    near.push((errors, block, place));
                });
            }
            Ok(())
        };
        scan().map_err(|error| self.fault(error))?;
        near.sort_unstable();
        near.truncate(most);
        let mut found = Vec::new();
        for (errors, block, place) in near {
            let at = i64::try_from(place * size_of::<i64>() + 1).unwrap_or(1);
            let id: Option<Vec<u8>> = self.first(
                "SELECT substr(offer_ids, ?2, 8) FROM offer_scan WHERE rowid = ?1",
                &[&block, &at],
                |row| row.get(0),
            )?;
            let id = id
                .and_then(|bytes| bytes.try_into().ok())
                .map_or(0, i64::from_le_bytes);
            let one = self.offers("o.id = ?1", &[&id])?;
            found.extend(one.into_iter().map(|one| (errors, one)));
        }
        Ok(found)
    }

    /// Lists rings whose dimensions lie in a window.
    pub fn offers_in_window(
        &self,
        window: RingWindow,
        most: u32,
    ) -> Result<Vec<StoredOffer>, StoreError> {
        let (low, high) = (window.section.0.nm(), window.section.1.nm());
        let mut found = Vec::new();
        for cell in low.div_euclid(CELL_NM)..=high.div_euclid(CELL_NM) {
            let left = most.saturating_sub(u32::try_from(found.len()).unwrap_or(most));
            found.extend(self.offers(
                "o.section_nm / 100000 = ?1 AND o.id_nm BETWEEN ?2 AND ?3 AND o.id_nm IS NOT NULL
                 AND o.section_nm BETWEEN ?4 AND ?5 LIMIT ?6",
                &[
                    &cell,
                    &window.id.0.nm(),
                    &window.id.1.nm(),
                    &low,
                    &high,
                    &left,
                ],
            )?);
        }
        Ok(found)
    }

    /// Lists the offers of a supplier's list in force, in its order.
    pub fn offers_of_supplier(&self, supplier: &str) -> Result<Vec<StoredOffer>, StoreError> {
        self.offers(
            "s.name = ?1 AND l.replaced_at IS NULL ORDER BY o.id",
            &[&supplier],
        )
    }

    /// Lists the offers of a kind of part.
    pub fn offers_of_kind(&self, kind: &str, most: u32) -> Result<Vec<StoredOffer>, StoreError> {
        self.offers("o.kind = ?1 LIMIT ?2", &[&kind, &most])
    }
}

/// The groups of three letters of the words, as the index of words wants them.
fn letter_groups(words: &[&str]) -> Vec<String> {
    let mut groups: Vec<String> = Vec::new();
    for word in words {
        let letters: Vec<char> = word.chars().collect();
        for three in letters.windows(3) {
            let group: String = three.iter().collect();
            let quoted = format!("\"{}\"", group.replace('"', "\"\""));
            if !groups.contains(&quoted) {
                groups.push(quoted);
            }
        }
    }
    groups
}

fn like(word: &str) -> String {
    let escaped = word
        .replace('\\', "\\\\")
        .replace('%', "\\%")
        .replace('_', "\\_");
    format!("%{escaped}%")
}

fn offer(row: &Row<'_>) -> rusqlite::Result<StoredOffer> {
    let currency: String = row.get("currency")?;
    let currency = Currency::from_word(&currency).unwrap_or(Currency::Eur);
    let minor: i64 = row.get("price")?;
    let breaks: Option<String> = row.get("breaks")?;
    let mut prices = vec![OfferPrice {
        from_packs: 1,
        minor,
    }];
    prices.extend(
        breaks
            .iter()
            .flat_map(|text| text.split(' '))
            .filter_map(|step| {
                let (from, minor) = step.split_once(':')?;
                Some(OfferPrice {
                    from_packs: from.parse().ok()?,
                    minor: minor.parse().ok()?,
                })
            }),
    );
    let lengths: Option<String> = row.get("lengths_nm")?;
    let nm = |value: Option<i64>| value.map(Length::from_nm);
    let polymer: Option<String> = row.get("polymer")?;
    Ok(StoredOffer {
        id: row.get("id")?,
        line: row.get("line")?,
        supplier: row.get("name")?,
        number: row.get("number")?,
        description: row.get("description")?,
        kind: row.get("kind")?,
        meanings: row.get("meanings")?,
        code: row.get("code")?,
        ring_id: nm(row.get("id_nm")?),
        section: nm(row.get("section_nm")?),
        lengths: lengths
            .iter()
            .flat_map(|text| text.split(' '))
            .filter_map(|nm| nm.parse().ok().map(Length::from_nm))
            .collect(),
        polymer: polymer.as_deref().and_then(Polymer::from_word),
        hardness: row.get("hardness")?,
        scale: row.get("scale")?,
        pack: row.get("pack")?,
        price: Money { minor, currency },
        prices,
        tax: row.get("tax")?,
        price_date: row.get("price_date")?,
        from_shop: row.get("shop")?,
    })
}

impl BookReader<'_> {
    /// Lists the ring sizes that our suppliers sell and no list of sizes has; lists that came with another shop's book are not heard.
    pub fn sold_sizes(&self) -> Result<Arc<[SoldSize]>, StoreError> {
        let sizes = self.list(
            "SELECT o.id_nm, o.section_nm, s.name
             FROM offer o JOIN price_list l ON l.id = o.price_list_id JOIN supplier s ON s.id = l.supplier_id
             WHERE o.code IS NULL AND o.id_nm IS NOT NULL AND (o.kind IS NULL OR o.kind = 'o-ring')
               AND l.replaced_at IS NULL AND l.shop IS NULL
             GROUP BY 1, 2, 3",
            &[],
            |row| {
                Ok(SoldSize {
                    nominal: NominalSize { id: Length::from_nm(row.get(0)?), section: Length::from_nm(row.get(1)?) },
                    suppliers: vec![row.get(2)?],
                })
            },
        )?;
        Ok(sizes.into())
    }
}
