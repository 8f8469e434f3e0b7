//! One file a report: its page and its rows.

mod book;
mod gland_check;
mod gland_cut;
mod gland_fit;
mod gland_used;
mod model;
mod note;
mod note_add;
mod note_list;
mod parts_list;
mod ring;
mod ring_known;
mod ring_session;
mod seal_care;
mod size;
mod stock;

pub use note::note_csv;
pub use ring_session::said_text;
