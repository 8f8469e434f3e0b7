//! The book: a SQLite file. No other room speaks SQL.
