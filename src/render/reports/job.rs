//! The pages of job records.

use super::setting::setting_blocks;
use crate::app::job::{JobLine, JobList, JobShown};
use crate::core::gas::GasService;
use crate::core::job::{
    JobEntry, JobStanding, Lack, PlaceState, PlaceWork, ReadState, Said, SealedEntry, UnitState,
};
use crate::render::words::or_dash;
use crate::render::{
    Cell, Column, DECISION, Document, LISTING, Report, both, in_rows, on_page, sheet, table,
};

impl Report for JobShown {
    fn lay_out(&self, page: &mut Document) {
        page.rows(sheet(&entries(), &self.all_entries()));
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
}

/// An entry with the job that it stands in.
type InJob<'j> = (&'j SealedEntry, &'j JobShown);

fn entries<'j>() -> [Column<InJob<'j>>; 6] {
    [
        both(">", "entry", |(sealed, _)| sealed.place.into()),
        both("day", "added_at", |(sealed, _)| {
            Cell::moment(&sealed.added_at)
        }),
        both("by", "person", |(sealed, _)| (&sealed.person).into()),
        both("", "kind", |(sealed, _)| sealed.entry.kind().into()),
        both("says", "words", |(sealed, job)| {
            let (words, since) = (sealed.entry.words(), since(sealed.place, &job.state));
            Cell::shown(format!("{words}{since}"), words)
        }),
        in_rows("seal", |(sealed, _)| (&sealed.seal).into()),
    ]
}

impl JobShown {
    fn all_entries(&self) -> Vec<InJob<'_>> {
        let sealed = self.record.entries.iter();
        sealed.map(|sealed| (sealed, self)).collect()
    }

    fn added_entries(&self, page: &mut Document) {
        let mut added = self.all_entries();
        added.retain(|(sealed, _)| self.added.contains(&sealed.place));
        page.table(table(&entries(), &added));
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
            page.table(table(&PLACES, &state.places));
            if state.closed {
                page.section("Release");
                page.list(closing_points(state));
            }
            page.section("Record");
            page.table(table(&entries(), &self.all_entries()));
        });
        page.if_room(|page| {
            page.text(format!(
                "Entries: {}; seal of the last: {}.",
                self.record.entries.len(),
                state.seal
            ));
        });
        page.rest(|page| page.text("The printed record bears the seal: a later difference shows that entries were removed."));
    }
}

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
        Lack::ReadingStops { words, .. } => words.clone(),
        _ => format!("Missing for release: {point}"),
    }
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

/// Writes entries in the words of the record.
pub(in crate::render) fn entry_words<'s, T: Clone + 's>(
    said: impl IntoIterator<Item = &'s Said<T>>,
    entry: fn(T) -> JobEntry,
) -> Vec<String> {
    let said = said.into_iter();
    said.map(|said| entry(said.what.clone()).words()).collect()
}

fn state_points(state: &UnitState) -> Vec<String> {
    let gas = state.gas.stated.words();
    let supply = state.supply.as_ref();
    let supply = supply.map_or("not stated", |supply| supply.text.as_str());
    let reading = |wanted: ReadState| {
        let read = state.last_reading(wanted);
        read.map_or_else(
            || format!("{}: -", wanted.word()),
            |read| read.said.what.words(),
        )
    };
    let all = |name: &str, words: Vec<String>| match words.join("; ") {
        none if none.is_empty() => format!("{name}: nothing recorded"),
        words => format!("{name}: {words}"),
    };
    let known = |name: &str, words: Option<String>| words.map(|words| format!("{name}: {words}"));
    let ratings = state.ratings.iter().map(|r| r.what.text.clone());
    let not_tested = state.not_tested.iter().map(|t| t.what.words.clone());
    let pack = entry_words(&state.pack, JobEntry::Shims).pop();
    let screw = state.screw.as_ref().map(|s| s.what.words.clone());
    let gear = state.gear.map(|gear| gear.word().to_owned());
    let leak = entry_words(&state.leak_test, JobEntry::LeakTest);
    let points = [
        Some(format!("gas: {gas}; {}", gas_words(state))),
        Some(format!("used for: {}; supply {supply}", state.purpose)),
        Some(all("ratings", ratings.collect())),
        Some(all(
            "cleaned",
            entry_words(&state.cleaning, JobEntry::Clean),
        )),
        Some(all(
            "lubricant",
            entry_words(&state.lubricants, JobEntry::Lubricant),
        )),
        known("kind of gear", gear),
        known("shims", pack),
        known("adjusting screw", screw),
        Some(reading(ReadState::AsFound)),
        Some(reading(ReadState::AsLeft)),
        Some(all("leak test", leak)),
        Some(all("tested", entry_words(&state.tested, JobEntry::Tested))),
        Some(all("not tested", not_tested.collect())),
    ];
    points.into_iter().flatten().collect()
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

/// Names the lot of what was fitted.
pub(in crate::render) fn lot(work: &PlaceWork) -> &str {
    match work {
        PlaceWork::Fitted(fitted) => &fitted.lot,
        PlaceWork::Kept(_) => "-",
    }
}

const PLACES: [Column<PlaceState>; 6] = [
    on_page(">line", |place| or_dash(place.line).into()),
    on_page("place", |place| (&place.name).into()),
    on_page("fitted now", |place| work_words(&place.now.what).into()),
    on_page("lot", |place| lot(&place.now.what).into()),
    on_page(">entry", |place| place.now.entry.into()),
    on_page("before", |place| {
        let former = place.former.iter();
        let former = former.map(|former| work_words(&former.what));
        former.collect::<Vec<_>>().join("; ").into()
    }),
];

fn closing_points(state: &UnitState) -> Vec<String> {
    let Some(closing) = &state.closing else {
        return vec!["the closing was withdrawn: not released".to_owned()];
    };
    let closing = &closing.what;
    let limits = Some(&closing.limits).filter(|limits| !limits.is_empty());
    let mut points = vec![
        format!(
            "checked by: {}",
            closing.checked_by.as_deref().unwrap_or("nobody")
        ),
        format!("limits: {}", or_dash(limits)),
        format!("due: {} ({})", or_dash(closing.due), closing.due_rule),
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
        page.listed(&JOBS, &self.jobs);
    }
}

const JOBS: [Column<JobLine>; 7] = [
    both(">job", "job", |line| line.job.into()),
    both("model", "model", |line| (&line.model).into()),
    both("unit", "unit", |line| (&line.serial).into()),
    both("opened", "opened_at", |line| Cell::moment(&line.opened_at)),
    on_page(">entries", |line| line.entries.into()),
    both("state", "state", |line| line_words(line).into()),
    both("due", "due", |line| {
        Cell::shown(or_dash(line.due), line.due)
    }),
];
