//! Numbers that differ from a query by one or two typing errors.

/// Compares one query with many numbers of one length each.
///
/// An error is a letter too many, too few or wrong, or two neighbours exchanged (optimal string alignment distance).
#[derive(Debug)]
pub struct TypingErrors<'q> {
    query: &'q [u8],
    letters: u64,
    most: usize,
}

/// Queries shorter than this are allowed one error only: two would meet half the list.
const SHORT: usize = 5;

impl<'q> TypingErrors<'q> {
    /// Makes a comparison with a query in the form of [`super::number_key`].
    pub fn new(query: &'q str) -> Self {
        let query = query.as_bytes();
        Self {
            query,
            letters: letters(query),
            most: if query.len() < SHORT { 1 } else { 2 },
        }
    }

    /// Returns the lengths that a number within the allowed errors can have.
    pub fn lengths(&self) -> std::ops::RangeInclusive<usize> {
        self.query.len().saturating_sub(self.most).max(1)..=self.query.len() + self.most
    }

    /// Calls `found` with the place and the errors of every number within the allowed errors.
    pub fn scan(&self, keys: &[u8], length: usize, found: &mut dyn FnMut(usize, usize)) {
        // Each error changes the set of letters by at most two.
        let most = 2 * u32::try_from(self.most).unwrap_or(2);
        for (place, key) in keys.chunks_exact(length).enumerate() {
            if (letters(key) ^ self.letters).count_ones() <= most
                && let Some(errors) = self.errors(key)
            {
                found(place, errors);
            }
        }
    }

    /// Counts the errors between the query and a number; `None` beyond the allowed ones.
    pub fn errors(&self, key: &[u8]) -> Option<usize> {
        /// The longest number of a scan, with room for the first column.
        const WIDTH: usize = 80;
        let (a, b) = (self.query, key);
        if b.len() + 1 > WIDTH || a.len().abs_diff(b.len()) > self.most {
            return None;
        }
        let far = self.most + 1;
        let mut rows = [[far; WIDTH]; 3];
        for (at, cell) in rows[0]
            .iter_mut()
            .enumerate()
            .take(b.len().min(self.most) + 1)
        {
            *cell = at;
        }
        for i in 1..=a.len() {
            let (now, before, earlier) = (i % 3, (i + 2) % 3, (i + 1) % 3);
            let from = i.saturating_sub(self.most).max(1);
            let to = (i + self.most).min(b.len());
            rows[now][from - 1] = if from == 1 && i <= self.most { i } else { far };
            if to < b.len() {
                rows[now][to + 1] = far;
            }
            let mut least = rows[now][from - 1];
            for j in from..=to {
                let wrong = usize::from(a[i - 1] != b[j - 1]);
                let mut best = (rows[before][j - 1] + wrong)
                    .min(rows[before][j] + 1)
                    .min(rows[now][j - 1] + 1);
                if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                    best = best.min(rows[earlier][j - 2] + 1);
                }
                rows[now][j] = best;
                least = least.min(best);
            }
            if least > self.most + 1 {
                return None;
            }
        }
        let errors = rows[a.len() % 3][b.len()];
        (errors <= self.most).then_some(errors)
    }
}

/// The set of letters as bits; letters that share a bit only let more numbers through.
fn letters(key: &[u8]) -> u64 {
    key.iter().fold(0, |set, byte| set | (1 << (byte & 63)))
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        /// Against the optimal string alignment distance of an independent library.
        #[test]
        fn errors_are_those_of_the_reference_distance(a in "[A-D0-3]{1,12}", b in "[A-D0-3]{1,12}") {
            let errors = TypingErrors::new(&a);
            let distance = strsim::osa_distance(&a, &b);
            let expected = (distance <= errors.most).then_some(distance);
            proptest::prop_assert_eq!(errors.errors(b.as_bytes()), expected);
            let mut scanned = None;
            errors.scan(b.as_bytes(), b.len(), &mut |_, found| scanned = Some(found));
            proptest::prop_assert_eq!(scanned, expected);
        }
    }
}
