//! A ring of the parts list judged in the glands of every unit that recorded one.

use super::gather::Member;
use super::model_units::ModelUnits;
use super::part_line::{PartGland, PartMaterial};
use crate::core::elastomer::Polymer;
use crate::core::gland::{
    Check, Conditions, Duty, Figure, Geometry, GlandRing, GlandSpec, Judgement, RuleSet, Service,
    Verdict, geometry,
};
use crate::core::quantity::{Hardness, HardnessScale};
use crate::core::sizes::{ListedRing, SizeTable};

/// A ring with what it is made of, as it is put into a gland; the softer usual hardness is taken where none is named.
#[derive(Debug, Clone, Copy)]
pub struct RingInGland {
    pub ring: &'static ListedRing,
    pub polymer: Option<Polymer>,
    pub hardness: Option<Hardness>,
}

impl RingInGland {
    /// Takes the ring at a place of the table, made of what a line names.
    pub(super) fn of(ring: usize, material: &PartMaterial) -> Self {
        Self {
            ring: &SizeTable::shipped().rings()[ring],
            polymer: material.polymer,
            hardness: material.hardness,
        }
    }

    /// Judges it in a gland; `None` where the gland lacks a dimension.
    pub fn verdict_in(self, spec: &GlandSpec) -> Option<Verdict> {
        let judgement = self.judge(spec, &geometry(spec).ok()?);
        Some(judgement.verdict)
    }

    fn judge(self, spec: &GlandSpec, geometry: &Geometry) -> Judgement {
        let hardness = self.hardness;
        let shore_a = hardness
            .filter(|hardness| hardness.scale == HardnessScale::ShoreA)
            .map_or(ASSUMED_SHORE_A, |hardness| hardness.value);
        let service = Service {
            geometry,
            duty: spec.duty.unwrap_or(Duty::Static),
            pressure: spec.pressure.as_ref().map(|p| p.value),
            conditions: Conditions {
                polymer: self.polymer,
                ..Conditions::default()
            },
            shore_a,
            rules: RuleSet::default(),
        };
        service.judge(&GlandRing::of_listed(self.ring, SizeTable::shipped()))
    }
}

/// The glands of one place of the model, by unit.
pub(super) struct SealCheck<'g> {
    glands: Vec<UnitGland<'g>>,
}

struct UnitGland<'g> {
    unit: usize,
    spec: &'g GlandSpec,
    /// The geometry, or what it lacks.
    geometry: Result<Geometry, String>,
}

/// The hardness that is taken where none is chosen: the softer of the two usual ones, which extrudes sooner.
const ASSUMED_SHORE_A: f64 = 70.0;

impl<'g> SealCheck<'g> {
    pub(super) fn of<'m>(members: impl Iterator<Item = &'m Member<'g>>) -> Self
    where
        'g: 'm,
    {
        let glands = members.filter_map(|member| {
            let spec = member.entry.gland.as_ref()?;
            Some(UnitGland {
                unit: member.unit,
                spec,
                geometry: geometry(spec).map_err(|error| error.to_string()),
            })
        });
        Self {
            glands: glands.collect(),
        }
    }

    /// Returns the worst verdict over all glands; `None` where none can be checked.
    pub(super) fn worst(&self, ring: RingInGland) -> Option<Verdict> {
        self.glands
            .iter()
            .filter_map(|gland| gland.judge(ring))
            .map(|judgement| judgement.verdict)
            .max()
    }

    /// Judges a ring in every gland and names the unit whose gland is worst; `None` where no gland was recorded.
    pub(super) fn judged(&self, ring: RingInGland, units: &ModelUnits<'_>) -> Option<PartGland> {
        if self.glands.is_empty() {
            return None;
        }
        let judgements: Vec<(usize, Judgement)> = self
            .glands
            .iter()
            .filter_map(|gland| Some((gland.unit, gland.judge(ring)?)))
            .collect();
        let verdict = judgements.iter().map(|(_, j)| j.verdict).max();
        let words = judgements
            .iter()
            .find(|(_, judgement)| Some(judgement.verdict) == verdict)
            .map_or_else(String::new, |(unit, judgement)| {
                let same = judgements.iter().all(|(_, j)| Some(j.verdict) == verdict);
                let words = judgement_words(judgement);
                if same {
                    words
                } else {
                    format!("{words} ({})", units.named(&[*unit]))
                }
            });
        Some(PartGland {
            verdict,
            words,
            checked: judgements.len(),
            unchecked: self.unchecked(units),
        })
    }

    fn unchecked(&self, units: &ModelUnits<'_>) -> Vec<String> {
        let mut lacking: Vec<(&str, Vec<usize>)> = Vec::new();
        for gland in &self.glands {
            let Err(lack) = &gland.geometry else { continue };
            match lacking.iter_mut().find(|(known, _)| known == lack) {
                Some((_, of)) => of.push(gland.unit),
                None => lacking.push((lack, vec![gland.unit])),
            }
        }
        lacking
            .into_iter()
            .map(|(lack, of)| format!("{}: {lack}", units.named(&of)))
            .collect()
    }
}

impl UnitGland<'_> {
    fn judge(&self, ring: RingInGland) -> Option<Judgement> {
        Some(ring.judge(self.spec, self.geometry.as_ref().ok()?))
    }
}

/// Says what decided a verdict: the checks that are as bad as the whole, and how much the ring is squeezed.
fn judgement_words(judgement: &Judgement) -> String {
    let mut words = Vec::new();
    if let Some(squeeze) = judgement
        .states
        .first()
        .and_then(|(_, figures)| figures.get(Figure::SqueezePct))
    {
        words.push(format!(
            "squeeze {:.0} to {:.0} %",
            squeeze.min, squeeze.max
        ));
    }
    if judgement.verdict != Verdict::Good {
        words.extend(
            judgement
                .checks
                .iter()
                .filter(|check| check.verdict == judgement.verdict)
                .map(check_words),
        );
    }
    words.join("; ")
}

fn check_words(check: &Check) -> String {
    let Some(value) = check.value else {
        return format!("{} {}", check.name, check.rule);
    };
    let unit = check.unit;
    let limits = match (check.low, check.high) {
        (Some(low), Some(high)) => format!("{low} to {high} {unit} allowed"),
        (Some(low), None) => format!("at least {low} {unit}"),
        (None, Some(high)) => format!("at most {high} {unit}"),
        (None, None) => check.rule.clone(),
    };
    format!(
        "{} {} {unit} ({limits})",
        check.name,
        (value * 100.0).round() / 100.0
    )
}
