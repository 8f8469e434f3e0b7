//! The pages of job records.

use super::setting::setting_blocks;
use crate::app::job::{JobLine, JobList, JobShown};
use crate::core::gas::GasService;
use crate::core::job::{
    JobEntry, JobStanding, Lack, PlaceState, PlaceWork, ReadState, SealedEntry, UnitState,
};
use crate::render::{Cell, DECISION, Document, LISTING, Report, Sheet, Table};

impl Report for JobShown {
    fn lay_out(&self, page: &mut Document) {
        let state = &self.state;
        page.title(format!(
            "Job {}: {} {}, {}",
            state.job,
            state.model,
            state.serial,
            standing_words(self)
        ));
        if let Some(fault) = &self.changed {
            page.caution(changed_words(fault));
        }
        for point in &self.points {
            page.caution(point_words(point));
        }
        if let Some(judged) = &self.judged {
            setting_blocks(judged, page, 2);
        }
        if self.added.is_empty() {
            self.whole(page);
        } else {
            self.added_entries(page);
        }
        page.cautions(&self.cautions);
        // What was missing before is on the page of the job: an entry is judged and shown back.
        page.fits(if self.added.len() == 1 {
            DECISION
        } else {
            LISTING
        });
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.record.entries.iter().map(|sealed| {
            vec![
                Cell::Count(i64::from(sealed.place)),
                Cell::text(&sealed.added_at),
                Cell::text(&sealed.person),
                Cell::text(sealed.entry.kind()),
                Cell::text(sealed.entry.words()),
                Cell::text(&sealed.seal),
            ]
        });
        Some(Sheet {
            header: vec!["entry", "added_at", "person", "kind", "words", "seal"],
            rows: rows.collect(),
        })
    }
}

impl JobShown {
    fn added_entries(&self, page: &mut Document) {
        let entries = self.record.entries.iter();
        page.table(entry_table(
            entries.filter(|sealed| self.added.contains(&sealed.place)),
            self,
        ));
        page.text(self.after_entry());
    }

    /// Says what the entry that was just added leaves to do.
    fn after_entry(&self) -> String {
        let job = self.state.job;
        match (self.standing, self.lacking.len()) {
            (JobStanding::Open, 0) => format!(
                "Entered. Nothing else is missing: have a second person check it, then `ringwright job close {job}`."
            ),
            (JobStanding::Open, 1) => {
                format!("Entered. One point is missing for release (`ringwright job show {job}`).")
            }
            (JobStanding::Open, more) => format!(
                "Entered. {more} points are missing for release (`ringwright job show {job}`)."
            ),
            (_, 0) => "Entered.".to_owned(),
            _ => format!(
                "Entered. The unit's release no longer holds (`ringwright job show {job}`): get the unit back."
            ),
        }
    }

    fn whole(&self, page: &mut Document) {
        let state = &self.state;
        if self.lacking.is_empty() {
            if self.standing == JobStanding::Open {
                page.text(
                    "Only the second person's check is missing: `ringwright job close` releases it.",
                );
            }
        } else {
            page.text(if self.standing == JobStanding::CorrectedSince {
                "Corrected after release; now missing:"
            } else {
                "Missing for release:"
            });
            page.brief(self.lacking.iter().map(ToString::to_string));
        }
        if self.standing == JobStanding::Open && !self.lacking.is_empty() {
            page.next(&format!("job do {}", state.job));
        }
        page.rest(|page| {
            page.section("The unit now");
            page.list(state_points(state));
            page.table(place_table(&state.places));
            if state.closed {
                page.section("Release");
                page.list(closing_points(state));
            }
            page.section("Record");
            page.table(entry_table(self.record.entries.iter(), self));
        });
        page.if_room(|page| {
            page.text(format!(
                "Entries: {}; seal of the last: {}.",
                self.record.entries.len(),
                state.seal
            ));
        });
        page.rest(|page| {
            page.text("The printed record bears the seal: a later difference shows that entries were removed.");
        });
    }
}

/// Says where a job stands, for its heading.
fn standing_words(job: &JobShown) -> &'static str {
    match job.standing {
        JobStanding::Open => "open",
        JobStanding::Released => "RELEASED",
        JobStanding::CorrectedSince if job.is_released() => "RELEASED, corrected since",
        JobStanding::CorrectedSince => "NOT TO BE RELIED ON: corrected after release",
        JobStanding::NotReleased => "closed, NOT RELEASED",
    }
}

/// Says what an entry that was just added means for the release.
fn point_words(point: &Lack) -> String {
    match point {
        Lack::NotAsListed { .. } => format!(
            "Missing for release: {point}. A ring of another size can leak or blow out, a softer one can extrude, \
                another polymer can swell or burn: check again"
        ),
        Lack::Stops { words, .. } => words.clone(),
        _ => format!("Missing for release: {point}"),
    }
}

fn entry_table<'e>(entries: impl Iterator<Item = &'e SealedEntry>, job: &JobShown) -> Table {
    let mut table = Table::new(&[">", "day", "by", "", "says"]);
    for sealed in entries {
        table.row([
            sealed.place.to_string(),
            day(&sealed.added_at).to_owned(),
            sealed.person.clone(),
            sealed.entry.kind().to_owned(),
            format!(
                "{}{}",
                sealed.entry.words(),
                since(sealed.place, &job.state)
            ),
        ]);
    }
    table
}

/// Says that an entry holds no more.
fn since(place: u32, state: &UnitState) -> String {
    let mut corrections = state.corrections.iter().rev();
    if let Some(correction) = corrections.find(|c| c.what.of == place) {
        let right = if correction.what.right.is_some() {
            "put right"
        } else {
            "withdrawn"
        };
        return format!(" [{right} by entry {}]", correction.entry);
    }
    let in_place = |known: &&PlaceState| known.former.iter().any(|former| former.entry == place);
    match state.places.iter().find(in_place) {
        Some(filled) => format!(" [replaced by entry {}]", filled.now.entry),
        None => String::new(),
    }
}

/// Returns the day of a moment.
pub(in crate::render) fn day(at: &str) -> &str {
    at.get(..10).unwrap_or(at)
}

/// Says what the gas of a job asks for.
pub(in crate::render) fn gas_words(state: &UnitState) -> String {
    let gas = &state.gas;
    let threshold = format!("the threshold of {}", gas.threshold);
    match &gas.service {
        GasService::Air => format!("not enriched: not above {threshold}"),
        GasService::Enriched { .. } => format!("ENRICHED: above {threshold}"),
        GasService::Other { .. } => format!("not enriched: not above {threshold}; not air either"),
        GasService::Unsettled { .. } => {
            format!("NOT SETTLED, treated as enriched: it may be above {threshold}")
        }
    }
}

fn state_points(state: &UnitState) -> Vec<String> {
    let gas = state.gas.stated.words();
    let supply = state.supply.as_ref();
    let supply = supply.map_or("not stated", |supply| supply.text.as_str());
    let reading = |wanted: ReadState| {
        state.last_reading(wanted).map_or_else(
            || format!("{}: -", wanted.words()),
            |read| read.said.what.words(),
        )
    };
    let joined = |lines: Vec<String>| {
        if lines.is_empty() {
            "nothing recorded".to_owned()
        } else {
            lines.join("; ")
        }
    };
    let said = |entry: JobEntry| entry.words();
    let clean = state
        .cleaning
        .iter()
        .map(|c| said(JobEntry::Clean(c.what.clone())));
    let grease = state
        .lubricants
        .iter()
        .map(|l| said(JobEntry::Lubricant(l.what.clone())));
    let mut points = vec![
        format!("gas: {gas}; {}", gas_words(state)),
        format!("used for: {}; supply {supply}", state.purpose),
        format!(
            "ratings: {}",
            joined(state.ratings.iter().map(|r| r.what.text.clone()).collect())
        ),
        format!("cleaned: {}", joined(clean.collect())),
        format!("lubricant: {}", joined(grease.collect())),
    ];
    points.extend(
        state
            .gear
            .map(|gear| format!("kind of gear: {}", gear.word())),
    );
    let pack = state
        .pack
        .as_ref()
        .map(|p| said(JobEntry::Shims(p.what.clone())));
    points.extend(pack.map(|words| format!("shims: {words}")));
    let screw = state.screw.as_ref().map(|s| s.what.words.clone());
    points.extend(screw.map(|words| format!("adjusting screw: {words}")));
    points.push(reading(ReadState::AsFound));
    points.push(reading(ReadState::AsLeft));
    let leak = state
        .leak_test
        .as_ref()
        .map(|l| said(JobEntry::LeakTest(l.what.clone())));
    points.push(format!("leak test: {}", joined(leak.into_iter().collect())));
    let tested = state
        .tested
        .iter()
        .map(|t| said(JobEntry::Tested(t.what.clone())));
    points.push(format!("tested: {}", joined(tested.collect())));
    let not_tested = state.not_tested.iter().map(|t| t.what.words.clone());
    points.push(format!("not tested: {}", joined(not_tested.collect())));
    points
}

/// Says what was done in a place: what, how many, lot, why.
pub(in crate::render) fn work_words(work: &PlaceWork) -> String {
    match work {
        PlaceWork::Fitted(fitted) => {
            let count = match fitted.count {
                1 => String::new(),
                more => format!("{more} × "),
            };
            format!("{count}{}", fitted.spec)
        }
        PlaceWork::Kept(kept) => format!("KEPT: {}", kept.why),
    }
}

fn place_table(places: &[PlaceState]) -> Table {
    let mut table = Table::new(&[">line", "place", "fitted now", "lot", ">entry", "before"]);
    for place in places {
        let lot = match &place.now.what {
            PlaceWork::Fitted(fitted) => fitted.lot.clone(),
            PlaceWork::Kept(_) => "-".to_owned(),
        };
        let former = place.former.iter().map(|former| work_words(&former.what));
        table.row([
            place
                .line
                .map_or_else(|| "-".to_owned(), |line| line.to_string()),
            place.name.clone(),
            work_words(&place.now.what),
            lot,
            place.now.entry.to_string(),
            former.collect::<Vec<_>>().join("; "),
        ]);
    }
    table
}

fn closing_points(state: &UnitState) -> Vec<String> {
    let Some(closing) = &state.closing else {
        return vec!["the closing was withdrawn: not released".to_owned()];
    };
    let closing = &closing.what;
    let due = closing
        .due
        .map_or_else(|| "-".to_owned(), |day| day.to_string());
    let limits = if closing.limits.is_empty() {
        "-"
    } else {
        closing.limits.as_str()
    };
    let mut points = vec![
        format!(
            "checked by: {}",
            closing.checked_by.as_deref().unwrap_or("nobody")
        ),
        format!("limits: {limits}"),
        format!("due: {due} ({})", closing.due_rule),
    ];
    if let Some(left) = state.last_reading(ReadState::AsLeft) {
        points.extend(
            left.said
                .what
                .said
                .iter()
                .map(|line| format!("as left, {line}")),
        );
    }
    points.extend(
        closing
            .lacking
            .iter()
            .map(|lack| format!("LACKING: {lack}")),
    );
    points
}

/// Says that a record cannot be relied on.
pub(in crate::render) fn changed_words(fault: &str) -> String {
    format!(
        "THE RECORD WAS CHANGED: {fault}. Nothing in it counts as released until somebody who knows the work has \
            settled the facts"
    )
}

fn line_words(line: &JobLine) -> &'static str {
    match line.standing {
        JobStanding::Open => "open",
        JobStanding::Released => "released",
        JobStanding::CorrectedSince => "released, corrected since: check",
        JobStanding::NotReleased => "closed, NOT released",
    }
}

impl Report for JobList {
    fn lay_out(&self, page: &mut Document) {
        page.title(format!("Jobs: {}", self.jobs.len()));
        let mut table = Table::new(&[
            ">job", "model", "unit", "opened", ">entries", "state", "due",
        ]);
        for line in &self.jobs {
            table.row([
                line.job.to_string(),
                line.model.clone(),
                line.serial.clone(),
                day(&line.opened_at).to_owned(),
                line.entries.to_string(),
                line_words(line).to_owned(),
                line.due
                    .map_or_else(|| "-".to_owned(), |day| day.to_string()),
            ]);
        }
        page.table(table);
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.jobs.iter().map(|line| {
            vec![
                Cell::Count(line.job),
                Cell::text(&line.model),
                Cell::text(&line.serial),
                Cell::text(&line.opened_at),
                Cell::text(line_words(line)),
                line.due
                    .map_or(Cell::Empty, |day| Cell::text(day.to_string())),
            ]
        });
        Some(Sheet {
            header: vec!["job", "model", "unit", "opened_at", "state", "due"],
            rows: rows.collect(),
        })
    }
}
