//! The use cases: each file does one piece of work for the user and returns a plain report.

pub mod book_backup;
pub mod book_check;
pub mod book_path;
pub mod book_restore;
pub mod demo;
pub mod find_model;
pub mod gland_check;
pub mod gland_cut;
pub mod gland_fit;
pub mod gland_question;
pub mod gland_used;
pub mod identify;
pub mod model_list;
pub mod model_show;
pub mod note_add;
pub mod note_check;
pub mod note_list;
pub mod note_show;
pub mod parts_list;
pub mod ring_batch;
pub mod ring_naming;
pub mod seal_care;
pub mod size;
mod unit_records;
