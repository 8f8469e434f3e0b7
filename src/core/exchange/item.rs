//! The things that a book holds, as they travel.

use super::FormError;
use crate::core::book::{KeptCandidate, name_key};
use crate::core::interchange::{Nickname, Statement};
use crate::core::job::{EntryWords, JobWords, entry_seal, hex, job_seal};
use crate::core::measurement::Measurand;
use crate::core::quantity::Length;
use crate::core::stage::Gauge;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// Holds one thing that a book holds.
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
}

/// Holds a teardown note.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NoteItem {
    /// The maker, where it is named apart from the model.
    pub maker: Option<String>,
    /// The model.
    pub model: String,
    /// The unit.
    pub unit: String,
    /// The day of the teardown; empty where the note gives none.
    pub date: String,
    /// "text" or "csv".
    pub form: String,
    /// The note as it was handed in.
    pub text: String,
    /// Lines that could not be read and were left out.
    pub unread_lines: u32,
    /// When it was added.
    pub added_at: String,
    /// When another note took its place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replaced_at: Option<String>,
    /// What was said of its rings when it was added.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub named: Vec<NamedItem>,
}

/// Holds what was said of one ring of a note.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NamedItem {
    /// The ring's place in the order of removal, from 1.
    pub removal: u32,
    /// When it was said.
    pub made_at: String,
    /// By which program.
    pub made_by: String,
    /// Probability that it is of no listed size.
    pub unlisted_probability: f64,
    /// The sizes with their odds.
    pub candidates: Vec<CandidateItem>,
}

/// Holds one size that a ring may be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CandidateItem {
    /// Its codes.
    pub codes: Vec<String>,
    /// Inside diameter in nanometres.
    pub id_nm: i64,
    /// Section in nanometres.
    pub section_nm: i64,
    /// Probability.
    pub probability: f64,
    /// Misfit in standard deviations.
    pub misfit_sigma: f64,
}

impl From<KeptCandidate> for CandidateItem {
    fn from(kept: KeptCandidate) -> Self {
        Self {
            codes: kept.codes,
            id_nm: kept.id.nm(),
            section_nm: kept.section.nm(),
            probability: kept.probability,
            misfit_sigma: kept.misfit_sigma,
        }
    }
}

impl From<&CandidateItem> for KeptCandidate {
    fn from(item: &CandidateItem) -> Self {
        Self {
            codes: item.codes.clone(),
            id: Length::from_nm(item.id_nm),
            section: Length::from_nm(item.section_nm),
            probability: item.probability,
            misfit_sigma: item.misfit_sigma,
        }
    }
}

/// Holds a ring of known size.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KnownRingItem {
    /// Who measured; empty where nobody was named.
    pub person: String,
    /// The ring as it was named.
    pub ring: String,
    /// When it was added.
    pub added_at: String,
    /// What was read.
    pub readings: Vec<KnownReadingItem>,
}

/// Holds one reading of a ring of known size; millimetres.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KnownReadingItem {
    /// What was measured.
    pub measurand: Measurand,
    /// The instrument's word.
    pub method: String,
    /// What was typed.
    pub typed: String,
    /// Mean less nominal.
    pub error: f64,
    /// Repetitions.
    pub repeats: u32,
    /// Sum of squared distances from the mean.
    pub scatter: f64,
    /// Variance of the ring's own size.
    pub ring_variance: f64,
}

/// Holds a setting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SettingItem {
    /// Its key.
    pub key: String,
    /// Its value.
    pub value: String,
}

/// Holds a supplier.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SupplierItem {
    /// Its name.
    pub name: String,
    /// Which column of its lists holds what.
    pub mapping: Option<String>,
    /// Currency of its terms.
    pub terms_currency: Option<String>,
    /// Carriage in minor units.
    pub carriage: Option<i64>,
    /// Least value of goods in minor units.
    pub minimum: Option<i64>,
}

/// Holds a price list in force.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PriceListItem {
    /// The supplier.
    pub supplier: String,
    /// The file it came from.
    pub file: String,
    /// When it was read.
    pub imported_at: String,
    /// The day from which its prices hold.
    pub price_date: String,
    /// The currency.
    pub currency: String,
    /// "included" or "excluded".
    pub tax: String,
    /// Rows that were rejected.
    pub rejected: u64,
    /// Its offers.
    pub offers: Vec<OfferItem>,
}

/// Holds an offer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OfferItem {
    /// Its line.
    pub line: u64,
    /// The supplier's number.
    pub number: String,
    /// The description as written.
    pub description: String,
    /// The kind of part.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<String>,
    /// The rings that it can mean.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rings: Vec<RingItem>,
    /// Lengths of a part that is no ring, in nanometres.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lengths_nm: Vec<i64>,
    /// The polymer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub polymer: Option<String>,
    /// The hardness with its scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hardness: Option<(f64, String)>,
    /// Pieces in a pack.
    pub pack: u32,
    /// Prices of a pack in minor units, each from a number of packs on.
    pub prices: Vec<(u32, i64)>,
}

/// Holds a ring that an offer can mean.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RingItem {
    /// Its first code.
    pub code: Option<String>,
    /// Inside diameter in nanometres.
    pub id_nm: i64,
    /// Section in nanometres.
    pub section_nm: i64,
}

/// Holds the prices of a list that was replaced.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FormerListItem {
    /// The supplier.
    pub supplier: String,
    /// The file it came from.
    pub file: String,
    /// When it was read.
    pub imported_at: String,
    /// The day from which its prices held.
    pub price_date: String,
    /// The currency.
    pub currency: String,
    /// "included" or "excluded".
    pub tax: String,
    /// Rows read, accepted, rejected.
    pub rows: (i64, i64, i64),
    /// When it was replaced.
    pub replaced_at: String,
    /// Its prices.
    pub prices: Vec<FormerPriceItem>,
}

/// Holds a former price.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FormerPriceItem {
    /// Its line.
    pub line: i64,
    /// The number without spaces and signs.
    pub key: String,
    /// The description.
    pub description: String,
    /// Pieces in a pack.
    pub pack: i64,
    /// Price of a pack in minor units.
    pub price: i64,
    /// Further prices as "from packs:price".
    pub breaks: Option<String>,
}

/// Holds a job record with its seals.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobItem {
    /// Number of the job in its own book.
    pub number: i64,
    /// Row of the unit in its own book; the first seal covers it.
    pub unit_row: i64,
    /// The model.
    pub model: String,
    /// The unit.
    pub serial: String,
    /// When it was opened.
    pub opened_at: String,
    /// Its entries in order.
    pub entries: Vec<JobEntryItem>,
}

/// Holds an entry of a job record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobEntryItem {
    /// Its place, from 1.
    pub place: i64,
    /// When it was added.
    pub added_at: String,
    /// By whom.
    pub person: String,
    /// Its kind.
    pub kind: String,
    /// What it says, byte for byte as it was sealed.
    pub body: String,
    /// Its seal.
    pub seal: String,
}

/// Holds a lot on a shelf.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LotItem {
    /// The bin.
    pub bin: String,
    /// The part.
    pub part: String,
    /// Of a ring: inside diameter and section in nanometres.
    pub ring_nm: Option<(i64, i64)>,
    /// The polymer.
    pub polymer: Option<String>,
    /// The hardness with its scale.
    pub hardness: Option<(f64, String)>,
    /// The lot number.
    pub lot: Option<String>,
    /// Year and quarter of cure.
    pub cured: Option<(u16, u8)>,
    /// Who sold it.
    pub supplier: Option<String>,
    /// When it was put there.
    pub added_at: String,
    /// What came and went.
    pub moves: Vec<MoveItem>,
}

/// Holds one movement of a lot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MoveItem {
    /// What came (positive) or went.
    pub quantity: i64,
    /// Why.
    pub reason: String,
    /// When.
    pub moved_at: String,
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
        }
    }

    /// Returns what makes it the same thing in two books.
    pub fn key(&self) -> String {
        match self {
            Self::Note(note) => {
                let maker = note.maker.as_deref().unwrap_or_default();
                let model = name_key(&format!("{maker} {}", note.model));
                format!("{model} | {} | {}", name_key(&note.unit), note.date)
            }
            Self::KnownRing(ring) => {
                let typed = ring
                    .readings
                    .iter()
                    .map(|r| format!("{} {}", r.measurand.word(), r.typed));
                let typed: Vec<String> = typed.collect();
                format!(
                    "{} | {} | {} | {}",
                    ring.person,
                    ring.ring,
                    ring.added_at,
                    typed.join(", ")
                )
            }
            Self::Gauge(gauge) => name_key(&gauge.name),
            Self::Setting(setting) => setting.key.clone(),
            Self::Supplier(supplier) => name_key(&supplier.name),
            Self::PriceList(list) => name_key(&list.supplier),
            Self::FormerList(list) => format!(
                "{} | {} | {} | {}",
                name_key(&list.supplier),
                list.price_date,
                list.imported_at,
                list.file
            ),
            Self::Statement(said) => format!(
                "{} | {} | {} | {} | {} | {} | {}",
                said.part,
                said.stand_in,
                said.grade.words(),
                said.at,
                said.person,
                said.said_at,
                said.evidence
            ),
            Self::Nickname(said) => format!(
                "{} | {} | {} | {}",
                name_key(&said.name),
                said.part,
                said.person,
                said.source
            ),
            Self::Job(job) => format!("{} | {} | {}", job.model, job.serial, job.opened_at),
            Self::Lot(lot) => format!(
                "{} | {} | {} | {}",
                lot.bin,
                lot.part,
                lot.lot.as_deref().unwrap_or_default(),
                lot.added_at
            ),
        }
    }

    /// Returns a digest of what it says: SHA-256 of its JSON, in lower-case hex. Of a note only the text that was handed in
    /// counts, and of a supplier not how its name is spelt.
    pub fn content(&self) -> String {
        let said = match self {
            Self::Note(note) => serde_json::to_vec(&(&note.form, &note.text, note.unread_lines)),
            Self::Supplier(s) => {
                serde_json::to_vec(&(&s.mapping, &s.terms_currency, s.carriage, s.minimum))
            }
            other => serde_json::to_vec(other),
        };
        // Structs of words and numbers always become JSON; a not-a-number becomes null.
        hex(&Sha256::digest(said.unwrap_or_default()))
    }
}

impl JobItem {
    /// Forms the seals anew and compares them.
    ///
    /// # Errors
    /// Names the first entry whose seal does not hold.
    pub fn verify(&self) -> Result<(), FormError> {
        let mut before = job_seal(&JobWords {
            number: self.number,
            unit: self.unit_row,
            model: self.model.as_bytes(),
            serial: self.serial.as_bytes(),
            opened_at: self.opened_at.as_bytes(),
        });
        for (place, entry) in (1_i64..).zip(&self.entries) {
            let seal = entry_seal(
                before.as_bytes(),
                &EntryWords {
                    place: entry.place,
                    added_at: entry.added_at.as_bytes(),
                    person: entry.person.as_bytes(),
                    kind: entry.kind.as_bytes(),
                    body: entry.body.as_bytes(),
                },
            );
            if seal != entry.seal || entry.place != place {
                return Err(FormError::BrokenSeal {
                    number: self.number,
                    serial: self.serial.clone(),
                    place,
                });
            }
            before = seal;
        }
        Ok(())
    }
}
