//! What the units of other shops would make of a line of ours.
//!
//! A list is formed from our own units. Those of other shops settle only what ours leave open, say beside a line what
//! they would change, and never decide what becomes of a part. A unit is ours where a note of it is ours or was
//! accepted by name; then no other note speaks for it. Ratings are not read from a note that is not ours, nor does a
//! job take gas or purpose from one; jobs are held against our own units alone, where there are any.

use super::gather::{Gathered, Member};
use super::part_length::same_lengths;
use super::part_line::{PartAction, PartLine, PartSize};
use super::unit_record::UnitRecord;
use serde::{Deserialize, Serialize};

/// Says what a line would be if the units of other shops counted as ours; ours stands until somebody here accepts their notes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Elsewhere {
    pub about: ElsewhereAbout,
    pub shops: Vec<String>,
    /// Their units that have the part, by serial number.
    pub units: Vec<String>,
    /// What our own units say.
    pub ours: String,
    /// What it would be with theirs.
    pub theirs: String,
}

/// Names in what a line would differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ElsewhereAbout {
    /// The size, or whether it is settled.
    Size,
    /// What it is made of.
    Material,
    /// How many there are.
    Quantity,
}

/// The lines of a list with the parts that they were made from.
pub(super) struct Formed<'u> {
    pub(super) gathered: Vec<Gathered<'u>>,
    pub(super) lines: Vec<PartLine>,
}

impl Formed<'_> {
    /// Finds the line that holds this part of a unit.
    fn line_of(&self, member: &Member<'_>) -> Option<(&Gathered<'_>, &PartLine)> {
        let holds = |part: &&Gathered<'_>| {
            let mut members = part.members.iter();
            members.any(|one| std::ptr::eq(one.entry, member.entry))
        };
        let mut both = self.gathered.iter().zip(&self.lines);
        both.find(|(part, _)| holds(part))
    }
}

/// Puts the list of our own units beside that of all units, ours first in `units`: a line of ours stands as our units alone make it,
/// and says what the others would make of it; what ours leave open and the others settle rests on them; what only others have
/// comes last, to be looked for, and is never replaced because they do.
pub(super) fn beside(own: &Formed<'_>, all: &Formed<'_>, units: &[UnitRecord]) -> Vec<PartLine> {
    let of_others = |member: &Member<'_>| !units[member.unit].whose.is_ours();
    let mut lines: Vec<PartLine> = Vec::new();
    for (part, line) in own.gathered.iter().zip(&own.lines) {
        let mut line = line.clone();
        let there = part.members.first().and_then(|one| all.line_of(one));
        if let Some((together, theirs)) = there {
            let others = together.members.iter().filter(|member| of_others(member));
            let others: Vec<&UnitRecord> = others.map(|member| &units[member.unit]).collect();
            if !others.is_empty() {
                compare(&mut line, theirs, &others);
            }
        }
        lines.push(line);
    }
    for (part, line) in all.gathered.iter().zip(&all.lines) {
        if part.members.iter().all(of_others) {
            lines.push(PartLine {
                number: lines.len() + 1,
                action: line.action.max(PartAction::OnCondition),
                ..line.clone()
            });
        }
    }
    lines
}

/// Compares a line of ours with what all units together make of it.
fn compare(line: &mut PartLine, all: &PartLine, others: &[&UnitRecord]) {
    let shops = UnitRecord::shops_of(others.iter().copied());
    let units: Vec<String> = others.iter().map(|unit| unit.serial.clone()).collect();
    let outvoted = |serial: &String| !units.contains(serial);
    let against_ours = all
        .conflicts
        .iter()
        .any(|conflict| conflict.about.touches_size() && conflict.units.iter().any(outvoted));
    let mut differ = |about, ours: String, theirs: String| {
        line.elsewhere.push(Elsewhere {
            about,
            shops: shops.clone(),
            units: units.clone(),
            ours,
            theirs,
        });
    };
    let settles = !line.size.decided && all.size.decided && !against_ours;
    if !settles && !is_same_size(&line.size, &all.size) {
        differ(
            ElsewhereAbout::Size,
            size_words(&line.size),
            size_words(&all.size),
        );
    }
    let (ours, theirs) = (line.material.words(), all.material.words());
    if ours != theirs {
        differ(ElsewhereAbout::Material, ours, theirs);
    }
    if line.quantity != all.quantity {
        let (ours, theirs) = (line.quantity.to_string(), all.quantity.to_string());
        differ(ElsewhereAbout::Quantity, ours, theirs);
    }
    if settles {
        rest_on(line, all);
    }
}

/// Takes the size with what follows from it; what is done with the part, how many there are and what it is made of stay ours.
fn rest_on(line: &mut PartLine, all: &PartLine) {
    line.size = all.size.clone();
    line.gland.clone_from(&all.gland);
    line.ring.clone_from(&all.ring);
    line.alternates.clone_from(&all.alternates);
    line.units_agree.clone_from(&all.units_agree);
    line.units_recorded = all.units_recorded;
    line.rests_on.clone_from(&all.rests_on);
}

/// Lengths that worn parts share are one size, however the mean of them moved.
fn is_same_size(ours: &PartSize, all: &PartSize) -> bool {
    ours.decided == all.decided
        && ours.codes.first() == all.codes.first()
        && (ours.id.is_some() || same_lengths(&ours.lengths, &all.lengths))
}

fn size_words(size: &PartSize) -> String {
    let words = size.words();
    match (size.decided, words.is_empty()) {
        (true, _) => words.to_owned(),
        (false, false) => format!("not decided, the likeliest {words}"),
        (false, true) => "not decided".to_owned(),
    }
}
