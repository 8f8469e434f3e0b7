//! The chance that a ring meets every limit, by sampling the tolerance stack.

use super::extrusion::ExtrusionLimit;
use super::figure::{Figure, Point, Rule};
use super::geometry::Seat;
use super::judgement::Service;
use super::law::{Law, Spread};
use super::limits::{Limit, Severity};
use super::ring::GlandRing;
use super::section::SectionLaw;
use super::sequence::Sequence;
use super::state::State;

/// Samples of the stack; with them a chance agreed with an independent Monte Carlo within 1 % in 32 of 32 trials.
const SAMPLES: usize = 4096;

/// Holds one fixed set of samples of a gland's stack, shared by every ring that is tried in it.
///
/// The law of section loss is drawn evenly between the two that are published.
#[derive(Debug)]
pub(super) struct Stack {
    states: Vec<(State, Vec<Seat>)>,
    /// Shares of inside diameter and section, and the share between the section laws.
    ring: Vec<[f64; 3]>,
}

impl Stack {
    pub(super) fn of(service: &Service<'_>) -> Self {
        let spreads = service.spreads();
        let mut sequence = Sequence::new(spreads.len() + 3);
        let mut shares = vec![0.0; spreads.len() + 3];
        let (mut drawn, mut ring) = (Vec::new(), Vec::new());
        for _ in 0..SAMPLES {
            sequence.advance(&mut shares);
            let mm: Vec<f64> = spreads
                .iter()
                .zip(&shares)
                .map(|(s, u)| s.drawn(*u))
                .collect();
            drawn.push(mm);
            let u = &shares[spreads.len()..];
            ring.push([u[0], u[1], u[2]]);
        }
        let states = service.states().into_iter().map(|state| {
            let factors = state.factors(service.geometry);
            let mut scaled = vec![0.0; factors.len()];
            let seats = drawn.iter().map(|mm| {
                scale(mm, &factors, &mut scaled);
                service.geometry.seat(&scaled)
            });
            let seats = seats.collect();
            (state, seats)
        });
        Self {
            states: states.collect(),
            ring,
        }
    }

    /// Returns the share of samples in which the ring meets every limit in every state.
    ///
    /// Limits that only caution or prefer are left out. Those held at nominal alone decide for all samples at once: a ring
    /// whose nominal misses one has no chance.
    pub(super) fn pass_probability(
        &self,
        service: &Service<'_>,
        ring: &GlandRing,
        gap: Option<&ExtrusionLimit>,
    ) -> f64 {
        if !service.meets_nominal_limits(ring) {
            return 0.0;
        }
        let limits: Vec<&Limit> = Limit::of(service.rules, service.application(ring))
            .filter(|limit| matches!(limit.severity, Severity::Limit | Severity::Hard))
            .collect();
        let widest = gap.map_or(f64::INFINITY, |limit| limit.clearance_mm.unwrap_or(0.0));
        let [id, section] = ring.spreads();
        let passed = self.ring.iter().enumerate().filter(|(n, [a, b, share])| {
            let pair = (id.drawn(*a), section.drawn(*b));
            self.states.iter().all(|(state, seats)| {
                let scaled = (pair.0 * state.ring, pair.1 * state.ring);
                let rule = Rule::of(state, SectionLaw::Between(*share), None);
                passes(&Point::at(&seats[*n], scaled, rule), &limits, widest)
            })
        });
        passed.count() as f64 / SAMPLES as f64
    }
}

impl Service<'_> {
    /// Returns the spreads of the gland's dimensions.
    pub(super) fn spreads(&self) -> Vec<Spread> {
        let law = |d| self.conditions.law.unwrap_or_else(|| Law::as_written(d));
        self.geometry
            .dimensions()
            .iter()
            .map(|(_, d)| Spread::of(*d, law(*d)))
            .collect()
    }
}

impl GlandRing {
    /// Returns the spreads of inside diameter and section: the tolerance of a ring standard is taken as a 95 % band.
    pub(super) fn spreads(&self) -> [Spread; 2] {
        [self.id, self.section].map(|d| Spread::of(d, Law::Measured))
    }
}

/// Multiplies settled dimensions by the factors of a state.
pub(super) fn scale(mm: &[f64], factors: &[f64], scaled: &mut [f64]) {
    for ((to, from), factor) in scaled.iter_mut().zip(mm).zip(factors) {
        *to = from * factor;
    }
}

/// Tells whether the figures of one sample hold every limit; a limit on a figure that the gland lacks holds.
pub(super) fn passes(point: &Point, limits: &[&Limit], widest_gap: f64) -> bool {
    gap_holds(point, widest_gap) && limits.iter().all(|limit| holds(point, limit))
}

pub(super) fn holds(point: &Point, limit: &Limit) -> bool {
    let value = point.get(limit.figure);
    value.is_nan() || limit.holds(value)
}

pub(super) fn gap_holds(point: &Point, widest: f64) -> bool {
    let gap = point.get(Figure::GapMm);
    gap.is_nan() || gap <= 0.0 || gap <= widest
}
