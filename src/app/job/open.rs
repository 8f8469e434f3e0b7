//! Opening a job on a unit of the book.

use super::{Hand, JobDesk, JobError, JobShown, OpeningChange};
use crate::app::model::find::{Found, find_unit};
use crate::core::gas::OxygenThreshold;
use crate::core::job::{JobEntry, NOT_STATED, Opening, RatedPart};
use crate::core::note::Header;
use crate::core::stage::{Step, SupplyRating};
use crate::store::{Book, BookReader, NewJob, StoreError, UnitId};

/// Holds a job to be opened.
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
    pub fn open(&self, question: &OpenQuestion, hand: &Hand) -> Result<Found<JobShown>, JobError> {
        let opened = Book::open_to_write(self.book)?.write(|book| {
            let (model, unit) = match find_unit(book, question.model.as_deref(), &question.serial)?
            {
                Found::Yes(found) => (found.model, found.unit),
                Found::No(missing) => return Ok(Found::No(missing)),
            };
            let number = book.add_job(&NewJob {
                unit: unit.id,
                model: &model.name.to_string(),
                serial: &unit.serial,
                opened_at: &hand.at,
            })?;
            for entry in opening(book, unit.id, question)? {
                book.add_job_entry(number, &hand.person, &hand.at, &entry)?;
            }
            Ok::<_, StoreError>(Found::Yes(number))
        })?;
        match opened {
            Found::No(missing) => Ok(Found::No(missing)),
            Found::Yes(job) => {
                let mut page = self.show(job)?;
                page.add_cautions(Step::Strip);
                Ok(Found::Yes(page))
            }
        }
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
    let used = question.used.clone();
    let purpose = used.purpose.or_else(|| noted(|h| &h.purpose));
    let gas = used.gas.or_else(|| noted(|h| &h.gas));
    let not_stated = || NOT_STATED.to_owned();
    let mut entries = vec![JobEntry::Open(Opening {
        purpose: purpose.unwrap_or_else(not_stated),
        gear: used.gear.or_else(|| header.and_then(|h| h.gear)),
        gas: gas.unwrap_or_else(not_stated),
        oxygen_pct: used.oxygen_pct.or(noted_share),
        threshold_pct: (question.threshold.share * 1000.0).round() / 10.0,
        threshold_name: question.threshold.name.clone(),
        supply: used
            .supply
            .or_else(|| header.and_then(|h| h.supply.clone())),
    })];
    entries.extend(header.and_then(|h| h.rated.as_ref()).map(|rated| {
        JobEntry::Rating(RatedPart {
            rating: SupplyRating::of_unit(rated),
        })
    }));
    Ok(entries)
}
