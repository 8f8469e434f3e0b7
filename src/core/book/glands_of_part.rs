//! A ring judged in the glands of every unit that recorded one.

use super::gather::Member;
use super::gland_judge::{GlandJudge, RingInGland, SealVerdict};
use super::model_units::ModelUnits;
use super::part_line::PartGland;
use crate::core::gland::GlandSpec;

/// Holds the glands of one place of the model, by unit.
pub(super) struct GlandsOfPart<'g> {
    glands: Vec<(usize, &'g GlandSpec)>,
    judge: &'g dyn GlandJudge,
}

impl<'g> GlandsOfPart<'g> {
    pub(super) fn of(members: &[Member<'g>], judge: &'g dyn GlandJudge) -> Self {
        Self {
            glands: members
                .iter()
                .filter_map(|m| Some((m.unit, m.part.entry.gland.as_ref()?)))
                .collect(),
            judge,
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.glands.is_empty()
    }

    pub(super) fn specs(&self) -> impl Iterator<Item = &'g GlandSpec> {
        self.glands.iter().map(|(_, gland)| *gland)
    }

    /// Returns the worst verdict over all glands; `None` where none can be checked.
    pub(super) fn worst(&self, ring: RingInGland<'_>) -> Option<SealVerdict> {
        self.specs()
            .filter_map(|gland| self.judge.judge(ring, gland).ok())
            .map(|opinion| opinion.verdict)
            .max()
    }

    /// Judges a ring in every gland and names the unit whose gland is worst.
    pub(super) fn judged(&self, ring: RingInGland<'_>, units: &ModelUnits<'_>) -> Option<PartGland> {
        if self.glands.is_empty() {
            return None;
        }
        let mut opinions = Vec::new();
        let mut unchecked: Vec<(String, Vec<usize>)> = Vec::new();
        for (unit, gland) in &self.glands {
            match self.judge.judge(ring, gland) {
                Ok(opinion) => opinions.push((*unit, opinion)),
                Err(lack) => match unchecked.iter_mut().find(|(known, _)| *known == lack) {
                    Some((_, units)) => units.push(*unit),
                    None => unchecked.push((lack, vec![*unit])),
                },
            }
        }
        let verdict = opinions.iter().map(|(_, opinion)| opinion.verdict).max();
        let words = opinions
            .iter()
            .find(|(_, opinion)| Some(opinion.verdict) == verdict)
            .map_or_else(String::new, |(unit, opinion)| {
                let same = opinions.iter().all(|(_, o)| Some(o.verdict) == verdict);
                if same || opinion.words.is_empty() {
                    opinion.words.clone()
                } else {
                    format!("{} ({})", opinion.words, units.named(&[*unit]))
                }
            });
        Some(PartGland {
            verdict,
            words,
            checked: opinions.len(),
            unchecked: unchecked
                .into_iter()
                .map(|(lack, of)| format!("{}: {lack}", units.named(&of)))
                .collect(),
        })
    }
}
