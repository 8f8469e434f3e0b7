//! One check of a ring in its gland, with its verdict.

use super::bounds::{Bounds, machine};
use super::figure::Figure;
use super::limits::{Limit, Severity};
use crate::core::confidence::Confidence;
use serde::{Deserialize, Serialize, Serializer};

/// Grades how a ring suits its gland.
///
/// A figure is *good* where its worst case lies inside the limit; *marginal* where its nominal does and its worst case
/// does not, or where it misses a limit that only cautions or prefers; *reject* where its nominal misses a binding limit,
/// or its worst case leaves no squeeze. Stretch and fit of a small ring, and preferences, are held at nominal alone, because
/// there the ring's own tolerance is wider than the limit. [`Severity`] names these cases; each limit of data/glands/limits.csv
/// carries one. The verdict on the whole is the worst of all checks.
#[derive(
    Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// Inside every limit, tolerances counted in.
    #[default]
    Good,
    /// Inside at nominal, not in the worst case, or outside a limit that cautions.
    Marginal,
    /// Outside.
    Reject,
}

impl Verdict {
    /// Returns the word that is shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Marginal => "marginal",
            Self::Reject => "reject",
        }
    }
}

/// Word for a limit held against the nominal.
pub(super) const NOMINAL: &str = "nominal";
/// Word for a limit held against the worst case.
pub(super) const WORST: &str = "worst case";

/// One check: the worst value, what is allowed, the verdict, and where the rule comes from.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Check {
    /// What was checked, and in which state where that is not the assembled one.
    pub name: String,
    /// The value that decides: the worst case nearest to a limit or furthest beyond it, or the nominal where the limit is
    /// held at nominal alone; `None` where it could not be worked out.
    #[serde(serialize_with = "machine_optional")]
    pub value: Option<f64>,
    #[serde(serialize_with = "machine_optional")]
    pub nominal: Option<f64>,
    #[serde(serialize_with = "machine_optional")]
    pub low: Option<f64>,
    #[serde(serialize_with = "machine_optional")]
    pub high: Option<f64>,
    pub unit: &'static str,
    /// Whether `value` is the nominal or the worst case.
    pub held_at: &'static str,
    pub verdict: Verdict,
    pub rule: String,
    pub source: String,
    pub confidence: Confidence,
    /// The state that it was made in; empty where it is not of a state.
    pub state: String,
    /// The figure that is held against the limit; `None` where a check is of none.
    #[serde(skip)]
    pub figure: Option<Figure>,
    /// What was checked, whatever the state.
    #[serde(skip)]
    pub what: &'static str,
    /// Least, nominal and greatest value, where there are such.
    #[serde(skip)]
    pub bounds: Option<Bounds>,
    /// Whether a page shows the check only where it is not good.
    #[serde(skip)]
    pub quiet: bool,
}

#[allow(
    clippy::ref_option,
    reason = "the signature that serialize_with asks for"
)]
fn machine_optional<S: Serializer>(value: &Option<f64>, serializer: S) -> Result<S::Ok, S::Error> {
    match value {
        Some(value) => serializer.serialize_some(&machine(*value)),
        None => serializer.serialize_none(),
    }
}

impl Check {
    /// Judges the bounds of a figure by a limit in a state; the assembled state, which is the `first`, is not named.
    pub fn of(limit: &Limit, bounds: Bounds, state: &str, first: bool) -> Self {
        let worst = if limit.severity.at_nominal() {
            bounds.nominal
        } else if limit.miss(bounds.min) >= limit.miss(bounds.max) {
            bounds.min
        } else {
            bounds.max
        };
        let (name, unit) = Self::title(limit);
        Self {
            name: if first {
                name.to_owned()
            } else {
                format!("{name} ({state})")
            },
            value: Some(worst),
            nominal: Some(bounds.nominal),
            low: limit.low,
            high: limit.high,
            unit,
            held_at: if limit.severity.at_nominal() {
                NOMINAL
            } else {
                WORST
            },
            verdict: judged(limit, bounds, worst),
            rule: limit.rule.clone(),
            source: limit.source.clone(),
            confidence: limit.confidence,
            state: state.to_owned(),
            figure: Some(limit.figure),
            what: name,
            bounds: Some(bounds),
            quiet: limit.is_quiet() || !first,
        }
    }

    /// Returns what a limit checks and its unit.
    pub(super) fn title(limit: &Limit) -> (&'static str, &'static str) {
        let what = match (limit.figure, limit.severity) {
            (Figure::SqueezeMm, Severity::Hard) => "contact",
            (Figure::StretchPct, Severity::Preference) => "stretch, preferred",
            (Figure::OutsideCompressionPct, Severity::Preference) => {
                "outside compression, preferred"
            }
            (Figure::FillPct, Severity::Preference) => "fill, preferred",
            (Figure::FillPct, Severity::Caution | Severity::Nominal) => "least fill",
            (figure, _) => figure.what(),
        };
        (what, limit.figure.unit())
    }
}

fn judged(limit: &Limit, bounds: Bounds, worst: f64) -> Verdict {
    let (worst_holds, nominal_holds) = (limit.holds(worst), limit.holds(bounds.nominal));
    match limit.severity {
        _ if worst_holds => Verdict::Good,
        Severity::Hard | Severity::Nominal => Verdict::Reject,
        Severity::Limit if !nominal_holds => Verdict::Reject,
        Severity::Limit | Severity::Caution | Severity::Preference => Verdict::Marginal,
    }
}
