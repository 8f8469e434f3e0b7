//! The knowledge of the trade as plain computation: no files, no clock, no environment, no database, no terminal.

pub mod book;
pub mod caution;
pub mod confidence;
pub mod count;
pub(crate) mod data_table;
pub mod elastomer;
pub mod exchange;
pub mod formula;
pub mod gas;
pub mod gear;
pub mod gland;
pub mod hidden;
pub mod identification;
pub mod interchange;
pub mod job;
pub mod measurement;
pub(crate) mod near_word;
pub mod note;
pub mod provenance;
pub mod quantity;
pub mod scan;
pub mod sizes;
pub mod stage;
pub mod supply;
pub mod thread;
pub mod uncertainty;
