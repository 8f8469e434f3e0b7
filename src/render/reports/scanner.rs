//! The page of a scanner's calibration.

use super::scan::refused_words;
use crate::app::scan::{CalibratedPage, ScannerReport};
use crate::core::scan::{Axis, AxisScale, CalibrationRefusal, ScannerProfile};
use crate::render::words::joined;
use crate::render::{Column, Document, Report, fixed, on_page, table};

impl Report for ScannerReport {
    fn lay_out(&self, page: &mut Document) {
        page.title(headline(self));
        page.list(self.pages.iter().map(page_words));
        page.table(table(&SCANNERS, &self.scanners));
        if !self.scanners.is_empty() {
            page.text("A true millimetre over one by the stated resolution, with its standard uncertainty. Across: along the rows of the picture.");
        }
        page.list(self.scanners.iter().filter_map(|scanner| {
            let lacking = match (scanner.across, scanner.down) {
                (None, _) => "rows",
                (_, None) => "columns",
                _ => return None,
            };
            Some(format!(
                "{}: only one axis is known; lay the rule along the {lacking} too and calibrate again.",
                scanner.name
            ))
        }));
    }
}

const SCANNERS: [Column<ScannerProfile>; 6] = [
    on_page("scanner", |scanner| (&scanner.name).into()),
    on_page(">dots an inch", |scanner| scanner.dpi.into()),
    on_page(">across", |scanner| scale_words(scanner.across).into()),
    on_page(">down", |scanner| scale_words(scanner.down).into()),
    on_page("by", |scanner| (&scanner.standard).into()),
    on_page("on", |scanner| (&scanner.calibrated_at).into()),
];

fn headline(report: &ScannerReport) -> String {
    match (report.pages.is_empty(), report.scanners.as_slice()) {
        (true, []) => "No scanner is calibrated yet".to_owned(),
        (true, _) => "Scanners of the book".to_owned(),
        (false, [scanner, ..]) => format!("{} is calibrated", scanner.name),
        (false, []) => "Nothing was calibrated".to_owned(),
    }
}

fn page_words(page: &CalibratedPage) -> String {
    let found = match page.refused {
        None => {
            let axes = page.axes.iter();
            let axes =
                axes.map(|axis| format!("{} {}", axis_word(axis.axis), scale_words(Some(*axis))));
            joined(axes, ", ")
        }
        Some(refused) => refusal_words(refused),
    };
    format!("{}: {found}", page.file)
}

fn axis_word(axis: Axis) -> &'static str {
    match axis {
        Axis::Across => "across",
        Axis::Down => "down",
    }
}

fn scale_words(scale: Option<AxisScale>) -> String {
    scale.map_or_else(
        || "not known".to_owned(),
        |scale| {
            format!(
                "{} ±{}",
                fixed(scale.factor, 5),
                fixed(scale.relative_uncertainty, 5)
            )
        },
    )
}

fn refusal_words(refused: CalibrationRefusal) -> String {
    match refused {
        CalibrationRefusal::NoCard => "no card of 85.60 by 53.98 mm is found. Lay one flat on the glass, its sides along the edges of the bed, \
             nothing touching it, under paper that differs from it in colour."
            .to_owned(),
        CalibrationRefusal::NoRule => "no rule with millimetre marks is found. Lay a steel rule flat on the glass along an edge of the bed, at \
             least 60 mm of it in the picture, its marks at right angles to that edge."
            .to_owned(),
        CalibrationRefusal::NoRing => "no ring of this outside diameter, within 3 %, is found. Lay it flat on the glass with nothing touching \
             it, and check the diameter and the resolution."
            .to_owned(),
        CalibrationRefusal::Page(page) => refused_words(page),
    }
}
