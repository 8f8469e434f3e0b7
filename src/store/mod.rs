//! The book: a SQLite file. No other room speaks SQL.
//!
//! [`Book`] opens or makes the file; [`BookReader`] and [`BookWriter`] are one transaction each, and carry the queries,
//! one file a noun. [`backup`] copies and restores a book, [`check`] says in words whether it is sound.
//!
//! An error leaves the book as it was, with one exception that says so: where only the sync of the folder after a
//! commit fails, the work is done. The search of offers is made of the offers, so that [`check`] tells it apart from
//! rows and copies do not depend on it.

pub mod backup;
mod book;
pub mod check;
mod error;
mod exchange;
mod id;
mod job;
mod job_check;
mod job_head;
mod kept_list;
mod known_ring;
mod migration;
mod model;
mod note;
mod offer;
mod offer_find;
mod offer_tie;
mod place;
mod record;
mod register;
mod search_check;
mod statement;
mod stock;
mod supplier;
mod wait;

pub use book::{Book, BookReader, BookWriter};
pub use error::{NotFound, StoreError};
pub use id::{ModelId, NoteId, PriceListId, StockLotId, SupplierId, UnitId};
pub use job::NewJob;
pub use kept_list::{KeptLists, ListDigest};
pub use migration::NEWEST_VERSION;
pub use model::StoredModel;
pub use model::StoredUnit;
pub use note::{Acceptance, NewNote, NoteForm, RingPicture, StoredNote};
pub use offer::{FormerPrice, NewPriceList, OfferWriter};
pub use offer_find::{RingWindow, StoredOffer};
pub use offer_tie::OfferTie;
pub use place::BookPlace;
pub use search_check::mend_search;
pub use stock::StoredLot;
pub use supplier::{StoredPriceList, StoredSupplier, Terms};
pub use wait::announce_waits;
