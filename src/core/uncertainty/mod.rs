//! Normal distributions, sums of small probabilities, and seeded sampling.

mod chi_square;
mod normal;
mod probability;
mod quantile;

pub use chi_square::chi_square_survival;
pub(crate) use normal::HALF_LN_TWO_PI;
pub use normal::{normal_cdf, normal_log_density};
pub use probability::{log_sum_exp, shares_of_log_weights};
pub use quantile::normal_quantile;
