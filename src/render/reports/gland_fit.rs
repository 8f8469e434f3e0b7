//! The page of listed rings that suit a gland.

use super::gland_check::verdict_word;
use crate::app::gland_fit::{FitRow, GlandFitReport};
use crate::core::gland::Verdict;
use crate::render::{
    Cell, Column, Document, Report, Sheet, both, fixed, in_rows, mm2, notice, on_page, percent_of,
    rounded, sheet, table,
};

impl Report for GlandFitReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        let gland = format!("{} {} gland", self.duty.word(), self.kind.word());
        page.heading(
            1,
            match self.fitting {
                0 => format!("NOTHING LISTED FITS this {gland}"),
                1 => format!("1 listed ring fits this {gland}"),
                n => format!("{n} listed rings fit this {gland}"),
            },
        );
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
            page.table(table(&RINGS, &self.candidates));
            page.text(format!(
                "{} listed rings were tried under the rule set {:?}. Best first: by verdict, then by \"passes\", \
                    then by how far the figures lie from their limits, then by how many standards list the ring. \
                    \"passes\" is the chance that ring and gland, anywhere in their tolerances, meet every limit in \
                    every state; limits that only caution make a ring marginal and do not count.",
                self.tried,
                self.rules.word()
            ));
            self.explain(page);
            page.heading(2, "Before you rely on it");
            page.list(self.warnings.points.iter().cloned());
        });
        page.text("Next: gland check with the same flags and --ring, for the figures of one ring.");
        page.cautions(&self.warnings.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(sheet(&RINGS, &self.candidates))
    }
}

/// So many rings are shown on a screen.
const SHOWN: usize = 5;

impl GlandFitReport {
    /// Says why rings are marginal or rejected.
    fn explain(&self, page: &mut Document) {
        let lines = |verdict: Verdict, why: fn(&FitRow) -> &[String]| -> Vec<String> {
            self.candidates
                .iter()
                .filter(|row| row.verdict == verdict)
                .map(|row| format!("{}: {}", row.codes.join(" = "), why(row).join("; ")))
                .collect()
        };
        let marginal = lines(Verdict::Marginal, |row| &row.marginal);
        if !marginal.is_empty() {
            page.heading(2, "Why marginal");
            page.list(marginal);
        }
        let rejected = lines(Verdict::Reject, |row| &row.reasons);
        if !rejected.is_empty() {
            page.heading(2, "Why rejected");
            page.list(rejected);
        }
    }
}

/// Says what speaks against a ring that does not pass in every case.
fn own_notice(row: &FitRow) -> Vec<String> {
    match row.verdict {
        Verdict::Good => Vec::new(),
        Verdict::Marginal => row.marginal.clone(),
        Verdict::Reject => vec!["REJECTED in this gland: do not fit it".to_owned()],
    }
}

fn number(value: f64) -> Cell {
    Cell::Number(rounded(value, 4))
}

const RINGS: [Column<FitRow>; 18] = [
    both(">", "rank", |row| row.rank.into()),
    both("ring", "codes", |row| row.codes.join(" = ").into()),
    on_page(">ID mm", |row| mm2(row.id).into()),
    on_page(">section mm", |row| mm2(row.section).into()),
    on_page("verdict", |row| verdict_word(row.verdict).into()),
    on_page(">passes", |row| percent_of(row.pass_probability).into()),
    on_page(">squeeze %", |row| fixed(row.squeeze_pct, 1).into()),
    on_page(">stretch %", |row| fixed(row.stretch_pct, 1).into()),
    on_page(">fill %", |row| fixed(row.fill_pct, 1).into()),
    in_rows("id_mm", |row| row.id.into()),
    in_rows("cs_mm", |row| row.section.into()),
    in_rows("verdict", |row| row.verdict.into()),
    in_rows("pass_probability", |row| number(row.pass_probability)),
    in_rows("squeeze_pct", |row| number(row.squeeze_pct)),
    in_rows("stretch_pct", |row| number(row.stretch_pct)),
    in_rows("fill_pct", |row| number(row.fill_pct)),
    in_rows("reasons", |row| row.reasons.join("; ").into()),
    in_rows("notice", |row| notice(own_notice(row))),
];
