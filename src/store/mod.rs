//! The book: a SQLite file. No other room speaks SQL.
//!
//! [`Book`] opens or makes the file; [`BookReader`] and [`BookWriter`] are one transaction each, and carry the queries,
//! one file a noun. [`backup`] copies and restores a book, [`check`] says in words whether it is sound.

pub mod backup;
mod book;
pub mod check;
mod error;
mod id;
mod migration;
mod place;
mod setting;

pub use book::{Book, BookReader, BookWriter};
pub use error::StoreError;
pub use id::{EntryId, ModelId, NoteId, UnitId};
pub use migration::NEWEST_VERSION;
pub use place::BookPlace;
