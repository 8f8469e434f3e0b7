//! Tests of the book on real SQLite files.

mod copies;
mod opening;
mod rows;
mod sample;
