//! The page of what known rings taught.

use crate::app::ring::known::{BiasAndSpread, LearnedDone, LearnedLine, LearnedReport};
use crate::core::count::counted;
use crate::render::{Cell, Column, Document, Report, both, fixed, in_rows, on_page};

impl Report for LearnedReport {
    fn lay_out(&self, page: &mut Document) {
        page.title(headline(self));
        page.listed(&LEARNED, &self.instruments);
        if !self.instruments.is_empty() {
            page.text(
                "Millimetres: bias (below 0: reads small) ± what is left of doubt from ring to ring; then the scatter of one repetition. \"now\" is used from now on by the command ring, for this person.",
            );
        }
    }
}

const LEARNED: [Column<LearnedLine>; 17] = [
    both("", "reading", |line| line.reading.into()),
    both("by", "method", |line| (&line.method).into()),
    both(">rings", "rings", |line| line.rings.into()),
    on_page(">table", |line| bias(line.table).into()),
    on_page(">before", |line| bias(line.before).into()),
    on_page(">now", |line| bias(line.now).into()),
    on_page(">repeat, table", |line| {
        fixed(line.table.sd_repeat_mm, 3).into()
    }),
    on_page(">now", |line| fixed(line.now.sd_repeat_mm, 3).into()),
    in_rows("table_bias_mm", |line| Cell::rounded(line.table.bias_mm, 4)),
    in_rows("table_sd_between_mm", |line| {
        Cell::rounded(line.table.sd_between_mm, 4)
    }),
    in_rows("table_sd_repeat_mm", |line| {
        Cell::rounded(line.table.sd_repeat_mm, 4)
    }),
    in_rows("before_bias_mm", |line| {
        Cell::rounded(line.before.bias_mm, 4)
    }),
    in_rows("before_sd_between_mm", |line| {
        Cell::rounded(line.before.sd_between_mm, 4)
    }),
    in_rows("before_sd_repeat_mm", |line| {
        Cell::rounded(line.before.sd_repeat_mm, 4)
    }),
    in_rows("now_bias_mm", |line| Cell::rounded(line.now.bias_mm, 4)),
    in_rows("now_sd_between_mm", |line| {
        Cell::rounded(line.now.sd_between_mm, 4)
    }),
    in_rows("now_sd_repeat_mm", |line| {
        Cell::rounded(line.now.sd_repeat_mm, 4)
    }),
];

fn bias(state: BiasAndSpread) -> String {
    format!(
        "{} ±{}",
        fixed(state.bias_mm, 3),
        fixed(state.sd_between_mm, 3)
    )
}

fn headline(report: &LearnedReport) -> String {
    let whose = report.person.as_deref().unwrap_or("no person named");
    let rings = counted(report.rings, "known ring", "known rings");
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
