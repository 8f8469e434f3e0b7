//! What takes the place of a part: what was said, and what dimensions and glands propose.

use super::part_spec::{PartSpec, RingSpec};
use super::statement::{Grade, Statement};
use crate::core::book::{PartLine, RingInGland};
use crate::core::gland::Verdict;
use crate::core::provenance::Sourced;
use crate::core::quantity::Dimension;
use crate::core::sizes::{Designated, NearGrade, SizeTable};
use crate::core::supply::NamedRing;
use serde::Serialize;

/// One place that uses the part.
#[derive(Debug, Clone, Serialize)]
pub struct UsedAt {
    pub model: String,
    /// Section and position.
    pub place: String,
    /// What it is called there.
    pub part: String,
    /// The part as it is listed there.
    pub spec: String,
    /// Whether the size is settled there; else it is only the likeliest.
    pub decided: bool,
    /// How many one unit needs.
    pub quantity: u32,
    /// Units that were recorded with it.
    pub units: usize,
    /// How the listed part seals there; `None` where no gland was recorded or it is no ring.
    pub verdict: Option<Verdict>,
    /// Other shops whose records the line rests on.
    pub rests_on: Vec<String>,
    /// The line itself, for checks.
    #[serde(skip)]
    pub line: PartLine,
}

/// How a ring seals at one place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct GlandAt {
    /// Model and place.
    pub at: String,
    /// The worst verdict over the glands recorded there; `None` where none could be checked.
    pub verdict: Option<Verdict>,
}

/// One part that may take the place, or was tried.
#[derive(Debug, Clone, Serialize)]
pub struct StandIn {
    pub part: String,
    /// How well it fits: as it was said, else as it was computed; `None` where a gland rejects it, or none could be checked.
    pub grade: Option<Grade>,
    /// What was said of it; empty for a proposal.
    pub said: Vec<Sourced<Statement>>,
    /// How near its dimensions are; `None` where it is no listed ring near the part.
    pub near: Option<NearGrade>,
    /// How it seals at each place that uses the part.
    pub glands: Vec<GlandAt>,
}

/// The most rings that are proposed.
const MOST: usize = 12;

/// Lists what takes the place of a part: what was said of it, failures first, then listed rings of near dimensions with the
/// verdict of every gland that uses the part.
///
/// `said` holds statements with the two parts as they read; a statement counts where its first part is `spec`, and one of
/// [`Grade::Same`] either way round.
pub fn substitutes(
    spec: &PartSpec,
    used: &[UsedAt],
    said: &[(Sourced<Statement>, PartSpec, PartSpec)],
) -> Vec<StandIn> {
    let mut found: Vec<(PartSpec, StandIn)> = Vec::new();
    for (statement, part, stand_in) in said {
        let other = if part.is_same(spec) {
            stand_in
        } else if statement.grade == Grade::Same && stand_in.is_same(spec) {
            part
        } else {
            continue;
        };
        let at = place_of(&mut found, other, used);
        found[at].1.said.push(statement.clone());
    }
    for (other, near) in near_rings(spec) {
        let at = place_of(&mut found, &other, used);
        found[at].1.near = Some(near);
    }
    let mut lines: Vec<StandIn> = found.into_iter().map(|(_, line)| line).collect();
    for line in &mut lines {
        line.grade = grade(line);
    }
    // Stable: within one rank the nearest stays first.
    lines.sort_by_key(rank);
    let proposals = lines.iter().filter(|line| line.said.is_empty()).count();
    lines.truncate(lines.len() - proposals.saturating_sub(MOST));
    lines
}

/// Returns the place of a part among those found; one that is new goes to their end.
fn place_of(found: &mut Vec<(PartSpec, StandIn)>, other: &PartSpec, used: &[UsedAt]) -> usize {
    let known = found.iter().position(|(known, _)| known.is_same(other));
    known.unwrap_or_else(|| {
        let line = StandIn {
            part: other.to_string(),
            grade: None,
            said: Vec::new(),
            near: None,
            glands: glands_of(other, used),
        };
        found.push((other.clone(), line));
        found.len() - 1
    })
}

/// The worst that anybody says of it; else what the glands say. A failure is never outvoted.
fn grade(line: &StandIn) -> Option<Grade> {
    let said = |grade: Grade| line.said.iter().any(|one| one.grade == grade);
    let worst_first = [Grade::Failed, Grade::FitsWithWork, Grade::Fits, Grade::Same];
    if let Some(grade) = worst_first.into_iter().find(|grade| said(*grade)) {
        return Some(grade);
    }
    let verdicts: Vec<Option<Verdict>> = line.glands.iter().map(|gland| gland.verdict).collect();
    let all_good = !verdicts.is_empty() && verdicts.iter().all(|v| *v == Some(Verdict::Good));
    all_good.then_some(Grade::Fits)
}

fn rank(line: &StandIn) -> (u8, Option<Verdict>) {
    let worst = line.glands.iter().filter_map(|gland| gland.verdict).max();
    let place = match (line.grade, line.said.is_empty()) {
        (Some(Grade::Failed), _) => 0,
        (Some(Grade::Same), false) => 1,
        (Some(Grade::Fits), false) => 2,
        (Some(Grade::FitsWithWork), false) => 3,
        (Some(_), true) => 4,
        (None, _) => 5,
    };
    (place, worst)
}

fn near_rings(spec: &PartSpec) -> Vec<(PartSpec, NearGrade)> {
    let PartSpec::Ring(asked) = spec else {
        return Vec::new();
    };
    let table = SizeTable::shipped();
    let (id, section) = match asked.ring.listing().map(|at| table.size(at)) {
        Some(size) => (size.id, size.section),
        None => (
            Dimension::exact(asked.ring.size.id),
            Dimension::exact(asked.ring.size.section),
        ),
    };
    let mut rings: Vec<(PartSpec, NearGrade)> = Vec::new();
    for near in table.equivalents(id, section, "") {
        let Some(size) = table.find_code(&near.size.code()) else {
            continue;
        };
        let other = PartSpec::Ring(RingSpec {
            ring: NamedRing::of(&Designated::Listed(size)),
            polymer: asked.polymer,
            hardness: asked.hardness,
        });
        if !other.is_same(spec) && !rings.iter().any(|(known, _)| known.is_same(&other)) {
            rings.push((other, near.grade));
        }
    }
    rings
}

fn glands_of(spec: &PartSpec, used: &[UsedAt]) -> Vec<GlandAt> {
    let PartSpec::Ring(ring) = spec else {
        return Vec::new();
    };
    let listed = ring.ring.listing();
    let listed = listed.and_then(|at| SizeTable::shipped().ring_of(at));
    used.iter()
        .map(|place| GlandAt {
            at: format!("{} {}", place.model, place.place),
            verdict: listed.and_then(|listed| {
                // A material that is not named is that of the place.
                let made = RingInGland {
                    ring: listed,
                    polymer: ring.polymer.or(place.line.material.polymer),
                    hardness: ring.hardness.or(place.line.material.hardness),
                };
                let glands = place.line.glands.iter();
                glands.filter_map(|gland| made.verdict_in(gland)).max()
            }),
        })
        .collect()
}
