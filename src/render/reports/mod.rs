//! One file a report: its page and its rows.

mod book;
mod exchange;
mod gland_check;
mod gland_cut;
mod gland_fit;
mod gland_used;
pub(super) mod job;
mod label;
mod model;
mod note;
mod note_add;
mod note_list;
mod offer;
mod order;
pub(super) mod parts_list;
pub(super) mod ring;
mod ring_known;
mod ring_session;
mod seal_care;
mod seal_material;
mod setting;
mod size;
mod spring;
mod stock;
mod uses;

pub use note::note_csv;
pub use offer::FoundRows;
pub use ring_session::said_text;
