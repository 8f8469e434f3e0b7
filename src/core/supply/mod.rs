//! Buying: what a supplier's price list says, and the cheapest order that fills a need.

mod described;
mod description;
mod market;
mod plan;
mod price_list;
mod typing;

pub use described::number_key;
pub use described::size_note;
pub use described::{Described, NamedRing, SizeFlag};
pub use description::DescriptionReader;
pub use market::{Bought, Market, MarketOffer, SupplierTerms};
pub use plan::{MOST_SUPPLIERS, NEVER, OrderPlan, plan_order};
pub use price_list::{
    Column, ColumnMap, ColumnMapError, Layout, LayoutError, LeftOut, LeftOutWhy, ListTerms,
    MOST_LETTERS, OfferPrice, OfferRow, PassedOver, PriceColumn, PriceError, Priced, Reject,
    RowFault, RowRead, RowReader, TableRow, date_like, is_pack, is_price, parse_price, tax_word,
};
pub use typing::TypingErrors;
