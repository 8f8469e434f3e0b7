//! The release sheet: what was found, done, tested and not tested, who answers for it, and the seal of the record.

use super::status::status;
use crate::app::job::JobShown;
use crate::core::job::{JobEntry, ReadState, ReleaseFacts};
use crate::core::quantity::{LengthUnit, PressureUnit};
use crate::core::stage::CreepCall;
use crate::render::number::fixed;
use crate::render::page::{Flow, Frame, Grid, GridCell, NO_BREAK, Pages};
use crate::render::reports::job::changed_words;

/// Lays out the release sheet of a job, or says plainly why there is no release.
pub fn release(job: &JobShown, frame: Frame) -> Pages {
    let mut flow = Flow::new(frame);
    let facts = &job.release;
    status(&mut flow, &state_words(job));
    if let Some(fault) = &job.changed {
        flow.caution(&changed_words(fault));
    }
    lacking(&mut flow, job);
    for caution in &facts.cautions {
        flow.caution(caution);
    }
    unit(&mut flow, job);
    pressures(&mut flow, job);
    work(&mut flow, facts);
    tests(&mut flow, job);
    corrections(&mut flow, job);
    hands(&mut flow, job);
    flow.finish()
}

/// Says whether the unit may be given out.
pub(super) fn state_words(job: &JobShown) -> String {
    let facts = &job.release;
    let state = match (job.changed.is_some(), facts.closed, facts.released) {
        (true, ..) => {
            "NOT TO BE RELIED ON: the record was changed in the file after it was written"
        }
        (_, false, _) => "NOT RELEASED: this job is still open",
        (_, true, false) => "NOT RELEASED: this job was closed without release",
        (_, true, true) => "RELEASED for use within the limits below",
    };
    match facts.corrections.len() {
        0 => state.to_owned(),
        1 => format!("{state}; 1 correction, see below"),
        more => format!("{state}; {more} corrections, see below"),
    }
}

fn lacking(flow: &mut Flow, job: &JobShown) {
    let facts = &job.release;
    let open = job.lacking.iter().map(|lack| lack.0.as_str());
    let lacks: Vec<&str> = open
        .chain(facts.lacking.iter().map(String::as_str))
        .collect();
    if lacks.is_empty() {
        if !facts.closed {
            flow.text("Nothing is lacking in the record but the second person's check, with which the job is closed.");
        }
        return;
    }
    flow.heading("What is lacking for release");
    flow.list(lacks);
}

/// A table of names and what they stand for; empty ones say that nothing is recorded.
fn facts_grid(rows: Vec<(&str, String)>) -> Grid {
    let mut grid = Grid::new(&["", ""]);
    for (name, words) in rows {
        let words = if words.trim().is_empty() {
            "not recorded".to_owned()
        } else {
            words
        };
        grid.row([GridCell::bold(name), GridCell::new(words)]);
    }
    grid
}

fn unit(flow: &mut Flow, job: &JobShown) {
    let facts = &job.release;
    let share = facts.oxygen_pct.map_or_else(
        || "share of oxygen not stated".to_owned(),
        |share| format!("{share} % oxygen"),
    );
    let (threshold, whose) = &facts.threshold;
    let enriched = match facts.enriched {
        Some(true) => "ENRICHED: above",
        Some(false) => "not enriched: not above",
        None => "NOT SETTLED whether it is enriched, by",
    };
    flow.heading("The unit");
    let today = flow.frame().date.clone();
    let due = match facts.due {
        None => String::new(),
        Some(due) if due.to_string() < today => {
            format!("{due} ({}): OVERDUE on {today}", facts.due_rule)
        }
        Some(due) => format!("{due} ({})", facts.due_rule),
    };
    let rows = vec![
        ("model", facts.model.clone()),
        ("serial number", facts.serial.clone()),
        ("used for", facts.purpose.clone()),
        ("gas", format!("{}; {share}", facts.gas)),
        (
            "oxygen",
            format!("{enriched} the threshold of {threshold} % ({whose})"),
        ),
        ("cleaning", facts.cleaning.join("\n")),
        ("recorded ratings", facts.ratings.join("\n")),
        ("limits of use", facts.limits.clone()),
        ("due again", due),
    ];
    flow.grid(&facts_grid(rows));
}

fn pressures(flow: &mut Flow, job: &JobShown) {
    flow.heading("Pressures as found and as left");
    let mut grid = Grid::new(&["", "as read", "put right for the gauge", "verdict", "gauge"]);
    let mut untested = Vec::new();
    for state in [ReadState::AsFound, ReadState::AsLeft] {
        match job.record.last_reading(state) {
            Some(JobEntry::Reading {
                not_tested: Some(why),
                ..
            }) => untested.push(format!("{}: NOT TESTED: {why}", state.words())),
            Some(entry) => grid.row(reading_row(entry, state, flow.frame())),
            None => untested.push(format!("{}: not recorded", state.words())),
        }
    }
    flow.grid(&grid);
    flow.list(untested.iter().map(String::as_str));
    let said = &job.release.as_left_said;
    let checks: Vec<&str> = said
        .iter()
        .map(String::as_str)
        .filter(|line| !line.ends_with("put right for the gauge"))
        .collect();
    if !checks.is_empty() {
        flow.lead("As left, checked against the limits:");
        flow.list(checks);
    }
}

fn reading_row(entry: &JobEntry, state: ReadState, frame: &Frame) -> Vec<GridCell> {
    let JobEntry::Reading {
        readings,
        creep_call,
        lock_up_s,
        gauge,
        gauge_known,
        verdict,
        stops,
        ..
    } = entry
    else {
        return Vec::new();
    };
    let mut read: Vec<String> = readings.iter().map(|r| no_break(&r.text)).collect();
    read.extend(lock_up_s.map(|seconds| format!("lock-up {seconds} s")));
    read.extend(creep_call.map(|call| {
        let words = match call {
            CreepCall::Still => "watched: still",
            CreepCall::Creeps => "watched: CREEPS",
            CreepCall::Falls => "watched: FALLS",
            CreepCall::Wait => "watched: not long enough to tell",
        };
        words.to_owned()
    }));
    let right = entry.corrected_bar().unwrap_or_default();
    let corrected: Vec<String> = right
        .iter()
        .map(|(supply, bar)| {
            no_break(&format!(
                "{} at {}",
                pressure(*bar, 2, frame),
                pressure(*supply, 0, frame)
            ))
        })
        .collect();
    let verdict = match (stops.first(), verdict) {
        (Some(_), _) => GridCell::bold("STOP"),
        (None, Some(word)) if word == "good" => GridCell::new(word.as_str()),
        (None, Some(word)) => GridCell::bold(word.to_uppercase()),
        (None, None) => GridCell::bold("not judged"),
    };
    let gauge = if *gauge_known {
        GridCell::new(gauge.as_str())
    } else {
        GridCell::bold(gauge.as_str())
    };
    vec![
        GridCell::bold(state.words()),
        GridCell::new(read.join("\n")),
        GridCell::new(corrected.join("\n")),
        verdict,
        gauge,
    ]
}

/// Keeps a value together with its unit.
fn no_break(text: &str) -> String {
    text.replace(' ', NO_BREAK)
}

/// Writes a pressure in the unit that goes with the reader's unit of length.
fn pressure(bar: f64, places: u32, frame: &Frame) -> String {
    let psi = bar * PressureUnit::Bar.pascals() / PressureUnit::Psi.pascals();
    match frame.unit {
        LengthUnit::In => format!("{} psi", fixed(psi, places.saturating_sub(1))),
        _ => format!("{} bar", fixed(bar, places)),
    }
}

fn work(flow: &mut Flow, facts: &ReleaseFacts) {
    flow.heading("Parts fitted");
    if facts.parts.is_empty() {
        flow.text("No part is recorded as fitted.");
    }
    let mut grid = Grid::new(&["part", "fitted", "lot"]);
    for (part, spec, lot) in &facts.parts {
        grid.row([part, spec, lot].map(|words| GridCell::new(words.as_str())));
    }
    flow.grid(&grid);
    for words in &facts.unlike {
        flow.text(&format!("Not as listed: {words}."));
    }
    for (part, why) in &facts.kept {
        flow.text(&format!(
            "Kept, where the list replaces it: {part} ({why})."
        ));
    }
    flow.heading("Work");
    let shims = facts.shims.clone().unwrap_or_default();
    flow.grid(&facts_grid(vec![
        ("lubricant", facts.lubricants.join("\n")),
        ("torque", facts.torques.join("\n")),
        ("shims as left", shims),
        ("remarks", facts.remarks.join("\n")),
    ]));
}

fn tests(flow: &mut Flow, job: &JobShown) {
    let facts = &job.release;
    flow.heading("Tested");
    if facts.tested.is_empty() {
        flow.text("No test is recorded beside the pressures above.");
    }
    flow.list(facts.tested.iter().map(String::as_str));
    flow.heading("NOT tested");
    if facts.not_tested.is_empty() {
        flow.text("Nothing is recorded as not tested. What stands under \"Tested\" is all that was tested.");
    }
    flow.list(facts.not_tested.iter().map(String::as_str));
    flow.text(
        "A bench gauge shows the set pressure and creep. It does not measure the work of breathing, flow at depth, or cold water: EN 250 \
         (read in excerpts) asks for 62.5 L/min at 6 bar absolute and in water of 10 °C or 4 °C on a breathing machine.",
    );
}

fn corrections(flow: &mut Flow, job: &JobShown) {
    let corrected = job.record.entries.iter().filter_map(|sealed| {
        let JobEntry::Correction { of, words } = &sealed.entry else {
            return None;
        };
        let wrong = job
            .record
            .entries
            .iter()
            .find(|known| known.place == *of)
            .map_or_else(String::new, |known| {
                format!("{}: {}", known.entry.kind(), known.entry.words())
            });
        Some([
            GridCell::new(of.to_string()),
            GridCell::new(wrong),
            GridCell::bold(words.as_str()),
            GridCell::new(format!("{}, {}", day(&sealed.added_at), sealed.person)),
        ])
    });
    let mut grid = Grid::new(&[">entry", "as it was written", "what is right", "corrected"]);
    for row in corrected {
        grid.row(row);
    }
    if !grid.rows.is_empty() {
        flow.heading("Corrections: what stands above is as it was written first");
        flow.grid(&grid);
    }
}

fn day(at: &str) -> &str {
    at.get(..10).unwrap_or(at)
}

fn hands(flow: &mut Flow, job: &JobShown) {
    let facts = &job.release;
    flow.heading("Who answers for it");
    let closing = job
        .record
        .entries
        .iter()
        .find(|sealed| matches!(sealed.entry, JobEntry::Close { .. }));
    let closed = closing.map_or_else(
        || "not closed".to_owned(),
        |sealed| format!("{}, {}", sealed.person, day(&sealed.added_at)),
    );
    let second = facts.checked_by.clone().unwrap_or_default();
    let line = "______________________________";
    let mut grid = Grid::new(&["", "in the record", "signature", "day"]);
    for (role, name) in [
        ("worked on it", facts.people.join(", ")),
        ("closed it", closed),
        ("checked it, a second person", second),
    ] {
        let name = if name.is_empty() {
            GridCell::bold("NOBODY")
        } else {
            GridCell::new(name)
        };
        grid.row([
            GridCell::bold(role),
            name,
            GridCell::new(line),
            GridCell::new("____________"),
        ]);
    }
    flow.grid(&grid);
    let last = job.record.entries.last();
    let opened = day(&job.record.opened_at);
    flow.lead(&format!(
        "Seal of entry {} of job {}, opened {opened}",
        last.map_or(0, |sealed| sealed.place),
        facts.job
    ));
    flow.text(&grouped(&facts.seal));
    flow.small(
        "The seal is the SHA-256 of the whole record up to that entry. If the book later shows another seal for this entry, or fewer \
         entries, the record was changed. It is no signature.",
    );
}

/// Sets a seal in groups of eight, so that it can be compared by eye.
fn grouped(seal: &str) -> String {
    let letters: Vec<char> = seal.chars().collect();
    let groups: Vec<String> = letters.chunks(8).map(|g| g.iter().collect()).collect();
    groups.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seal_is_set_in_groups_and_loses_no_letter() {
        assert_eq!(grouped("0123456789abcdef01"), "01234567 89abcdef 01");
        assert_eq!(grouped(""), "");
    }
}
