//! Many samples of one quantity side by side, so that a processor works several at once.

/// The number of samples in a column: what a gland needs of them stays in the first cache of a processor.
pub(super) const LENGTH: usize = 128;

/// One quantity of [`LENGTH`] samples, or of one.
pub(super) type Column<const N: usize = LENGTH> = [f64; N];

/// A column of zeros.
pub(super) const ZERO: Column = [0.0; LENGTH];

/// Sums that run side by side; their order is fixed, so that a sum is the same on every processor.
const LANES: usize = 8;

/// Returns the larger of two numbers, the second where either is not a number.
///
/// One instruction of every processor, where `f64::max` takes three for the sake of what is not a number.
#[allow(clippy::inline_always, reason = "compiled for the widest registers")]
#[inline(always)]
pub(super) fn larger(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// Returns the smaller of two numbers, the second where either is not a number.
#[allow(clippy::inline_always, reason = "compiled for the widest registers")]
#[inline(always)]
pub(super) fn smaller(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// Returns the differences of two columns.
pub(super) fn difference(a: &Column, b: &Column) -> Column {
    let mut found = ZERO;
    for i in 0..LENGTH {
        found[i] = a[i] - b[i];
    }
    found
}

/// Returns the sum of the products of two lists.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut sums = [0.0; LANES];
    let ((a, rest_a), (b, rest_b)) = (a.as_chunks::<LANES>(), b.as_chunks::<LANES>());
    for (a, b) in a.iter().zip(b) {
        for lane in 0..LANES {
            sums[lane] += a[lane] * b[lane];
        }
    }
    let rest: f64 = rest_a.iter().zip(rest_b).map(|(a, b)| a * b).sum();
    sums.iter().sum::<f64>() + rest
}

/// Sum, sum of squares, least and greatest of a list of differences from an origin.
#[derive(Debug, Clone, Copy)]
pub(super) struct Moments {
    pub(super) sum: f64,
    pub(super) squares: f64,
    pub(super) least: f64,
    pub(super) greatest: f64,
}

impl Moments {
    /// The moments of nothing.
    pub(super) const NONE: Self = Self {
        sum: 0.0,
        squares: 0.0,
        least: f64::INFINITY,
        greatest: f64::NEG_INFINITY,
    };

    /// Takes a list in, less an origin.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn add(&mut self, values: &[f64], origin: f64) {
        let (mut sums, mut squares) = ([0.0; LANES], [0.0; LANES]);
        let (mut least, mut greatest) = ([self.least; LANES], [self.greatest; LANES]);
        let (chunks, rest) = values.as_chunks::<LANES>();
        for chunk in chunks {
            for lane in 0..LANES {
                let y = chunk[lane] - origin;
                sums[lane] += y;
                squares[lane] += y * y;
                least[lane] = smaller(y, least[lane]);
                greatest[lane] = larger(y, greatest[lane]);
            }
        }
        for (lane, value) in rest.iter().enumerate() {
            let y = value - origin;
            sums[lane] += y;
            squares[lane] += y * y;
            least[lane] = smaller(y, least[lane]);
            greatest[lane] = larger(y, greatest[lane]);
        }
        self.sum += sums.iter().sum::<f64>();
        self.squares += squares.iter().sum::<f64>();
        self.least = least.into_iter().fold(self.least, smaller);
        self.greatest = greatest.into_iter().fold(self.greatest, larger);
    }
}

/// Which samples of a batch still meet every limit: 1 or 0.
#[derive(Debug, Clone)]
pub(super) struct Held([u64; LENGTH]);

impl Held {
    /// All samples hold.
    pub(super) const fn all() -> Self {
        Self([1; LENGTH])
    }

    /// Returns how many of the first samples hold.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn count(&self, length: usize) -> usize {
        whole(self.0[..length].iter().sum())
    }

    /// Drops the samples outside a range; returns how many of the list lie outside. What is not a number lies inside.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn drop_outside(&mut self, values: &[f64], range: Range) -> usize {
        let mut outside = 0;
        for (held, value) in self.0.iter_mut().zip(values) {
            let out = range.leaves_out(*value);
            outside += out;
            *held &= 1 - out;
        }
        whole(outside)
    }
}

/// The ends of a range; infinite where it has none.
#[derive(Debug, Clone, Copy)]
pub(super) struct Range {
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Range {
    /// Returns how many of a list lie outside.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn outside(self, values: &[f64]) -> usize {
        whole(values.iter().map(|v| self.leaves_out(*v)).sum())
    }

    /// Returns 1 for a number outside, otherwise 0, without a branch.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    fn leaves_out(self, value: f64) -> u64 {
        u64::from(value < self.low) | u64::from(value > self.high)
    }
}

fn whole(count: u64) -> usize {
    usize::try_from(count).unwrap_or(usize::MAX)
}
