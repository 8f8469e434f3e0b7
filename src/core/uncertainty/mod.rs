//! Normal distributions, sums of small probabilities, and seeded sampling.

mod normal;
mod probability;

pub(crate) use normal::HALF_LN_TWO_PI;
pub use normal::{normal_cdf, normal_log_density, normal_quantile};
pub use probability::{log_sum_exp, shares_of_log_weights};
