//! The page of listed rings that suit a gland.

use super::gland_check::verdict_word;
use crate::app::gland_fit::{FitRow, GlandFitReport};
use crate::core::gland::Verdict;
use crate::render::{
    Cell, Document, Report, Sheet, Table, fixed, mm2, notice, percent_of, rounded,
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
            page.table(self.table(SHOWN));
            let more = self.candidates.len().saturating_sub(SHOWN);
            let told = self.warnings.points.iter().take(2).cloned();
            let more = (more > 0).then(|| {
                format!("{more} more rings, and why they are marginal or rejected: --full")
            });
            page.list(told.chain(more));
        });
        page.rest(|page| {
            page.table(self.table(usize::MAX));
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
        Some(Sheet {
            header: vec![
                "rank",
                "codes",
                "id_mm",
                "cs_mm",
                "verdict",
                "pass_probability",
                "squeeze_pct",
                "stretch_pct",
                "fill_pct",
                "reasons",
                "notice",
            ],
            rows: self.candidates.iter().map(cells).collect(),
        })
    }
}

/// So many rings are shown on a screen.
const SHOWN: usize = 5;

impl GlandFitReport {
    fn table(&self, most: usize) -> Table {
        let mut table = Table::new(&[
            ">",
            "ring",
            ">ID mm",
            ">section mm",
            "verdict",
            ">passes",
            ">squeeze %",
            ">stretch %",
            ">fill %",
        ]);
        for row in self.candidates.iter().take(most) {
            table.row([
                row.rank.to_string(),
                row.codes.join(" = "),
                mm2(row.id),
                mm2(row.section),
                verdict_word(row.verdict).to_owned(),
                percent_of(row.pass_probability),
                fixed(row.squeeze_pct, 1),
                fixed(row.stretch_pct, 1),
                fixed(row.fill_pct, 1),
            ]);
        }
        table
    }

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

fn cells(row: &FitRow) -> Vec<Cell> {
    let rank = i64::try_from(row.rank).unwrap_or(i64::MAX);
    vec![
        Cell::Count(rank),
        Cell::text(row.codes.join(" = ")),
        Cell::Number(row.id.mm_rounded()),
        Cell::Number(row.section.mm_rounded()),
        Cell::text(row.verdict.word()),
        Cell::Number(rounded(row.pass_probability, 4)),
        Cell::Number(rounded(row.squeeze_pct, 4)),
        Cell::Number(rounded(row.stretch_pct, 4)),
        Cell::Number(rounded(row.fill_pct, 4)),
        Cell::text(row.reasons.join("; ")),
        notice(own_notice(row)),
    ]
}
