//! A ring judged in a gland.

use super::back_up::width_check;
use super::check::{Check, NOMINAL, Verdict, WORST};
use super::extrusion::{BACK_UP_PSI, ExtrusionLimit, extrusion_limit};
use super::figure::{Figure, Figures};
use super::geometry::Geometry;
use super::limits::{Application, Limit, RuleSet, Severity};
use super::ring::GlandRing;
use super::spec::Duty;
use super::state::{Conditions, State};
use crate::core::quantity::{Pressure, PressureUnit};

/// What a ring is judged for: the gland, its duty and the rules.
#[derive(Debug)]
pub struct Service<'g> {
    pub geometry: &'g Geometry,
    pub duty: Duty,
    /// Greatest pressure.
    pub pressure: Option<Pressure>,
    pub conditions: Conditions,
    pub shore_a: f64,
    pub rules: RuleSet,
}

/// The figures of every state, every check, and the verdict.
#[derive(Debug)]
pub struct Judgement {
    /// States with their figures, the assembled one first.
    pub states: Vec<(State, Figures)>,
    /// Checks in the order in which they are made.
    pub checks: Vec<Check>,
    /// The worst verdict of all checks.
    pub verdict: Verdict,
}

impl Service<'_> {
    /// Returns what selects the limits for a ring.
    pub fn application(&self, ring: &GlandRing) -> Application {
        Application {
            kind: self.geometry.kind(),
            duty: self.duty,
            section_mm: ring.section.nominal.mm(),
            id_mm: ring.id.nominal.mm(),
        }
    }

    /// Judges a ring in every state.
    pub fn judge(&self, ring: &GlandRing) -> Judgement {
        let states: Vec<(State, Figures)> = self
            .states()
            .into_iter()
            .map(|state| {
                let figures = Figures::worst_case(self.geometry, ring, &state);
                (state, figures)
            })
            .collect();
        let mut checks = Vec::new();
        for (index, (state, figures)) in states.iter().enumerate() {
            let first = index == 0;
            for limit in Limit::of(self.rules, self.application(ring)) {
                if !first && !follows_the_state(limit) {
                    continue;
                }
                if let Some(bounds) = applicable(limit, figures) {
                    checks.push(Check::of(limit, bounds, &state.name, first));
                }
            }
            if first || state.growth > 0.0 {
                checks.extend(self.extrusion(state, figures, first));
            }
        }
        checks.extend(width_check(self.geometry, self.duty, ring));
        checks.extend(self.temperature());
        checks.extend(self.conditions.thread.map(|thread| thread.check(ring)));
        let verdict = checks
            .iter()
            .map(|check| check.verdict)
            .max()
            .unwrap_or(Verdict::Good);
        Judgement {
            states,
            checks,
            verdict,
        }
    }

    /// Lists the states that the conditions call for, the assembled one first.
    pub fn states(&self) -> Vec<State> {
        let mut states = State::all(&self.conditions);
        states.extend(State::under_pressure(
            &self.conditions,
            self.geometry,
            self.pressure,
        ));
        states
    }

    /// Returns the widest gap allowed at the pressure, where a pressure is known.
    pub(super) fn gap_limit(&self) -> Option<ExtrusionLimit> {
        let psi = self.pressure?.gauge_in(PressureUnit::Psi).abs();
        Some(extrusion_limit(psi, self.shore_a, self.conditions.polymer))
    }

    fn extrusion(&self, state: &State, figures: &Figures, first: bool) -> Option<Check> {
        let limit = self.gap_limit()?;
        let gap = figures.get(Figure::GapMm);
        let closed = gap.is_some_and(|g| g.max <= 0.0);
        let (verdict, rule) = match (gap, limit.clearance_mm) {
            (Some(_), _) if closed => (
                Verdict::Good,
                "no gap, so nothing can be pressed into it".to_owned(),
            ),
            (None, _) => (
                Verdict::Marginal,
                format!(
                    "not checked: give the diameter of the part beside the groove ({}); {}",
                    self.beside(),
                    limit.rule
                ),
            ),
            (Some(_), None) => (Verdict::Reject, limit.rule.clone()),
            (Some(gap), Some(widest)) => (
                gap_verdict(gap.nominal, gap.max, widest, &limit),
                limit.rule.clone(),
            ),
        };
        let (verdict, rule) = self.bridged(verdict, rule);
        let what = "extrusion gap";
        Some(Check {
            name: if first {
                what.to_owned()
            } else {
                format!("{what} ({})", state.name)
            },
            what,
            bounds: gap,
            state: state.name.clone(),
            value: gap.map(|g| g.max),
            nominal: gap.map(|g| g.nominal),
            low: None,
            high: if closed {
                None
            } else {
                limit.clearance_mm.or(Some(0.0))
            },
            unit: "mm",
            held_at: WORST,
            verdict,
            rule,
            source: limit.source.to_owned(),
            confidence: limit.confidence,
            figure: Some(Figure::GapMm),
            quiet: !first,
        })
    }

    /// Softens what is said of a gap that a back-up ring bridges: no published figure says how wide a one it bears.
    fn bridged(&self, verdict: Verdict, rule: String) -> (Verdict, String) {
        if verdict != Verdict::Reject || self.geometry.back_ups() == 0 {
            return (verdict, rule);
        }
        let rule = format!(
            "{rule}: the back-up ring bridges the gap, and its maker says how wide a one at this pressure"
        );
        (Verdict::Marginal, rule)
    }

    /// Returns the word of the part whose diameter makes the gap.
    pub fn beside(&self) -> &'static str {
        self.geometry.beside().map_or("", |d| d.word())
    }

    /// Tells whether a back-up ring is to be considered: high pressure and a gap.
    pub fn wants_back_up(&self, figures: &Figures) -> bool {
        let high = self
            .pressure
            .is_some_and(|p| p.gauge_in(PressureUnit::Psi).abs() > BACK_UP_PSI);
        high && figures.get(Figure::GapMm).is_none_or(|g| g.max > 0.0)
    }

    fn temperature(&self) -> Option<Check> {
        let range = self.conditions.temperature?;
        let facts = self.conditions.polymer?.facts();
        let (low, high) = (facts.temp_min_c?, facts.temp_max_c?);
        let (cold, hot) = (range.coldest.celsius(), range.hottest.celsius());
        let too_cold = low - cold >= hot - high;
        let inside = cold >= low && hot <= high;
        Some(Check {
            name: "temperature".to_owned(),
            what: "temperature",
            value: Some(if too_cold { cold } else { hot }),
            low: Some(low),
            high: Some(high),
            unit: "°C",
            held_at: NOMINAL,
            verdict: if inside {
                Verdict::Good
            } else {
                Verdict::Marginal
            },
            rule: format!("standard {} compounds", facts.polymer),
            source: facts.source.clone(),
            confidence: facts.confidence,
            quiet: true,
            ..Check::default()
        })
    }
}

fn gap_verdict(nominal: f64, worst: f64, widest: f64, limit: &ExtrusionLimit) -> Verdict {
    const ROUND_OFF_MM: f64 = 1e-9;
    if nominal > widest + ROUND_OFF_MM {
        Verdict::Reject
    } else if worst > widest + ROUND_OFF_MM || limit.softer_than_table {
        Verdict::Marginal
    } else {
        Verdict::Good
    }
}

/// A change of state moves squeeze and fill; how the ring sits was settled when it was assembled.
pub(super) fn follows_the_state(limit: &Limit) -> bool {
    let moved = matches!(
        limit.figure,
        Figure::SqueezePct | Figure::SqueezeMm | Figure::FillPct | Figure::OpenSideMm
    );
    moved && matches!(limit.severity, Severity::Limit | Severity::Hard)
}

/// Returns the bounds that a limit speaks of, where the gland has that figure.
///
/// A face gland with pressure from inside carries its ring at the outside: its stretch is zero by definition and is no check.
pub(super) fn applicable(limit: &Limit, figures: &Figures) -> Option<super::bounds::Bounds> {
    let on_inside = figures.get(Figure::InsideFitPct).is_some();
    if limit.figure == Figure::StretchPct && !on_inside {
        return None;
    }
    // Without runout and side shift the open side is the whole ring, which is checked already.
    let open = |figure| figures.get(figure).map(|b| b.min);
    if limit.figure == Figure::OpenSideMm && open(Figure::OpenSideMm) >= open(Figure::SqueezeMm) {
        return None;
    }
    figures.get(limit.figure)
}
