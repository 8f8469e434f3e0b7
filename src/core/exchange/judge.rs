//! What becomes of an item of another book.

use super::item::BookItem;
use crate::core::book::Decision;

/// Says what becomes of an item of another book.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// The book lacks it: it is taken.
    New,
    /// The book says so already.
    Same,
    /// The book says something else of the same thing: it is set aside.
    Conflict,
    /// It belongs to the other shop or to its hands: it is set aside.
    Theirs,
}

/// Judges an item by what the book holds under the same key.
pub fn judge(own: &[&BookItem], theirs: &BookItem) -> Standing {
    let content = theirs.content();
    if own
        .iter()
        .any(|item| item.content() == content || supersedes(item, theirs))
    {
        return Standing::Same;
    }
    match theirs {
        // What a shop did and decided, what lies on its shelf, and what its gauges and hands read like says nothing of ours.
        BookItem::Job(_)
        | BookItem::Decision(_)
        | BookItem::Lot(_)
        | BookItem::Gauge(_)
        | BookItem::KnownRing(_)
        | BookItem::Setting(_) => Standing::Theirs,
        // What was replaced over there is history here too, whatever stands in its place.
        BookItem::Note(note) if note.replaced_at.is_some() => Standing::New,
        BookItem::Note(_) if own.iter().all(|item| is_replaced(item)) => Standing::New,
        BookItem::Supplier(_) if own.iter().all(|item| is_blank(item)) => Standing::New,
        _ if own.is_empty() => Standing::New,
        _ => Standing::Conflict,
    }
}

/// Tells whether `own` is the state of the same thing at a later time: a record or lot with more entries behind the same ones,
/// or a supplier of whom the other book says nothing.
pub fn supersedes(own: &BookItem, theirs: &BookItem) -> bool {
    match (own, theirs) {
        (BookItem::Job(own), BookItem::Job(theirs)) => {
            (own.number, own.unit_row) == (theirs.number, theirs.unit_row)
                && own.entries.starts_with(&theirs.entries)
        }
        (BookItem::Lot(own), BookItem::Lot(theirs)) => {
            let without_moves = |lot: &super::LotItem| super::LotItem {
                moves: Vec::new(),
                ..lot.clone()
            };
            without_moves(own) == without_moves(theirs) && own.moves.starts_with(&theirs.moves)
        }
        (BookItem::Decision(own), BookItem::Decision(theirs)) => {
            let standing = |one: &Decision| Decision {
                taken_back: None,
                ..one.clone()
            };
            theirs.taken_back.is_none() && standing(own) == standing(theirs)
        }
        (BookItem::Supplier(_), BookItem::Supplier(_)) => is_blank(theirs),
        _ => false,
    }
}

fn is_replaced(item: &BookItem) -> bool {
    matches!(item, BookItem::Note(note) if note.replaced_at.is_some())
}

fn is_blank(item: &BookItem) -> bool {
    matches!(item, BookItem::Supplier(s)
        if s.mapping.is_none() && s.terms_currency.is_none() && s.carriage.is_none() && s.minimum.is_none()
            && s.free_above.is_none())
}
