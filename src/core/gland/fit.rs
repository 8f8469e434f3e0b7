//! Which listed rings suit a gland.

use super::check::{Check, Verdict};
use super::figure::{Figure, Figures, Point};
use super::judgement::{Judgement, Service};
use super::limits::Limit;
use super::ring::GlandRing;
use super::sampling::Stack;
use super::state::State;
use crate::core::quantity::Hardness;
use crate::core::sizes::{NominalSize, SizeTable};
use serde::{Serialize, Serializer};

/// Tells how one listed ring suits the gland. Lengths are serialized in millimetres; the percentages are nominal.
#[derive(Debug, Clone, Serialize)]
pub struct FitCandidate {
    /// Place in the order, from 1.
    pub rank: usize,
    pub codes: Vec<String>,
    #[serde(flatten)]
    pub size: NominalSize,
    pub verdict: Verdict,
    /// Chance of meeting every limit in every state, cautions left out.
    #[serde(serialize_with = "four_decimals")]
    pub pass_probability: f64,
    /// Squeeze, stretch counted in.
    #[serde(serialize_with = "four_decimals")]
    pub squeeze_pct: f64,
    #[serde(serialize_with = "four_decimals")]
    pub stretch_pct: f64,
    #[serde(serialize_with = "four_decimals")]
    pub fill_pct: f64,
    /// Distance of the nominal figures from the nearest end of a two-sided limit, as a share of its width (at most 0.5).
    #[serde(serialize_with = "four_decimals")]
    pub margin: f64,
    /// Why it is rejected; empty where it is not.
    pub reasons: Vec<String>,
    /// Which figures are marginal, and by how much.
    pub marginal: Vec<String>,
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "the signature that serialize_with asks for"
)]
fn four_decimals<S: Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64((value * 1e4).round() / 1e4)
}

/// The rings tried, best first.
#[derive(Debug)]
pub struct FitOutcome {
    /// The best rings, rejected ones last.
    pub candidates: Vec<FitCandidate>,
    pub tried: usize,
    /// How many of them are good or marginal.
    pub fitting: usize,
    /// Where nothing fits: the nearest ring and by how much it fails.
    pub nothing_fits: Option<String>,
}

/// Scales by which misses of different figures are compared: about the width of the band in which each may lie.
const fn band(figure: Figure) -> f64 {
    match figure {
        Figure::SqueezePct | Figure::PrintedSqueezePct | Figure::FillPct => 15.0,
        Figure::SqueezeMm | Figure::PrintedSqueezeMm => 0.3,
        _ => 5.0,
    }
}

impl Service<'_> {
    /// Tries every listed ring and returns the best `top`, at least one.
    ///
    /// Order: rejected rings last; then the chance of meeting every limit in every state (to the whole per cent), the margin (to
    /// the tenth), then how common the size is (the number of codes under which it is listed). A ring whose nominal figures miss a limit is judged in full only if it is among the nearest.
    pub fn fit(&self, top: usize, hardness: Option<Hardness>) -> FitOutcome {
        let table = SizeTable::shipped();
        let mut screened: Vec<(f64, GlandRing)> = table
            .rings()
            .iter()
            .map(|listed| {
                let mut ring = GlandRing::of_listed(listed, table);
                ring.hardness = hardness;
                ring.polymer = self.conditions.polymer;
                (self.nominal_miss(&ring), ring)
            })
            .collect();
        let tried = screened.len();
        screened.sort_by(|a, b| a.0.total_cmp(&b.0));
        let near = screened.iter().filter(|(miss, _)| *miss <= 0.0).count();
        screened.truncate(near + top.max(1));
        let mut judged: Vec<(f64, GlandRing, Judgement)> = screened
            .into_iter()
            .map(|(miss, ring)| {
                let judgement = self.judge(&ring);
                (miss, ring, judgement)
            })
            .collect();
        let fitting = judged
            .iter()
            .filter(|(_, _, j)| j.verdict != Verdict::Reject)
            .count();
        judged.sort_by(|a, b| {
            let key = |x: &(f64, GlandRing, Judgement)| (x.2.verdict == Verdict::Reject, x.0);
            let (a, b) = (key(a), key(b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        judged.truncate(fitting.max(top.max(1)));
        let candidates = self.ranked(judged, top.max(1));
        let nothing_fits = (fitting == 0).then(|| nearest(&candidates)).flatten();
        FitOutcome {
            candidates,
            tried,
            fitting,
            nothing_fits,
        }
    }

    fn ranked(&self, judged: Vec<(f64, GlandRing, Judgement)>, top: usize) -> Vec<FitCandidate> {
        const PER_CENT: f64 = 100.0;
        const TENTHS: f64 = 10.0;
        let stack = Stack::of(self);
        let gap = self.gap_limit();
        let mut candidates: Vec<(f64, FitCandidate)> = judged
            .into_iter()
            .map(|(miss, ring, judgement)| {
                let figures = &judgement.states[0].1;
                let nominal = |figure| figures.get(figure).map_or(f64::NAN, |b| b.nominal);
                let candidate = FitCandidate {
                    rank: 0,
                    size: ring.nominal(),
                    verdict: judgement.verdict,
                    pass_probability: stack.pass_probability(self, &ring, gap.as_ref()),
                    squeeze_pct: nominal(Figure::SqueezePct),
                    stretch_pct: nominal(Figure::StretchPct),
                    fill_pct: nominal(Figure::FillPct),
                    margin: self.margin(&ring, figures),
                    reasons: reasons(&judgement, Verdict::Reject),
                    marginal: reasons(&judgement, Verdict::Marginal),
                    codes: ring.codes,
                };
                (miss.max(0.0), candidate)
            })
            .collect();
        candidates.sort_by(|(miss_a, a), (miss_b, b)| {
            let whole = |c: &FitCandidate| (c.pass_probability * PER_CENT).round();
            let tenth = |c: &FitCandidate| (c.margin * TENTHS).round();
            (a.verdict.cmp(&b.verdict))
                .then(whole(b).total_cmp(&whole(a)))
                .then(miss_a.total_cmp(miss_b))
                .then(tenth(b).total_cmp(&tenth(a)))
                .then(b.codes.len().cmp(&a.codes.len()))
                .then(a.codes.cmp(&b.codes))
        });
        candidates.truncate(top);
        let ranked = (1..).zip(candidates);
        ranked
            .map(|(rank, (_, candidate))| FitCandidate { rank, ..candidate })
            .collect()
    }

    fn binding(&self, ring: &GlandRing) -> impl Iterator<Item = &'static Limit> {
        Limit::of(self.rules, self.application(ring)).filter(|limit| limit.severity.binds())
    }

    /// Returns the sum of the nominal misses of all binding limits, each by the scale of its figure; zero where all hold.
    fn nominal_miss(&self, ring: &GlandRing) -> f64 {
        let point: Point = Figures::nominal(self.geometry, ring, &State::assembled());
        self.binding(ring)
            .map(|limit| {
                let value = point.get(limit.figure);
                if value.is_nan() || limit.holds(value) {
                    0.0
                } else {
                    limit.miss(value) / band(limit.figure)
                }
            })
            .sum()
    }

    /// Tells whether the ring meets every limit that is held at nominal alone.
    pub(super) fn meets_nominal_limits(&self, ring: &GlandRing) -> bool {
        let point = Figures::nominal(self.geometry, ring, &State::assembled());
        self.binding(ring)
            .filter(|limit| limit.severity.at_nominal())
            .map(|limit| (limit, point.get(limit.figure)))
            .all(|(limit, value)| value.is_nan() || limit.holds(value))
    }

    fn margin(&self, ring: &GlandRing, figures: &Figures) -> f64 {
        self.binding(ring)
            .filter_map(|limit| {
                let (low, high) = limit.low.zip(limit.high)?;
                let nominal = figures.get(limit.figure)?.nominal;
                Some((nominal - low).min(high - nominal) / (high - low))
            })
            .fold(0.5, f64::min)
    }
}

/// Says in words why the checks reject or are marginal, and by how much; what follows from another reason is left out.
fn reasons(judgement: &Judgement, verdict: Verdict) -> Vec<String> {
    let section = judgement.states[0].1.get(Figure::SectionMm);
    let told = |name: &str| {
        let mut checks = judgement.checks.iter();
        checks.any(|c| c.name == name && c.verdict == verdict)
    };
    let implied = |check: &Check| check.name == "contact" && told("squeeze");
    judgement
        .checks
        .iter()
        .filter(|check| check.verdict == verdict && !implied(check))
        .map(|check| reason(check, section.map(|s| s.nominal)))
        .collect()
}

fn reason(check: &Check, section_mm: Option<f64>) -> String {
    let decides = |value: f64| {
        let low = check.low.is_some_and(|low| value < low);
        low || check.high.is_some_and(|high| value > high)
    };
    let at_nominal = check.nominal.filter(|value| decides(*value));
    let (Some(value), place) = at_nominal.map_or((check.value, "in the worst case"), |nominal| {
        (Some(nominal), "at nominal")
    }) else {
        return format!("{}: {}", check.name, check.rule);
    };
    let unit = check.unit;
    let digits = if unit == "mm" { 3 } else { 1 };
    let short = check.low.map_or(0.0, |low| low - value);
    let over = check.high.map_or(0.0, |high| value - high);
    let by = short.max(over);
    let (bound, asked) = match (check.low, check.high) {
        (Some(low), _) if short >= over => ("at least", low),
        (_, Some(high)) => ("at most", high),
        _ => return format!("{}: {}", check.name, check.rule),
    };
    let amount = match section_mm.filter(|_| check.name == "squeeze") {
        Some(section) => format!("{:.2} mm of squeeze", by / 100.0 * section),
        None => format!("{by:.digits$} {unit}"),
    };
    let (asks, misses) = if check.verdict == Verdict::Reject {
        ("allowed", "fails")
    } else {
        ("asked for", "misses")
    };
    format!(
        "{} {value:.digits$} {unit} {place}, {bound} {asked:.digits$} {unit} is {asks}: it {misses} by {amount}",
        check.name
    )
}

fn nearest(candidates: &[FitCandidate]) -> Option<String> {
    let first = candidates.first()?;
    Some(format!(
        "nothing listed fits: nearest is {}; {}",
        first.codes.join(" = "),
        first.reasons.join("; ")
    ))
}
