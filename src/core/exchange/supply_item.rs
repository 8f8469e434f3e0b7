//! Suppliers, price lists and lots on a shelf, as they travel.

use serde::{Deserialize, Serialize};

/// A supplier on its way to another book.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SupplierItem {
    pub name: String,
    /// Which column of its lists holds what.
    pub mapping: Option<String>,
    pub terms_currency: Option<String>,
    /// Carriage in minor units.
    pub carriage: Option<i64>,
    /// Least value of goods in minor units.
    pub minimum: Option<i64>,
    /// The value of goods from which on carriage costs nothing, in minor units; older books do not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub free_above: Option<i64>,
}

/// A price list in force.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PriceListItem {
    pub supplier: String,
    /// The file it came from.
    pub file: String,
    /// When it was read.
    pub imported_at: String,
    /// The day from which its prices hold.
    pub price_date: String,
    pub currency: String,
    /// "included" or "excluded".
    pub tax: String,
    /// Rows that were rejected.
    pub rejected: u64,
    pub offers: Vec<OfferItem>,
}

impl PriceListItem {
    /// Returns the list without what somebody read in its descriptions.
    #[must_use]
    pub fn as_handed_in(&self) -> Self {
        let mut list = self.clone();
        for offer in &mut list.offers {
            (offer.kind, offer.polymer, offer.hardness) = (None, None, None);
            offer.rings.clear();
            offer.lengths_nm.clear();
        }
        list
    }
}

/// An offer on its way to another book.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OfferItem {
    pub line: u64,
    /// The supplier's number.
    pub number: String,
    /// The description as written.
    pub description: String,
    /// The kind of part.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<String>,
    /// The rings that it can mean.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rings: Vec<RingItem>,
    /// Lengths of a part that is no ring, in nanometres.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lengths_nm: Vec<i64>,
    /// The polymer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub polymer: Option<String>,
    /// The hardness with its scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hardness: Option<(f64, String)>,
    /// Pieces in a pack.
    pub pack: u32,
    /// Prices of a pack in minor units, each from a number of packs on.
    pub prices: Vec<(u32, i64)>,
}

/// A ring that an offer can mean.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RingItem {
    /// Its first code.
    pub code: Option<String>,
    /// Inside diameter in nanometres.
    pub id_nm: i64,
    /// Section in nanometres.
    pub section_nm: i64,
}

/// The prices of a list that was replaced.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FormerListItem {
    pub supplier: String,
    /// The file it came from.
    pub file: String,
    /// When it was read.
    pub imported_at: String,
    /// The day from which its prices held.
    pub price_date: String,
    pub currency: String,
    /// "included" or "excluded".
    pub tax: String,
    /// Rows read, accepted, rejected.
    pub rows: (i64, i64, i64),
    /// When it was replaced.
    pub replaced_at: String,
    pub prices: Vec<FormerPriceItem>,
}

/// A former price.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FormerPriceItem {
    pub line: i64,
    /// The number without spaces and signs.
    pub key: String,
    pub description: String,
    /// Pieces in a pack.
    pub pack: i64,
    /// Price of a pack in minor units.
    pub price: i64,
    /// Further prices as "from packs:price".
    pub breaks: Option<String>,
}

/// A lot on a shelf.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LotItem {
    pub bin: String,
    pub part: String,
    /// Of a ring: inside diameter and section in nanometres.
    pub ring_nm: Option<(i64, i64)>,
    pub polymer: Option<String>,
    /// The hardness with its scale.
    pub hardness: Option<(f64, String)>,
    /// The lot number.
    pub lot: Option<String>,
    /// Year and quarter of cure.
    pub cured: Option<(u16, u8)>,
    /// Who sold it.
    pub supplier: Option<String>,
    /// When it was put there.
    pub added_at: String,
    /// What came and went.
    pub moves: Vec<MoveItem>,
}

/// One movement of a lot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MoveItem {
    /// What came (positive) or went.
    pub quantity: i64,
    /// Why.
    pub reason: String,
    /// When.
    pub moved_at: String,
}
