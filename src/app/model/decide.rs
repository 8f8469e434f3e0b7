//! Keeps what a person decided for a place of a model.

use super::find::{find_model, if_there};
use super::parts_list::{PartsQuestion, parts_list};
use crate::core::book::{Decision, PartLine, Says, name_key, only_ring, plain_position};
use crate::core::job::PlaceList;
use crate::core::note::PartKind;
use crate::core::sizes::SizeTable;
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;

/// What was decided for a model, with what the list makes of it.
#[derive(Debug, Clone, Serialize)]
pub struct DecisionsReport {
    pub model: String,
    /// Every decision, oldest first; those that were taken back too.
    pub decisions: Vec<Decision>,
    /// The lines on which one stands.
    pub lines: Vec<PartLine>,
}

/// What a person decides for a place, before it is kept.
#[derive(Debug, Clone)]
pub struct NewDecision {
    /// Section and position, as `body, at piston stem`.
    pub at: String,
    /// The ring, as a code or dimensions.
    pub ring: String,
    pub polymer: Option<String>,
    pub hardness: Option<String>,
    /// A part number.
    pub part: Option<String>,
}

/// Says why a decision cannot be kept.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum DecideError {
    /// The text names no listed ring, or several.
    #[error("{0:?} names no ring that is listed, or several: write the code of one, as AS568-012")]
    Ring(String),
    /// Nothing stands for the place.
    #[error("no decision stands for {0:?}: `ringwright decide MODEL` lists those that do")]
    NoneStands(String),
    /// The book cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// Shows what was decided for a model.
pub fn decisions(place: &BookPlace, model: &str) -> Result<DecisionsReport, StoreError> {
    let list = parts_list(place, &PartsQuestion::of_one(model))?.list;
    let key = list.model.key();
    let mut book = Book::open_to_read(place)?;
    let decisions = book.read(|book| {
        let all = book.decisions()?.into_iter();
        Ok::<_, StoreError>(all.filter(|one| one.model_key == key).collect())
    })?;
    Ok(DecisionsReport {
        model: list.model.to_string(),
        decisions,
        lines: list
            .lines
            .into_iter()
            .filter(|line| line.decided_by.is_some())
            .collect(),
    })
}

/// Keeps a decision for a place of a model.
///
/// # Errors
/// The text names no ring, or the book cannot be written.
pub fn decide(
    place: &BookPlace,
    model: &str,
    new: &NewDecision,
    says: &Says,
) -> Result<DecisionsReport, DecideError> {
    let ring = only_ring(&new.ring).ok_or_else(|| DecideError::Ring(new.ring.clone()))?;
    let line = line_at(place, model, &new.at)?;
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        book.add_decision(&Decision {
            model_key: find_model(book, model)?.name.key(),
            section: line.section.clone(),
            position: line.position.clone(),
            ring: SizeTable::shipped().codes(ring).remove(0),
            polymer: new.polymer.clone(),
            hardness: new.hardness.clone(),
            part: new.part.clone(),
            person: says.person.clone(),
            why: says.why.clone(),
            decided_at: says.at.clone(),
            taken_back: None,
        })
    })?;
    Ok(decisions(place, model)?)
}

/// Takes what stands for a place back.
///
/// # Errors
/// Nothing stands there, or the book cannot be written.
pub fn take_back(
    place: &BookPlace,
    model: &str,
    at: &str,
    says: &Says,
) -> Result<DecisionsReport, DecideError> {
    let report = decisions(place, model)?;
    // Its place may stand on no list any more.
    let line = if_there(line_at(place, model, at))?;
    let named = line
        .as_ref()
        .map(|l| (l.section.as_str(), l.position.as_str()));
    let (section, position) = named.unwrap_or_else(|| parted(at));
    let own = |one: &&Decision| {
        one.taken_back.is_none()
            && name_key(&one.section) == name_key(section)
            && plain_position(&one.position) == plain_position(position)
    };
    let stands = report.decisions.iter().find(own);
    let stands = stands.ok_or_else(|| DecideError::NoneStands(at.to_owned()))?;
    let mut book = Book::open_to_write(place)?;
    book.write(|book| book.take_decision_back(stands, says))?;
    Ok(decisions(place, model)?)
}

/// Parts a place into its section and its position: `body, at piston stem`.
fn parted(at: &str) -> (&str, &str) {
    let (section, position) = at.split_once(',').unwrap_or(("", at));
    (section.trim(), position.trim())
}

/// Finds the ring line of a place in the list of a model.
fn line_at(place: &BookPlace, model: &str, at: &str) -> Result<PartLine, StoreError> {
    let list = parts_list(place, &PartsQuestion::of_one(model))?.list;
    let (section, position) = parted(at);
    let named = PlaceList::of_lines(&list.lines).find(at).map(|p| p.number);
    let rings: Vec<PartLine> = list
        .lines
        .into_iter()
        .filter(|line| line.kind == PartKind::Ring)
        .collect();
    let own = |line: &&PartLine| {
        name_key(&line.section) == name_key(section)
            && plain_position(&line.position) == plain_position(position)
    };
    let by_name = || rings.iter().find(|line| Ok(line.number) == named);
    let found = rings.iter().find(own).or_else(by_name);
    found.cloned().ok_or_else(|| {
        let places = rings.iter();
        let places = places.map(|line| format!("{}, {}", line.section, line.position));
        StoreError::not_found("place of a ring in this model", at, places.collect())
    })
}
