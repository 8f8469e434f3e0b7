//! Models: their units, their parts lists, and what the book says of a part.

pub mod decide;
pub mod find;
pub mod line;
pub mod list;
pub(in crate::app) mod list_maker;
pub(in crate::app) mod maker;
pub mod part_find;
pub mod parts_list;
pub mod show;
pub(in crate::app) mod statements;
pub mod unit_records;
pub mod uses;
