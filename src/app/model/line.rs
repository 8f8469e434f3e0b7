//! Finds one line of the parts list of a model, by its number or its words.

use super::list_maker::ListMaker;
use super::parts_list::PartsQuestion;
use super::statements::Statements;
use super::unit_records::{RecordedModel, recorded_model};
use crate::core::book::PartLine;
use crate::core::gland::GlandSpec;
use crate::core::interchange::PartSpec;
use crate::core::job::{NoPlace, PlaceList};
use crate::store::{Book, BookPlace, StoreError};

/// Says why there is no such line.
#[derive(Debug, thiserror::Error)]
pub enum NoLine {
    /// The book cannot be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The words name no one line.
    #[error(transparent)]
    NoPlace(#[from] NoPlace),
}

/// Finds the line of a model's parts list that a number or words name.
///
/// # Errors
/// The words name no one line, or the book cannot be read.
pub fn listed_line(place: &BookPlace, model: &str, line: &str) -> Result<PartLine, NoLine> {
    Ok(line_of_model(place, model, line)?.1)
}

/// Finds a line with the model that it is of.
pub(in crate::app) fn line_of_model(
    place: &BookPlace,
    model: &str,
    line: &str,
) -> Result<(RecordedModel, PartLine), NoLine> {
    let mut book = Book::open_to_read(place)?;
    let (model, said) = book.read(|book| {
        let model = recorded_model(book, model)?;
        Ok::<_, StoreError>((model, Statements::read(book)?))
    })?;
    let question = PartsQuestion::of_one(model.name.to_string());
    let report = ListMaker::beside(place).report(&model, &said, &question);
    let places = PlaceList::of_lines(&report.list.lines);
    let number = places.find(line)?.number;
    // The places are made of these very lines.
    let mut lines = report.list.lines;
    let at = lines.iter().position(|line| line.number == number);
    let line = lines.swap_remove(at.unwrap_or(0));
    Ok((model, line))
}

impl PartLine {
    /// Returns the ring that the list has here as it is written, and the groove that was recorded first.
    pub fn ring_and_groove(&self) -> (Option<String>, Option<GlandSpec>) {
        let ring = PartSpec::of_line(self).map(|spec| spec.to_string());
        (ring, self.glands.first().cloned())
    }
}
