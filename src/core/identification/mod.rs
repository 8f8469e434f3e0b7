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
//! Other facts multiply in. A gland ([`GlandEvidence`]) tells the direction of squeeze, and each ring's odds are multiplied
//! by `(1 − m) f/Z + m`: `f` is how likely a designer who took that ring would have made this gland (bands of squeeze, stretch
//! and fill from the published limits, softened by the doubt of the measurements), `Z` the same for any ring at all, and `m`
//! the share of rings ([`FOREIGN_SHARE`]) that are not the ones their gland was made for. Pins give the probability of an
//! interval of the inside diameter given the readings; a label names its ring with a probability short of one.
//!
//! # How it is worked out
//! Predictions, inverse covariances and slip constants depend on what is measured and how well, not on what is read: they
//! are kept ([`Identifier`]) for the next ring measured in the same way. Every ring is held against the readings one by one,
//! those that come near are weighed in one broad mode, and the likeliest in all modes; rings that need a slip are looked at
//! only where an upper bound of their likelihood says that they could count.

mod age;
mod candidates;
mod evidence;
mod facts;
mod forecast;
mod gland_evidence;
mod identifier;
mod likelihood;
mod look;
mod next_reading;
mod plan;
mod posterior;
mod prior;
mod sensitivity;
mod small_matrix;
mod together;
mod wear;
mod weighing;

pub use age::{Age, Estimate, Moulded};
pub use candidates::Candidates;
pub use evidence::{Evidence, EvidenceError, Observation};
pub use facts::{PinFact, StatedFact};
pub use gland_evidence::{FOREIGN_SHARE, GlandEvidence};
pub use identifier::Identifier;
pub use next_reading::NextReading;
pub use posterior::{GlandVerdict, Identification, RankedRing, identify, identify_only};
pub use prior::{MadePrior, Prior, PriorError, countries};
pub use together::{THREE_SIGMA, disagreement, identify_together};
