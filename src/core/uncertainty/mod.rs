//! Normal distributions, sums of small probabilities, and seeded sampling.

mod probability;

pub(crate) use probability::HALF_LN_TWO_PI;
pub use probability::chi_square_survival;
pub use probability::normal_quantile;
pub use probability::{log_sum_exp, shares_of_log_weights};
pub use probability::{normal_cdf, normal_log_density};
