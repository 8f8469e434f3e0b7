//! Why a gas is not settled, and what would settle it.

use crate::core::quantity::Span;
use serde::Serialize;

/// Says why it is not settled what a gas is.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[serde(rename_all = "snake_case", tag = "doubt")]
pub enum Doubt {
    /// Nothing was said.
    #[error("no gas is recorded")]
    NotRecorded,
    /// The words name no gas that is known.
    #[error("these words name no gas that is known")]
    NoGas,
    /// Words that are not understood.
    #[error("{words:?} is not understood")]
    LeftOver {
        /// The words as written.
        words: String,
        span: Span,
        /// The known name that is nearest to them.
        near: Option<&'static str>,
    },
    /// A number that may be a share and may be something else.
    #[error("{words} may be a share of oxygen and may be something else")]
    LooseNumber {
        /// The number as written.
        words: String,
        span: Span,
    },
    /// A denial, which is never trusted.
    #[error("{words:?} denies something, and a denial is not relied on")]
    Negation { words: String, span: Span },
    /// A question mark.
    #[error("the writer doubted it")]
    Questioned { span: Span },
    /// A mix whose share of oxygen must be said.
    #[error("the share of oxygen in {gas} is not said")]
    ShareNotSaid { gas: &'static str, span: Span },
    /// Parts of a mix that do not make a whole: the rest may be oxygen.
    #[error("the parts do not make a whole: the rest may be oxygen")]
    RestNotSaid,
    /// A gas that feeds a fire as oxygen does.
    #[error("{gas} feeds a fire as oxygen does")]
    FeedsFire { gas: &'static str, span: Span },
    /// A range of shares that lies on both sides of the threshold.
    #[error("from {} to {} of oxygen it may be enriched or not", per_cent(*.low), per_cent(*.high))]
    Range {
        /// The lowest share.
        low: f64,
        /// The highest share.
        high: f64,
    },
    /// Shares on both sides of the threshold.
    #[error("{}{} contradict each other", per_cent(*.low), high.map_or_else(
        || " of oxygen and an enriched gas".to_owned(),
        |high| format!(" and {} of oxygen", per_cent(high)),
    ))]
    Contradiction {
        /// The lowest share that was named.
        low: f64,
        /// The highest one; `None` where it was only said that there is more than in air.
        high: Option<f64>,
    },
}

impl Doubt {
    /// Returns where in the words the doubt lies.
    pub const fn span(&self) -> Option<Span> {
        match self {
            Self::LeftOver { span, .. }
            | Self::LooseNumber { span, .. }
            | Self::Negation { span, .. }
            | Self::Questioned { span }
            | Self::ShareNotSaid { span, .. }
            | Self::FeedsFire { span, .. } => Some(*span),
            Self::NotRecorded
            | Self::NoGas
            | Self::RestNotSaid
            | Self::Range { .. }
            | Self::Contradiction { .. } => None,
        }
    }

    /// Says what would settle it.
    pub fn remedy(&self) -> String {
        match self {
            Self::NotRecorded | Self::NoGas => {
                "write the gas by its name, as air, EAN32, oxygen, nitrogen".to_owned()
            }
            Self::LeftOver {
                near: Some(near), ..
            } => format!("did you mean {near}?"),
            Self::LeftOver { near: None, .. } | Self::Negation { .. } => {
                "write the gas alone by its name, as air or EAN32, and put the rest into a remark"
                    .to_owned()
            }
            Self::LooseNumber { .. } => {
                "write a share with its sign, as 21 %, and a pressure with its unit".to_owned()
            }
            Self::Questioned { .. } => "find out which gas it is, and write it".to_owned(),
            Self::ShareNotSaid { gas, .. } if *gas == "trimix" => {
                "write oxygen and helium, as trimix 18/45".to_owned()
            }
            Self::ShareNotSaid { gas, .. } => {
                format!("write its share of oxygen, as {gas} 21 %")
            }
            Self::RestNotSaid => "write what the rest is, as CO2 18 %, rest argon".to_owned(),
            Self::FeedsFire { .. } => {
                "treat it as oxygen, by the code that applies to you".to_owned()
            }
            Self::Range { .. } => {
                "write the richest mix that it will be used with, as EAN40".to_owned()
            }
            Self::Contradiction { .. } => {
                "find out which is right, and write that one alone".to_owned()
            }
        }
    }
}

/// Writes a share in per cent: "32 %".
pub(super) fn per_cent(share: f64) -> String {
    format!("{} %", (share * 1000.0).round() / 10.0)
}
