//! The book as a whole: copies of it, the books of other shops, the demo shop.

pub mod accept;
pub mod care;
pub mod demo;
pub mod export;
pub mod merge;
mod other_note;
