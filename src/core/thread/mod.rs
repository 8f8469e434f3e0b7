//! Threads: which listed thread is this, from its pitch and a diameter.
//!
//! **Model.** A thread of the table is made with its crest below the basic diameter (male, outside) or above it (female, inside):
//! by the fundamental deviation and somewhere in the tolerance of ISO 965-1, and worn a little further the same way. The reading
//! adds its own doubt. Pitch, diameter, taper and flank angle are taken as independent, each normal; a count of crests is one
//! crest too many in one of ten ([`ThreadPitch`]). A taper thread is read somewhere along its length. How common each thread is
//! on the gear stands in `data/threads/priors.csv`; a thread that is usual on it (`usual_in`) counts more, and one of thirty
//! threads is taken as not listed.
//!
//! Pairs are flagged whose crests as made and pitches are so near that one starts in the other by hand, whether or not
//! the readings at hand tell them apart: readings do not say what somebody else screws in. A series that repeats
//! another one's thread (UN-20 and UNEF) has given way to the first in `data/threads`.

mod made;
mod odds;
mod pitch;
mod prior;
mod rival;
mod table;

pub use made::{MadeDiameter, ThreadSide};
pub use odds::{ThreadCandidate, ThreadOdds, ThreadReadings};
pub use pitch::{PitchFault, ThreadPitch};
pub use rival::{Rival, RivalSign};
pub use table::{ListedThread, ThreadSeries};
