//! One file a report: its page and its rows.

mod book;
mod decide;
mod gland;
pub(in crate::render) mod gland_check;
mod groove_picture;
pub(super) mod job;
mod label;
mod limit_bar;
mod model;
mod note;
mod offer;
pub(in crate::render) mod order;
mod part_why;
pub(super) mod parts_list;
mod parts_short;
mod price_list;
pub(super) mod ring;
mod ring_known;
mod ring_session;
mod scan;
mod scanner;
mod seal;
mod setting;
mod size;
mod stage;
mod stock;
mod thread;
mod uses;
mod warning;

pub use groove_picture::groove_picture;
pub use note::note_csv;
pub use offer::FoundRows;
pub use ring_session::said_text;

/// Writes a material as it is spoken of, "NBR 70 Shore A"; what is not known is left out.
fn material(
    polymer: Option<impl std::fmt::Display>,
    hardness: Option<impl std::fmt::Display>,
) -> String {
    let polymer = polymer.map(|p| p.to_string());
    let words = polymer.into_iter().chain(hardness.map(|h| h.to_string()));
    words.collect::<Vec<_>>().join(" ")
}
