//! One row of a price list made into an offer, or the reason why it is none.

use super::columns::{Column, ColumnMap};
use super::date_damage::date_like;
use super::described::{Described, NamedRing};
use super::description::DescriptionReader;
use super::price_text::parse_price;
use crate::core::elastomer::Polymer;
use crate::core::note::PartKind;
use crate::core::quantity::{Currency, Hardness, Length};
use crate::core::sizes::read_designation;

/// Holds one row of a table as it was read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TableRow {
    /// Its line, from 1.
    pub line: u64,
    /// Its cells.
    pub cells: Vec<String>,
}

/// Says what the prices of a list are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PriceTerms {
    /// The currency.
    pub currency: Currency,
}

/// Holds the price of a pack from a number of packs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OfferPrice {
    /// From how many packs on.
    pub from_packs: u32,
    /// The price of one pack in minor units.
    pub minor: i64,
}

/// Holds one offer as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct OfferRow {
    /// Its line in the list.
    pub line: u64,
    /// The supplier's number; empty where the list has none.
    pub number: String,
    /// The description as written.
    pub description: String,
    /// What the description says.
    pub described: Described,
    /// Pieces in a pack.
    pub pack: u32,
    /// Prices of a pack, the first from one pack on, rising.
    pub prices: Vec<OfferPrice>,
    /// Whether the number was a spreadsheet's date, restored because the description names the same ring.
    pub restored: bool,
}

/// Says why a row is no offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reject {
    /// The line, from 1.
    pub line: u64,
    /// The column, from 1; `None` where the row as a whole is meant.
    pub column: Option<usize>,
    /// Why.
    pub reason: String,
}

/// Reads the rows of one list.
#[derive(Debug)]
pub struct RowReader {
    map: ColumnMap,
    terms: PriceTerms,
    descriptions: DescriptionReader,
}

/// The longest number and description that are kept, in bytes; longer ones are no part of a price list.
pub const MOST_LETTERS: usize = 2000;

impl RowReader {
    /// Makes a reader for a list with this mapping.
    pub fn new(map: ColumnMap, terms: PriceTerms) -> Self {
        Self {
            map,
            terms,
            descriptions: DescriptionReader::default(),
        }
    }

    /// Reads one row.
    ///
    /// # Errors
    /// Says which column keeps the row from being an offer, and why.
    pub fn read(&mut self, row: &TableRow) -> Result<OfferRow, Reject> {
        let cell = |column: Column| {
            let place = self.map.place(column)?;
            row.cells.get(place - 1).map(|cell| cell.trim())
        };
        let reject = |column: Column, reason: String| Reject {
            line: row.line,
            column: self.map.place(column),
            reason,
        };
        let number = cell(Column::Number).unwrap_or("");
        let description = cell(Column::Description).unwrap_or("");
        if number.is_empty() && description.is_empty() {
            let reason = if row.cells.iter().all(|cell| cell.trim().is_empty()) {
                "the row is empty"
            } else {
                "neither number nor description"
            };
            return Err(Reject {
                line: row.line,
                column: None,
                reason: reason.to_owned(),
            });
        }
        for (column, text) in [(Column::Number, number), (Column::Description, description)] {
            if text.len() > MOST_LETTERS {
                return Err(reject(
                    column,
                    format!("longer than {MOST_LETTERS} letters: is a quotation mark left open?"),
                ));
            }
        }
        if let Some(word) = cell(Column::Currency).filter(|word| !word.is_empty())
            && Currency::from_word(word) != Some(self.terms.currency)
        {
            let list = self.terms.currency.letters();
            return Err(reject(
                Column::Currency,
                format!(
                    "{word:?} is not the currency of the list ({list}): import it as a list of its own"
                ),
            ));
        }
        let mut described = self.descriptions.read(description);
        Self::read_columns(&cell, &mut described);
        let pack = match cell(Column::Pack).filter(|text| !text.is_empty()) {
            None => described.pack.unwrap_or(1),
            Some(text) => whole_count(text)
                .ok_or_else(|| reject(Column::Pack, format!("{text:?} is no number of pieces")))?,
        };
        let prices = self
            .prices(&cell, pack)
            .map_err(|(column, reason)| reject(column, reason))?;
        let (number, restored) =
            undamaged(number, &described).map_err(|reason| reject(Column::Number, reason))?;
        Ok(OfferRow {
            line: row.line,
            number,
            description: description.to_owned(),
            described,
            pack,
            prices,
            restored,
        })
    }

    /// Columns of their own speak before the description.
    fn read_columns<'c>(cell: &impl Fn(Column) -> Option<&'c str>, described: &mut Described) {
        let mm = |column| -> Option<Length> {
            let text = cell(column)?.replace(',', ".");
            Length::from_mm(text.trim_end_matches("mm").trim().parse().ok()?)
        };
        if let (Some(id), Some(section)) = (mm(Column::Id), mm(Column::Section)) {
            let text = format!("{} x {} mm", id.mm(), section.mm());
            let rings = read_designation(&text, None).unwrap_or_default();
            if !rings.is_empty() && described.kind.is_none_or(|k| k == PartKind::Ring) {
                described.rings = rings.iter().map(|r| NamedRing::of(&r.size)).collect();
                described.kind = Some(PartKind::Ring);
            }
        }
        if let Some(polymer) = cell(Column::Material).and_then(Polymer::from_word) {
            described.polymer = Some(polymer);
        }
        if let Some(value) = cell(Column::Hardness).and_then(|text| text.parse().ok()) {
            described.hardness = Hardness::shore_a(value).or(described.hardness);
        }
    }

    fn prices<'c>(
        &self,
        cell: &impl Fn(Column) -> Option<&'c str>,
        pack: u32,
    ) -> Result<Vec<OfferPrice>, (Column, String)> {
        let currency = self.terms.currency;
        let (column, pieces) = match self.map.place(Column::Price) {
            Some(_) => (Column::Price, 1),
            None => (Column::Each, pack),
        };
        let text = cell(column).unwrap_or("");
        let minor = parse_price(text, currency, pieces).map_err(|e| (column, e.to_string()))?;
        let mut prices = vec![OfferPrice {
            from_packs: 1,
            minor,
        }];
        for (from_packs, _) in self.map.breaks() {
            let column = Column::PriceFrom(from_packs);
            let text = cell(column).unwrap_or("");
            if !text.is_empty() {
                let minor =
                    parse_price(text, currency, pieces).map_err(|e| (column, e.to_string()))?;
                prices.push(OfferPrice { from_packs, minor });
            }
        }
        Ok(prices)
    }
}

fn whole_count(text: &str) -> Option<u32> {
    let text = text.strip_suffix(".0").unwrap_or(text);
    let digits: String = text.chars().filter(char::is_ascii_digit).collect();
    let words = text.trim_matches(|c: char| c.is_ascii_digit() || c == ' ');
    let plain = words.is_empty()
        || matches!(
            words.to_lowercase().trim_matches(['.', '/', ' ']),
            "pcs" | "pc" | "pk" | "pack" | "stk"
        );
    plain
        .then(|| digits.parse().ok())
        .flatten()
        .filter(|n| is_pack(*n))
}

/// Tells whether so many pieces are a pack that is sold, or so many packs an order.
pub fn is_pack(count: u32) -> bool {
    (1..=1_000_000).contains(&count)
}

/// Restores a number that became a date, where the description names one ring and one former number names the same.
fn undamaged(number: &str, described: &Described) -> Result<(String, bool), String> {
    let former = date_like(number);
    if former.is_empty() {
        return Ok((number.to_owned(), false));
    }
    if let [ring] = described.rings.as_slice() {
        let same = |text: &&String| {
            let read = read_designation(text, None).unwrap_or_default();
            matches!(read.as_slice(), [one] if NamedRing::of(&one.size) == *ring)
        };
        if let Some(found) = former.iter().find(same) {
            return Ok((found.clone(), true));
        }
    }
    Err(format!(
        "{number:?} is a date that a spreadsheet made of a part number, perhaps of {}: format the column as text and enter the number again",
        former.join(" or ")
    ))
}
