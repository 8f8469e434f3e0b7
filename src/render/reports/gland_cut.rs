//! The page of a groove to cut.

use super::gland_check::verdict_word;
use crate::app::gland_cut::{CutDimension, GlandCutReport};
use crate::core::gland::Verdict;
use crate::core::quantity::Length;
use crate::render::{Cell, Document, Report, Sheet, Table, fixed, mm3, notice};

impl Report for GlandCutReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        let ring = &self.check.ring;
        let name = ring
            .codes
            .first()
            .map_or_else(String::new, |c| format!("{c}, "));
        page.heading(
            1,
            format!(
                "Groove to cut: {} {} gland for ring {name}{} x {} mm",
                self.check.duty.word(),
                self.check.kind.word(),
                mm3(ring.id),
                mm3(ring.section)
            ),
        );
        let mut table = Table::new(&["", ">mm", ">tolerance mm", ">inch", ">tolerance inch"]);
        for dimension in &self.dimensions {
            table.row(row_of(dimension));
        }
        page.table(table);
        page.list(self.beside());
        self.tell_check(&mut page);
        page.heading(2, "Before you cut");
        let warnings = &self.check.warnings;
        page.list(self.notes.iter().chain(&warnings.points).cloned());
        page.reasons(|page| {
            page.text(format!(
                "Depth and width: {} ({}).",
                self.source, self.confidence
            ));
        });
        page.cautions(&warnings.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.dimensions.iter().map(|d| {
            vec![
                Cell::text(d.name),
                Cell::Number(d.nominal.mm_rounded()),
                Cell::Number(d.plus.mm_rounded()),
                Cell::Number(d.minus.mm_rounded()),
                notice(self.own_notice()),
            ]
        });
        Some(Sheet {
            header: vec!["dimension", "mm", "plus_mm", "minus_mm", "notice"],
            rows: rows.collect(),
        })
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
        page.heading(2, "This groove checked");
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
        page.list(misses);
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

fn row_of(dimension: &CutDimension) -> Vec<String> {
    let tolerance = |write: &dyn Fn(Length) -> String| {
        format!("+{}/-{}", write(dimension.plus), write(dimension.minus))
    };
    let inch = |length: Length| format!("{:.4}", length.inch());
    vec![
        dimension.name.to_owned(),
        mm3(dimension.nominal),
        tolerance(&mm3),
        inch(dimension.nominal),
        tolerance(&inch),
    ]
}
