//! What a dialogue at the bench says.

use crate::core::gland::{GlandDimension, GlandKind};
use crate::core::measurement::Measurand;
use crate::core::quantity::Span;
use crate::core::sizes::NominalSize;

/// One thing that is said.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// A sentence.
    Text(String),
    /// What can hurt somebody at this step.
    Caution(String),
    /// Lines that are laid out already.
    Lines(Vec<String>),
    /// What a length of a groove is, drawn.
    Groove(GlandKind, GlandDimension),
    /// A point to see before relying on the odds.
    Warning(String),
    /// A line that could not be taken, and why.
    Fault {
        line: String,
        /// Bytes of it that are meant.
        span: Span,
        /// What is wrong, and what to write.
        message: String,
    },
    /// The odds, with what changed.
    Odds(OddsSaid),
    /// The odds at the end.
    Verdict(OddsSaid),
    Help,
    /// The next question, where there is one, with advice on going on.
    Ask {
        ask: Option<Ask>,
        advice: Advice,
    },
    /// The lines for a teardown note.
    Note(Vec<String>),
}

/// The odds after a reading beside those before it.
#[derive(Debug, Clone, PartialEq)]
pub struct OddsSaid {
    /// The leading rings, and those that lost their place.
    pub rows: Vec<OddsRow>,
    /// Probability that the ring is of no listed size.
    pub unlisted: f64,
    /// The same before; `None` where there was nothing before.
    pub unlisted_before: Option<f64>,
}

/// One ring with its odds.
#[derive(Debug, Clone, PartialEq)]
pub struct OddsRow {
    pub codes: Vec<String>,
    pub size: NominalSize,
    /// Its probability now.
    pub probability: f64,
    /// Its probability before; `None` where there was nothing before.
    pub before: Option<f64>,
}

/// A question to the person, and how it may be answered.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    pub measurand: Measurand,
    pub method: String,
    /// The method in words.
    pub label: String,
    /// What it is expected to tell, in bits; `None` before the first reading.
    pub bits: Option<f64>,
    /// Bench time in minutes.
    pub minutes: f64,
}

/// Says whether another reading is worth its time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Advice {
    /// Nothing is measured yet, or nothing changed since the last advice.
    Unchanged,
    /// Another reading is worth it.
    GoOn,
    /// One ring leads clearly.
    Enough,
    /// No listed ring leads.
    Unlisted,
    /// No further reading is expected to tell apart what is left.
    NoMore(Vec<String>),
}
