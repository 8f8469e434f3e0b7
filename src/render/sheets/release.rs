//! The release sheet: what was found, done, tested and not tested, who answers for it, and the seal of the record.

use super::gland::verdict_cell;
use crate::app::job::JobShown;
use crate::core::count::counted;
use crate::core::gear::GearKind;
use crate::core::job::{
    FittedPart, JobEntry, JobReading, JobStanding, PlaceWork, ReadState, ReadingState, Said,
    UnitState, Words,
};
use crate::core::quantity::{LengthUnit, PressureUnit};
use crate::core::stage::CreepCall;
use crate::render::number::fixed;
use crate::render::page::{Flow, Frame, Grid, GridCell, NO_BREAK, Pages};
use crate::render::reports::job::{changed_words, entry_words, gas_words, lot, work_words};
use crate::render::words::{day, or_empty};

/// Lays out the release sheet of a job, or says plainly why there is no release.
pub fn release(job: &JobShown, frame: Frame) -> Pages {
    let mut flow = Flow::new(frame);
    let state = &job.state;
    flow.status(&state_words(job));
    if let Some(fault) = &job.changed {
        flow.caution(&changed_words(fault));
    }
    lacking(&mut flow, job);
    flow.cautions(&job.cautions);
    unit(&mut flow, state);
    pressures(&mut flow, state);
    parts(&mut flow, state);
    work(&mut flow, state);
    tests(&mut flow, state);
    corrections(&mut flow, job);
    hands(&mut flow, job);
    flow.finish()
}

/// Says whether the unit may be given out.
pub(super) fn state_words(job: &JobShown) -> String {
    let state = match (job.changed.is_some(), job.standing) {
        (true, _) => "NOT TO BE RELIED ON: the record was changed in the file after it was written",
        (_, JobStanding::Open) => "NOT RELEASED: this job is still open",
        (_, JobStanding::NotReleased) => "NOT RELEASED: this job was closed without release",
        (_, JobStanding::CorrectedSince) if !job.is_released() => {
            "NOT TO BE RELIED ON: corrected after its release"
        }
        (_, JobStanding::Released | JobStanding::CorrectedSince) => {
            "RELEASED for use within the limits below"
        }
    };
    match job.state.corrections.len() {
        0 => state.to_owned(),
        some => format!(
            "{state}; {}, see below",
            counted(some, "correction", "corrections")
        ),
    }
}

fn lacking(flow: &mut Flow, job: &JobShown) {
    let closing = job.state.closing.iter().flat_map(|c| &c.what.lacking);
    let open = job.lacking.iter().map(ToString::to_string);
    let lacks: Vec<String> = open.chain(closing.cloned()).collect();
    if lacks.is_empty() {
        if job.standing == JobStanding::Open {
            flow.text("Only the second person's check is missing; it closes the job.");
        }
        return;
    }
    flow.heading("Missing for release");
    flow.list(&lacks);
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

fn unit(flow: &mut Flow, state: &UnitState) {
    flow.heading("The unit");
    let today = flow.frame().date.clone();
    let closing = state.closing.as_ref().map(|closing| &closing.what);
    let due = closing.and_then(|closing| Some((closing.due?, &closing.due_rule)));
    let due = match due {
        None => String::new(),
        Some((due, rule)) if due.to_string() < today => {
            format!("{due} ({rule}): OVERDUE on {today}")
        }
        Some((due, rule)) => format!("{due} ({rule})"),
    };
    let limits = closing.map(|closing| &closing.limits);
    let ratings: Vec<&str> = state.ratings.iter().map(|r| r.what.text.as_str()).collect();
    flow.grid(&facts_grid(vec![
        ("model", state.model.clone()),
        ("serial number", state.serial.clone()),
        ("kind of gear", or_empty(state.gear.map(GearKind::word))),
        ("used for", state.purpose.clone()),
        ("gas", state.gas.stated.words()),
        ("oxygen", gas_words(state)),
        (
            "supply of use",
            or_empty(state.supply.as_ref().map(|s| &s.text)),
        ),
        (
            "cleaning",
            entry_words(&state.cleaning, JobEntry::Clean).join("\n"),
        ),
        ("recorded ratings", ratings.join("\n")),
        ("limits of use", or_empty(limits)),
        ("due again", due),
    ]));
}

fn pressures(flow: &mut Flow, state: &UnitState) {
    flow.heading("Pressures as found and as left");
    let mut grid = Grid::new(&["", "as read", "put right for the gauge", "verdict", "gauge"]);
    let mut untested = Vec::new();
    for wanted in [ReadState::AsFound, ReadState::AsLeft] {
        let words = wanted.word();
        match state.last_reading(wanted).map(|reading| &reading.said.what) {
            None => untested.push(format!("{words}: not recorded")),
            Some(read) => match &read.not_tested {
                Some(why) => untested.push(format!("{words}: NOT TESTED: {why}")),
                None => {
                    grid.row(reading_row(read, flow.frame()));
                }
            },
        }
    }
    flow.grid(&grid);
    flow.list(&untested);
    let left = state.last_reading(ReadState::AsLeft);
    let said = left.map(|ReadingState { said, .. }| &said.what.said);
    if let Some(said) = said.filter(|said| !said.is_empty()) {
        flow.lead("As left, checked against the limits:");
        flow.list(said);
    }
}

fn reading_row(read: &JobReading, frame: &Frame) -> Vec<GridCell> {
    let mut shown: Vec<String> = read.readings.iter().map(|r| no_break(&r.text)).collect();
    shown.extend(read.lock_up_s.map(|seconds| format!("lock-up {seconds} s")));
    shown.extend(read.creep_call.map(|call| {
        let words = match call {
            CreepCall::Still => "watched: still",
            CreepCall::Creeps => "watched: CREEPS",
            CreepCall::Falls => "watched: FALLS",
            CreepCall::Wait => "watched: not long enough to tell",
        };
        words.to_owned()
    }));
    let corrected = read.corrected_bar().into_iter().map(|(supply, bar)| {
        no_break(&format!(
            "{} at {}",
            pressure(bar, 2, frame),
            pressure(supply, 0, frame)
        ))
    });
    let corrected: Vec<String> = corrected.collect();
    let verdict = match read.verdict {
        _ if !read.stops.is_empty() => GridCell::bold("STOP"),
        Some(verdict) => verdict_cell(verdict),
        None => GridCell::bold("not judged"),
    };
    let gauge = if read.gauge_known {
        GridCell::new(read.gauge.as_str())
    } else {
        GridCell::bold(read.gauge.as_str())
    };
    vec![
        GridCell::bold(read.state.word()),
        GridCell::new(shown.join("\n")),
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

fn parts(flow: &mut Flow, state: &UnitState) {
    flow.heading("Parts fitted");
    if state.places.is_empty() {
        flow.text("No part is recorded as fitted.");
    }
    let mut grid = Grid::new(&["part", "fitted now", "lot", ">entry"]);
    for place in &state.places {
        let row = |work: &Said<PlaceWork>, cell: fn(String) -> GridCell| {
            [
                cell(place.name.clone()),
                cell(work_words(&work.what)),
                cell(lot(&work.what).to_owned()),
                cell(work.entry.to_string()),
            ]
        };
        for former in &place.former {
            grid.row(row(former, GridCell::struck));
        }
        grid.row(row(&place.now, GridCell::new));
    }
    flow.grid(&grid);
    for place in &state.places {
        if let PlaceWork::Fitted(fitted) = &place.now.what {
            deviation(flow, fitted, &place.now.person);
        }
    }
}

/// Says in what a fitted part is not as listed, who decided so, and why.
fn deviation(flow: &mut Flow, fitted: &FittedPart, person: &str) {
    let why = fitted.deviation.as_ref();
    let why = why.map(|why| format!("{person} decided so: {why}"));
    let words = match (&fitted.unlike, why) {
        (None, None) => return,
        (Some(unlike), None) => format!("Not as listed: {unlike}."),
        (Some(unlike), Some(why)) => format!("Not as listed: {unlike}. {why}."),
        (None, Some(why)) => format!("{}: {why}.", fitted.part),
    };
    flow.text(&words);
}

fn work(flow: &mut Flow, state: &UnitState) {
    flow.heading("Work");
    let words = |said: &[Said<Words>]| {
        let words: Vec<&str> = said.iter().map(|s| s.what.words.as_str()).collect();
        words.join("\n")
    };
    let lubricants = entry_words(&state.lubricants, JobEntry::Lubricant);
    let pack = entry_words(&state.pack, JobEntry::Shims).concat();
    let screw = state.screw.as_ref();
    let screw = screw.map(|s| ("adjusting screw", s.what.words.clone()));
    let mut rows = vec![
        ("lubricant", lubricants.join("\n")),
        ("torque", words(&state.torques)),
        ("shims as left", pack),
    ];
    rows.extend(screw);
    rows.push(("remarks", words(&state.remarks)));
    flow.grid(&facts_grid(rows));
}

fn tests(flow: &mut Flow, state: &UnitState) {
    flow.heading("Tested");
    let mut tested = Vec::new();
    let mut not_tested = Vec::new();
    if let Some(leak) = &state.leak_test {
        let words = JobEntry::LeakTest(leak.what.clone()).words();
        match leak.what.result {
            Some(_) => tested.push(format!("leak test: {words}")),
            None => not_tested.push(format!("leaks: {words} ({})", leak.person)),
        }
    }
    tested.extend(entry_words(&state.tested, JobEntry::Tested));
    not_tested.extend(state.not_tested.iter().map(|said| said.what.words.clone()));
    if tested.is_empty() {
        flow.text("No test is recorded beside the pressures above.");
    }
    flow.list(&tested);
    flow.heading("NOT tested");
    if not_tested.is_empty() {
        flow.text("Nothing is recorded as not tested. Only what is under \"Tested\" was tested.");
    }
    flow.list(&not_tested);
    if !state.kind().is_life_support() {
        return;
    }
    flow.text(
        "A bench gauge shows the set pressure and creep. It does not measure the work of breathing, flow at depth, or cold water: EN 250 \
         (read in excerpts) asks for 62.5 L/min at 6 bar absolute and in water of 10 °C or 4 °C on a breathing machine.",
    );
}

fn corrections(flow: &mut Flow, job: &JobShown) {
    let mut grid = Grid::new(&[">entry", "as it was written", "what is right", "corrected"]);
    for said in &job.state.corrections {
        let correction = &said.what;
        let wrong = job
            .record
            .at(correction.of)
            .map_or_else(String::new, |known| {
                format!("{}: {}", known.entry.kind(), known.entry.words())
            });
        let right = correction.right.as_ref();
        let right = right.map_or_else(String::new, |right| format!(": {}", right.words()));
        grid.row([
            GridCell::new(correction.of.to_string()),
            GridCell::struck(wrong),
            GridCell::bold(format!("{}{right}", correction.words)),
            GridCell::new(format!("{}, {}", day(&said.at), said.person)),
        ]);
    }
    if !grid.rows.is_empty() {
        flow.heading("Corrections: the text above includes them");
        flow.grid(&grid);
    }
}

fn hands(flow: &mut Flow, job: &JobShown) {
    let state = &job.state;
    flow.heading("Who answers for it");
    let closing = state.closing.as_ref();
    let closed = closing.map_or_else(
        || "not closed".to_owned(),
        |said| format!("{}, {}", said.person, day(&said.at)),
    );
    let second = closing.and_then(|said| said.what.checked_by.clone());
    let line = "______________________________";
    let mut grid = Grid::new(&["", "in the record", "signature", "day"]);
    for (role, name) in [
        ("worked on it", state.people.join(", ")),
        ("closed it", closed),
        ("checked it, a second person", second.unwrap_or_default()),
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
        state.job
    ));
    flow.text(&grouped(&state.seal));
    flow.small(
        "The seal is the SHA-256 of the whole record up to that entry. If the book later shows another seal for this entry, or fewer \
         entries, the record was changed. It is not a signature.",
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
