//! The parts of a job, line by line of its parts list, with what the bag of the unit holds for each.

use super::listed::JobRead;
use super::{JobDesk, JobError};
use crate::app::find_model::Found;
use crate::app::stock_kit::{KitLine, KitQuestion, stock_kit};
use crate::core::book::PartAction;
use crate::core::elastomer::{Quarter, ShelfLifeSystem};
use crate::core::interchange::PartSpec;
use crate::core::job::{PartPlace, UnitState};
use crate::store::Book;

/// Holds a place of which the record does not say yet what went in.
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
        let bag = match read.parts_question() {
            None => Vec::new(),
            Some(parts) => self.bag(&KitQuestion {
                parts,
                unit: read.record.serial.clone(),
                take: false,
                system: ShelfLifeSystem::Iso,
                now,
                made_at: String::new(),
            })?,
        };
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

    /// Looks into the bag of a unit.
    fn bag(&self, question: &KitQuestion) -> Result<Vec<KitLine>, JobError> {
        Ok(match stock_kit(self.book, question)? {
            Found::Yes(kit) => kit.lines,
            Found::No(_) => Vec::new(),
        })
    }
}
