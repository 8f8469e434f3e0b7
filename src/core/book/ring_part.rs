//! What all units together say of a ring: size, material, seal, alternates, contradictions.

use super::findings::Findings;
use super::gather::Gathered;
use super::model_units::{ModelUnits, bar, harder_motion};
use super::odds_words::percent;
use super::part_line::{Conflict, ConflictAbout, PartGland, PartMaterial, PartSize, SizeBasis};
use super::ring_alternates::{alternates, suitable};
use super::ring_sizing::{RingSizing, SizeGroup};
use super::seal_check::{RingInGland, SealCheck};
use super::stated_rings::{StatedRing, most_stated, stated_rings};
use super::workshop::Workshop;
use crate::core::elastomer::{ElastomerChoice, SealDuty};
use crate::core::gland::Verdict;
use crate::core::note::PartKind;
use crate::core::quantity::Hardness;
use crate::core::sizes::SizeTable;

/// A size is settled only when its probability is at least this.
const SETTLED: f64 = 0.5;
/// A stated size contradicts the readings when they leave it less than this.
const LEAST_FOR_STATEMENT: f64 = 0.01;
/// The harder of the two usual hardnesses, Shore A.
const HARD: f64 = 90.0;

/// Holds what is needed to judge the ring of one place.
struct RingPart<'p> {
    part: &'p Gathered<'p>,
    units: ModelUnits<'p>,
    seals: SealCheck<'p>,
    sizing: RingSizing,
    stated: Vec<StatedRing>,
    duty: SealDuty,
    choice: ElastomerChoice,
}

/// Finds what all units together say of a ring.
pub(super) fn ring_findings(
    part: &Gathered<'_>,
    units: ModelUnits<'_>,
    workshop: &Workshop<'_>,
) -> Findings {
    let duty = duty_of(part, &units);
    RingPart {
        part,
        units,
        seals: SealCheck::of(&part.members),
        sizing: RingSizing::of(&part.members, workshop.candidates, workshop.instruments),
        stated: stated_rings(&part.members),
        choice: ElastomerChoice::of(&duty, units.threshold),
        duty,
    }
    .findings()
}

fn duty_of(part: &Gathered<'_>, units: &ModelUnits<'_>) -> SealDuty {
    let mut duty = units.hardest_duty();
    for gland in part
        .members
        .iter()
        .filter_map(|m| m.part.entry.gland.as_ref())
    {
        duty.motion = harder_motion(duty.motion, gland.duty);
        let here = gland.pressure.as_ref().map(|p| p.value);
        duty.pressure = match (duty.pressure, here) {
            (Some(known), Some(other)) if bar(other) <= bar(known) => Some(known),
            (known, other) => other.or(known),
        };
    }
    duty
}

impl RingPart<'_> {
    fn findings(self) -> Findings {
        let mut conflicts = Vec::new();
        let mut cautions = self.choice.cautions.clone();
        cautions.extend(self.sizing.faults.iter().cloned());
        let leader = self.leader(&mut conflicts);
        let (ring, agree) = match leader {
            Some(group) => {
                let ring = listed_leader(group);
                self.rivals(group, &mut conflicts);
                (ring, group.units.clone())
            }
            None if self.sizing.groups.is_empty() => match most_stated(&self.stated) {
                Some((ring, agree)) => (Some(ring), agree),
                None => (None, Vec::new()),
            },
            None => (None, Vec::new()),
        };
        let material = self.material(ring);
        let gland = self.gland(ring, &material);
        let rejected = gland.as_ref().and_then(|g| g.verdict) == Some(Verdict::Reject);
        let size = self.size(leader, ring, &agree, rejected);
        self.statements(leader, &mut conflicts);
        self.contradictions(&material, &mut cautions);
        let alternates = match ring {
            Some(ring) if rejected => {
                conflicts.push(rejection(ring, gland.as_ref()));
                suitable(ring, &self.seals, &material)
            }
            Some(ring) => alternates(ring, leader, &self.seals, &material),
            None => Vec::new(),
        };
        Findings {
            size,
            material,
            gland,
            alternates,
            agree,
            conflicts,
            cautions,
        }
    }

    /// Returns the group whose size is listed: the majority, or on a tie the one whose ring suits the gland where the
    /// others do not. The gland outranks the ring, because a ring may have been changed for a wrong one.
    fn leader(&self, conflicts: &mut Vec<Conflict>) -> Option<&SizeGroup> {
        let groups = &self.sizing.groups;
        if groups.is_empty() || self.sizing.has_majority() {
            return groups.first();
        }
        let largest = groups[0].units.len();
        let tied: Vec<&SizeGroup> = groups.iter().filter(|g| g.units.len() == largest).collect();
        let suits: Vec<&SizeGroup> = tied
            .iter()
            .copied()
            .filter(|group| self.verdict_of(group).is_some_and(|v| v != Verdict::Reject))
            .collect();
        let rejected = tied
            .iter()
            .filter(|group| self.verdict_of(group) == Some(Verdict::Reject))
            .count();
        if let [one] = suits.as_slice()
            && rejected + 1 == tied.len()
        {
            return Some(one);
        }
        let sides: Vec<String> = tied
            .iter()
            .map(|group| format!("{}: {}", self.units.named(&group.units), group_words(group)))
            .collect();
        conflicts.push(Conflict {
            about: ConflictAbout::Size,
            units: self
                .units
                .serials(&tied.iter().flat_map(|g| g.units.clone()).collect::<Vec<_>>()),
            words: format!(
                "no size is listed, because as many units speak for one as for another ({}): another variant, or a wrong ring fitted? Measure the glands or one more unit",
                sides.join("; ")
            ),
        });
        None
    }

    fn verdict_of(&self, group: &SizeGroup) -> Option<Verdict> {
        let ring = listed_leader(group)?;
        self.seals.worst(RingInGland {
            ring: &SizeTable::shipped().rings()[ring],
            polymer: self.choice.polymer,
            hardness: self.choice.hardness,
        })
    }

    /// Names the groups that stand apart from the leader.
    fn rivals(&self, leader: &SizeGroup, conflicts: &mut Vec<Conflict>) {
        for group in &self.sizing.groups {
            if std::ptr::eq(group, leader) {
                continue;
            }
            let differences = group.differences(leader);
            let differences = if differences.is_empty() {
                String::new()
            } else {
                format!("; {}", differences.join(", "))
            };
            conflicts.push(Conflict {
                about: ConflictAbout::Size,
                units: self.units.serials(&group.units),
                words: format!(
                    "{} speaks for {}{differences}: another variant, or a wrong ring fitted? Left out of the size listed",
                    self.units.named(&group.units),
                    group_words(group),
                ),
            });
        }
    }

    fn material(&self, ring: Option<usize>) -> PartMaterial {
        if self.part.kind == PartKind::BackupRing {
            return PartMaterial {
                material: self.recorded_material(),
                reason: "back-up rings are taken as recorded; most are PTFE or 90 Shore A rubber"
                    .to_owned(),
                ..PartMaterial::default()
            };
        }
        let mut hardness = self.choice.hardness;
        let mut reason = format!(
            "{}; {}",
            self.choice.polymer_reason, self.choice.hardness_reason
        );
        let harder = Hardness::shore_a(HARD);
        if let Some(ring) = ring
            && hardness.is_some_and(|h| h.value < HARD)
        {
            let verdict = |hardness| {
                self.seals.worst(RingInGland {
                    ring: &SizeTable::shipped().rings()[ring],
                    polymer: self.choice.polymer,
                    hardness,
                })
            };
            if verdict(harder) < verdict(hardness) {
                hardness = harder;
                reason = format!(
                    "{}; the gap beside the groove is too wide for 70 Shore A at this pressure",
                    self.choice.polymer_reason
                );
            }
        }
        PartMaterial {
            polymer: self.choice.polymer,
            hardness,
            material: None,
            reason,
            material_source: Some(self.choice.source),
            material_confidence: Some(self.choice.confidence),
        }
    }

    fn recorded_material(&self) -> Option<String> {
        self.part.members.iter().find_map(|member| {
            let entry = &member.part.entry;
            let polymer = entry.polymer.as_ref().map(|p| p.value.to_string());
            entry.material.clone().or(polymer)
        })
    }

    fn gland(&self, ring: Option<usize>, material: &PartMaterial) -> Option<PartGland> {
        let ring = RingInGland {
            ring: &SizeTable::shipped().rings()[ring?],
            polymer: material.polymer,
            hardness: material.hardness,
        };
        self.seals.judged(ring, &self.units)
    }

    fn size(
        &self,
        leader: Option<&SizeGroup>,
        ring: Option<usize>,
        agree: &[usize],
        rejected: bool,
    ) -> PartSize {
        let table = SizeTable::shipped();
        let listed = ring.map(|ring| &table.rings()[ring]);
        let codes = listed.map_or_else(Vec::new, |ring| table.codes(ring));
        let mut size = PartSize {
            codes,
            id: listed.map(|ring| ring.id.nominal),
            section: listed.map(|ring| ring.section.nominal),
            ..PartSize::unknown("not measured, and no size stated: measure it")
        };
        if let Some(group) = leader {
            size.basis = SizeBasis::Measured;
            size.measured = group.pooled_words();
            let probability = group.identification.ranked.first().map(|r| r.probability);
            size.probability = ring.and(probability);
            let settled = ring.is_some() && probability.is_some_and(|p| p >= SETTLED);
            size.decided = settled && !rejected;
            size.how_sure = group.how_sure();
            if !settled {
                size.how_sure = format!("NOT DECIDED, measure more: {}", size.how_sure);
            } else if rejected {
                size.how_sure = format!("NOT DECIDED, the gland rejects it: {}", size.how_sure);
            }
        } else if ring.is_some() {
            size.basis = SizeBasis::Stated;
            size.decided = !rejected;
            size.how_sure = format!("stated by {}, not measured", self.units.named(agree));
        } else if !self.sizing.groups.is_empty() {
            size = PartSize::unknown("NOT DECIDED: the units contradict each other");
        }
        size
    }

    /// Names stated sizes that the readings, or other statements, speak against.
    fn statements(&self, leader: Option<&SizeGroup>, conflicts: &mut Vec<Conflict>) {
        for stated in &self.stated {
            let words = match leader {
                _ if stated.rings.is_empty() => {
                    format!("{:?} is stated, which names no listed ring", stated.text)
                }
                Some(group) => {
                    let left: f64 = stated.rings.iter().map(|r| group.odds_of(*r)).sum();
                    if left >= LEAST_FOR_STATEMENT {
                        continue;
                    }
                    format!(
                        "{:?} is stated by {}; the readings leave it {}",
                        stated.text,
                        self.units.named(&[stated.unit]),
                        percent(left)
                    )
                }
                None => {
                    let agreed = most_stated(&self.stated);
                    if agreed.is_some_and(|(ring, _)| stated.rings.contains(&ring)) {
                        continue;
                    }
                    format!(
                        "{:?} is stated by {}, others state another size or none, and none is measured",
                        stated.text,
                        self.units.named(&[stated.unit])
                    )
                }
            };
            conflicts.push(Conflict {
                about: ConflictAbout::Statement,
                units: self.units.serials(&[stated.unit]),
                words,
            });
        }
    }

    /// Names recorded materials that the duty speaks against.
    fn contradictions(&self, material: &PartMaterial, cautions: &mut Vec<String>) {
        for member in &self.part.members {
            let entry = &member.part.entry;
            let chosen = ElastomerChoice {
                hardness: material.hardness,
                ..self.choice.clone()
            };
            let found = chosen.contradictions(
                &self.duty,
                self.units.threshold,
                entry.polymer.as_ref().map(|p| p.value),
                entry.hardness.as_ref().map(|h| h.value),
            );
            let unit = self.units.named(&[member.unit]);
            cautions.extend(found.into_iter().map(|words| format!("{unit}: {words}")));
        }
    }
}

/// Says that a ring does not suit its gland.
fn rejection(ring: usize, gland: Option<&PartGland>) -> Conflict {
    let table = SizeTable::shipped();
    let code = table.codes(&table.rings()[ring]).remove(0);
    Conflict {
        about: ConflictAbout::Gland,
        units: Vec::new(),
        words: format!(
            "the ring that came out ({code}) does not suit its gland ({}): a wrong ring fitted, or a gland measured wrong; the alternates are listed rings that suit",
            gland.map_or("", |g| g.words.as_str())
        ),
    }
}

/// Returns the listed ring that leads a group, unless "not a listed size" is more probable.
fn listed_leader(group: &SizeGroup) -> Option<usize> {
    let first = group.identification.ranked.first()?;
    (first.probability > group.identification.unlisted_probability).then_some(first.ring)
}

/// Names the size that a group speaks for.
fn group_words(group: &SizeGroup) -> String {
    let table = SizeTable::shipped();
    match (listed_leader(group), group.identification.ranked.first()) {
        (Some(ring), Some(first)) => {
            let code = table.codes(&table.rings()[ring]).remove(0);
            format!("{code} ({})", percent(first.probability))
        }
        _ => format!(
            "no listed size ({})",
            percent(group.identification.unlisted_probability)
        ),
    }
}
