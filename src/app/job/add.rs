//! Adding to a record: steps, readings, corrections.

use super::again::said_again;
use super::listed::{JobRead, Listed};
use super::{Hand, JobDesk, JobError, JobShown};
use crate::core::gear::GearKind;
use crate::core::job::{
    Correction, Fit, FittedPart, JobEntry, JobReading, JobRecord, Opening, PartPlace, ReadState,
    UnitState,
};
use crate::core::quantity::{Pressure, Typed};
use crate::core::stage::{SettingQuestion, SettingReport, Step, judge_setting};
use crate::store::Book;

/// What is to be added to a record.
#[derive(Debug, Clone)]
pub enum NewEntry {
    /// A step as it is; a part and its place are named as the parts list names them.
    Step {
        entry: Box<JobEntry>,
        /// What is fitted is what the list has there, whatever the entry says.
        as_listed: bool,
        /// Whose cautions are shown.
        step: Option<Step>,
    },
    /// Readings, which are judged by the ratings of the record as well.
    Reading {
        /// When in the work.
        state: ReadState,
        question: Box<SettingQuestion>,
    },
    /// A correction of an earlier entry.
    Correction {
        /// The entry that was wrong.
        of: u32,
        /// What is right, or why it does not hold.
        words: String,
        /// What stands in its place.
        right: Right,
    },
}

impl NewEntry {
    /// Adds an entry as it is, with no cautions of its own.
    pub fn plain(entry: JobEntry) -> Self {
        Self::Step {
            entry: Box::new(entry),
            as_listed: false,
            step: None,
        }
    }
}

/// Says what stands in the place of a wrong entry.
#[derive(Debug, Clone)]
pub enum Right {
    /// Nothing: it counts as not said.
    Nothing,
    Step {
        entry: Box<JobEntry>,
        /// As in [`NewEntry::Step`].
        as_listed: bool,
    },
    /// Readings, of the same state of the work.
    Reading(Box<SettingQuestion>),
    /// What the unit is used with.
    Opening(Box<OpeningChange>),
}

/// What is said of what a unit is used with; what is `None` stays as it was, or as the unit's note has it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OpeningChange {
    pub purpose: Option<String>,
    pub gear: Option<GearKind>,
    pub gas: Option<String>,
    /// Share of oxygen in per cent.
    pub oxygen_pct: Option<f64>,
    /// Greatest supply of use.
    pub supply: Option<Typed<Pressure>>,
}

/// An entry ready to be written, with what is shown of it.
struct Ready {
    entry: JobEntry,
    judged: Option<SettingReport>,
    step: Option<Step>,
}

impl JobDesk<'_> {
    /// Adds entries to a record, all of them or none. A reading that stops the work is kept, because it happened.
    ///
    /// # Errors
    /// No such job, a closed record, a place that the parts list does not have, a correction of another form than the entry, or a
    /// book that cannot be written.
    pub fn add(&self, job: i64, hand: &Hand, new: &[NewEntry]) -> Result<JobShown, JobError> {
        let read = Book::open_to_read(self.book)?.read(|book| JobRead::of(book, job))?;
        let listed = read.listed(self.book);
        let (read, written) = Book::open_to_write(self.book)?.write(|book| {
            let mut written = Vec::new();
            for new in new {
                let record = book.job(job)?.ok_or(JobError::NoJob(job))?;
                let is_correction = matches!(new, NewEntry::Correction { .. });
                if record.is_closed() && !is_correction {
                    return Err(JobError::Closed(job));
                }
                let mut ready = Ready::of(&record, &listed, new)?;
                said_again(book, &mut ready.entry)?;
                book.add_job_entry(job, &hand.person, &hand.at, &ready.entry)?;
                written.push(ready);
            }
            Ok((JobRead::of(book, job)?, written))
        })?;
        // A correction may have changed the gas, and with it the list.
        let listed = if listed.holds(&read) {
            listed
        } else {
            read.listed(self.book)
        };
        let steps: Vec<Step> = written.iter().filter_map(|ready| ready.step).collect();
        let mut page = JobShown::of(read, &listed, self.limits).after(written.len(), &steps);
        page.judged = written.into_iter().rev().find_map(|ready| ready.judged);
        Ok(page)
    }

    /// Returns the job that was named, or the only one that is open.
    ///
    /// # Errors
    /// None was named, and not exactly one is open; or the book cannot be read.
    pub fn which(&self, named: Option<i64>) -> Result<i64, JobError> {
        if let Some(job) = named {
            return Ok(job);
        }
        Book::open_to_read(self.book)?.read(|book| match book.all_open_jobs()?.as_slice() {
            [] => Err(JobError::NoneOpen),
            [one] => Ok(*one),
            several => Err(JobError::SeveralOpen(several.to_vec())),
        })
    }
}

impl Ready {
    fn of(record: &JobRecord, listed: &Listed, new: &NewEntry) -> Result<Self, JobError> {
        match new {
            NewEntry::Step {
                entry,
                as_listed,
                step,
            } => Ok(Ready {
                entry: placed((**entry).clone(), listed, *as_listed)?,
                judged: None,
                step: *step,
            }),
            NewEntry::Reading { state, question } => {
                let (entry, judged) = judged(*state, question, &state_of(record, listed));
                Ok(Ready {
                    entry,
                    judged: Some(judged),
                    step: Some(Step::Pressurise),
                })
            }
            NewEntry::Correction { of, words, right } => {
                let (right, judged) = standing_in(record, listed, *of, right)?;
                Ok(Ready {
                    entry: JobEntry::Correction(Correction {
                        of: *of,
                        words: words.clone(),
                        right: right.map(Box::new),
                    }),
                    judged,
                    step: None,
                })
            }
        }
    }
}

/// Makes what stands in the place of a wrong entry.
fn standing_in(
    record: &JobRecord,
    listed: &Listed,
    of: u32,
    right: &Right,
) -> Result<(Option<JobEntry>, Option<SettingReport>), JobError> {
    let wrong = record.at(of).ok_or(JobError::NoEntry {
        job: record.number,
        entry: of,
    })?;
    let other_form = |given| JobError::OtherForm {
        entry: of,
        kind: wrong.entry.kind(),
        given,
    };
    match (right, &wrong.entry) {
        (Right::Nothing, _) => Ok((None, None)),
        (Right::Step { entry, as_listed }, wrong) if entry.kind() == wrong.kind() => {
            let entry = placed((**entry).clone(), listed, *as_listed)?;
            Ok((Some(entry), None))
        }
        (Right::Step { entry, .. }, _) => Err(other_form(entry.kind())),
        (Right::Reading(question), JobEntry::Reading(wrong)) => {
            let (entry, judged) = judged(wrong.state, question, &state_of(record, listed));
            Ok((Some(entry), Some(judged)))
        }
        (Right::Reading(_), _) => Err(other_form("reading")),
        (Right::Opening(change), JobEntry::Open(wrong)) => {
            let opening = record.opening().unwrap_or(wrong);
            Ok((Some(JobEntry::Open(change.of(opening))), None))
        }
        (Right::Opening(_), _) => Err(other_form("open")),
    }
}

impl OpeningChange {
    pub(super) fn of(&self, opening: &Opening) -> Opening {
        let mut right = opening.clone();
        right.purpose = self.purpose.clone().unwrap_or(right.purpose);
        right.gas = self.gas.clone().unwrap_or(right.gas);
        right.gear = self.gear.or(right.gear);
        right.oxygen_pct = self.oxygen_pct.or(right.oxygen_pct);
        right.supply = self.supply.clone().or(right.supply);
        right
    }
}

fn state_of(record: &JobRecord, listed: &Listed) -> UnitState {
    UnitState::of(record, &listed.places)
}

/// Names the place of a part as the parts list names it, and says in what the part is another one.
fn placed(entry: JobEntry, listed: &Listed, as_listed: bool) -> Result<JobEntry, JobError> {
    let find = |words: &str| -> Result<Option<&PartPlace>, JobError> {
        if listed.places.places.is_empty() {
            return Ok(None);
        }
        Ok(Some(listed.places.find(words)?))
    };
    match entry {
        JobEntry::Part(mut fitted) => {
            if let Some(place) = find(&fitted.part)? {
                fitted.part.clone_from(&place.name);
                if as_listed {
                    fitted.spec = listed_spec(place)?;
                }
                fitted.unlike = unlike(place, &fitted);
            }
            Ok(JobEntry::Part(fitted))
        }
        JobEntry::Kept(mut kept) => {
            if let Some(place) = find(&kept.part)? {
                kept.part.clone_from(&place.name);
            }
            Ok(JobEntry::Kept(kept))
        }
        other => Ok(other),
    }
}

fn listed_spec(place: &PartPlace) -> Result<String, JobError> {
    let sure = place.listed.as_ref().filter(|_| place.decided);
    let spec = sure.ok_or_else(|| JobError::NothingListed {
        place: place.name.clone(),
    })?;
    Ok(spec.to_string())
}

fn unlike(place: &PartPlace, fitted: &FittedPart) -> Option<String> {
    match place.compare(fitted) {
        Fit::Unlike { listed, how, .. } => Some(format!(
            "the parts list has {listed} for {}; recorded was {}, which {how}",
            place.name, fitted.spec
        )),
        Fit::AsListed | Fit::Nothing | Fit::NotDecided { .. } => None,
    }
}

/// Judges readings by their own ratings and those of the record, and by what limits its kind of gear.
fn judged(
    state: ReadState,
    question: &SettingQuestion,
    unit: &UnitState,
) -> (JobEntry, SettingReport) {
    let typed = question.ratings.clone();
    let mut question = question.clone();
    question.ratings.extend(unit.supply_ratings());
    question.gear = unit.gear;
    let report = judge_setting(&question);
    let reading = JobReading {
        state,
        readings: question.readings.clone(),
        creep: question.creep.clone(),
        lock_up_s: question.lock_up_s,
        design: question.design,
        ratings: typed,
        creep_call: report.creep.as_ref().map(|creep| creep.call),
        gauge: report.gauge.clone(),
        gauge_known: report.gauge_known,
        verdict: report.verdict,
        said: said(&report),
        stops: report.stops.iter().map(|stop| stop.words.clone()).collect(),
        not_tested: None,
        standing: Some(question.gauge.clone()),
    };
    (JobEntry::Reading(Box::new(reading)), report)
}

/// One sentence a check, in the words that a release sheet prints.
fn said(judged: &SettingReport) -> Vec<String> {
    let checks = judged.checks.iter().map(|check| {
        let check = check.spoken(judged.spoken);
        // A slope is a small number; pressures and times are read to a tenth.
        let fine = if check.unit == "bar/bar" { 1e4 } else { 10.0 };
        let value = (check.value * fine).round() / fine;
        format!(
            "{}: {value} {} (limit {} to {}, {}): {}",
            check.name,
            check.unit,
            check.low,
            check.high,
            check.source,
            check.verdict.word()
        )
    });
    checks.collect()
}
