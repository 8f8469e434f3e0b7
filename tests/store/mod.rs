//! Tests of the book on real SQLite files.

mod commands;
mod copies;
mod exchange;
mod notes;
mod opening;
mod parts;
mod rows;
mod sample;
