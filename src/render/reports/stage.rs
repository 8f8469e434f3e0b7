//! The pages of a spring, and of the next shim or turn of the screw.

use super::setting::{doubted, in_unit, small, small_figure};
use super::warning;
use crate::app::stage::next_shim::NextShimReport;
use crate::app::stage::spring::{RateLine, SpringReport};
use crate::core::job::OwnSettings;
use crate::core::quantity::Spoken;
use crate::core::stage::{NextSetting, Preload, PreloadVerdict};
use crate::render::words::joined;
use crate::render::{Cell, Column, DECISION, Document, Report, Table, both, fixed, on_page};

impl Report for SpringReport {
    fn lay_out(&self, page: &mut Document) {
        page.title(headline(self));
        page.listed(&RATES, &self.rates);
        if let Some(solid) = self.solid_mm {
            page.text(format!("Coil bind at {} mm.", fixed(solid, 1)));
        }
        page.brief(self.warnings.iter().cloned());
        page.if_room(|page| page.text("± is one standard uncertainty."));
        page.cautions(&self.cautions);
        page.fits(DECISION);
    }
}

/// A figure of the preload.
fn figure(line: &RateLine, pick: fn(&Preload) -> Option<f64>) -> Cell {
    let figure = line.preload.as_ref().and_then(pick);
    figure.map_or_else(
        || Cell::shown("-", Cell::Empty),
        |value| Cell::figure(value, 1, 4),
    )
}

const RATES: [Column<RateLine>; 9] = [
    both("by", "by", |line| (&line.by).into()),
    both(">N/mm", "n_per_mm", |line| {
        Cell::figure(line.rate.n_per_mm, 2, 4)
    }),
    both(">±", "sd_n_per_mm", |line| {
        Cell::figure(line.rate.sd_n_per_mm, 2, 4)
    }),
    on_page(">lbf/in", |line| fixed(line.lbf_per_in, 1).into()),
    both(">force N", "force_n", |line| {
        figure(line, |p| Some(p.force_n))
    }),
    both(">preload mm", "preload_mm", |line| {
        figure(line, |p| Some(p.travel_mm))
    }),
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
    both("~source", "source", |line| (&line.source).into()),
];

fn headline(report: &SpringReport) -> String {
    match report.rates.as_slice() {
        [one] => format!(
            "Spring rate {} ± {} N/mm",
            fixed(one.rate.n_per_mm, 1),
            fixed(one.rate.sd_n_per_mm, 1)
        ),
        several => format!("Spring rate by material: {} materials fit", several.len()),
    }
}

/// Says which readings of a record counted, and which did not.
fn record_blocks(own: &OwnSettings, spoken: Spoken, page: &mut Document) {
    let supply = own.supply_bar.map_or_else(
        || "no supply".to_owned(),
        |supply| format!("{} of supply", Spoken::written(supply).say(supply)),
    );
    page.section(format!("From the record of job {}, at {supply}", own.job));
    let pressure = format!(">pressure {}", spoken.word());
    let mut table = Table::new(&[">entry", "", ">shims mm", pressure.as_str(), "remarks"]);
    for known in &own.used {
        let remarks = [
            if known.between {
                "between readings at other supplies"
            } else {
                ""
            },
            if known.gauge_known {
                ""
            } else {
                "on no known gauge"
            },
        ];
        table.row([
            known.entry.to_string(),
            known.state.word().to_owned(),
            fixed(known.place_mm, 2),
            small_figure(known.pressure_bar, spoken),
            joined(remarks, "; "),
        ]);
    }
    page.table(table);
    page.list(own.left_out.iter().map(|why| format!("not used: {why}")));
}

impl Report for NextShimReport {
    fn lay_out(&self, page: &mut Document) {
        let spoken = self.question.spoken;
        for stop in &self.stops {
            page.title("STOP");
            page.caution(stop.words.clone());
        }
        // Settings by which more preload lowers the pressure cannot both be right: nothing is advised from them.
        let contradicts = |next: &&NextSetting| next.rise_bar_per_mm <= 0.0;
        if let Some(next) = self.next.as_ref().filter(contradicts) {
            page.title("Read again before anything is changed");
            page.list(next.warnings.iter().cloned());
        } else if let Some(next) = &self.next {
            let place = match (&next.stack, next.turns, next.leave) {
                (_, _, true) => "leave it as it is".to_owned(),
                (Some(stack), _, _) => format!(
                    "fit {}, {} mm in all",
                    stack.words(),
                    fixed(next.take_mm, 2)
                ),
                (None, Some(turns), _) if turns < 0.0 => format!("{} turns out", fixed(-turns, 2)),
                (None, turns, _) => format!("{} turns in", fixed(turns.unwrap_or(0.0), 2)),
            };
            page.title(format!("Next: {place}"));
            in_unit(page, spoken, |page, said| {
                page.text(format!(
                    "Expected there: {} ± {}; target {}.",
                    said(next.expected_bar),
                    small(next.expected_sd, spoken),
                    said(self.question.target_bar)
                ));
            });
            let by = if next.own_settings_rule {
                "this unit's own settings"
            } else {
                "theory, as a first guess"
            };
            page.text(format!(
                "A millimetre raises it by {} ({by}); exact thickness {} mm.",
                doubted(next.rise_bar_per_mm, next.rise_sd, spoken),
                fixed(next.wanted_mm, 2)
            ));
            if let Some(count) = next.readings_to_halve {
                let readings = match count {
                    1 => "One more reading".to_owned(),
                    many => format!("{many} more readings"),
                };
                page.text(format!(
                    "{readings} at the new setting would halve the doubt."
                ));
            }
            page.list(next.warnings.iter().cloned());
        }
        page.list(
            self.warnings
                .iter()
                .map(|found| warning::words(found, spoken)),
        );
        if let Some(job) = &self.from_record {
            record_blocks(job, spoken, page);
        }
        page.cautions(&self.cautions);
        page.fits(DECISION);
    }
}
