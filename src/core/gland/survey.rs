//! What the tolerances do to one ring in its gland: chances, spreads, and which dimension carries the doubt.

use super::check::Check;
use super::column::{Held, LENGTH};
use super::doubt::{Doubt, DoubtSums};
use super::draw::Draw;
use super::extrusion::ExtrusionLimit;
use super::figure::Figure;
use super::geometry::Geometry;
use super::judgement::{Service, follows_the_state};
use super::law::Spread;
use super::limits::Limit;
use super::ring::GlandRing;
use super::seated_rings::Rings;
use super::seats::Seats;
use super::tally::{StateTally, grown_seats};
use super::widest::widest;
use serde::Serialize;

/// The outcome of sampling the whole stack.
#[derive(Debug, Clone, Serialize)]
pub struct Survey {
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

/// The chance of being outside one limit in one state.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outside {
    pub name: String,
    pub state: String,
    pub low: Option<f64>,
    pub high: Option<f64>,
    pub chance: f64,
    /// Whether a breach can reject the ring.
    pub binds: bool,
    #[serde(skip)]
    figure: Figure,
}

/// Mean and standard deviation of a figure over the samples.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FigureSpread {
    /// The figure by its key in machine output.
    pub figure: &'static str,
    pub mean: f64,
    /// Standard deviation.
    pub deviation: f64,
    pub least: f64,
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

impl Service<'_> {
    /// Samples the whole stack of a ring in this gland.
    ///
    /// Every dimension is drawn by its law, the section law evenly between the two that are published. Shares of doubt are
    /// first-order: the part of a figure's variance that follows from one dimension alone.
    pub fn survey(&self, ring: &GlandRing, samples: usize) -> Survey {
        let samples = samples.max(1);
        let gap = self.gap_limit();
        let spreads: Vec<Spread> = self.spreads().into_iter().chain(ring.spreads()).collect();
        let mut sampled = Sampled {
            tallies: self.tallies(ring, gap.as_ref()),
            sums: DoubtSums::new(&spreads, ring, self),
            passed: 0,
        };
        sampled.run(self.geometry, Draw::new(&spreads, samples), samples);
        let share = |count: usize| count as f64 / samples as f64;
        let outside = outside_of(&sampled.tallies, &share, gap.as_ref());
        let doubts = sampled.sums.doubts(self);
        let nominal = self.meets_nominal_limits(ring);
        Survey {
            samples,
            pass_probability: if nominal { share(sampled.passed) } else { 0.0 },
            advice: advice(&outside, &doubts),
            outside,
            spreads: sampled.sums.spreads(),
            doubts,
        }
    }

    fn tallies(&self, ring: &GlandRing, gap: Option<&ExtrusionLimit>) -> Vec<StateTally> {
        let states = self.states().into_iter().enumerate();
        let tallied = states.map(|(index, state)| {
            let limits = Limit::of(self.rules, self.application(ring))
                .filter(|limit| !limit.severity.at_nominal())
                .filter(|limit| index == 0 || follows_the_state(limit));
            let shown = FIGURES.map(|(figure, _, _)| figure);
            let shown = if index == 0 { &shown[..] } else { &[] };
            StateTally::new(state, limits, gap, shown)
        });
        tallied.collect()
    }
}

/// What is gathered from the samples.
struct Sampled {
    /// The limits of each state, the assembled one first.
    tallies: Vec<StateTally>,
    sums: DoubtSums,
    /// Samples that meet every limit that can reject.
    passed: usize,
}

impl Sampled {
    fn run(&mut self, geometry: &Geometry, mut draw: Draw, samples: usize) {
        let mut seats = Seats::new();
        let mut left = samples;
        while left > 0 {
            let length = left.min(LENGTH);
            widest(
                #[inline(always)]
                || self.batch(geometry, &mut draw, &mut seats, length),
            );
            left -= length;
        }
    }

    /// Takes the next batch.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    fn batch(&mut self, geometry: &Geometry, draw: &mut Draw, seats: &mut Seats, length: usize) {
        draw.advance();
        let Some((gland, [id, section])) = draw.mm.split_last_chunk() else {
            return;
        };
        let rings = Rings {
            id,
            section,
            share: Some(&draw.share),
        };
        geometry.seats(gland, seats);
        let mut held = Held::all();
        self.sums.begin(&draw.deviates, length);
        for tally in &mut self.tallies {
            let growth = tally.state.growth;
            let grown = (growth != 0.0).then(|| grown_seats(geometry, gland, growth));
            let seats = grown.as_deref().unwrap_or(seats);
            tally.count(
                rings,
                seats,
                &mut held,
                length,
                #[inline(always)]
                |place, values| self.sums.add(place, values, &draw.deviates),
            );
        }
        self.passed += held.count(length);
    }
}

fn outside_of(
    tallies: &[StateTally],
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
        "{}: it makes {:.0} % of the uncertainty in the {}",
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
