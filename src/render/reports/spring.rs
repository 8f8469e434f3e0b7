//! The page of a spring.

use crate::app::spring::{RateLine, SpringReport};
use crate::core::stage::{Preload, PreloadVerdict};
use crate::render::{
    Cell, Column, Document, Report, Sheet, both, fixed, in_rows, on_page, rounded, sheet, table,
};

impl Report for SpringReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, headline(self));
        page.table(table(&RATES, &self.rates));
        page.text("± is one standard uncertainty.");
        if let Some(solid) = self.solid_mm {
            page.text(format!("Coil bind at {} mm.", fixed(solid, 1)));
        }
        page.list(self.warnings.iter().cloned());
        for caution in &self.cautions {
            page.caution(*caution);
        }
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(sheet(&RATES, &self.rates))
    }
}

fn number(value: f64) -> Cell {
    Cell::Number(rounded(value, 4))
}

/// A figure of the preload on the page.
fn figure(line: &RateLine, pick: fn(&Preload) -> Option<f64>) -> Cell {
    let figure = line.preload.as_ref().and_then(pick);
    figure
        .map_or_else(|| "-".to_owned(), |value| fixed(value, 1))
        .into()
}

const RATES: [Column<RateLine>; 13] = [
    both("by", "by", |line| (&line.by).into()),
    on_page(">N/mm", |line| fixed(line.rate.n_per_mm, 2).into()),
    on_page(">±", |line| fixed(line.rate.sd_n_per_mm, 2).into()),
    on_page(">lbf/in", |line| fixed(line.lbf_per_in, 1).into()),
    on_page(">force N", |line| figure(line, |p| Some(p.force_n))),
    on_page(">preload mm", |line| figure(line, |p| Some(p.travel_mm))),
    on_page(">left to coil bind mm", |line| {
        figure(line, |p| p.left_to_bind_mm)
    }),
    on_page("preload", |line| {
        line.preload
            .map(|preload| match preload.verdict {
                PreloadVerdict::Plausible => "plausible",
                PreloadVerdict::Doubtful => "DOUBTFUL",
                PreloadVerdict::Impossible => "IMPOSSIBLE",
            })
            .into()
    }),
    in_rows("n_per_mm", |line| number(line.rate.n_per_mm)),
    in_rows("sd_n_per_mm", |line| number(line.rate.sd_n_per_mm)),
    in_rows("force_n", |line| {
        line.preload.map_or(Cell::Empty, |p| number(p.force_n))
    }),
    in_rows("preload_mm", |line| {
        line.preload.map_or(Cell::Empty, |p| number(p.travel_mm))
    }),
    both("source", "source", |line| (&line.source).into()),
];

fn headline(report: &SpringReport) -> String {
    match report.rates.as_slice() {
        [one] => format!(
            "Spring rate {} ± {} N/mm",
            fixed(one.rate.n_per_mm, 1),
            fixed(one.rate.sd_n_per_mm, 1)
        ),
        several => format!("Spring rate by material: {} fit", several.len()),
    }
}
