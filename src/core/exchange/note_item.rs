//! What was read on the bench, as it travels: notes, the sizes named from them, rings of known size, settings.

use crate::core::measurement::KnownReading;
use serde::{Deserialize, Serialize};

/// A teardown note on its way to another book.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NoteItem {
    /// The maker, where it is named apart from the model.
    pub maker: Option<String>,
    pub model: String,
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

/// What was said of one ring of a note.
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

/// One size that a ring may be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CandidateItem {
    pub codes: Vec<String>,
    /// Inside diameter in nanometres.
    pub id_nm: i64,
    /// Section in nanometres.
    pub section_nm: i64,
    pub probability: f64,
    /// Misfit in standard deviations.
    pub misfit_sigma: f64,
}

/// Keeps a ring of known size with what was read on it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KnownRingItem {
    /// Who measured; empty where nobody was named.
    pub person: String,
    /// The ring as it was named.
    pub ring: String,
    /// When it was added, ISO 8601.
    pub added_at: String,
    pub readings: Vec<KnownReading>,
}

/// A setting on its way to another book.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SettingItem {
    pub key: String,
    pub value: String,
}
