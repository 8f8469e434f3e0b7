//! What the ring that was found in a gland tells.

use super::question::{GlandQuestion, QuestionError, SetAsked};
use crate::core::caution::{Caution, Warnings};
use crate::core::gland::{CompressionSet, GlandKind, TypicalSet};
use crate::core::quantity::Dimension;
use crate::core::sizes::SizeTable;
use serde::Serialize;

/// What was measured on the ring that was found.
#[derive(Debug, Clone, Copy)]
pub struct UsedRing {
    /// Height in the direction of the squeeze.
    pub height: Dimension,
    /// Width across it, where measured.
    pub width: Option<Dimension>,
}

/// What a used ring tells about itself when it was new. Lengths in millimetres.
#[derive(Debug, Clone, Serialize)]
pub struct GlandUsedReport {
    pub kind: GlandKind,
    /// Gland depth L.
    pub gland_depth_mm: f64,
    /// Height of the used section.
    pub height_mm: f64,
    /// Width of the used section.
    pub width_mm: Option<f64>,
    /// √(height × width): the section of the same area.
    pub same_area_mm: Option<f64>,
    /// The section when new for several sets.
    pub by_set: Vec<OriginalSection>,
    /// Listed sections that it may have been, and the set that each would have taken.
    pub listed: Vec<ListedSection>,
    /// What it means.
    pub findings: Vec<String>,
    /// Points to see before relying on the answer.
    pub warnings: Warnings,
}

/// The section when new for one compression set.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct OriginalSection {
    pub set_pct: f64,
    /// The section when new.
    pub section_mm: f64,
}

/// A listed section with what would follow had the ring had it.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct ListedSection {
    pub section_mm: f64,
    /// The set that it would have taken.
    pub set_pct: f64,
    /// The squeeze that it would have had when new.
    pub squeeze_pct: f64,
    /// How many listed sizes have it.
    pub sizes: usize,
}

/// A height that differs from the gland depth by less has taken the shape of the gland.
const SHAPED_MM: f64 = 0.03;

/// Works out what the used ring tells in the gland of the question.
///
/// W0 = (Wr − CB L)/(1 − CB) for a set CB by method B, and √(a b) for the section of the same area; both derived from their
/// definitions. A set is not measured here: several are shown.
///
/// # Errors
/// Says what is missing or contradicts itself in the gland.
pub fn used_ring(
    question: &GlandQuestion,
    used: UsedRing,
) -> Result<GlandUsedReport, QuestionError> {
    let geometry = question.geometry()?;
    let mm: Vec<f64> = geometry
        .dimensions()
        .iter()
        .map(|(_, d)| d.nominal.mm())
        .collect();
    let depth = geometry.seat(&mm).depth;
    let height = used.height.nominal.mm();
    let width = used.width.map(|w| w.nominal.mm());
    let mut warnings = Vec::new();
    let sets = sets(question, &mut warnings);
    let by_set = sets.iter().filter_map(|percent| {
        let set = CompressionSet {
            percent: *percent,
            years: None,
        };
        set.original_section(height, depth)
            .map(|section_mm| OriginalSection {
                set_pct: *percent,
                section_mm,
            })
    });
    warnings.push(
        "an old ring may also have swollen or shrunk in its medium; the gland outranks the ring: find what fits it with gland fit"
            .to_owned(),
    );
    let mut report = GlandUsedReport {
        kind: geometry.kind(),
        gland_depth_mm: depth,
        height_mm: height,
        width_mm: width,
        same_area_mm: width.map(|w| libm::sqrt(w * height)),
        by_set: by_set.collect(),
        listed: listed(height, depth),
        findings: Vec::new(),
        warnings: Warnings::new(warnings, Caution::Gland),
    };
    report.findings = findings(&report);
    Ok(report)
}

/// Lists the sets to show: the stated one, or none, the typical range of the polymer, and half.
fn sets(question: &GlandQuestion, warnings: &mut Vec<String>) -> Vec<f64> {
    if let Some(SetAsked::Percent(percent)) = question.set {
        return vec![percent];
    }
    let typical = question.conditions.polymer.and_then(TypicalSet::of);
    let middle = if let Some(row) = typical {
        warnings.push(format!(
            "set of {} to {} %: {} ({})",
            row.low_pct, row.high_pct, row.source, row.confidence
        ));
        vec![row.low_pct, row.high_pct]
    } else {
        warnings.push(
            "polymer not given, or no typical set is known for it: 20 and 40 % are shown, as for nitrile".to_owned(),
        );
        vec![20.0, 40.0]
    };
    [vec![0.0], middle, vec![60.0]].concat()
}

/// Lists the sections of the shipped tables that the ring may have had when new.
fn listed(height: f64, depth: f64) -> Vec<ListedSection> {
    /// Squeezes beyond these are not met in practice.
    const SQUEEZE_PCT: std::ops::RangeInclusive<f64> = 3.0..=40.0;
    const SAME_MM: f64 = 0.005;
    let mut found: Vec<ListedSection> = Vec::new();
    for ring in SizeTable::shipped().rings() {
        let section = ring.section.nominal.mm();
        if let Some(known) = found
            .iter_mut()
            .find(|f| (f.section_mm - section).abs() < SAME_MM)
        {
            known.sizes += 1;
            continue;
        }
        let squeeze_pct = 100.0 * (section - depth) / section;
        let set_pct = 100.0 * (section - height) / (section - depth);
        if SQUEEZE_PCT.contains(&squeeze_pct) && (-5.0..=100.0).contains(&set_pct) {
            found.push(ListedSection {
                section_mm: section,
                set_pct: set_pct.max(0.0),
                squeeze_pct,
                sizes: 1,
            });
        }
    }
    found.sort_by(|a, b| a.section_mm.total_cmp(&b.section_mm));
    found
}

fn findings(report: &GlandUsedReport) -> Vec<String> {
    let mut findings = Vec::new();
    let left = report.height_mm - report.gland_depth_mm;
    if left.abs() <= SHAPED_MM {
        findings.push(
            "the ring has taken the height of its gland: its height tells nothing about its section when new".to_owned(),
        );
    } else if left < 0.0 {
        findings.push(format!(
            "the ring is {:.2} mm lower than its gland is deep: it did not seal as measured, or it is not the ring of this gland, or the gland was measured wrong",
            -left
        ));
    } else {
        findings.push(format!(
            "the ring still stands {left:.2} mm above its gland: it had that much squeeze left"
        ));
    }
    if let Some(area) = report.same_area_mm {
        findings.push(format!(
            "height and width together make a round section of {area:.2} mm (same area); swell or shrinkage is in it"
        ));
    }
    findings
}
