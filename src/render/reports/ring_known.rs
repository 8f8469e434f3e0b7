//! The page of what known rings taught.

use crate::app::ring_known::{BiasAndSpread, LearnedDone, LearnedReport};
use crate::render::{Cell, Document, Report, Sheet, Table, fixed, rounded};

impl Report for LearnedReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, headline(self));
        let mut table = Table::new(&[
            "",
            "by",
            ">rings",
            ">table",
            ">before",
            ">now",
            ">repeat, table",
            ">now",
        ]);
        for line in &self.instruments {
            table.row([
                line.reading.to_owned(),
                line.method.clone(),
                line.rings.to_string(),
                bias(line.table),
                bias(line.before),
                bias(line.now),
                fixed(line.table.sd_repeat_mm, 3),
                fixed(line.now.sd_repeat_mm, 3),
            ]);
        }
        page.table(table);
        if !self.instruments.is_empty() {
            page.text(
                "Millimetres: bias (below 0: reads small) ± what is left of doubt from ring to ring; then the scatter of one repetition. \"now\" is used from now on by the command ring, for this person.",
            );
        }
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let number = |value: f64| Cell::Number(rounded(value, 4));
        let rows = self.instruments.iter().map(|line| {
            let mut cells = vec![
                Cell::text(line.reading),
                Cell::text(&line.method),
                Cell::Count(i64::try_from(line.rings).unwrap_or(i64::MAX)),
            ];
            for state in [line.table, line.before, line.now] {
                cells.extend([state.bias_mm, state.sd_between_mm, state.sd_repeat_mm].map(number));
            }
            cells
        });
        Some(Sheet {
            header: vec![
                "reading",
                "method",
                "rings",
                "table_bias_mm",
                "table_sd_between_mm",
                "table_sd_repeat_mm",
                "before_bias_mm",
                "before_sd_between_mm",
                "before_sd_repeat_mm",
                "now_bias_mm",
                "now_sd_between_mm",
                "now_sd_repeat_mm",
            ],
            rows: rows.collect(),
        })
    }
}

fn bias(state: BiasAndSpread) -> String {
    format!(
        "{} ±{}",
        fixed(state.bias_mm, 3),
        fixed(state.sd_between_mm, 3)
    )
}

fn headline(report: &LearnedReport) -> String {
    let whose = report
        .person
        .as_ref()
        .map_or_else(|| "no person named".to_owned(), Clone::clone);
    let rings = match report.rings {
        1 => "1 known ring".to_owned(),
        n => format!("{n} known rings"),
    };
    match (report.done, &report.ring) {
        (LearnedDone::Added, Some(ring)) => {
            format!("{ring} learned; {rings} measured by {whose}")
        }
        (LearnedDone::Forgotten, Some(ring)) => {
            format!("{ring} taken out again; {rings} measured by {whose}")
        }
        (LearnedDone::Forgotten, None) => format!("No known ring measured by {whose}"),
        _ => format!("{rings} measured by {whose}"),
    }
}
