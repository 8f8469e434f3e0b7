//! How good the odds were.

/// Sums up many answers.
#[derive(Debug, Default)]
pub(crate) struct Score {
    cases: usize,
    first: usize,
    in_three: usize,
    in_five: usize,
    oracle: usize,
    same_job: usize,
    nearest: usize,
    log_sum: f64,
    bins: [Bin; 10],
}

#[derive(Debug, Default, Clone, Copy)]
struct Bin {
    stated: f64,
    right: f64,
    count: f64,
}

/// One answer against the truth.
pub(crate) struct Outcome {
    /// Place of the true ring, 0 first; `None` where it was not in the list.
    pub(crate) place: Option<usize>,
    /// Stated probabilities with whether each was the truth.
    pub(crate) stated: Vec<(f64, bool)>,
    /// Whether the first ring does the same job (ID within 3 %, section within 4 %).
    pub(crate) same_job: bool,
    /// Whether the oracle's first ring was the truth.
    pub(crate) oracle: bool,
    /// Whether the nearest table row was the truth.
    pub(crate) nearest: bool,
}

impl Score {
    pub(crate) fn add(&mut self, outcome: &Outcome) {
        self.cases += 1;
        self.first += usize::from(outcome.place == Some(0));
        self.in_three += usize::from(outcome.place.is_some_and(|p| p < 3));
        self.oracle += usize::from(outcome.oracle);
        self.in_five += usize::from(outcome.place.is_some_and(|p| p < 5));
        self.same_job += usize::from(outcome.same_job);
        self.nearest += usize::from(outcome.nearest);
        let of_truth = outcome
            .stated
            .iter()
            .find(|(_, right)| *right)
            .map_or(1e-4, |(p, _)| *p);
        self.log_sum += of_truth.ln();
        // The calibration is that of the first answer, the one that is acted on.
        if let Some((stated, right)) = outcome.stated.first() {
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a probability"
            )]
            let bin = ((stated * 10.0) as usize).min(9);
            self.bins[bin].stated += stated;
            self.bins[bin].right += f64::from(u8::from(*right));
            self.bins[bin].count += 1.0;
        }
    }

    fn share(&self, count: usize) -> f64 {
        count as f64 / self.cases as f64
    }

    pub(crate) fn top1(&self) -> f64 {
        self.share(self.first)
    }

    pub(crate) fn top3(&self) -> f64 {
        self.share(self.in_three)
    }

    pub(crate) fn oracle(&self) -> f64 {
        self.share(self.oracle)
    }

    pub(crate) fn top5(&self) -> f64 {
        self.share(self.in_five)
    }

    pub(crate) fn same_job(&self) -> f64 {
        self.share(self.same_job)
    }

    pub(crate) fn nearest(&self) -> f64 {
        self.share(self.nearest)
    }

    pub(crate) fn log_score(&self) -> f64 {
        self.log_sum / self.cases as f64
    }

    /// Expected calibration error: the mean, weighted by count, of |stated − right| over ten bins of the stated odds.
    pub(crate) fn calibration_error(&self) -> f64 {
        let total: f64 = self.bins.iter().map(|b| b.count).sum();
        self.bins
            .iter()
            .map(|b| (b.stated - b.right).abs())
            .sum::<f64>()
            / total
    }

    /// What [`Self::calibration_error`] would be with perfectly honest odds, from the finite number of cases alone: in each
    /// bin the mean absolute error of a share, √(2/π) standard deviations.
    pub(crate) fn calibration_noise(&self) -> f64 {
        let total: f64 = self.bins.iter().map(|b| b.count).sum();
        let noise = |bin: &Bin| {
            let share = bin.stated / bin.count;
            (std::f64::consts::FRAC_2_PI * bin.count * share * (1.0 - share)).sqrt()
        };
        self.bins
            .iter()
            .filter(|b| b.count > 0.0)
            .map(noise)
            .sum::<f64>()
            / total
    }
}
