//! What a person decided for a place of a model: it stands on every list, beside what the evidence says against it.
//!
//! It is put on a list after the list was made of the evidence, as a failure is. Its row in the book is never changed
//! but for being withdrawn, and it is the shop's own: it does not travel with an exported book.

use super::gather::plain_position;
use super::name::name_key;
use super::part_line::{PartGland, PartLine, SizeBasis};
use super::parts_list::PartsList;
use super::ring_words::chance;
use super::seal_check::RingInGland;
use super::stated_rings::rings_meant;
use crate::core::elastomer::Polymer;
use crate::core::gland::Verdict;
use crate::core::note::PartKind;
use crate::core::quantity::parse_hardness;
use crate::core::sizes::{ListedRing, SizeTable};
use serde::{Deserialize, Serialize};

/// What a person settled for a place, whatever the odds say.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Decision {
    /// The model in plain form.
    #[serde(rename = "model")]
    pub model_key: String,
    pub section: String,
    pub position: String,
    /// The ring by its first code.
    pub ring: String,
    /// What it is to be made of, where that was decided too.
    pub polymer: Option<String>,
    /// Its hardness, where that was decided too.
    pub hardness: Option<String>,
    /// A maker's or supplier's part number, in words.
    pub part: Option<String>,
    pub person: String,
    pub why: String,
    /// When, ISO 8601.
    pub decided_at: String,
    /// Who took it back; `None` while it stands.
    pub taken_back: Option<Says>,
}

/// Says who decided, or took a decision back, why and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Says {
    pub person: String,
    pub why: String,
    /// When, ISO 8601.
    pub at: String,
}

/// A decision as it stands on a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Decided {
    pub person: String,
    pub why: String,
    /// When, ISO 8601.
    pub decided_at: String,
    /// A part number, where one was given.
    pub part: Option<String>,
    /// What the evidence says of the place by itself.
    pub evidence: String,
    /// What the evidence says against the decision.
    pub against: Vec<String>,
}

/// Odds of the very size below this speak against a decision.
const UNLIKELY: f64 = 0.05;

/// Returns the listed ring that a text names; `None` where it names none, or several.
pub fn only_ring(text: &str) -> Option<&'static ListedRing> {
    match rings_meant(text).as_slice() {
        [one] => SizeTable::shipped().rings().get(*one),
        _ => None,
    }
}

impl Decision {
    /// Tells whether it is about this line.
    pub fn is_about(&self, line: &PartLine) -> bool {
        line.kind == PartKind::Ring
            && name_key(&self.section) == name_key(&line.section)
            && plain_position(&self.position) == plain_position(&line.position)
    }

    fn stands_in(&self, list: &PartsList) -> bool {
        let model = list.model.key();
        // A variant of a model is written behind its name in brackets.
        let is_variant =
            model.starts_with(&format!("{} ", self.model_key)) && list.model.name.ends_with(')');
        self.taken_back.is_none() && (model == self.model_key || is_variant)
    }
}

/// Puts the decisions that stand on the lines that they are about; the newest of several stands.
pub fn tell_decisions(list: &mut PartsList, decisions: &[Decision]) {
    let stand: Vec<&Decision> = decisions.iter().filter(|one| one.stands_in(list)).collect();
    for line in &mut list.lines {
        let own = stand.iter().rev().find(|one| one.is_about(line));
        if let Some((decision, ring)) = own.and_then(|one| Some((one, only_ring(&one.ring)?))) {
            put(line, decision, ring);
        }
    }
}

fn put(line: &mut PartLine, decision: &Decision, ring: &'static ListedRing) {
    let codes = SizeTable::shipped().codes(ring);
    let mut made_for = line.ring.made_for_odds.iter();
    let odds = made_for.find(|one| one.codes == codes);
    let odds = odds.map(|one| one.probability);
    let polymer = decision.polymer.as_deref().and_then(Polymer::from_word);
    let hardness = decision.hardness.as_deref().map(parse_hardness);
    let hardness = hardness.and_then(Result::ok).map(|typed| typed.value);
    let material = &mut line.material;
    if polymer.is_some() || hardness.is_some() {
        material.polymer = polymer.or(material.polymer);
        material.hardness = hardness.or(material.hardness);
        material.reason = format!("decided by {}: {}", decision.person, decision.why);
    }
    let made = RingInGland {
        ring,
        polymer: material.polymer,
        hardness: material.hardness,
    };
    let verdicts = line
        .glands
        .iter()
        .filter_map(|gland| made.verdict_in(gland));
    let verdicts: Vec<Verdict> = verdicts.collect();
    let verdict = verdicts.iter().copied().max();
    let evidence = line.size.how_sure.clone();
    let against = against(line, &codes, odds, verdict);
    line.gland = line.gland.take().map(|gland| PartGland {
        verdict,
        words: String::new(),
        checked: verdicts.len(),
        ..gland
    });
    let (person, why, at) = (&decision.person, &decision.why, &decision.decided_at);
    let day = at.get(..10).unwrap_or(at);
    let size = &mut line.size;
    (size.basis, size.decided) = (SizeBasis::Decided, true);
    size.codes = codes;
    size.id = Some(ring.id.nominal);
    size.section = Some(ring.section.nominal);
    size.probability = odds;
    size.does_job = None;
    size.how_sure = format!("decided by {person} on {day}: {why}");
    line.decided_by = Some(Decided {
        person: decision.person.clone(),
        why: decision.why.clone(),
        decided_at: decision.decided_at.clone(),
        part: decision.part.clone(),
        evidence,
        against,
    });
}

/// Says what the evidence has against a ring that was decided.
fn against(
    line: &PartLine,
    codes: &[String],
    odds: Option<f64>,
    verdict: Option<Verdict>,
) -> Vec<String> {
    let mut words = Vec::new();
    if verdict == Some(Verdict::Reject) {
        words.push("a gland that was recorded here rejects it".to_owned());
    }
    let size = &line.size;
    let other = size.codes.first().filter(|_| size.codes != codes);
    if let (Some(other), true) = (other, size.decided) {
        words.push(format!("the evidence fits {other}: {}", size.how_sure));
    }
    if size.basis == SizeBasis::Measured && odds.unwrap_or(0.0) < UNLIKELY {
        words.push(format!(
            "the readings give it {} to be exactly this size",
            chance(odds.unwrap_or(0.0))
        ));
    }
    words
}
