//! Published limits as data: named rule sets, each row with its source.
//!
//! A breach of the printed range (stretch left out, as the tables form it) is marginal; around it lies a wider service
//! range on the stretched ring, and a nominal outside that is rejected. Its ends: half the industrial mean for static
//! radial (military practice, from a chapter abstract), 8 % printed for moving parts less 3 % for permitted stretch,
//! and at the top the printed or handbook maximum, plus 2 % where the printed one governs. A groove cut as the
//! industrial table prints is good for every AS568 ring from 12.7 mm on pistons and rods and for outside pressure; for
//! inside pressure some are tight (marginal fill). Limits for a loose ring, outside compression, 8 % stretch of small
//! rings and 0.13 mm least squeeze are recalled, and say so.

use super::figure::Figure;
use super::spec::{Duty, GlandKind};
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::word::words;
use serde::{Deserialize, Serialize};
use std::sync::{LazyLock, OnceLock};

/// Names a rule set.
///
/// The default is [`RuleSet::Industrial`]: its printed squeeze ranges are by section, derive from worst-case tolerances
/// and reproduce by arithmetic, where the guides give one range for all sections and do not say at what tolerance. Beside
/// the printed range (a breach is marginal) it has a wider service range (a breach at nominal is a reject), because old
/// gear is often squeezed like military glands, at about half of the industrial figure, and does seal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum RuleSet {
    /// Industrial handbook tables by section, inside a wider service range.
    #[default]
    Industrial,
    /// Ranges of suppliers' design guides, the same for all sections.
    Guides,
    /// Greatest values alone, as engineering handbooks give them.
    Maxima,
}

// Books of commands may hold the older word of the maxima.
words!(RuleSet {
    Industrial => "industrial",
    Guides => "guides",
    Maxima => "maxima" | "handbook",
});

/// Says which value of a figure a limit is held against, and what a breach means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// A nominal outside is marginal.
    Preference,
    /// A worst case outside is marginal.
    Caution,
    /// A nominal outside is a reject; a worst case outside, with the nominal inside, is marginal.
    Limit,
    /// A nominal outside is a reject; the worst case is not looked at.
    Nominal,
    /// A worst case outside is a reject.
    Hard,
}

impl Severity {
    /// Tells whether a breach can reject a ring.
    pub const fn binds(self) -> bool {
        matches!(self, Self::Limit | Self::Nominal | Self::Hard)
    }

    /// Tells whether the nominal alone is looked at.
    pub const fn at_nominal(self) -> bool {
        matches!(self, Self::Preference | Self::Nominal)
    }
}

/// One limit of a rule set.
#[derive(Debug, Clone, Deserialize)]
pub struct Limit {
    set: String,
    #[serde(rename = "quantity")]
    pub figure: Figure,
    kinds: String,
    duties: String,
    section_from_mm: Option<f64>,
    section_to_mm: Option<f64>,
    id_from_mm: Option<f64>,
    id_to_mm: Option<f64>,
    pub low: Option<f64>,
    pub high: Option<f64>,
    rounding: Option<f64>,
    /// What a breach means.
    pub severity: Severity,
    quiet: u8,
    pub rule: String,
    pub source: String,
    pub confidence: Confidence,
}

static ROWS: LazyLock<Vec<Limit>> = LazyLock::new(|| shipped_rows!("glands/limits.csv"));

const EVERY_SET: &str = "every";
const ANY: &str = "any";

/// What selects the limits of one ring in one gland.
#[derive(Debug, Clone, Copy)]
pub struct Application {
    pub kind: GlandKind,
    pub duty: Duty,
    /// Nominal section in millimetres.
    pub section_mm: f64,
    /// Nominal inside diameter in millimetres.
    pub id_mm: f64,
}

impl Limit {
    /// Lists the limits of a set (and those of every set) that apply.
    pub fn of(set: RuleSet, application: Application) -> impl Iterator<Item = &'static Self> {
        let chosen = Self::chosen(set, application.kind, application.duty).iter();
        chosen.copied().filter(move |row| row.covers(application))
    }

    /// Lists those of a kind and a motion, whatever the ring; they are chosen once.
    fn chosen(set: RuleSet, kind: GlandKind, duty: Duty) -> &'static [&'static Self] {
        const SETS: usize = RuleSet::ALL.len();
        const KINDS: usize = GlandKind::ALL.len();
        const DUTIES: usize = Duty::ALL.len();
        static CHOSEN: [[[OnceLock<Vec<&'static Limit>>; DUTIES]; KINDS]; SETS] =
            [const { [const { [const { OnceLock::new() }; DUTIES] }; KINDS] }; SETS];
        let named = |list: &str, word: &str| list == ANY || list.split(' ').any(|w| w == word);
        CHOSEN[set as usize][kind as usize][duty as usize].get_or_init(|| {
            let of_set = ROWS
                .iter()
                .filter(|row| row.set == EVERY_SET || row.set == set.word());
            of_set
                .filter(|row| named(&row.kinds, kind.word()) && named(&row.duties, duty.word()))
                .collect()
        })
    }

    /// Tells whether it is of rings of this size.
    fn covers(&self, a: Application) -> bool {
        let within = |value: f64, from: Option<f64>, to: Option<f64>| {
            from.is_none_or(|f| value >= f) && to.is_none_or(|t| value < t)
        };
        within(a.section_mm, self.section_from_mm, self.section_to_mm)
            && within(a.id_mm, self.id_from_mm, self.id_to_mm)
    }

    /// Returns half a unit of the last printed digit, by which a value may miss a printed limit.
    pub fn slack(&self) -> f64 {
        const ROUND_OFF: f64 = 1e-9;
        self.rounding.unwrap_or(0.0) + ROUND_OFF
    }

    /// Tells whether the check is worth showing only where it is not good.
    pub fn is_quiet(&self) -> bool {
        self.quiet == 1
    }

    /// Returns by how much a value misses the limit; zero or less where it is inside.
    pub fn miss(&self, value: f64) -> f64 {
        let below = self.low.map_or(f64::NEG_INFINITY, |low| low - value);
        let above = self.high.map_or(f64::NEG_INFINITY, |high| value - high);
        below.max(above)
    }

    /// Tells whether a value is inside the limit, print rounding allowed.
    pub fn holds(&self, value: f64) -> bool {
        self.miss(value) <= self.slack()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_names_a_known_set_kind_and_duty_and_has_a_source() {
        for row in ROWS.iter() {
            assert!(row.set == EVERY_SET || RuleSet::from_word(&row.set).is_some());
            for kind in row.kinds.split(' ') {
                assert!(
                    kind == ANY || GlandKind::from_word(kind).is_some(),
                    "{kind}"
                );
            }
            for duty in row.duties.split(' ') {
                assert!(duty == ANY || Duty::from_word(duty).is_some(), "{duty}");
            }
            assert!(row.low.is_some() || row.high.is_some());
            assert!(row.low.zip(row.high).is_none_or(|(l, h)| l < h));
            assert!(!row.source.is_empty() && !row.rule.is_empty());
        }
    }

    #[test]
    fn every_set_limits_the_squeeze_of_every_application_exactly_once() {
        for (set, _) in RuleSet::ALL {
            for (kind, _) in GlandKind::ALL {
                for (duty, _) in Duty::ALL {
                    for section_mm in [1.02, 1.78, 2.2, 3.53, 6.99] {
                        let id_mm = 20.0;
                        let a = Application {
                            kind,
                            duty,
                            section_mm,
                            id_mm,
                        };
                        let count = Limit::of(set, a)
                            .filter(|l| l.figure == Figure::SqueezePct)
                            .count();
                        assert_eq!(count, 1, "{set:?} {kind:?} {duty:?} {section_mm}");
                    }
                }
            }
        }
    }

    #[test]
    fn small_rings_may_be_stretched_more() {
        let high = |id_mm| {
            let a = Application {
                kind: GlandKind::Piston,
                duty: Duty::Static,
                section_mm: 1.78,
                id_mm,
            };
            Limit::of(RuleSet::Industrial, a)
                .find(|l| l.figure == Figure::StretchPct && l.severity.binds())
                .and_then(|l| l.high)
        };
        assert_eq!(high(9.25), Some(8.0));
        assert_eq!(high(25.0), Some(5.0));
    }
}
