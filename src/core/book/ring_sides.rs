//! Which of several groups of units speaks for the model, and what is said of the others.

use super::gather::{Gathered, Member};
use super::gland_variants::gland_differences;
use super::model_units::ModelUnits;
use super::part_line::{Conflict, ConflictAbout};
use super::ring_odds::RingOdds;
use super::ring_sizing::{RingSizing, SizeGroup};
use super::seal_check::{RingInGland, SealCheck};
use crate::core::elastomer::ElastomerChoice;
use crate::core::gland::GlandSpec;
use crate::core::sizes::SizeTable;

/// Holds one group of units with its glands and its odds, the glands counted in.
pub(super) struct Side<'s> {
    pub(super) group: &'s SizeGroup,
    pub(super) seals: SealCheck<'s>,
    pub(super) odds: RingOdds,
    glands: Vec<&'s GlandSpec>,
}

/// Holds the sides of one place of the model.
pub(super) struct Sides<'s> {
    pub(super) sides: Vec<Side<'s>>,
    /// The place of the side that speaks for the model; `None` on a tie, or where nothing was measured.
    pub(super) leader: Option<usize>,
}

impl<'s> Sides<'s> {
    pub(super) fn of(
        part: &Gathered<'s>,
        sizing: &'s RingSizing,
        choice: &ElastomerChoice,
    ) -> Self {
        let sides: Vec<Side<'s>> = sizing
            .groups
            .iter()
            .map(|group| Side::of(part, sizing, group, choice))
            .collect();
        let leader = if sizing.has_majority() {
            Some(0)
        } else {
            favoured(&sides)
                .filter(|(_, odds)| *odds >= STRONG)
                .map(|(place, _)| place)
        };
        Self { sides, leader }
    }

    pub(super) fn leading(&self) -> Option<&Side<'s>> {
        self.sides.get(self.leader?)
    }

    /// Names what stands against the size that is listed, or why none is.
    pub(super) fn conflicts(&self, part: &Gathered<'_>, units: &ModelUnits<'_>) -> Vec<Conflict> {
        let Some(leader) = self.leading() else {
            return self.tie(units).into_iter().collect();
        };
        let mut conflicts: Vec<Conflict> = self
            .sides
            .iter()
            .enumerate()
            .filter(|(place, _)| Some(*place) != self.leader)
            .map(|(_, side)| side.against(leader, units))
            .collect();
        conflicts.extend(self.strange_glands(part, leader, units));
        conflicts
    }

    fn tie(&self, units: &ModelUnits<'_>) -> Option<Conflict> {
        /// Odds below this are not worth a word.
        const WORTH_A_WORD: f64 = 2.0;
        let largest = self.sides.first()?.group.units.len();
        let tied: Vec<&Side<'_>> = self
            .sides
            .iter()
            .filter(|side| side.group.units.len() == largest)
            .collect();
        let words: Vec<String> = tied
            .iter()
            .map(|side| {
                let named = units.named(&side.group.units);
                format!("{named}: {}", side.came_out().leader_words())
            })
            .collect();
        let glands = favoured(&self.sides)
            .filter(|(_, odds)| *odds >= WORTH_A_WORD)
            .map_or_else(String::new, |(place, odds)| {
                let named = units.named(&self.sides[place].group.units);
                format!("; the glands speak for {named} by {odds:.0} to 1, not enough to decide")
            });
        let all: Vec<usize> = tied.iter().flat_map(|s| s.group.units.clone()).collect();
        Some(Conflict {
            about: ConflictAbout::Size,
            units: units.serials(&all),
            words: format!(
                "no size is listed, because as many units speak for one as for another ({}){glands}: another variant, or a wrong ring fitted? Measure one more unit",
                words.join("; ")
            ),
        })
    }

    /// Names units without a usable reading whose gland is not that of the leader.
    fn strange_glands(
        &self,
        part: &Gathered<'_>,
        leader: &Side<'_>,
        units: &ModelUnits<'_>,
    ) -> Vec<Conflict> {
        let measured = |unit: usize| self.sides.iter().any(|s| s.group.units.contains(&unit));
        part.members
            .iter()
            .filter(|member| !measured(member.unit))
            .filter_map(|member| {
                let gland = member.part.entry.gland.as_ref()?;
                let differences = differences(&[gland], &leader.glands);
                (!differences.is_empty()).then(|| Conflict {
                    about: ConflictAbout::Gland,
                    units: units.serials(&[member.unit]),
                    words: format!(
                        "the gland of {} is another one ({}): another variant? Its ring was not measured",
                        units.named(&[member.unit]),
                        differences.join(", ")
                    ),
                })
            })
            .collect()
    }
}

/// On a tie the glands decide when they speak for one side by at least these odds: "strong" evidence by Kass and Raftery,
/// Journal of the American Statistical Association 90 (1995) 773. The gland outranks the ring, because a ring may have
/// been changed for a wrong one.
const STRONG: f64 = 20.0;

/// Returns the side for which the glands speak most, and by which odds against the next; only sides as large as the
/// largest count, and all of them must have glands that could be checked.
fn favoured(sides: &[Side<'_>]) -> Option<(usize, f64)> {
    let largest = sides.first()?.group.units.len();
    let mut evidence = Vec::new();
    for (place, side) in sides.iter().enumerate() {
        if side.group.units.len() == largest {
            evidence.push((place, side.odds.glands()?.readiness));
        }
    }
    evidence.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    match evidence.as_slice() {
        [(place, most), (_, next), ..] => Some((*place, most / next)),
        _ => None,
    }
}

impl<'s> Side<'s> {
    fn of(
        part: &Gathered<'s>,
        sizing: &RingSizing,
        group: &'s SizeGroup,
        choice: &ElastomerChoice,
    ) -> Self {
        let own = |member: &&Member<'s>| group.units.contains(&member.unit);
        let glands: Vec<&GlandSpec> = part
            .members
            .iter()
            .filter(own)
            .filter_map(|m| m.part.entry.gland.as_ref())
            .collect();
        let like_ours = |member: &&Member<'s>| {
            let gland = member.part.entry.gland.as_ref();
            sizing.unmeasured.contains(&member.unit)
                && gland.is_some_and(|g| differences(&[g], &glands).is_empty())
        };
        let seals = SealCheck::of(
            part.members
                .iter()
                .filter(|member| own(member) || like_ours(member)),
        );
        let odds = RingOdds::of(&group.identification)
            .with_glands(|ring| seals.worst(in_gland(ring, choice)));
        Self {
            group,
            seals,
            odds,
            glands,
        }
    }

    /// Returns the odds of what came out, the glands not counted.
    pub(super) fn came_out(&self) -> RingOdds {
        RingOdds::of(&self.group.identification)
    }

    /// Tells whether the glands reject what probably came out.
    pub(super) fn is_rejected(&self) -> bool {
        const PROBABLY: f64 = 0.5;
        self.odds.glands().is_some_and(|g| g.rejected > PROBABLY)
    }

    /// Says what this side speaks for, against the leader.
    fn against(&self, leader: &Side<'_>, units: &ModelUnits<'_>) -> Conflict {
        let named = units.named(&self.group.units);
        let readings = self.group.differences(leader.group);
        let glands = differences(&self.glands, &leader.glands);
        // In a gland of its own its gland says what belongs there; in the same gland, what came out is the question.
        let size = if glands.is_empty() {
            self.came_out()
        } else {
            self.odds.clone()
        };
        let guess = if !glands.is_empty() {
            format!(
                "its gland is another one too ({}): another variant?",
                glands.join(", ")
            )
        } else if self.is_rejected() {
            "the gland is the same and rejects it: a wrong ring fitted?".to_owned()
        } else {
            "another variant, or a wrong ring fitted?".to_owned()
        };
        Conflict {
            about: ConflictAbout::Size,
            units: units.serials(&self.group.units),
            words: format!(
                "{named} differs: {} ({}); {guess} Left out of the size listed",
                size.leader_words(),
                readings.join(", ")
            ),
        }
    }
}

/// Names the differences between any gland of one list and any of another, each once.
fn differences(ours: &[&GlandSpec], theirs: &[&GlandSpec]) -> Vec<String> {
    for ours in ours {
        for theirs in theirs {
            let found = gland_differences(ours, theirs);
            if !found.is_empty() {
                return found;
            }
        }
    }
    Vec::new()
}

fn in_gland<'r>(ring: usize, choice: &ElastomerChoice) -> RingInGland<'r> {
    RingInGland {
        ring: &SizeTable::shipped().rings()[ring],
        polymer: choice.polymer,
        hardness: choice.hardness,
    }
}
