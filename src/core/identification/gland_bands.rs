//! The bands in which the figures of a gland lie: what the tables prefer within what they allow.

use super::candidates::Candidate;
use crate::core::gland::{Application, Duty, Figure, GlandKind, Limit, RuleSet};
use crate::core::uncertainty::{normal_cdf, normal_log_density};
use std::sync::OnceLock;

/// Share of designs whose figures lie in the preferred band: most designers copy a table. Judgement, no source: a greater share makes
/// the odds too sure where simulated designers draw freely from textbook ranges, a smaller one too modest where they copy
/// (`tests/bench`).
const PREFERRED_SHARE: f64 = 0.80;
/// Share of designs made by eye, before the tables or against them: their figures lie about what is usual, with wide ends. Judgement,
/// no source: old gear has grooves that no table has.
const BY_EYE_SHARE: f64 = 0.06;
/// Least fill that the preferred and the wide band reach down to: tables print an upper end only. Recalled, no source.
const LEAST_FILL_PCT: (f64, f64) = (60.0, 40.0);

/// The preferred and the allowed range of one figure in per cent.
#[derive(Debug, Clone, Copy)]
pub(super) struct Band {
    pub(super) preferred: (f64, f64),
    pub(super) allowed: (f64, f64),
}

/// The tables that designers copy: the industrial handbook's and the suppliers' guides.
const TABLES: usize = 2;

/// What each table prints of the squeeze, and what is allowed, in per cent.
#[derive(Debug, Clone, Copy)]
pub(super) struct SqueezeBand {
    pub(super) tables: [(f64, f64); TABLES],
    pub(super) allowed: (f64, f64),
}

/// How densely the figures of one gland lie under each of three kinds of design.
///
/// A designer copies a table, and then every figure lies in its preferred band; or works freely within what is allowed, and then none
/// need to; or makes the groove by eye. The share of each is one for the whole gland and not one a figure.
#[derive(Debug, Clone, Copy)]
pub(super) struct Design {
    /// By each table that he may copy: they differ in their squeeze.
    copied: [f64; TABLES],
    free: f64,
    by_eye: f64,
}

impl Default for Design {
    fn default() -> Self {
        Self {
            copied: [PREFERRED_SHARE / TABLES as f64; TABLES],
            free: 1.0 - PREFERRED_SHARE - BY_EYE_SHARE,
            by_eye: BY_EYE_SHARE,
        }
    }
}

impl Design {
    /// Counts one figure (per cent), the edges of its bands softened by `sd` (per cent).
    pub(super) fn hold(&mut self, band: Band, value: f64, sd: f64) {
        let each = SqueezeBand {
            allowed: band.allowed,
            tables: [band.preferred; TABLES],
        };
        self.hold_squeeze(&each, value, value, sd);
    }

    /// Counts the squeeze: the tables speak of one figure (stretch left out), the allowed band of another.
    pub(super) fn hold_squeeze(
        &mut self,
        squeeze: &SqueezeBand,
        printed: f64,
        seated: f64,
        sd: f64,
    ) {
        /// The law never says that something cannot be: one design in a thousand lies anywhere within ±100 %.
        const STRAY: f64 = 0.001 / 200.0;
        // By the figure as a share, not per cent.
        let density = |value: f64, (low, high): (f64, f64)| {
            let inside = normal_cdf((value - low) / sd) - normal_cdf((value - high) / sd);
            100.0 * (inside / (high - low) + STRAY)
        };
        for (copied, table) in self.copied.iter_mut().zip(squeeze.tables) {
            *copied *= density(printed, table);
        }
        self.free *= density(seated, squeeze.allowed);
        let (low, high) = squeeze.allowed;
        // By eye: about the middle of what is allowed, a third of them outside.
        let spread = 0.5 * (high - low);
        let away = seated - 0.5 * (high + low);
        self.by_eye *= 100.0 * libm::exp(normal_log_density(away, spread * spread + sd * sd));
    }

    pub(super) fn log_density(self) -> f64 {
        libm::log(self.copied.iter().sum::<f64>() + self.free + self.by_eye)
    }
}

/// The bands that hold for one ring in one gland.
#[derive(Debug)]
pub(super) struct Bands {
    pub(super) squeeze: SqueezeBand,
    pub(super) inside: Band,
    pub(super) outside: Band,
    pub(super) fill: Band,
}

impl Bands {
    /// Returns the bands of every listed ring; they are read once for each kind and duty.
    pub(super) fn of_listed(kind: GlandKind, duty: Duty, listed: &[Candidate]) -> &'static [Self] {
        const MOST_KINDS: usize = 16;
        static MADE: [[OnceLock<Vec<Bands>>; 3]; MOST_KINDS] =
            [const { [const { OnceLock::new() }; 3] }; MOST_KINDS];
        let kind_at = GlandKind::ALL.iter().position(|(k, _)| *k == kind);
        let duty_at = Duty::ALL.iter().position(|(d, _)| *d == duty);
        MADE[kind_at.unwrap_or(0)][duty_at.unwrap_or(0)].get_or_init(|| {
            let of = |c: &Candidate| Self::of(kind, duty, c.d1, c.d2);
            listed.iter().map(of).collect()
        })
    }

    /// Reads the bands out of the published limits of the industrial rule set; what the guides print of the squeeze stands beside it.
    pub(super) fn of(kind: GlandKind, duty: Duty, d1: f64, d2: f64) -> Self {
        let application = Application {
            kind,
            duty,
            section_mm: d2,
            id_mm: d1,
        };
        let rows: Vec<&Limit> = Limit::of(RuleSet::Industrial, application).collect();
        let range = |figure: Figure, binding: bool, otherwise: (f64, f64)| {
            let own = rows
                .iter()
                .filter(|row| row.figure == figure && row.severity.binds() == binding);
            own.fold((otherwise.0, otherwise.1), |(low, high), row| {
                (row.low.unwrap_or(low), row.high.unwrap_or(high))
            })
        };
        let squeeze = range(Figure::SqueezePct, true, (5.0, 34.0));
        let printed = range(Figure::PrintedSqueezePct, false, squeeze);
        let guide = Limit::of(RuleSet::Guides, application)
            .filter(|row| row.figure == Figure::SqueezePct && row.severity.binds())
            .find_map(|row| row.low.zip(row.high));
        let loosest = range(Figure::InsideFitPct, true, (-2.0, 5.0)).0;
        let tightest = range(Figure::StretchPct, true, (-2.0, 5.0)).1;
        let inside = (loosest, tightest.max(loosest + 1.0));
        let least = range(Figure::StretchPct, false, (0.0, 5.0));
        let outside = range(Figure::OutsideCompressionPct, true, (-2.0, 5.0));
        let fill = range(Figure::FillPct, true, (LEAST_FILL_PCT.1, 95.0));
        let within = |(low, high): (f64, f64), wide: (f64, f64)| {
            (
                low.clamp(wide.0, wide.1 - 0.5),
                high.clamp(wide.0 + 0.5, wide.1),
            )
        };
        Self {
            squeeze: SqueezeBand {
                tables: [printed, guide.unwrap_or(printed)].map(|table| within(table, squeeze)),
                allowed: squeeze,
            },
            inside: Band {
                preferred: within(least, inside),
                allowed: inside,
            },
            outside: Band {
                preferred: within((0.0, 3.0), outside),
                allowed: outside,
            },
            fill: Band {
                preferred: range(Figure::FillPct, false, (LEAST_FILL_PCT.0, 90.0)),
                allowed: fill,
            },
        }
    }
}
