//! Sums of probabilities that are kept as logarithms.

/// Returns the logarithm of the sum of exponentials, without overflow; −∞ for nothing.
pub fn log_sum_exp(values: impl IntoIterator<Item = f64> + Clone) -> f64 {
    let greatest = values.clone().into_iter().fold(f64::NEG_INFINITY, f64::max);
    if greatest == f64::NEG_INFINITY {
        return greatest;
    }
    let sum: f64 = values.into_iter().map(|v| libm::exp(v - greatest)).sum();
    greatest + libm::log(sum)
}

/// Turns log weights into shares that sum to one; all zero where every weight is −∞.
pub fn shares_of_log_weights(weights: &[f64]) -> Vec<f64> {
    let total = log_sum_exp(weights.iter().copied());
    if total == f64::NEG_INFINITY {
        return vec![0.0; weights.len()];
    }
    weights.iter().map(|w| libm::exp(w - total)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn very_small_weights_keep_their_ratio() {
        let shares = shares_of_log_weights(&[-2000.0, -2000.0 + libm::log(3.0)]);
        assert!((shares[0] - 0.25).abs() < 1e-12);
        assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert_eq!(shares_of_log_weights(&[f64::NEG_INFINITY]), [0.0]);
    }
}
