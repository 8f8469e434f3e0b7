//! What the book says of parts in the place of others, with the parts as they read.

use crate::core::book::{Decision, PartsList, tell_decisions};
use crate::core::interchange::{PartSpec, Statement, tell_failures};
use crate::core::provenance::Sourced;
use crate::store::{BookReader, StoreError};

/// Every statement of the book, and the models that it may speak of.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::app) struct Statements {
    /// Statements with the part whose place is taken and the part that takes it.
    pub(in crate::app) said: Vec<(Sourced<Statement>, PartSpec, PartSpec)>,
    /// Statements of which a part cannot be read.
    pub(super) unread: Vec<Sourced<Statement>>,
    /// What persons decided for places.
    decisions: Vec<Decision>,
    models: Vec<String>,
}

impl Statements {
    /// Reads the parts of every statement, and keeps apart those that cannot be read.
    pub(in crate::app) fn read(book: &BookReader<'_>) -> Result<Self, StoreError> {
        let read = |text: &str| PartSpec::read(text, None).ok()?.into_iter().next();
        let (mut said, mut unread) = (Vec::new(), Vec::new());
        for one in book.statements()? {
            match read(&one.part).zip(read(&one.stand_in)) {
                Some((part, stand_in)) => said.push((one, part, stand_in)),
                None => unread.push(one),
            }
        }
        let models = book.models()?.into_iter().map(|model| model.name.name);
        Ok(Self {
            said,
            unread,
            decisions: book.decisions()?,
            models: models.collect(),
        })
    }

    /// Puts on each line of a parts list what a person decided for it, and tells what was tried and failed there.
    pub(in crate::app) fn tell(&self, list: &mut PartsList) {
        tell_decisions(list, &self.decisions);
        tell_failures(list, &self.models, &self.said);
    }
}
