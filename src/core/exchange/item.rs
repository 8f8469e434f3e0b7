//! The things that a book holds, as they travel.

use super::job_item::JobItem;
use super::note_item::{KnownRingItem, NoteItem, SettingItem};
use super::supply_item::{FormerListItem, LotItem, PriceListItem, SupplierItem};
use crate::core::book::{Decision, ModelName, name_key};
use crate::core::interchange::{Nickname, Statement};
use crate::core::job::hex;
use crate::core::stage::Gauge;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// One thing that a book holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum BookItem {
    /// A teardown note.
    Note(NoteItem),
    /// A ring of known size and what was read on it.
    KnownRing(KnownRingItem),
    /// A pressure gauge.
    Gauge(Gauge),
    /// A setting of the shop.
    Setting(SettingItem),
    /// A supplier.
    Supplier(SupplierItem),
    /// A supplier's price list in force.
    PriceList(PriceListItem),
    /// The prices of a list that was replaced.
    FormerList(FormerListItem),
    /// What was said of one part in the place of another.
    Statement(Statement),
    /// A name that people use for a part.
    Nickname(Nickname),
    /// A job record.
    Job(JobItem),
    /// A lot on the shelf.
    Lot(LotItem),
    /// What a person decided for a place of a model.
    Decision(Decision),
}

impl BookItem {
    /// Returns the word of the kind of thing.
    pub const fn what(&self) -> &'static str {
        match self {
            Self::Note(_) => "note",
            Self::KnownRing(_) => "known_ring",
            Self::Gauge(_) => "gauge",
            Self::Setting(_) => "setting",
            Self::Supplier(_) => "supplier",
            Self::PriceList(_) => "price_list",
            Self::FormerList(_) => "former_list",
            Self::Statement(_) => "statement",
            Self::Nickname(_) => "nickname",
            Self::Job(_) => "job",
            Self::Lot(_) => "lot",
            Self::Decision(_) => "decision",
        }
    }

    /// Returns what makes it the same thing in two books.
    pub fn key(&self) -> String {
        match self {
            Self::Note(note) => {
                let model = ModelName {
                    maker: note.maker.clone(),
                    name: note.model.clone(),
                };
                joined([&model.key(), &name_key(&note.unit), &note.date])
            }
            Self::KnownRing(ring) => {
                let readings = ring.readings.iter();
                let typed = readings.map(|r| format!("{} {}", r.measurand.word(), r.typed));
                let typed: Vec<String> = typed.collect();
                joined([&ring.person, &ring.ring, &ring.added_at, &typed.join(", ")])
            }
            Self::Gauge(gauge) => name_key(&gauge.name),
            Self::Setting(setting) => setting.key.clone(),
            Self::Supplier(supplier) => name_key(&supplier.name),
            Self::PriceList(list) => name_key(&list.supplier),
            Self::FormerList(list) => joined([
                &name_key(&list.supplier),
                &list.price_date,
                &list.imported_at,
                &list.file,
            ]),
            Self::Statement(said) => joined([
                &said.part,
                &said.stand_in,
                said.grade.words(),
                &said.at,
                &said.person,
                &said.said_at,
                &said.evidence,
            ]),
            Self::Nickname(said) => joined([
                &name_key(&said.name),
                &said.part,
                &said.person,
                &said.source,
            ]),
            Self::Job(job) => joined([&job.model, &job.serial, &job.opened_at]),
            Self::Lot(lot) => {
                let number = lot.lot.as_deref().unwrap_or_default();
                joined([&lot.bin, &lot.part, number, &lot.added_at])
            }
            Self::Decision(said) => joined([
                &said.model_key,
                &said.section,
                &said.position,
                &said.ring,
                &said.person,
                &said.decided_at,
            ]),
        }
    }

    /// Returns a digest of what it says: SHA-256 of its JSON, in lower-case hex. Of a note only the text that was handed in
    /// counts, of an offer not what somebody read in its description, and of a supplier not how its name is spelt.
    pub fn content(&self) -> String {
        let said = match self {
            Self::Note(note) => serde_json::to_vec(&(&note.form, &note.text, note.unread_lines)),
            Self::Supplier(s) => {
                let terms = (&s.mapping, &s.terms_currency, s.carriage, s.minimum);
                // A digest that was made before this sum was kept stays what it was.
                s.free_above.map_or_else(
                    || serde_json::to_vec(&terms),
                    |sum| serde_json::to_vec(&(terms, sum)),
                )
            }
            Self::PriceList(list) => serde_json::to_vec(&list.as_handed_in()),
            other => serde_json::to_vec(other),
        };
        // Structs of words and numbers always become JSON; a not-a-number becomes null.
        hex(&Sha256::digest(said.unwrap_or_default()))
    }
}

fn joined<const N: usize>(words: [&str; N]) -> String {
    words.join(" | ")
}
