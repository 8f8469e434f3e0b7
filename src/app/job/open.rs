//! Opening a job on a unit of the book.

use super::{Hand, JobDesk, JobError, JobShown, OpeningChange};
use crate::app::model::find::find_unit;
use crate::core::gas::OxygenThreshold;
use crate::core::job::{JobEntry, NOT_STATED, Opening, RatedPart};
use crate::core::note::Header;
use crate::core::stage::{Step, SupplyRating};
use crate::store::{Book, BookReader, NewJob, StoreError, UnitId};

/// A job to be opened.
#[derive(Debug, Clone)]
pub struct OpenQuestion {
    /// Model, its maker may be left out; `None` where the serial number tells the unit.
    pub model: Option<String>,
    pub serial: String,
    /// What it is used with; what is `None` is taken from the unit's note.
    pub used: OpeningChange,
    pub threshold: OxygenThreshold,
}

impl JobDesk<'_> {
    /// Opens a job on a unit of the book.
    ///
    /// The unit's newest note gives what is not stated: kind of gear, gas, supply, purpose, rating.
    pub fn open(&self, question: &OpenQuestion, hand: &Hand) -> Result<JobShown, JobError> {
        let job = Book::open_to_write(self.book)?.write(|book| {
            let found = find_unit(book, question.model.as_deref(), &question.serial)?;
            let number = book.add_job(&NewJob {
                unit: found.unit.id,
                model: &found.model.name.to_string(),
                serial: &found.unit.serial,
                opened_at: &hand.at,
            })?;
            for entry in opening(book, found.unit.id, question)? {
                book.add_job_entry(number, &hand.person, &hand.at, &entry)?;
            }
            Ok::<_, StoreError>(number)
        })?;
        let mut page = self.show(job)?;
        page.add_cautions(Step::Strip);
        Ok(page)
    }
}

fn opening(
    book: &BookReader<'_>,
    unit: UnitId,
    question: &OpenQuestion,
) -> Result<Vec<JobEntry>, StoreError> {
    let notes = book.notes(unit)?;
    let header = notes.first().map(|stored| &stored.note.header);
    let noted = |pick: fn(&Header) -> &Option<String>| header.and_then(|h| pick(h).clone());
    let noted_share = header
        .and_then(|h| h.oxygen.as_ref())
        .map(|s| s.value * 100.0);
    let not_stated = || NOT_STATED.to_owned();
    let as_noted = Opening {
        purpose: noted(|h| &h.purpose).unwrap_or_else(not_stated),
        gear: header.and_then(|h| h.gear),
        gas: noted(|h| &h.gas).unwrap_or_else(not_stated),
        oxygen_pct: noted_share,
        threshold_pct: (question.threshold.share * 1000.0).round() / 10.0,
        threshold_name: question.threshold.name.clone(),
        supply: header.and_then(|h| h.supply.clone()),
    };
    let mut entries = vec![JobEntry::Open(question.used.of(&as_noted))];
    entries.extend(header.and_then(|h| h.rated.as_ref()).map(|rated| {
        JobEntry::Rating(RatedPart {
            rating: SupplyRating::of_unit(rated),
        })
    }));
    Ok(entries)
}
