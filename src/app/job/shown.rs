//! A job as it is shown: its state, what stands against its release, its record.

use super::listed::{JobRead, Listed};
use super::{JobDesk, JobError};
use crate::core::caution::Caution;
use crate::core::job::{
    ClosingAsked, JobEntry, JobReading, JobRecord, JobStanding, Lack, UnitState, release,
};
use crate::core::stage::{SettingLimits, SettingReport, Step, cautions};
use crate::store::Book;
use serde::{Serialize, Serializer};

/// A job with its state and what stands against its release.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobShown {
    pub standing: JobStanding,
    /// What the record comes to.
    pub state: UnitState,
    /// What stands against release; of a released job what stands against it since a correction.
    #[serde(serialize_with = "as_words")]
    pub lacking: Vec<Lack>,
    /// The kinds of what is lacking, in the same order.
    pub lacking_codes: Vec<String>,
    pub record: JobRecord,
    /// What of the record was changed in the file after it was written; `None` where every seal fits.
    pub changed: Option<String>,
    /// The entries that were just added, so that a page shows those alone.
    #[serde(skip)]
    pub added: Vec<u32>,
    /// What of what is lacking is about those entries.
    #[serde(serialize_with = "as_words")]
    pub points: Vec<Lack>,
    /// What was just judged.
    pub judged: Option<SettingReport>,
    /// Cautions of the step that was just entered, and those that always stand on a record.
    pub cautions: Vec<Caution>,
}

fn as_words<S: Serializer>(lacks: &[Lack], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(lacks.iter().map(ToString::to_string))
}

impl JobShown {
    pub(super) fn of(read: JobRead, listed: &Listed, limits: &SettingLimits) -> Self {
        let state = UnitState::of(&read.record, &listed.places);
        let standing = state.standing();
        let lacking = match standing {
            JobStanding::Open | JobStanding::CorrectedSince => {
                release(&state, &read.question(listed, limits, closed_as(&state)))
            }
            JobStanding::Released | JobStanding::NotReleased => Vec::new(),
        };
        let mut shown = Self {
            standing,
            lacking: Vec::new(),
            lacking_codes: Vec::new(),
            changed: read.changed,
            record: read.record,
            added: Vec::new(),
            points: Vec::new(),
            judged: None,
            cautions: cautions(Step::release(state.kind())).to_vec(),
            state,
        };
        if shown.state.gas.asks_oxygen_care() {
            shown.cautions.extend(cautions(Step::Oxygen));
        }
        shown.lack(lacking);
        shown
    }

    /// Takes what stands against release.
    pub(super) fn lack(&mut self, lacking: Vec<Lack>) {
        self.lacking_codes = lacking.iter().map(Lack::code).collect();
        self.lacking = lacking;
    }

    /// Shows the last `count` entries alone, what stands against release because of them, and the cautions of their steps.
    pub(super) fn after(mut self, count: usize, steps: &[Step]) -> Self {
        let entries = &self.record.entries;
        let added = &entries[entries.len().saturating_sub(count)..];
        self.added = added.iter().map(|sealed| sealed.place).collect();
        let about = added.iter().map(|sealed| match &sealed.entry {
            JobEntry::Correction(correction) => correction.of,
            _ => sealed.place,
        });
        let about: Vec<u32> = about.collect();
        let theirs = |lack: &&Lack| lack.entry().is_some_and(|entry| about.contains(&entry));
        self.points = self.lacking.iter().filter(theirs).cloned().collect();
        self.cautions.clear();
        for step in steps {
            self.cautions.extend(self.more(*step));
        }
        self
    }

    /// Lists the readings that were just added.
    pub fn added_readings(&self) -> impl Iterator<Item = &JobReading> {
        let added = self.record.entries.iter();
        let added = added.filter(|sealed| self.added.contains(&sealed.place));
        added.filter_map(|sealed| match &sealed.entry {
            JobEntry::Reading(reading) => Some(&**reading),
            _ => None,
        })
    }

    /// Puts the cautions of a step before those that always stand on a record.
    pub(super) fn add_cautions(&mut self, step: Step) {
        self.cautions.splice(0..0, self.more(step));
    }

    /// Lists the cautions of a step that are not shown yet.
    fn more(&self, step: Step) -> Vec<Caution> {
        let more = cautions(step).iter().filter(|c| !self.cautions.contains(c));
        more.copied().collect()
    }

    /// Tells whether the unit may be given out.
    pub fn is_released(&self) -> bool {
        let stands = matches!(
            self.standing,
            JobStanding::Released | JobStanding::CorrectedSince
        );
        stands && self.lacking.is_empty() && self.changed.is_none()
    }
}

/// How a closed record was closed, as it is asked again after a correction.
fn closed_as(state: &UnitState) -> Option<ClosingAsked<'_>> {
    let closing = state.closing.as_ref()?;
    Some(ClosingAsked {
        person: &closing.person,
        closing: &closing.what,
        at: state.moments.last().map_or("", |(_, at)| at.as_str()),
    })
}

impl JobDesk<'_> {
    /// Shows a job.
    ///
    /// # Errors
    /// No such job, or a book that cannot be read.
    pub fn show(&self, job: i64) -> Result<JobShown, JobError> {
        let read = Book::open_to_read(self.book)?.read(|book| JobRead::of(book, job))?;
        let listed = read.listed(self.book);
        Ok(JobShown::of(read, &listed, self.limits))
    }
}
