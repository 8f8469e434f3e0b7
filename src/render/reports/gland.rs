//! The pages of glands: rings that suit one, the groove to cut, what a used ring tells.

use super::gland_check::verdict_word;
use crate::app::gland::cut::{CutDimension, GlandCutReport};
use crate::app::gland::fit::GlandFitReport;
use crate::app::gland::used::{GlandUsedReport, ListedSection, OriginalSection};
use crate::core::gland::{FitCandidate, Verdict};
use crate::core::quantity::Length;
use crate::render::{
    Cell, Column, DECISION, Document, Report, both, fixed, in_rows, mm3, notice, on_page, sheet,
    table,
};

impl Report for GlandFitReport {
    fn lay_out(&self, page: &mut Document) {
        let gland = format!("{} {} gland", self.duty.word(), self.kind.word());
        page.title(match self.fitting {
            0 => format!("NOTHING LISTED FITS this {gland}"),
            1 => format!("1 listed ring fits this {gland}"),
            n => format!("{n} listed rings fit this {gland}"),
        });
        page.text(self.nothing_fits.clone().unwrap_or_default());
        page.in_short(|page| {
            page.table(table(&RINGS, self.candidates.iter().take(SHOWN)));
            let more = self.candidates.len().saturating_sub(SHOWN);
            let told = self.warnings.points.iter().take(2).cloned();
            let more = (more > 0).then(|| {
                format!("{more} more rings, and why they are marginal or rejected: --full")
            });
            page.list(told.chain(more));
        });
        page.rest(|page| {
            page.listed(&RINGS, &self.candidates);
            page.text(format!(
                "{} listed rings were tried under the rule set {:?}. Best first: by verdict, then by \"passes\", \
                    then by how far the figures lie from their limits, then by how many standards list the ring. \
                    \"passes\" is the chance that ring and gland, anywhere in their tolerances, meet every limit in \
                    every state; limits that only caution make a ring marginal and do not count.",
                self.tried,
                self.rules.word()
            ));
            self.explain(page);
            page.section("Before you rely on it");
            page.list(self.warnings.points.iter().cloned());
        });
        page.text("Next: gland check with the same flags and --ring, for the figures of one ring.");
        page.cautions(&self.warnings.cautions);
    }
}

const SHOWN: usize = 5;

impl GlandFitReport {
    fn explain(&self, page: &mut Document) {
        let lines = |verdict: Verdict, why: fn(&FitCandidate) -> &[String]| -> Vec<String> {
            self.candidates
                .iter()
                .filter(|row| row.verdict == verdict)
                .map(|row| format!("{}: {}", row.codes.join(" = "), why(row).join("; ")))
                .collect()
        };
        page.points(
            "Why marginal",
            lines(Verdict::Marginal, |row| &row.marginal),
        );
        page.points("Why rejected", lines(Verdict::Reject, |row| &row.reasons));
    }
}

/// Says what speaks against a ring that does not pass in every case.
fn own_notice(row: &FitCandidate) -> Vec<String> {
    match row.verdict {
        Verdict::Good => Vec::new(),
        Verdict::Marginal => row.marginal.clone(),
        Verdict::Reject => vec!["REJECTED in this gland: do not fit it".to_owned()],
    }
}

const RINGS: [Column<FitCandidate>; 11] = [
    both(">", "rank", |row| row.rank.into()),
    both("ring", "codes", |row| row.codes.join(" = ").into()),
    both(">ID mm", "id_mm", |row| row.size.id.into()),
    both(">section mm", "cs_mm", |row| row.size.section.into()),
    both("verdict", "verdict", |row| row.verdict.into()),
    both(">passes", "pass_probability", |row| {
        Cell::share(row.pass_probability)
    }),
    both(">squeeze %", "squeeze_pct", |row| {
        Cell::figure(row.squeeze_pct, 1, 4)
    }),
    both(">stretch %", "stretch_pct", |row| {
        Cell::figure(row.stretch_pct, 1, 4)
    }),
    both(">fill %", "fill_pct", |row| {
        Cell::figure(row.fill_pct, 1, 4)
    }),
    in_rows("reasons", |row| row.reasons.join("; ").into()),
    in_rows("notice", |row| notice(own_notice(row))),
];

impl Report for GlandCutReport {
    fn lay_out(&self, page: &mut Document) {
        let notices = self.dimensions.iter().map(|_| notice(self.own_notice()));
        page.rows(sheet(&DIMENSIONS, &self.dimensions).and("notice", notices));
        let ring = &self.check.ring;
        let name = ring
            .codes
            .first()
            .map_or_else(String::new, |c| format!("{c}, "));
        page.title(format!(
            "Groove to cut: {} {} gland for ring {name}{} x {} mm",
            self.check.duty.word(),
            self.check.kind.word(),
            mm3(ring.id),
            mm3(ring.section)
        ));
        page.table(table(&DIMENSIONS, &self.dimensions));
        self.tell_check(page);
        page.section("Before you cut");
        let warnings = &self.check.warnings;
        page.brief(self.notes.iter().chain(&warnings.points).cloned());
        page.if_room(|page| page.list(self.beside()));
        page.fits(DECISION);
        page.reasons(|page| {
            page.text(format!(
                "Depth and width: {} ({}).",
                self.source, self.confidence
            ));
        });
        page.cautions(&warnings.cautions);
    }
}

impl GlandCutReport {
    /// Says that the groove is not good with its ring, as far as it is not.
    fn own_notice(&self) -> Option<String> {
        let verdict = self.check.verdict;
        (verdict != Verdict::Good)
            .then(|| format!("this groove is {} with its ring", verdict_word(verdict)))
    }

    fn tell_check(&self, page: &mut Document) {
        page.section("This groove checked");
        page.text(format!(
            "{}: squeeze {} to {} %, stretch {} to {} %, fill up to {} %; chance of meeting every limit {} %.",
            verdict_word(self.check.verdict),
            fixed(self.check.squeeze_pct.min, 1),
            fixed(self.check.squeeze_pct.max, 1),
            fixed(self.check.stretch_pct.min, 1),
            fixed(self.check.stretch_pct.max, 1),
            fixed(self.check.fill_pct.max, 1),
            fixed(100.0 * self.check.stack.pass_probability, 1)
        ));
        let misses = self
            .check
            .checks
            .iter()
            .filter(|c| c.verdict == self.check.verdict && c.verdict != Verdict::Good)
            .map(|c| format!("{}: {}", c.name, c.rule));
        page.brief(misses);
    }

    fn beside(&self) -> Vec<String> {
        let mut lines = vec![format!(
            "radius at the bottom {} to {} mm; break the edges of the groove by 0.1 to 0.2 mm (recalled), never sharp, never more",
            fixed(self.radius_mm.0, 2),
            fixed(self.radius_mm.1, 2)
        )];
        if let Some(runout) = self.runout_mm {
            lines.push(format!(
                "total runout between groove and part: at most {} mm",
                fixed(runout, 3)
            ));
        }
        if let Some(start) = self.lead_in_mm {
            lines.push(format!(
                "lead-in chamfer of {:.0} to {:.0} deg from the axis (recalled), from {} mm diameter outwards, so \
                    that the ring never meets an edge",
                self.lead_in_deg.0,
                self.lead_in_deg.1,
                fixed(start, 2)
            ));
        }
        for finish in &self.finishes {
            lines.push(format!(
                "{}: Ra {} µm or finer ({})",
                finish.surface,
                finish.ra_um,
                finish.confidence.word()
            ));
        }
        lines
    }
}

fn inch(length: Length) -> String {
    format!("{:.4}", length.inch())
}

fn tolerance(of: &CutDimension, write: fn(Length) -> String) -> Cell {
    format!("+{}/-{}", write(of.plus), write(of.minus)).into()
}

const DIMENSIONS: [Column<CutDimension>; 7] = [
    both("", "dimension", |one| one.name.into()),
    both(">mm", "mm", |one| {
        Cell::shown(mm3(one.nominal), one.nominal)
    }),
    on_page(">tolerance mm", |one| tolerance(one, mm3)),
    on_page(">inch", |one| inch(one.nominal).into()),
    on_page(">tolerance inch", |one| tolerance(one, inch)),
    in_rows("plus_mm", |one| one.plus.into()),
    in_rows("minus_mm", |one| one.minus.into()),
];

impl Report for GlandUsedReport {
    fn lay_out(&self, page: &mut Document) {
        page.title(format!(
            "What the ring found in this {} gland tells",
            self.kind.word()
        ));
        page.list(self.findings.iter().cloned());
        page.text(format!(
            "Height {} mm, gland depth {} mm.",
            fixed(self.height_mm, 3),
            fixed(self.gland_depth_mm, 3)
        ));
        page.section("Its section when new, by how much it has set");
        page.table(table(&BY_SET, &self.by_set));
        page.text("W0 = (height − set × depth)/(1 − set), the definition of compression set by method B solved for the new section. Nobody measured the set of this ring: read the table as a range.");
        page.section("Listed sections it may have been");
        if self.listed.is_empty() {
            page.text("None: no listed section lies between this height and a sensible squeeze.");
        }
        page.listed(&LISTED, &self.listed);
        page.section("Before you rely on it");
        page.list(self.warnings.points.iter().cloned());
        page.cautions(&self.warnings.cautions);
    }
}

const BY_SET: [Column<OriginalSection>; 2] = [
    on_page(">set %", |row| fixed(row.set_pct, 0).into()),
    on_page(">section when new mm", |row| {
        fixed(row.section_mm, 3).into()
    }),
];

const LISTED: [Column<ListedSection>; 4] = [
    both(">section mm", "section_mm", |row| {
        Cell::figure(row.section_mm, 2, 4)
    }),
    both(">set it would have taken %", "set_pct", |row| {
        Cell::figure(row.set_pct, 0, 2)
    }),
    both(">squeeze when new %", "squeeze_pct", |row| {
        Cell::figure(row.squeeze_pct, 1, 2)
    }),
    both(">listed sizes", "sizes", |row| row.sizes.into()),
];
