//! The chance that a ring meets every limit, by sampling the tolerance stack.

use super::column::{Column, Held, LENGTH};
use super::draw::Draw;
use super::extrusion::ExtrusionLimit;
use super::judgement::Service;
use super::law::{Law, Spread};
use super::limits::{Limit, Severity};
use super::ring::GlandRing;
use super::seated_rings::Rings;
use super::seats::Seats;
use super::state::State;
use super::tally::{StateTally, grown_seats};

/// Samples of the stack; with them a chance agreed with an independent Monte Carlo within 1 % in 32 of 32 trials.
const SAMPLES: usize = 4096;

/// One fixed set of samples of a gland's stack, shared by every ring that is tried in it.
///
/// The law of section loss is drawn evenly between the two that are published.
#[derive(Debug)]
pub(super) struct Stack {
    states: Vec<State>,
    batches: Vec<Batch>,
}

/// The samples of one batch.
#[derive(Debug)]
struct Batch {
    /// Deviations of inside diameter and section in half widths.
    ring: [Column; 2],
    share: Column,
    seats: Seats,
    /// The seats under pressure, where a state has it.
    grown: Option<Box<Seats>>,
}

impl Stack {
    pub(super) fn of(service: &Service<'_>) -> Self {
        let states = service.states();
        let growth = states.iter().map(|s| s.growth).find(|g| *g != 0.0);
        let spreads = service.spreads();
        let gland = spreads.len();
        let spreads: Vec<Spread> = spreads.into_iter().chain([Spread::BAND; 2]).collect();
        let mut draw = Draw::new(&spreads, SAMPLES);
        let batches = (0..SAMPLES / LENGTH).map(|_| {
            draw.advance();
            let mm = &draw.mm[..gland];
            let mut seats = Seats::new();
            service.geometry.seats(mm, &mut seats);
            Batch {
                ring: [draw.deviates[gland], draw.deviates[gland + 1]],
                share: draw.share,
                grown: growth.map(|growth| grown_seats(service.geometry, mm, growth)),
                seats,
            }
        });
        let batches = batches.collect();
        Self { states, batches }
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
        let tallies = self.states.iter().map(|state| {
            let limits = Limit::of(service.rules, service.application(ring))
                .filter(|limit| matches!(limit.severity, Severity::Limit | Severity::Hard));
            StateTally::new(state.clone(), limits, gap, &[])
        });
        let mut tallies: Vec<StateTally> = tallies.collect();
        let spreads = ring.spreads();
        let mut passed = 0;
        for batch in &self.batches {
            let [id, section] = [0, 1].map(|i| batch.ring[i].map(|z| spreads[i].at(z)));
            let rings = Rings {
                id: &id,
                section: &section,
                share: Some(&batch.share),
            };
            let mut held = Held::all();
            for tally in &mut tallies {
                let grown = batch.grown.as_deref().filter(|_| tally.state.growth != 0.0);
                let seats = grown.unwrap_or(&batch.seats);
                tally.count(rings, seats, &mut held, LENGTH, |_, _| {});
            }
            passed += held.count(LENGTH);
        }
        passed as f64 / SAMPLES as f64
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
