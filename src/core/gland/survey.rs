//! What the tolerances do to one ring in its gland: chances, spreads, and which dimension carries the doubt.

use super::check::Check;
use super::doubt::{Doubt, DoubtSums};
use super::extrusion::ExtrusionLimit;
use super::figure::{Figure, Point, Rule};
use super::judgement::{Service, follows_the_state};
use super::law::Spread;
use super::limits::{Limit, Severity};
use super::ring::GlandRing;
use super::sampling::{gap_holds, holds, scale};
use super::section::SectionLaw;
use super::sequence::Sequence;
use super::state::State;
use serde::Serialize;

/// Holds the outcome of sampling the whole stack.
#[derive(Debug, Clone, Serialize)]
pub struct Survey {
    /// Number of samples.
    pub samples: usize,
    /// Chance of meeting every limit that can reject, in every state.
    pub pass_probability: f64,
    /// Chance of being outside each limit in each state.
    pub outside: Vec<Outside>,
    /// Mean and standard deviation of the figures as assembled.
    pub spreads: Vec<FigureSpread>,
    /// What carries the doubt about each figure, the greatest share first.
    pub doubts: Vec<Doubt>,
    /// The advice that follows, where one dimension stands out.
    pub advice: Option<String>,
}

/// Holds the chance of being outside one limit in one state.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outside {
    /// Name of the check.
    pub name: String,
    /// The state.
    pub state: String,
    /// Least value allowed.
    pub low: Option<f64>,
    /// Greatest value allowed.
    pub high: Option<f64>,
    /// The chance.
    pub chance: f64,
    /// Whether a breach can reject the ring.
    pub binds: bool,
    #[serde(skip)]
    figure: Figure,
}

/// Holds mean and standard deviation of a figure over the samples.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FigureSpread {
    /// The figure by its key in machine output.
    pub figure: &'static str,
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub deviation: f64,
    /// The least value that was drawn.
    pub least: f64,
    /// The greatest value that was drawn.
    pub greatest: f64,
}

/// The figures whose spread is told, with their keys.
pub(super) const FIGURES: [(Figure, &str, &str); 6] = [
    (Figure::SqueezeMm, "squeeze_mm", "squeeze"),
    (Figure::SqueezePct, "squeeze_pct", "squeeze"),
    (Figure::StretchPct, "stretch_pct", "stretch"),
    (Figure::FillPct, "fill_pct", "fill"),
    (
        Figure::OutsideCompressionPct,
        "outside_compression_pct",
        "outside compression",
    ),
    (Figure::GapMm, "gap_mm", "gap"),
];

/// One limit held against every sample in one state.
struct Tally<'l> {
    limit: Option<&'l Limit>,
    outside: usize,
}

struct StateTally<'l> {
    state: State,
    factors: Vec<f64>,
    limits: Vec<Tally<'l>>,
}

/// Draws one sample of every dimension after another.
struct Draw {
    /// The gland's dimensions, then the ring's inside diameter and section.
    spreads: Vec<Spread>,
    sequence: Sequence,
    shares: Vec<f64>,
    /// Deviations in half widths; the last is that of the section law.
    deviates: Vec<f64>,
    mm: Vec<f64>,
}

impl Draw {
    fn new(spreads: Vec<Spread>) -> Self {
        let axes = spreads.len() + 1;
        Self {
            sequence: Sequence::new(axes),
            shares: vec![0.5; axes],
            deviates: vec![0.0; axes],
            mm: vec![0.0; spreads.len()],
            spreads,
        }
    }

    /// Settles the next sample and returns its section law.
    fn advance(&mut self) -> SectionLaw {
        self.sequence.advance(&mut self.shares);
        for (index, spread) in self.spreads.iter().enumerate() {
            let deviate = if spread.is_loose() {
                spread.deviate(self.shares[index])
            } else {
                0.0
            };
            self.deviates[index] = deviate;
            self.mm[index] = spread.at(deviate);
        }
        let law = self.shares[self.spreads.len()];
        self.deviates[self.spreads.len()] = 2.0 * law - 1.0;
        SectionLaw::Between(law)
    }
}

impl Service<'_> {
    /// Samples the whole stack of a ring in this gland.
    ///
    /// Every dimension is drawn by its law, the section law evenly between the two that are published. Shares of doubt are
    /// first-order: the part of a figure's variance that follows from one dimension alone.
    pub fn survey(&self, ring: &GlandRing, samples: usize) -> Survey {
        let samples = samples.max(1);
        let gap = self.gap_limit();
        let widest = gap
            .as_ref()
            .map_or(f64::INFINITY, |g| g.clearance_mm.unwrap_or(0.0));
        let mut tallies = self.tallies(ring, gap.as_ref());
        let mut draw = Draw::new(self.spreads().into_iter().chain(ring.spreads()).collect());
        let mut scaled = vec![0.0; draw.mm.len() - 2];
        let mut sums = DoubtSums::new(&draw.spreads, ring, self);
        let mut passed = 0;
        for _ in 0..samples {
            let law = draw.advance();
            let (gland, pair) = draw.mm.split_at(draw.mm.len() - 2);
            let mut all_hold = true;
            for (index, tally) in tallies.iter_mut().enumerate() {
                scale(gland, &tally.factors, &mut scaled);
                let seat = self.geometry.seat(&scaled);
                let pair = (pair[0] * tally.state.ring, pair[1] * tally.state.ring);
                let point = Point::at(&seat, pair, Rule::of(&tally.state, law, None));
                all_hold &= tally.count(&point, widest);
                if index == 0 {
                    sums.add(&point, &draw.deviates);
                }
            }
            passed += usize::from(all_hold);
        }
        let nominal = self.meets_nominal_limits(ring);
        let share = |count: usize| count as f64 / samples as f64;
        let outside = outside_of(&tallies, &share, gap.as_ref());
        let doubts = sums.doubts(self);
        Survey {
            samples,
            pass_probability: if nominal { share(passed) } else { 0.0 },
            advice: advice(&outside, &doubts),
            outside,
            spreads: sums.spreads(),
            doubts,
        }
    }

    fn tallies(&self, ring: &GlandRing, gap: Option<&ExtrusionLimit>) -> Vec<StateTally<'static>> {
        let states = self.states().into_iter().enumerate();
        let tallied = states.map(|(index, state)| {
            let limits = Limit::of(self.rules, self.application(ring))
                .filter(|limit| !limit.severity.at_nominal())
                .filter(|limit| index == 0 || follows_the_state(limit))
                .map(|limit| Tally {
                    limit: Some(limit),
                    outside: 0,
                });
            let gap = gap.map(|_| Tally {
                limit: None,
                outside: 0,
            });
            StateTally {
                factors: state.factors(self.geometry),
                limits: limits.chain(gap).collect(),
                state,
            }
        });
        tallied.collect()
    }
}

impl StateTally<'_> {
    /// Counts one sample; returns whether every limit that can reject holds.
    fn count(&mut self, point: &Point, widest: f64) -> bool {
        let mut all_hold = true;
        for tally in &mut self.limits {
            let (inside, binds) = match tally.limit {
                Some(limit) => (holds(point, limit), limit.severity != Severity::Caution),
                None => (gap_holds(point, widest), true),
            };
            tally.outside += usize::from(!inside);
            all_hold &= inside || !binds;
        }
        all_hold
    }
}

fn outside_of(
    tallies: &[StateTally<'_>],
    share: &dyn Fn(usize) -> f64,
    gap: Option<&ExtrusionLimit>,
) -> Vec<Outside> {
    let mut rows = Vec::new();
    for state in tallies {
        for tally in &state.limits {
            let name = tally
                .limit
                .map_or("extrusion gap", |limit| Check::title(limit).0);
            rows.push(Outside {
                name: name.to_owned(),
                state: state.state.name.clone(),
                low: tally.limit.and_then(|l| l.low),
                high: match tally.limit {
                    Some(limit) => limit.high,
                    None => gap.and_then(|g| g.clearance_mm),
                },
                chance: share(tally.outside),
                binds: tally.limit.is_none_or(|l| l.severity.binds()),
                figure: tally.limit.map_or(Figure::GapMm, |l| l.figure),
            });
        }
    }
    rows
}

/// Says which dimension to measure again: the one that carries most of the doubt about the figure most likely outside.
fn advice(outside: &[Outside], doubts: &[Doubt]) -> Option<String> {
    /// Below this chance nothing needs a better measurement.
    const WORTH: f64 = 0.001;
    /// Below this share no dimension stands out.
    const STANDS_OUT: f64 = 0.3;
    let worst = outside
        .iter()
        .filter(|row| row.chance >= WORTH && row.chance <= 1.0 - WORTH)
        .max_by(|a, b| (a.binds.cmp(&b.binds)).then(a.chance.total_cmp(&b.chance)))?;
    let figure = told_by(worst.figure);
    let doubt = doubts.iter().find(|d| d.kind == figure)?;
    let first = doubt.shares.first().filter(|s| s.share >= STANDS_OUT)?;
    Some(format!(
        "{}: it carries {:.0} % of the doubt about the {}",
        first.remedy(),
        100.0 * first.share,
        doubt.words
    ))
}

/// Returns the figure whose spread stands for a limited figure.
fn told_by(figure: Figure) -> Figure {
    match figure {
        Figure::PrintedSqueezePct | Figure::PrintedSqueezeMm | Figure::OpenSideMm => {
            Figure::SqueezePct
        }
        Figure::InsideFitPct => Figure::StretchPct,
        other => other,
    }
}
