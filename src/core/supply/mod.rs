//! Buying: what a supplier's price list says, and the cheapest order that fills a need.

mod bare_size;
mod columns;
mod date_damage;
mod described;
mod description;
mod description_words;
mod dimension_run;
mod market;
mod material_words;
mod mixed_number;
mod number_key;
mod offer_row;
mod plain_size;
mod plan;
mod price_text;
mod typing;

pub use columns::{Column, ColumnMap, ColumnMapError};
pub use date_damage::date_like;
pub use described::{Described, NamedRing};
pub use description::DescriptionReader;
pub use market::{Bought, Market, MarketOffer, SupplierTerms};
pub use number_key::number_key;
pub use offer_row::{
    MOST_LETTERS, OfferPrice, OfferRow, PriceTerms, Reject, RowReader, TableRow, is_pack,
};
pub use plan::{MOST_SUPPLIERS, NEVER, OrderPlan, plan_order};
pub use price_text::{PriceError, is_price, parse_price};
pub use typing::TypingErrors;
