//! What printed sheets are made of.

pub mod assembly;
pub mod label_set;
pub mod make_part;
pub mod outlines;
pub mod photographs;
pub mod whole_book;
