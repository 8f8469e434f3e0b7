//! Supply: price lists, offers, and the cheapest order.

pub mod costs;
pub mod find;
pub mod merges;
pub mod needs;
pub mod order;
pub mod price_list;
pub mod supplier;
mod terms;
pub mod tie;
