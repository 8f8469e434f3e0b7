//! Jobs: opening a record, adding to it, closing it, showing it.

use super::find_model::{Found, NotFound, find_model};
use super::job_part::{BesideList, beside_list, kept_beside_list, unrecorded};
use crate::core::elastomer::{GasService, OxygenThreshold};
use crate::core::job::{
    JobEntry, JobRecord, Lacking, ReadState, ReleaseFacts, lacking, release_facts,
};
use crate::core::note::Header;
use crate::core::quantity::{Date, PressureUnit};
use crate::core::stage::{
    SettingQuestion, SettingReport, Step, SupplyRating, cautions, judge_setting,
};
use crate::store::{Book, BookPlace, BookReader, NewJob, StoreError, UnitId};
use serde::Serialize;

/// Says why a record cannot be added to.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum JobError {
    /// The book.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// There is no such job.
    #[error("there is no job {0} in the book: `ringwright job list` shows them")]
    NoJob(i64),
    /// The record is closed.
    #[error(
        "job {0} is closed and takes corrections only: `ringwright job correct {0} ENTRY WORDS`, or open a new job"
    )]
    Closed(i64),
    /// The record was changed in the file.
    #[error("{0}: nothing is worked out from a record that was changed")]
    Changed(String),
    /// The record has no readings.
    #[error(
        "job {0} has no readings yet: `ringwright job reading {0}` adds them, or give --reading"
    )]
    NoReadings(i64),
    /// The entry has no readings.
    #[error(
        "entry {entry} of job {job} holds no readings: `ringwright job show {job}` numbers those that do"
    )]
    NoReading {
        /// The job.
        job: i64,
        /// The entry.
        entry: u32,
    },
    /// The entry was corrected.
    #[error(
        "entry {entry} of job {job} was corrected in words, which are not judged: give what is right with --reading"
    )]
    CorrectedReading {
        /// The job.
        job: i64,
        /// The entry.
        entry: u32,
    },
    /// There is no such entry.
    #[error("job {job} has no entry {entry}: `ringwright job show {job}` numbers them")]
    NoEntry {
        /// The job.
        job: i64,
        /// The entry.
        entry: u32,
    },
}

/// Holds who adds an entry, and when.
#[derive(Debug, Clone)]
pub struct Hand {
    /// Who.
    pub person: String,
    /// When, ISO 8601.
    pub at: String,
}

/// Holds a job to be opened.
#[derive(Debug, Clone)]
pub struct OpenQuestion {
    /// Model, its maker may be left out.
    pub model: String,
    /// Serial number.
    pub serial: String,
    /// What for; else from the unit's note.
    pub purpose: Option<String>,
    /// The gas; else from the unit's note.
    pub gas: Option<String>,
    /// Share of oxygen in per cent; else from the unit's note.
    pub oxygen_pct: Option<f64>,
    /// The threshold of enrichment.
    pub threshold: OxygenThreshold,
}

/// Holds a record with what it says for release.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobShown {
    /// What a release sheet says.
    pub release: ReleaseFacts,
    /// What is lacking before it can be released; empty where it is closed.
    pub lacking: Vec<Lacking>,
    /// The record.
    pub record: JobRecord,
    /// What of the record was changed in the file after it was written; `None` where every seal fits.
    pub changed: Option<String>,
    /// Whether the last entry was just added, so that a page shows that one alone.
    #[serde(skip)]
    pub added: bool,
    /// What was just judged.
    pub judged: Option<SettingReport>,
    /// Cautions of the step that was just entered.
    pub step_cautions: Vec<&'static str>,
    /// Where the part that was just entered is another one than the parts list has.
    pub unlike_list: Option<String>,
}

/// A record as it was read.
struct Read {
    record: JobRecord,
    /// What its seals say.
    changed: Option<String>,
    /// Parts that the list replaces and of which the record says nothing; none of a closed record.
    unrecorded: Vec<String>,
}

impl Read {
    fn of(book: &BookReader<'_>, number: i64) -> Result<Self, JobError> {
        let record = job_of(book, number)?;
        Ok(Self {
            changed: book.job_fault(number)?,
            unrecorded: if record.is_closed() {
                Vec::new()
            } else {
                unrecorded(book, &record)?
            },
            record,
        })
    }

    /// What it lacks before `person` may close it.
    fn lacks(&self, person: &str, checked_by: Option<&str>) -> Vec<Lacking> {
        let mut lacks = lacking(&self.record, person, checked_by);
        let job = self.record.number;
        if !self.unrecorded.is_empty() {
            lacks.push(Lacking(format!(
                "what went in, or why the old part stays, for: {} (job step {job} --part … --spec … --lot …, or --kept … --why …)",
                self.unrecorded.join("; ")
            )));
        }
        if let Some(fault) = &self.changed {
            lacks.push(Lacking(format!("a record as it was written: {fault}")));
        }
        lacks
    }
}

fn shown(read: Read) -> JobShown {
    let lacks = if read.record.is_closed() {
        Vec::new()
    } else {
        read.lacks("", Some("somebody else"))
    };
    JobShown {
        release: release_facts(&read.record),
        lacking: lacks,
        record: read.record,
        changed: read.changed,
        added: false,
        judged: None,
        step_cautions: Vec::new(),
        unlike_list: None,
    }
}

fn job_of(book: &BookReader<'_>, number: i64) -> Result<JobRecord, JobError> {
    book.job(number)?.ok_or(JobError::NoJob(number))
}

/// Opens a job on a unit of the book.
///
/// The unit's newest note gives gas, purpose and rating where they are not stated.
///
/// # Errors
/// Fails where the book cannot be written.
pub fn open_job(
    place: &BookPlace,
    question: &OpenQuestion,
    hand: &Hand,
) -> Result<Found<JobShown>, JobError> {
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        let model = match find_model(book, &question.model)? {
            Found::Yes(model) => model,
            Found::No(missing) => return Ok(Found::No(missing)),
        };
        let Some(unit) = book.unit(model.id, &question.serial)? else {
            let units = book.units(model.id)?;
            return Ok(Found::No(NotFound {
                what: "unit",
                asked: question.serial.clone(),
                near: units.into_iter().map(|unit| unit.serial).collect(),
                ambiguous: false,
            }));
        };
        let number = book.add_job(&NewJob {
            unit: unit.id,
            model: &model.name.to_string(),
            serial: &unit.serial,
            opened_at: &hand.at,
        })?;
        for entry in opening(book, unit.id, question)? {
            book.add_job_entry(number, (&hand.person, &hand.at), &entry)?;
        }
        let mut page = shown(Read::of(book, number)?);
        page.step_cautions = cautions(Step::Strip).to_vec();
        Ok(Found::Yes(page))
    })
}

fn opening(
    book: &BookReader<'_>,
    unit: UnitId,
    question: &OpenQuestion,
) -> Result<Vec<JobEntry>, StoreError> {
    let notes = book.notes(unit)?;
    let header = notes.first().map(|note| note.header.clone());
    let header = header.as_ref();
    let noted_share = header
        .and_then(|h| h.oxygen.as_ref())
        .map(|share| share.value * 100.0);
    let noted = |pick: fn(&Header) -> &Option<String>| header.and_then(|h| pick(h).clone());
    let gas = question.gas.clone().or_else(|| noted(|h| &h.gas));
    let oxygen_pct = question.oxygen_pct.or(noted_share);
    let share = oxygen_pct.map(|pct| pct / 100.0);
    let enriched = match GasService::judge(gas.as_deref(), share, &question.threshold) {
        GasService::Air => Some(false),
        GasService::Enriched { .. } => Some(true),
        GasService::Other { .. } | GasService::Unsettled { .. } => None,
    };
    let purpose = question.purpose.clone().or_else(|| noted(|h| &h.purpose));
    let mut entries = vec![JobEntry::Open {
        purpose: purpose.unwrap_or_else(|| "not stated".to_owned()),
        gas: gas.unwrap_or_else(|| "not stated".to_owned()),
        oxygen_pct,
        threshold_pct: (question.threshold.share * 1000.0).round() / 10.0,
        threshold_name: question.threshold.name.clone(),
        enriched,
    }];
    if let Some(rated) = header.and_then(|h| h.rated.as_ref()) {
        entries.push(JobEntry::Rating {
            rating: SupplyRating {
                part: "unit".to_owned(),
                rating: rated.value,
                on_supply: true,
                text: format!("unit {} on supply, from its note", rated.text),
            },
        });
    }
    Ok(entries)
}

/// Adds an entry to a job; `step`: the step whose cautions are shown.
///
/// # Errors
/// No such job, a closed record, or a book that cannot be written.
pub fn add_entry(
    place: &BookPlace,
    job: i64,
    hand: &Hand,
    (entry, step): (&JobEntry, Option<Step>),
) -> Result<JobShown, JobError> {
    Book::open_to_write(place)?.write(|book| {
        let record = job_of(book, job)?;
        if let JobEntry::Correction { of, .. } = entry {
            if !record.entries.iter().any(|known| known.place == *of) {
                return Err(JobError::NoEntry { job, entry: *of });
            }
        } else if record.is_closed() {
            return Err(JobError::Closed(job));
        }
        let mut entry = entry.clone();
        let beside = match &mut entry {
            JobEntry::Part {
                part, spec, unlike, ..
            } => {
                let beside = beside_list(book, (&record.model, part, spec))?;
                if let Some(BesideList::Unlike(words)) = &beside {
                    *unlike = Some(words.clone());
                }
                beside
            }
            JobEntry::Kept { part, .. } => kept_beside_list(book, (&record.model, part))?,
            _ => None,
        };
        book.add_job_entry(job, (&hand.person, &hand.at), &entry)?;
        let mut page = shown(Read::of(book, job)?);
        page.added = true;
        page.step_cautions = step.map_or_else(Vec::new, |step| cautions(step).to_vec());
        page.unlike_list = beside.map(BesideList::caution);
        Ok(page)
    })
}

/// Judges readings against the ratings of the record as well, and adds them.
///
/// A reading that stops the work is kept, because it happened.
///
/// # Errors
/// As [`add_entry`].
pub fn add_reading(
    place: &BookPlace,
    job: i64,
    hand: &Hand,
    (state, mut question): (ReadState, SettingQuestion),
) -> Result<JobShown, JobError> {
    let record = Book::open_to_read(place)?.read(|book| job_of(book, job))?;
    question.ratings.extend(record.ratings());
    let judged = judge_setting(&question);
    let entry = JobEntry::Reading {
        state,
        readings: question.readings.clone(),
        creep: question.creep.clone(),
        lock_up_s: question.lock_up_s,
        creep_call: judged.creep.as_ref().map(|creep| creep.call),
        gauge: judged.gauge.clone(),
        gauge_known: judged.gauge_known,
        verdict: judged.verdict.map(|v| v.word().to_owned()),
        said: said(&judged),
        stops: judged.stops.iter().map(|stop| stop.words.clone()).collect(),
        not_tested: None,
        standing: Some(question.gauge.clone()),
    };
    let mut page = add_entry(place, job, hand, (&entry, Some(Step::Pressurise)))?;
    page.judged = Some(judged);
    Ok(page)
}

/// One sentence a check, in the words that a release sheet prints.
fn said(judged: &SettingReport) -> Vec<String> {
    let mut lines: Vec<String> = judged
        .checks
        .iter()
        .map(|check| {
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
        })
        .collect();
    for (supply, bar) in &judged.corrected_bar {
        let psi = bar * PressureUnit::Bar.pascals() / PressureUnit::Psi.pascals();
        lines.push(format!(
            "{psi:.1} psi at {supply:.0} bar, put right for the gauge"
        ));
    }
    lines
}

/// Holds how a job is closed.
#[derive(Debug, Clone)]
pub struct CloseQuestion {
    /// The second person.
    pub checked_by: Option<String>,
    /// Whether it is to be released.
    pub release: bool,
    /// Limits of use.
    pub limits: String,
    /// When it is due again.
    pub due: Option<Date>,
    /// The rule for that.
    pub due_rule: String,
}

/// Says how closing went.
#[derive(Debug, Clone)]
pub enum Closed {
    /// The record is closed.
    Yes(Box<JobShown>),
    /// It lacks something, and nothing was written.
    Lacking(Box<JobShown>),
}

/// Closes a job: released where nothing is lacking, or without release where that is asked for.
///
/// # Errors
/// As [`add_entry`].
pub fn close_job(
    place: &BookPlace,
    job: i64,
    hand: &Hand,
    question: &CloseQuestion,
) -> Result<Closed, JobError> {
    let read = Book::open_to_read(place)?.read(|book| Read::of(book, job))?;
    if read.record.is_closed() {
        return Err(JobError::Closed(job));
    }
    let lacks = read.lacks(&hand.person, question.checked_by.as_deref());
    if question.release && !lacks.is_empty() {
        let mut page = shown(read);
        page.lacking = lacks;
        return Ok(Closed::Lacking(Box::new(page)));
    }
    let entry = JobEntry::Close {
        checked_by: question.checked_by.clone(),
        released: question.release,
        limits: question.limits.clone(),
        due: question.due,
        due_rule: question.due_rule.clone(),
        lacking: lacks.into_iter().map(|lack| lack.0).collect(),
    };
    let mut page = add_entry(place, job, hand, (&entry, Some(Step::Release)))?;
    page.added = false;
    Ok(Closed::Yes(Box::new(page)))
}

/// Shows a job.
///
/// # Errors
/// No such job, or a book that cannot be read.
pub fn show_job(place: &BookPlace, job: i64) -> Result<JobShown, JobError> {
    Ok(shown(
        Book::open_to_read(place)?.read(|book| Read::of(book, job))?,
    ))
}

/// Holds one line of the list of jobs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobLine {
    /// Its number.
    pub job: i64,
    /// Model.
    pub model: String,
    /// Serial number.
    pub serial: String,
    /// When it was opened.
    pub opened_at: String,
    /// Entries.
    pub entries: usize,
    /// Open, released, or closed without release.
    pub state: &'static str,
    /// When it is due again.
    pub due: Option<Date>,
}

/// Holds the list of jobs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobList {
    /// Jobs, oldest first.
    pub jobs: Vec<JobLine>,
}

/// Lists the jobs.
///
/// # Errors
/// Fails where the book cannot be read.
pub fn list_jobs(place: &BookPlace) -> Result<JobList, StoreError> {
    Book::open_to_read(place)?.read(|book| {
        let records = book.jobs()?;
        Ok(JobList {
            jobs: records.iter().map(line_of).collect(),
        })
    })
}

fn line_of(record: &JobRecord) -> JobLine {
    let facts = release_facts(record);
    JobLine {
        job: record.number,
        model: record.model.clone(),
        serial: record.serial.clone(),
        opened_at: record.opened_at.clone(),
        entries: record.entries.len(),
        state: match (facts.closed, facts.released) {
            (false, _) => "open",
            (true, true) => "released",
            (true, false) => "closed, NOT released",
        },
        due: facts.due,
    }
}
