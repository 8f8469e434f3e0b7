//! ringwright names unlabelled sealing rings, checks them in their glands, and keeps the parts book of pressure gear
//! that is no longer made.
//!
//! A map of the house; imports go one way, from the later rooms to the earlier:
//!
//! - [`core`]: the knowledge of the trade as plain computation.
//! - [`store`]: the book, a SQLite file; the only place that speaks SQL.
//! - [`app`]: the use cases; each returns a plain report.
//! - [`render`]: the forms of a report (page, JSON, CSV, Markdown).
//! - [`cli`]: the words of the command line.

#![allow(
    missing_docs,
    clippy::missing_errors_doc,
    reason = "a field whose name says all has no comment, nor has an error whose type says all; scripts/check sees to the items"
)]

pub mod app;
pub mod cli;
pub mod core;
pub mod render;
pub mod store;
