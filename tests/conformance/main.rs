//! Published values reproduced: each test names its source and says why its tolerance is what it is.

mod gland_alone;
mod gland_cut;
mod gland_kinds;
mod gland_stack;
mod glands;
mod grooves;
mod lab_rings;
mod practice;
mod quantities;
mod stage;
mod threads;
