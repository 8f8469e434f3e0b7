//! What a record lacks before a unit can be released, and what a release sheet says.

use super::entry::{JobEntry, ReadState};
use super::record::JobRecord;
use crate::core::quantity::Date;
use crate::core::stage::{CreepCall, Step, cautions};
use serde::Serialize;

/// Names one thing that a record lacks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Lacking(
    /// The sentence.
    pub String,
);

/// Lists what a record lacks before release.
///
/// `person` closes it, `checked_by` is the second one. Stricter for enriched gas: without a record of cleaning for it,
/// nothing above the threshold is released.
pub fn lacking(record: &JobRecord, person: &str, checked_by: Option<&str>) -> Vec<Lacking> {
    let mut lacks = Vec::new();
    let mut need = |there: bool, words: &str| {
        if !there {
            lacks.push(Lacking(words.to_owned()));
        }
    };
    need(
        record.last_reading(ReadState::AsFound).is_some(),
        "readings as found, or why none were taken (job reading N --as-found …)",
    );
    let left = record.last_reading(ReadState::AsLeft);
    need(
        left.is_some(),
        "readings as left, or why none were taken (job reading N --as-left …)",
    );
    if let Some(JobEntry::Reading {
        verdict,
        stops,
        not_tested,
        creep_call,
        gauge_known,
        ..
    }) = left
    {
        let tested = not_tested.is_none();
        need(
            !tested || *creep_call == Some(CreepCall::Still),
            "creep watched as left until it is called still (job reading N --as-left … --creep …)",
        );
        need(
            !tested || *gauge_known,
            "a known gauge for the readings as left (setting gauge add NAME …, then --gauge NAME)",
        );
        need(
            stops.is_empty(),
            "readings as left that do not stop the work",
        );
        need(
            verdict.as_deref() != Some("reject"),
            "readings as left that are not rejected",
        );
        need(
            not_tested.is_none(),
            "a pressure test as left: it was not done",
        );
    }
    let cleaned = |for_gas: bool| {
        record.said().any(
            |entry| matches!(entry, JobEntry::Clean { for_oxygen, .. } if *for_oxygen || !for_gas),
        )
    };
    need(cleaned(false), "the cleaning state (job step N --clean …)");
    need(
        record.is_enriched().is_some(),
        "the gas: neither its words nor a share of oxygen settle whether it is enriched (job open … --gas … --oxygen …)",
    );
    if record.is_enriched() == Some(true) {
        need(
            cleaned(true),
            "a record of cleaning for enriched gas (job step N --clean … --for-oxygen): above the threshold nothing is released without",
        );
    }
    for (entry, words) in record.unlike_parts() {
        let number = record.number;
        need(
            false,
            &format!(
                "the part of entry {entry} as it is listed, or why it is another one (job correct {number} {entry} \"…\"): {words}"
            ),
        );
    }
    match checked_by.map(str::trim) {
        None | Some("") => need(false, "a second person who checked it (--checked-by NAME)"),
        Some(second) => {
            let plain = |name: &str| -> String {
                let letters = name.chars().filter(|c| c.is_alphanumeric());
                letters.flat_map(char::to_lowercase).collect()
            };
            let same = |name: &str| plain(name) == plain(second);
            let worked = record.entries.iter().any(|entry| same(&entry.person));
            need(
                !worked && !same(person),
                "a second person who did not do the work: --checked-by names somebody who did",
            );
        }
    }
    lacks
}

/// Holds everything that a release sheet says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReleaseFacts {
    /// Number of the job.
    pub job: i64,
    /// Model.
    pub model: String,
    /// Serial number.
    pub serial: String,
    /// What for.
    pub purpose: String,
    /// The gas.
    pub gas: String,
    /// Share of oxygen in per cent.
    pub oxygen_pct: Option<f64>,
    /// The threshold in per cent, and whose it is.
    pub threshold: (f64, String),
    /// Whether the gas is treated as enriched; `None` where that is not settled.
    pub enriched: Option<bool>,
    /// Readings as found and as left, in words.
    pub as_found: Option<String>,
    /// As left.
    pub as_left: Option<String>,
    /// What the checks of the readings as left said.
    pub as_left_said: Vec<String>,
    /// Whether the gauge of the readings as left is registered and checked in time.
    pub gauge_known: bool,
    /// Parts fitted: part, spec, lot.
    pub parts: Vec<(String, String, String)>,
    /// In what parts are others than the parts list had.
    pub unlike: Vec<String>,
    /// Parts that the list replaces and that stayed: part and why.
    pub kept: Vec<(String, String)>,
    /// Cleaning.
    pub cleaning: Vec<String>,
    /// Lubricants.
    pub lubricants: Vec<String>,
    /// Torques.
    pub torques: Vec<String>,
    /// The stack of shims fitted last.
    pub shims: Option<String>,
    /// Recorded ratings.
    pub ratings: Vec<String>,
    /// Tests done.
    pub tested: Vec<String>,
    /// Tests not done.
    pub not_tested: Vec<String>,
    /// Remarks.
    pub remarks: Vec<String>,
    /// Corrections.
    pub corrections: Vec<String>,
    /// Who worked on it.
    pub people: Vec<String>,
    /// Whether it is closed.
    pub closed: bool,
    /// Whether it is released.
    pub released: bool,
    /// The second person.
    pub checked_by: Option<String>,
    /// Limits of use.
    pub limits: String,
    /// When it is due again.
    pub due: Option<Date>,
    /// The rule for that.
    pub due_rule: String,
    /// What was lacking, where it was closed without release.
    pub lacking: Vec<String>,
    /// The last seal.
    pub seal: String,
    /// Standing cautions.
    pub cautions: Vec<&'static str>,
}

/// Gathers what a release sheet says.
pub fn release_facts(record: &JobRecord) -> ReleaseFacts {
    let mut facts = bare(record);
    for entry in record.said() {
        take(&mut facts, entry);
    }
    if facts.enriched == Some(true) {
        facts.cautions.extend(cautions(Step::Oxygen));
    }
    facts
}

fn bare(record: &JobRecord) -> ReleaseFacts {
    let mut people: Vec<String> = Vec::new();
    for entry in &record.entries {
        if !people.contains(&entry.person) {
            people.push(entry.person.clone());
        }
    }
    ReleaseFacts {
        job: record.number,
        model: record.model.clone(),
        serial: record.serial.clone(),
        purpose: String::new(),
        gas: String::new(),
        oxygen_pct: None,
        threshold: (0.0, String::new()),
        enriched: record.is_enriched(),
        as_found: None,
        as_left: None,
        as_left_said: Vec::new(),
        gauge_known: false,
        parts: Vec::new(),
        unlike: Vec::new(),
        kept: Vec::new(),
        cleaning: Vec::new(),
        lubricants: Vec::new(),
        torques: Vec::new(),
        shims: None,
        ratings: Vec::new(),
        tested: Vec::new(),
        not_tested: Vec::new(),
        remarks: Vec::new(),
        corrections: Vec::new(),
        people,
        closed: record.is_closed(),
        released: false,
        checked_by: None,
        limits: String::new(),
        due: None,
        due_rule: String::new(),
        lacking: Vec::new(),
        seal: record.seal().to_owned(),
        cautions: cautions(Step::Release).to_vec(),
    }
}

fn take(facts: &mut ReleaseFacts, entry: &JobEntry) {
    let words = entry.words();
    match entry {
        JobEntry::Open {
            purpose,
            gas,
            oxygen_pct,
            threshold_pct,
            threshold_name,
            ..
        } => {
            facts.purpose.clone_from(purpose);
            facts.gas.clone_from(gas);
            facts.oxygen_pct = *oxygen_pct;
            facts.threshold = (*threshold_pct, threshold_name.clone());
        }
        JobEntry::Reading {
            state,
            said,
            gauge_known,
            ..
        } => match state {
            ReadState::AsFound => facts.as_found = Some(words),
            ReadState::AsLeft => {
                facts.as_left = Some(words);
                facts.as_left_said.clone_from(said);
                facts.gauge_known = *gauge_known;
            }
            ReadState::Between => {}
        },
        JobEntry::Part {
            part,
            spec,
            lot,
            unlike,
        } => {
            facts.parts.push((part.clone(), spec.clone(), lot.clone()));
            facts.unlike.extend(unlike.clone());
        }
        JobEntry::Kept { part, why } => facts.kept.push((part.clone(), why.clone())),
        JobEntry::Clean { .. } => facts.cleaning.push(words),
        JobEntry::Lubricant { .. } => facts.lubricants.push(words),
        JobEntry::Torque { .. } => facts.torques.push(words),
        JobEntry::Shims { .. } => facts.shims = Some(words),
        JobEntry::Rating { .. } => facts.ratings.push(words),
        JobEntry::Tested { .. } => facts.tested.push(words),
        JobEntry::NotTested { .. } => facts.not_tested.push(words),
        JobEntry::Remark { .. } => facts.remarks.push(words),
        JobEntry::Correction { .. } => facts.corrections.push(words),
        JobEntry::Close {
            checked_by,
            released,
            limits,
            due,
            due_rule,
            lacking,
        } => {
            facts.checked_by.clone_from(checked_by);
            facts.released = *released;
            facts.limits.clone_from(limits);
            facts.due = *due;
            facts.due_rule.clone_from(due_rule);
            facts.lacking.clone_from(lacking);
        }
    }
}
