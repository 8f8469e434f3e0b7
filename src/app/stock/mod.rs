//! The shelf: lots put on it and taken from it, and the bag of a unit.

pub mod add;
pub mod kit;
pub mod shelf;
