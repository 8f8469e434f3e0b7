//! Tying an offer to a line of a parts list, where its description does not say that it is the part.

use super::find::window_of;
use super::needs::place_words;
use crate::app::model::line::{NoLine, line_of_model};
use crate::core::book::PartLine;
use crate::core::job::NoPlace;
use crate::core::sizes::NominalSize;
use crate::store::{Book, BookPlace, OfferTie, StoreError, StoredOffer};
use serde::Serialize;

/// Says which offer is to be tied to what.
#[derive(Debug, Clone)]
pub struct TieQuestion {
    pub model: String,
    /// The line of its parts list, by number or words.
    pub line: String,
    pub supplier: String,
    /// The supplier's number.
    pub number: String,
    /// Who says so.
    pub person: String,
    /// When, ISO 8601.
    pub tied_at: String,
    /// Whether the tie is taken away.
    pub untie: bool,
}

/// Says why an offer cannot be tied.
#[derive(Debug, thiserror::Error)]
pub enum TieError {
    /// The book cannot be used.
    #[error("{0}")]
    Store(#[from] StoreError),
    /// The list has no such line.
    #[error("{0}")]
    NoPlace(#[from] NoPlace),
    /// The supplier offers no such number.
    #[error(
        "no offer {number:?} of {supplier:?} in the book: offer find and offer list show what there is"
    )]
    NoOffer { supplier: String, number: String },
    /// The offer says that it is another part.
    #[error("{number} is {offered}, the line wants {wanted}: it was not tied")]
    Other {
        number: String,
        offered: String,
        /// What the line wants.
        wanted: String,
    },
}

impl From<NoLine> for TieError {
    fn from(error: NoLine) -> Self {
        match error {
            NoLine::Store(error) => Self::Store(error),
            NoLine::NoPlace(error) => Self::NoPlace(error),
        }
    }
}

/// Lists ties, and the one that was just made or taken away.
#[derive(Debug, Clone, Serialize)]
pub struct TiesReport {
    /// The tie that was made or taken away.
    pub changed: Option<OfferTie>,
    /// Whether it was taken away.
    pub untied: bool,
    /// All ties of the book.
    pub ties: Vec<OfferTie>,
}

/// Lists the ties of a book.
pub fn ties(place: &BookPlace) -> Result<TiesReport, StoreError> {
    let ties = Book::open_to_read(place)?.read(|book| book.offer_ties(None))?;
    Ok(TiesReport {
        changed: None,
        untied: false,
        ties,
    })
}

/// Ties an offer to a line, or takes the tie away.
///
/// # Errors
/// Says what is not there, or how the offer contradicts the line.
pub fn tie_offer(place: &BookPlace, question: &TieQuestion) -> Result<TiesReport, TieError> {
    let (model, line) = line_of_model(place, &question.model, &question.line)?;
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        let no_offer = || TieError::NoOffer {
            supplier: question.supplier.clone(),
            number: question.number.clone(),
        };
        let supplier = book.supplier(&question.supplier)?.ok_or_else(no_offer)?;
        let tie = OfferTie {
            supplier: supplier.name.clone(),
            number: question.number.trim().to_owned(),
            place: place_words(&model.name.to_string(), &line),
            person: question.person.trim().to_owned(),
            tied_at: question.tied_at.clone(),
        };
        if question.untie {
            book.untie_offer(supplier.id, &tie.number, &tie.place)?;
        } else {
            let named = book.offers_with_number(&tie.number, u32::MAX)?;
            let ours: Vec<StoredOffer> = named
                .into_iter()
                .filter(|offer| offer.supplier == supplier.name)
                .collect();
            if ours.is_empty() {
                return Err(no_offer());
            }
            if let Some(other) = ours.iter().find_map(|offer| other_part(offer, &line)) {
                return Err(other);
            }
            book.tie_offer(supplier.id, &tie)?;
        }
        Ok(TiesReport {
            changed: Some(tie),
            untied: question.untie,
            ties: book.offer_ties(None)?,
        })
    })
}

/// An offer whose description names another ring or polymer than the line wants is not tied: what a list says in figures is
/// not overruled by a slip of the hand.
fn other_part(offer: &StoredOffer, line: &PartLine) -> Option<TieError> {
    let differs = |offered: String, wanted: String| TieError::Other {
        number: offer.number.clone(),
        offered,
        wanted,
    };
    let offered = offer.ring_id.zip(offer.section);
    let offered = offered.map(|(id, section)| NominalSize { id, section });
    if let (Some(offered), Some(wanted)) = (offered, line.size.nominal())
        && !window_of(wanted).holds(offered)
    {
        let size = |ring: NominalSize| format!("{} x {} mm", ring.id.mm(), ring.section.mm());
        return Some(differs(size(offered), size(wanted)));
    }
    match (offer.polymer, line.material.polymer) {
        (Some(offered), Some(wanted)) if offered != wanted => Some(differs(
            offered.letters().to_owned(),
            wanted.letters().to_owned(),
        )),
        _ => None,
    }
}
