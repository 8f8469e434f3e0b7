//! The page of a spring.

use crate::app::spring::{RateLine, SpringReport};
use crate::core::stage::PreloadVerdict;
use crate::render::{Cell, Document, Report, Sheet, Table, fixed, rounded};

impl Report for SpringReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, headline(self));
        let mut table = Table::new(&[
            "by",
            ">N/mm",
            ">±",
            ">lbf/in",
            ">force N",
            ">preload mm",
            ">left to coil bind mm",
            "preload",
            "~source",
        ]);
        for line in &self.rates {
            table.row(row(line));
        }
        page.table(table);
        page.text("± is one standard uncertainty.");
        if let Some(solid) = self.solid_mm {
            page.text(format!("Coil bind at {} mm.", fixed(solid, 1)));
        }
        page.list(self.warnings.iter().cloned());
        page.cautions(&self.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let number = |value: f64| Cell::Number(rounded(value, 4));
        let rows = self.rates.iter().map(|line| {
            vec![
                Cell::text(&line.by),
                number(line.rate.n_per_mm),
                number(line.rate.sd_n_per_mm),
                line.preload.map_or(Cell::Empty, |p| number(p.force_n)),
                line.preload.map_or(Cell::Empty, |p| number(p.travel_mm)),
                Cell::text(&line.source),
            ]
        });
        Some(Sheet {
            header: vec![
                "by",
                "n_per_mm",
                "sd_n_per_mm",
                "force_n",
                "preload_mm",
                "source",
            ],
            rows: rows.collect(),
        })
    }
}

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

fn row(line: &RateLine) -> [String; 9] {
    let preload = line.preload;
    let figure = |pick: fn(&crate::core::stage::Preload) -> Option<f64>| {
        preload
            .as_ref()
            .and_then(pick)
            .map_or_else(|| "-".to_owned(), |v| fixed(v, 1))
    };
    [
        line.by.clone(),
        fixed(line.rate.n_per_mm, 2),
        fixed(line.rate.sd_n_per_mm, 2),
        fixed(line.lbf_per_in, 1),
        figure(|p| Some(p.force_n)),
        figure(|p| Some(p.travel_mm)),
        figure(|p| p.left_to_bind_mm),
        preload.map_or_else(String::new, |p| {
            match p.verdict {
                PreloadVerdict::Plausible => "plausible",
                PreloadVerdict::Doubtful => "DOUBTFUL",
                PreloadVerdict::Impossible => "IMPOSSIBLE",
            }
            .to_owned()
        }),
        line.source.clone(),
    ]
}
