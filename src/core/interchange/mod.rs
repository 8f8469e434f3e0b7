//! What a part is, apart from its name, and what may take its place.
//!
//! A [`PartSpec`] is a kind with its dimensions and material, written and read in the words of the teardown note. A
//! [`Statement`] is what somebody found out about one part in the place of another: directed, graded, with who, when and on
//! which evidence. [`substitutes`] proposes listed rings by their dimensions and checks each in every gland that uses the
//! part; what was tried and failed outranks any proposal.

mod failure;
mod part_spec;
mod statement;
mod substitute;

pub use failure::tell_failures;
pub use part_spec::{PartSpec, PlainSpec, RingSpec, SpecError, lacking_lengths};
pub use statement::{Grade, Nickname, Statement};
pub use substitute::{GlandAt, StandIn, UsedAt, substitutes};
