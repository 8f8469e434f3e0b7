//! Glands: a ring checked in one, the rings that suit one, the groove to cut; what a ring is made of.

pub mod check;
pub mod cut;
pub mod fit;
pub mod question;
pub mod seal;
pub mod used;
