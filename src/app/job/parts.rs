//! The parts of a job, line by line of its parts list, with what the bag of the unit holds for each.

use super::listed::JobRead;
use super::{JobDesk, JobError, NewEntry};
use crate::app::stock::kit::{KitLine, KitQuestion, stock_kit};
use crate::core::book::{LifeRule, PartAction};
use crate::core::elastomer::{Quarter, ShelfLifeSystem};
use crate::core::interchange::PartSpec;
use crate::core::job::{FittedPart, JobEntry, PartPlace, UnitState};
use crate::store::Book;

/// A place of which the record does not say yet what went in.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenPart {
    /// The place with what is listed there.
    pub place: PartPlace,
    /// The lot, or lots, that the bag of the unit holds for it; `None` where it does not hold enough.
    pub bagged: Option<String>,
}

impl OpenPart {
    /// Returns what is listed where the list is sure of it: what Enter fits.
    pub fn as_listed(&self) -> Option<&PartSpec> {
        self.place.listed.as_ref().filter(|_| self.place.decided)
    }
}

impl JobDesk<'_> {
    /// Lists the places that get a new part and of which the record says nothing yet, in the order of the list.
    ///
    /// # Errors
    /// No such job, a closed one, or a book that cannot be read.
    pub fn open_parts(&self, job: i64, now: Quarter) -> Result<Vec<OpenPart>, JobError> {
        let mut book = Book::open_to_read(self.book)?;
        let read = book.read(|book| JobRead::of(book, job))?;
        drop(book);
        if read.record.is_closed() {
            return Err(JobError::Closed(job));
        }
        let listed = read.listed(self.book);
        let state = UnitState::of(&read.record, &listed.places);
        let bag = self.bag(&read, now, None)?;
        let open = listed.places.places.into_iter().filter(|place| {
            place.action == PartAction::Replace && state.place(place.number).is_none()
        });
        Ok(open
            .map(|place| OpenPart {
                bagged: bag
                    .iter()
                    .find(|line| line.number == place.number)
                    .and_then(KitLine::bagged_lots),
                place,
            })
            .collect())
    }

    /// Lists as fitted what the bag holds and the list is sure of, as it is listed and from the lots in the bag.
    ///
    /// # Errors
    /// The bag holds nothing that is still to be fitted; no such job, a closed one, or a book that cannot be read.
    pub fn fitted_from_bag(&self, job: i64, now: Quarter) -> Result<Vec<NewEntry>, JobError> {
        let open = self.open_parts(job, now)?;
        let fitted: Vec<NewEntry> = open
            .iter()
            .filter_map(|part| {
                let (spec, lot) = (part.as_listed()?, part.bagged.as_ref()?);
                Some(NewEntry::plain(JobEntry::Part(FittedPart {
                    part: part.place.name.clone(),
                    spec: spec.to_string(),
                    lot: lot.clone(),
                    count: part.place.quantity,
                    oxygen_clean: false,
                    unlike: None,
                    deviation: None,
                })))
            })
            .collect();
        if fitted.is_empty() {
            return Err(JobError::NothingBagged(job));
        }
        Ok(fitted)
    }

    /// Takes into the bag of a job's unit what the shelf has for it; names what it lacks.
    ///
    /// # Errors
    /// No such job, or a book that cannot be written.
    pub fn pack(&self, job: i64, now: Quarter, at: &str) -> Result<Vec<String>, JobError> {
        let read = Book::open_to_read(self.book)?.read(|book| JobRead::of(book, job))?;
        let lines = self.bag(&read, now, Some(at))?;
        let short = lines.iter().filter(|line| line.short > 0);
        Ok(short
            .map(|line| {
                format!(
                    "line {}, {} {}: {}",
                    line.number, line.part, line.position, line.why
                )
            })
            .collect())
    }

    /// Looks into the bag of a unit; with the moment of taking, what the shelf has for it is put in first.
    fn bag(
        &self,
        read: &JobRead,
        now: Quarter,
        taken_at: Option<&str>,
    ) -> Result<Vec<KitLine>, JobError> {
        let Some(parts) = read.parts_question() else {
            return Ok(Vec::new());
        };
        let system = ShelfLifeSystem::Iso;
        let question = KitQuestion {
            parts,
            unit: read.record.serial.clone(),
            take: taken_at.is_some(),
            rule: LifeRule { system, now },
            made_at: taken_at.unwrap_or_default().to_owned(),
        };
        Ok(stock_kit(self.book, &question)?.lines)
    }
}
