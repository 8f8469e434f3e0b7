//! Which listed ring is this? Odds from whatever was measured.
//!
//! # The model
//! Every listed ring is a candidate with latent deviations from its nominal dimensions:
//! - `δ1`, `δ2`: the moulded ring's inside diameter and section differ from nominal; the tolerance is taken as a 95 %
//!   band (1.96 standard deviations),
//! - `s`: swell or shrink, one factor on every length,
//! - `c`: set; the section's height loses the share `c` and its width gains it, the area kept.
//!
//! A ring squeezed between bore and groove has its height in the radial direction (`t = height`), one squeezed between
//! faces its width (`t = width`); both are thought of, because the ring alone does not say. With `D = d1 + δ1`,
//! `W = d2 + δ2`:
//!
//! ```text
//! height = W (1 + s)(1 − c)          ID  = (D + W)(1 + s) − t      cut  = π (D + W)(1 + s)
//! width  = W (1 + s)/(1 − c)         OD  = (D + W)(1 + s) + t      mass = ρ π²/4 W² (D + W)(1 + s)³
//! ```
//! A reading is that value plus the instrument's bias and scatter. The law of set (normal, cut at zero) is written as a
//! few narrow modes; within each, to first order, the model is linear in normal latents, so that the likelihood of the
//! readings is a closed form, summed over modes and directions. A reading may be a slip (wrong by anything) with a small
//! probability. One more candidate is "not a listed size": a smooth density over inside diameters and sections that
//! follows the density of the listed ones.
//!
//! Pins give the probability of an interval of the inside diameter given the readings; a label names its ring with a
//! probability short of one.
//!
//! # A ring in its model
//! What *came out* need not be what its place was *made for*. With `d` the size that a place was made for and `r_u` the ring found in
//! unit `u`:
//!
//! ```text
//! P(regime)          one group of families nearly alone, two, or as they come; the other models of the maker speak for it
//! P(d | regime)      how common the ring is among those of its groups
//! P(r_u | d)         d itself, or, with FOREIGN_SHARE, a ring that somebody fitted: near d, seldom any
//! P(gland | d)       bands of squeeze, stretch and fill about a designer's choice, softened by the doubt of the measurements
//! P(readings | r_u)  the likelihood above
//! ```
//! Summed over `r_u`, `d` and the regime this is exact, and its cost grows with the number of rings ([`weigh_model`]). A ring alone is a
//! model of one place and one unit ([`identify`]). The error that one hand makes with one tool is shared by the rings of a unit; each ring
//! is weighed once more, its readings shifted by what the others of the unit say of that error.
//!
//! # How it is worked out
//! Predictions, inverse covariances and slip constants depend on what is measured and how well, not on what is read: they
//! are kept ([`Identifier`]) for the next ring measured in the same way. Every ring is held against the readings one by one,
//! those that come near are weighed in a broad mode or two, and the likeliest in all modes; rings that need a slip are looked at
//! only where an upper bound of their likelihood says that they could count.

mod age;
mod belonging;
mod candidates;
mod evidence;
mod facts;
mod families;
mod fit;
mod forecast;
mod foreign;
mod found_ring;
mod gland_bands;
mod gland_evidence;
mod identifier;
mod likelihood;
mod model_odds;
mod next_fact;
mod next_reading;
mod note_errors;
mod place_odds;
mod plan;
mod posterior;
mod prior;
mod ring_chance;
mod sensitivity;
mod small_matrix;
mod sold_size;
mod together;
mod told;
mod unmeasured_gland;
mod wear;
mod weighing;

pub use age::{Age, Estimate, Moulded};
pub use candidates::Candidates;
pub use evidence::{Evidence, EvidenceError, Observation};
pub use facts::{PinFact, StatedFact};
pub use families::RegimeOdds;
pub use fit::RingFit;
pub use foreign::FOREIGN_SHARE;
pub use gland_evidence::GlandEvidence;
pub use identifier::Identifier;
pub use model_odds::{ModelEvidence, PlaceOdds, regimes_of, weigh_model};
pub use next_fact::NextFact;
pub use next_reading::{NextReading, WouldRead};
pub use place_odds::PlaceEvidence;
pub use posterior::{GlandVerdict, Identification, identify};
pub use prior::{MadePrior, Prior, PriorError, countries};
pub use ring_chance::{RankedRing, RingChance, RingOdds};
pub use sold_size::{SoldRing, SoldSize};
pub use told::{Fact, Told};
