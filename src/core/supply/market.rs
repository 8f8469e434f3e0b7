//! What is needed, who sells it, and what an order costs.

use super::plan::NEVER;
use super::price_list::OfferPrice;

/// Says what an order at a supplier costs beside the goods, in minor units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SupplierTerms {
    /// The supplier.
    pub name: String,
    /// Carriage of an order.
    pub carriage: i64,
    /// The least value of goods that an order is charged with: an order below it costs this much.
    pub minimum: i64,
    /// The value of goods from which on carriage costs nothing.
    pub free_above: Option<i64>,
    /// The other shop whose word this is.
    pub from_shop: Option<String>,
}

impl SupplierTerms {
    /// Returns the carriage of an order with goods of this value.
    pub fn carriage_of(&self, goods: i64) -> i64 {
        match self.free_above {
            Some(sum) if goods >= sum => 0,
            _ => self.carriage,
        }
    }

    /// Returns what goods of this value cost with carriage; no goods cost nothing.
    ///
    /// What is charged up to the minimum is no goods, and brings carriage no nearer to being free.
    pub fn charge(&self, goods: i64) -> i64 {
        if goods == 0 {
            return 0;
        }
        self.carriage_of(goods)
            .saturating_add(goods.max(self.minimum))
    }
}

/// One offer for one line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarketOffer {
    /// The line that it fills.
    pub line: usize,
    /// Who sells it.
    pub supplier: usize,
    /// Pieces in a pack.
    pub pack: u32,
    /// Prices of a pack, the first from one pack on, rising in packs.
    pub prices: Vec<OfferPrice>,
}

impl MarketOffer {
    /// Returns what a number of packs costs: all at the price of the highest step that is reached.
    pub fn cost(&self, packs: u32) -> i64 {
        let step = self.prices.iter().rfind(|price| price.from_packs <= packs);
        let price = step.or(self.prices.first()).map_or(0, |price| price.minor);
        price.saturating_mul(i64::from(packs)).min(NEVER)
    }

    /// Returns the fewest packs that cost so much or more; `None` where no order is so large.
    pub fn packs_worth(&self, value: i64) -> Option<u32> {
        let ends = self.prices.iter().skip(1).map(|price| price.from_packs - 1);
        let ends = ends.chain([MOST_PACKS]);
        let mut first = 1;
        for (price, last) in self.prices.iter().zip(ends) {
            let packs = (value.max(1) - 1) / price.minor.max(1) + 1;
            let packs = u32::try_from(packs).unwrap_or(u32::MAX).max(first);
            if packs <= last {
                return Some(packs);
            }
            first = last.saturating_add(1);
        }
        None
    }
}

/// The most packs of one offer in an order.
const MOST_PACKS: u32 = 1_000_000;

/// A market: suppliers, pieces needed by line, and offers.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Market {
    pub suppliers: Vec<SupplierTerms>,
    /// Pieces needed of each line.
    pub needs: Vec<u32>,
    pub offers: Vec<MarketOffer>,
}

impl Market {
    /// Returns what goods of these values at each supplier cost with carriage; a supplier without goods costs nothing.
    pub fn charged(&self, goods: &[i64]) -> i64 {
        self.suppliers
            .iter()
            .zip(goods)
            .map(|(terms, value)| terms.charge(*value))
            .fold(0, i64::saturating_add)
    }

    /// Returns what it costs to buy each line from the one offer that is cheapest by its list price; `None` where a line has
    /// no offer.
    pub fn line_by_line(&self) -> Option<i64> {
        let mut goods = vec![0; self.suppliers.len()];
        for (line, need) in self.needs.iter().enumerate().filter(|(_, need)| **need > 0) {
            let offers = self.offers.iter().filter(|offer| offer.line == line);
            let (cost, supplier) = offers
                .map(|offer| (offer.cost(need.div_ceil(offer.pack.max(1))), offer.supplier))
                .min()?;
            goods[supplier] = i64::saturating_add(goods[supplier], cost);
        }
        Some(self.charged(&goods))
    }
}

/// Says how many packs of an offer are bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bought {
    /// The offer's place in the market.
    pub offer: usize,
    pub packs: u32,
}
