//! The form in which a book leaves one shop and enters another.
//!
//! One JSON object: `form` ("ringwright book"), `version` (3; 2 lacked decisions, 1 refusals too), `shop` (who wrote it), `written_at`, `items`, `set_aside` and
//! `origins`. Each item is tagged by `what`: `note`, `known_ring`, `gauge`, `setting`, `supplier`, `price_list`,
//! `former_list`, `statement`, `nickname`, `job`, `lot`, `decision`; its fields are those of the structs here. A note travels as the text that was handed in and is read
//! again where it arrives. Lengths are whole nanometres, money whole minor units, moments ISO 8601.
//!
//! # Merging
//! Two items are one where `what` and [`BookItem::key`] agree; they say the same where [`BookItem::content`] agrees (the day
//! on which somebody typed a thing in, and what it read in a description of an offer, do not count). What the book lacks is taken;
//! what it holds already changes nothing; what contradicts it is set aside and kept whole.
//!
//! Values of strangers pass what typed ones pass ([`Inspection`]); an item with one that typing would refuse is set aside with the
//! reason, and the rest is merged. Job records, decisions, lots, gauges, known rings and settings are never taken: a record belongs to
//! the shop that did the work and sealed it, a decision is the word of who answers for it there (whoever agrees decides here), a lot lies on that shop's shelf, a gauge is another one under the same name, and known rings
//! teach how people there read (a name is no proof that it is the same person, and rings of nobody named would teach everybody).
//! They are kept aside as they came, with their seals; a later state takes the place of an earlier one of the same record. A note
//! on a unit of which the book has a note of its own is set aside until somebody here accepts it by name. Descriptions of offers are
//! read again here.
//! So two books merged either way round hold the same items, and merging again changes nothing.
//!
//! A note dated later than the day of the merge is refused, where typing only doubts it, because nobody looks at the
//! clock beside a merge. Odds that came with a note are history and decide nothing. What comes in bears its shop in the
//! row, not in the table of origins, whose keys a stranger can write.

mod inspection;
mod item;
mod job_item;
mod judge;
mod note_item;
mod refusal;
mod supply_item;

pub use inspection::Inspection;
pub use item::BookItem;
pub use job_item::{JobEntryItem, JobItem};
pub use judge::{Standing, judge, supersedes};
pub use note_item::{CandidateItem, KnownRingItem, NamedItem, NoteItem, SettingItem};
pub use refusal::{Refusal, ValueFault};
pub use supply_item::{
    FormerListItem, FormerPriceItem, LotItem, MoveItem, OfferItem, PriceListItem, RingItem,
    SupplierItem,
};

use crate::core::quantity::day_of_moment;
use serde::{Deserialize, Serialize};

/// What the field `form` says.
pub const FORM: &str = "ringwright book";
/// The version that is written, and the newest that is read.
pub const VERSION: u32 = 3;

/// A whole book as it travels.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BookForm {
    /// Always [`FORM`].
    pub form: String,
    /// Always [`VERSION`] or older.
    pub version: u32,
    /// Who wrote it.
    pub shop: String,
    /// When, ISO 8601.
    pub written_at: String,
    /// What the book holds.
    pub items: Vec<BookItem>,
    /// What the book kept aside when others were merged into it.
    #[serde(default)]
    pub set_aside: Vec<SetAside>,
    /// Which of the items came from another shop.
    #[serde(default)]
    pub origins: Vec<Origin>,
}

/// What was set aside when a book was merged.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetAside {
    /// Why.
    pub reason: AsideReason,
    /// What of a refused item is not believed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub refusal: Option<Refusal>,
    /// The shop that said it.
    pub shop: String,
    /// When it was merged, ISO 8601.
    pub merged_at: String,
    pub item: BookItem,
}

/// Says why an item was set aside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AsideReason {
    /// The book says something else of the same thing.
    Conflict,
    /// It belongs to the other shop: a job record, a decision, a lot on its shelf, a gauge, a known ring, a setting.
    Theirs,
    /// This program cannot read the note.
    Unreadable,
    /// It is a note on a unit of which the book has a note of its own: it waits until it is accepted by name.
    OurUnit,
    /// Typing would refuse a value in it.
    Refused,
}

/// Says where an item came from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Origin {
    pub what: String,
    pub key: String,
    pub shop: String,
    /// When it was merged, ISO 8601.
    pub merged_at: String,
}

/// Says why a file is no book that can be merged.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum FormError {
    /// It is no JSON of this form.
    #[error("it is not an exported book: {0}; write one with `ringwright book export`")]
    Json(String),
    /// It is another form.
    #[error("it is {0:?}, and not {FORM:?}: write one with `ringwright book export`")]
    Other(String),
    /// A newer program wrote it.
    #[error(
        "it is of version {0}, and this program reads up to {VERSION}: use a newer ringwright, nothing was merged"
    )]
    Newer(u32),
    /// It does not say whose it is, or of when.
    #[error(
        "its head is not sound ({0}): nothing was merged; have it exported again with `ringwright book export`"
    )]
    Head(Refusal),
    /// The seals of a job record do not hold.
    #[error(
        "the record of job {number} of unit {serial} was changed after it was written (entry {place}): nothing was merged; \
         ask the shop that sent it"
    )]
    BrokenSeal {
        /// Number of the job.
        number: i64,
        /// The unit.
        serial: String,
        /// The first entry whose seal does not hold.
        place: i64,
    },
}

impl BookForm {
    /// Reads a form and verifies its head and the seals of every job record in it.
    ///
    /// # Errors
    /// Says why the text is no book that can be merged.
    pub fn read(text: &[u8]) -> Result<Self, FormError> {
        /// What is looked at before the rest is.
        #[derive(Deserialize)]
        struct Head {
            form: Option<String>,
            version: Option<u32>,
        }
        let wrong = |error: serde_json::Error| FormError::Json(error.to_string());
        let head: Head = serde_json::from_slice(text).map_err(wrong)?;
        match (head.form, head.version) {
            (Some(form), Some(version)) if form == FORM => {
                if version == 0 || version > VERSION {
                    return Err(FormError::Newer(version));
                }
            }
            (form, _) => return Err(FormError::Other(form.unwrap_or_default())),
        }
        let form: Self = serde_json::from_slice(text).map_err(wrong)?;
        inspection::text("shop", &form.shop).map_err(FormError::Head)?;
        if day_of_moment(&form.written_at).is_none() {
            let fault = Refusal::new("written_at", &form.written_at, ValueFault::Moment);
            return Err(FormError::Head(fault));
        }
        let aside = form.set_aside.iter().map(|aside| &aside.item);
        for item in form.items.iter().chain(aside) {
            if let BookItem::Job(job) = item {
                job.verify()?;
            }
        }
        Ok(form)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_form_and_what_is_newer_is_refused_with_the_reason() {
        let read = |text: &str| {
            BookForm::read(text.as_bytes())
                .expect_err("refused")
                .to_string()
        };
        assert!(read("").contains("not an exported book"));
        assert!(read("{}").contains("write one with"));
        assert!(read(r#"{"form":"ringwright book","version":9}"#).contains("version 9"));
        let unknown = r#"{"form":"ringwright book","version":1,"shop":"a","written_at":"","items":[],"more":1}"#;
        assert!(
            read(unknown).contains("more"),
            "what is not known would be lost"
        );
    }
}
