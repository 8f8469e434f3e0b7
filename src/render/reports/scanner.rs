//! The page of a scanner's calibration.

use super::scan::refused_words;
use crate::app::scan::{CalibratedPage, ScannerReport};
use crate::core::scan::{Axis, AxisScale, CalibrationRefusal};
use crate::render::{Document, Report, Table, fixed};

impl Report for ScannerReport {
    fn lay_out(&self, page: &mut Document) {
        page.title(headline(self));
        page.list(self.pages.iter().map(page_words));
        let mut table = Table::new(&["scanner", ">dots an inch", ">across", ">down", "by", "on"]);
        for scanner in &self.scanners {
            table.row([
                scanner.name.clone(),
                scanner.dpi.to_string(),
                scale_words(scanner.across),
                scale_words(scanner.down),
                scanner.standard.clone(),
                scanner.calibrated_at.clone(),
            ]);
        }
        page.table(table);
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
            let axes: Vec<String> = page
                .axes
                .iter()
                .map(|axis| format!("{} {}", axis_word(axis.axis), scale_words(Some(*axis))))
                .collect();
            axes.join(", ")
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
