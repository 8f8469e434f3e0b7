//! Small symmetric matrices without allocation.

/// The most readings that one identification takes.
pub(crate) const MOST: usize = 8;

/// A symmetric positive definite matrix of at most [`MOST`] rows.
#[derive(Debug, Clone)]
pub(crate) struct SmallMatrix {
    size: usize,
    cells: [[f64; MOST]; MOST],
}

impl SmallMatrix {
    pub(crate) fn zero(size: usize) -> Self {
        Self {
            size: size.min(MOST),
            cells: [[0.0; MOST]; MOST],
        }
    }

    pub(crate) fn size(&self) -> usize {
        self.size
    }

    pub(crate) fn get(&self, row: usize, column: usize) -> f64 {
        self.cells[row][column]
    }

    /// Sets a cell and its mirror.
    pub(crate) fn set(&mut self, row: usize, column: usize, value: f64) {
        self.cells[row][column] = value;
        self.cells[column][row] = value;
    }

    /// Returns the inverse and the logarithm of the determinant, or `None` where the matrix is not positive definite.
    pub(crate) fn inverse(&self) -> Option<(Self, f64)> {
        let n = self.size;
        let (lower, log_determinant) = self.cholesky()?;
        let mut inverse_lower = [[0.0; MOST]; MOST];
        for column in 0..n {
            inverse_lower[column][column] = 1.0 / lower[column][column];
            for row in column + 1..n {
                let mut sum = 0.0;
                for k in column..row {
                    sum -= lower[row][k] * inverse_lower[k][column];
                }
                inverse_lower[row][column] = sum / lower[row][row];
            }
        }
        let mut inverse = Self::zero(n);
        for row in 0..n {
            for column in 0..=row {
                let value = (row..n)
                    .map(|k| inverse_lower[k][row] * inverse_lower[k][column])
                    .sum();
                inverse.set(row, column, value);
            }
        }
        Some((inverse, log_determinant))
    }

    fn cholesky(&self) -> Option<([[f64; MOST]; MOST], f64)> {
        let n = self.size;
        let mut lower = [[0.0; MOST]; MOST];
        let mut determinant = 1.0;
        for row in 0..n {
            for column in 0..=row {
                let known: f64 = lower[row][..column]
                    .iter()
                    .zip(&lower[column][..column])
                    .map(|(a, b)| a * b)
                    .sum();
                let sum = self.cells[row][column] - known;
                if row == column {
                    if sum <= 0.0 {
                        return None;
                    }
                    determinant *= sum;
                    lower[row][row] = sum.sqrt();
                } else {
                    lower[row][column] = sum / lower[column][column];
                }
            }
        }
        Some((lower, libm::log(determinant)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_matrix_times_its_inverse_is_one() {
        let mut m = SmallMatrix::zero(3);
        for (row, column, value) in [
            (0, 0, 4.0),
            (1, 1, 5.0),
            (2, 2, 6.0),
            (0, 1, 1.0),
            (0, 2, -2.0),
            (1, 2, 0.5),
        ] {
            m.set(row, column, value);
        }
        let (inverse, log_determinant) = m.inverse().expect("positive definite");
        for row in 0..3 {
            for column in 0..3 {
                let product: f64 = (0..3).map(|k| m.get(row, k) * inverse.get(k, column)).sum();
                let expected = f64::from(u8::from(row == column));
                assert!((product - expected).abs() < 1e-12);
            }
        }
        // Determinant by the rule of Sarrus: 4·5·6 + 2·(1·0.5·(−2)) − (−2)²·5 − 0.5²·4 − 1²·6 = 91.
        assert!((libm::exp(log_determinant) - 91.0).abs() < 1e-9);
    }

    #[test]
    fn a_matrix_that_is_not_positive_definite_is_refused() {
        let mut m = SmallMatrix::zero(2);
        m.set(0, 0, 1.0);
        m.set(1, 1, 1.0);
        m.set(0, 1, 2.0);
        assert!(m.inverse().is_none());
    }
}
