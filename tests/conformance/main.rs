//! Published values reproduced: each test names its source and says why its tolerance is what it is.

mod glands;
mod printed_grooves;
