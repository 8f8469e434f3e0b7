//! A part that somebody tried at a place of a parts list and that failed.

use crate::core::provenance::with_shops;
use serde::{Deserialize, Serialize};

/// Says how surely a failure concerns the line that tells it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum FailedReach {
    /// It was said of this place.
    Here,
    /// It was said of the part that is listed here, of no place.
    General,
    /// It was said of the part that is listed here, of a place that cannot be told from this one.
    Unclear,
}

/// A part that was tried and failed, as the line of a parts list tells it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Failed {
    /// The part that failed.
    pub part: String,
    /// The part whose place it took.
    pub in_place_of: String,
    /// Where, as it was said; empty where it was said of no place.
    pub at: String,
    /// How surely it concerns this line.
    pub reach: FailedReach,
    /// Whether it is the very part that is listed here.
    pub is_listed: bool,
    pub person: String,
    /// When, ISO 8601.
    pub said_at: String,
    pub evidence: String,
    /// The other shop whose book says so; `None` where it was said here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_shop: Option<String>,
}

impl Failed {
    /// Says what failed, where, and who says so on which evidence.
    pub fn words(&self) -> String {
        let where_to = match self.reach {
            _ if self.is_listed => {
                "THE LISTED PART ITSELF was tried and failed here, do not fit it".to_owned()
            }
            FailedReach::Here => "tried and failed here".to_owned(),
            FailedReach::General => {
                format!("tried and failed in the place of {}", self.in_place_of)
            }
            FailedReach::Unclear => format!(
                "tried and failed in the place of {} (at {:?})",
                self.in_place_of, self.at
            ),
        };
        let day = self.said_at.get(..10).unwrap_or(&self.said_at);
        let words = format!(
            "{where_to}: {} ({}, {day}: {})",
            self.part, self.person, self.evidence
        );
        with_shops(&words, self.from_shop.as_slice())
    }
}
