//! What a row asks for what: how many pieces a pack has, what the price is for, and from how many on it holds.

use super::cells::Cells;
use super::column::{Column, Priced};
use super::fault::{Reject, RowFault};
use super::head::{priced_in_cell, quantity_from};
use super::price_text::{ExactPrice, PriceError, is_price};
use super::row_reader::{OfferPrice, RowRead, RowReader, is_pack};
use super::row_word::{is_on_request, sales_unit};
use crate::core::supply::described::Described;

/// What of an offer is needed for a row that goes on with it.
#[derive(Debug)]
pub(super) struct Before {
    pub(super) number: String,
    pub(super) pack: u32,
    pub(super) sold: Sold,
}

/// How a row is counted and priced.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sold {
    pub(super) priced: Priced,
    pub(super) pack: u32,
}

impl RowReader {
    /// Reads how many pieces a pack has and what the price is for.
    pub(super) fn sold(&mut self, cells: Cells<'_>, described: &Described) -> Result<Sold, Reject> {
        let head = self
            .prices
            .first()
            .map_or(Priced::Pack, |(price, _)| price.priced);
        let unclear = RowFault::PackUnclear;
        let by_unit = cells.read(Column::Unit, |text| self.unit(text), unclear)?;
        let price_unit = cells.read(Column::PriceUnit, |text| self.count(text), unclear)?;
        let priced = match (price_unit, by_unit) {
            (Some(count), _) | (None, Some((Priced::Pieces(count), _))) => Priced::Pieces(count),
            (None, _) => head,
        };
        let by_column = cells.read(Column::Pack, |text| self.count(text), unclear)?;
        let by_column = by_column.or(by_unit.and_then(|(_, count)| count));
        if let (Some(column), Some(text)) = (by_column, described.pack)
            && column != text
        {
            return Err(cells.refuse(
                Column::Pack,
                RowFault::TwoPacks {
                    column,
                    description: text,
                },
            ));
        }
        let pack = by_column.or(described.pack);
        let each = matches!(by_unit, Some((Priced::Pieces(1), _)));
        let of_packs = matches!(by_unit, Some((Priced::Pack, None)));
        if (pack.is_none() && of_packs)
            || (each
                && cells.get(Column::Pack).is_none()
                && described.pack.is_some_and(|pack| pack > 1))
        {
            let text = cells.get(Column::Unit).unwrap_or("").to_owned();
            return Err(cells.refuse(Column::Unit, RowFault::PackUnclear(text)));
        }
        let smallest = cells
            .get(Column::Smallest)
            .and_then(|text| self.count(text));
        let pack = pack.or(smallest).unwrap_or(match priced {
            Priced::Pieces(count) if price_unit.is_none() => count,
            _ => 1,
        });
        Ok(Sold { priced, pack })
    }

    /// Reads a number of pieces: "10", "10 pcs", "pack of 10", "10er Pack".
    fn count(&mut self, text: &str) -> Option<u32> {
        let bare = text.strip_suffix(".0").unwrap_or(text);
        let plain = bare.parse().ok();
        plain
            .or_else(|| self.descriptions.read(text).pack)
            .filter(|count| is_pack(*count))
    }

    /// Reads in what a row is counted: what its price is for, and how many pieces are sold at once where that is said.
    fn unit(&mut self, text: &str) -> Option<(Priced, Option<u32>)> {
        match sales_unit(text) {
            Some((Priced::Pieces(count), _)) => {
                Some((Priced::Pieces(count), (count > 1).then_some(count)))
            }
            Some((Priced::Pack, count)) => Some((Priced::Pack, count)),
            None => self.count(text).map(|count| (Priced::Pack, Some(count))),
        }
    }

    pub(super) fn quantity_of(&mut self, cells: Cells<'_>) -> Result<u32, Reject> {
        let read = |text: &str| quantity_from(text).or_else(|| self.count(text));
        let said = cells.read(Column::FromQuantity, read, RowFault::Quantity)?;
        Ok(said.unwrap_or(1))
    }

    /// Reads the prices of a pack; where the fewest that are sold are several packs, these become the pack.
    pub(super) fn prices(
        &self,
        cells: Cells<'_>,
        sold: &Sold,
        from_row: u32,
    ) -> Result<(u32, Vec<OfferPrice>), Reject> {
        let off = cells.read(Column::Discount, percent, RowFault::Discount)?;
        let off = off.unwrap_or(0.0);
        let mut prices: Vec<OfferPrice> = Vec::new();
        let mut fault = None;
        for (column, place) in &self.prices {
            let text = cells.at(*place);
            let refuse = |fault| Reject {
                line: cells.row.line,
                column: Some(*place),
                fault,
            };
            if text.is_empty() {
                fault = fault.or_else(|| Some(refuse(RowFault::Price(PriceError::Empty))));
                continue;
            }
            let (amount, own) = priced_in_cell(text);
            let exact = ExactPrice::parse(amount, self.terms.currency).map_err(|error| {
                refuse(match error {
                    _ if is_on_request(text) => RowFault::OnRequest(text.to_owned()),
                    error => RowFault::Price(error),
                })
            })?;
            let priced = own.unwrap_or(sold.priced);
            let (minor, from_packs) = match priced {
                Priced::Pack => (exact.of(1, 1, off), column.from),
                Priced::Pieces(count) => (
                    exact.of(sold.pack, count, off),
                    column.from.div_ceil(sold.pack.max(1)),
                ),
            };
            let minor = minor.map_err(|error| refuse(RowFault::Price(error)))?;
            prices.push(OfferPrice { from_packs, minor });
        }
        let fewest = prices.first().map_or(1, |price| price.from_packs);
        if prices.is_empty() {
            return Err(
                fault.unwrap_or_else(|| cells.refuse_row(RowFault::Price(PriceError::Empty)))
            );
        }
        let fewest = fewest.max(match sold.priced {
            Priced::Pack => from_row,
            Priced::Pieces(_) => from_row.div_ceil(sold.pack.max(1)),
        });
        for price in &mut prices {
            price.minor = price.minor.saturating_mul(i64::from(fewest));
            price.from_packs = price.from_packs.div_ceil(fewest);
        }
        // Of two prices from the same number of packs on, the one from more pieces on holds there too.
        prices.dedup_by(|later, before| {
            let same = later.from_packs == before.from_packs;
            if same {
                before.minor = later.minor;
            }
            same
        });
        let pack = sold.pack.saturating_mul(fewest);
        if !is_pack(pack) {
            return Err(cells.refuse_row(RowFault::Quantity(pack.to_string())));
        }
        match prices.iter().find(|price| !is_price(price.minor)) {
            Some(price) => Err(cells.refuse_row(RowFault::Price(PriceError::OutOfRange(
                price.minor.to_string(),
            )))),
            None => Ok((pack, prices)),
        }
    }

    /// Tells whether a row without a name gives a price of the offer before it from more pieces on.
    pub(super) fn continues(&self, cells: Cells<'_>) -> bool {
        let said = cells.get(Column::FromQuantity).and_then(quantity_from);
        self.before.is_some() && said.is_some_and(|from| from > 1)
    }

    /// Reads a row that gives a price of the offer before it from more pieces on.
    pub(super) fn more_of_before(&mut self, cells: Cells<'_>) -> Result<RowRead, Reject> {
        let from = self.quantity_of(cells)?;
        let Some(before) = &self.before else {
            return Err(cells.refuse_row(RowFault::Nameless));
        };
        let (_, prices) = self.prices(cells, &before.sold, 1)?;
        let packs = before.pack / before.sold.pack.max(1);
        let from_packs = match before.sold.priced {
            Priced::Pack => from.div_ceil(packs.max(1)),
            Priced::Pieces(_) => from.div_ceil(before.pack.max(1)),
        };
        let minor = prices.first().map_or(0, |price| price.minor);
        let minor = minor.saturating_mul(i64::from(packs.max(1)));
        if !is_price(minor) {
            return Err(
                cells.refuse_row(RowFault::Price(PriceError::OutOfRange(minor.to_string())))
            );
        }
        Ok(RowRead::GoesOn(OfferPrice {
            from_packs: from_packs.max(1),
            minor,
        }))
    }
}

/// Reads a discount as a share of one: "20", "20 %", "-20%", and 0.2 where a workbook keeps percent so.
fn percent(text: &str) -> Option<f64> {
    let bare = text.replace(',', ".");
    let bare = bare
        .trim()
        .trim_start_matches('-')
        .trim_end_matches('%')
        .trim();
    let value: f64 = bare.parse().ok()?;
    let share = if value < 1.0 && !text.contains('%') {
        value
    } else {
        value / 100.0
    };
    (0.0..1.0).contains(&share).then_some(share)
}
