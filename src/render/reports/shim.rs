//! The page of the next shim or turn of the screw.

use super::setting::{both, doubted, small, small_figure};
use super::warning;
use crate::app::next_shim::NextShimReport;
use crate::core::job::OwnSettings;
use crate::core::stage::{NextSetting, Spoken};
use crate::render::{Document, Report, Table, fixed};

/// Says which readings of a record counted, and which did not.
fn record_blocks(own: &OwnSettings, spoken: Spoken, page: &mut Document) {
    let supply = own.supply_bar.map_or_else(
        || "no supply".to_owned(),
        |supply| format!("{} bar of supply", fixed(supply, 0)),
    );
    page.heading(
        2,
        format!("From the record of job {}, at {supply}", own.job),
    );
    let pressure = format!(">pressure {}", spoken.word());
    let mut table = Table::new(&[">entry", "", ">shims mm", pressure.as_str(), "remarks"]);
    for known in &own.used {
        let mut remarks = Vec::new();
        if known.between {
            remarks.push("between readings at other supplies");
        }
        if !known.gauge_known {
            remarks.push("on no known gauge");
        }
        table.row([
            known.entry.to_string(),
            known.state.words().to_owned(),
            fixed(known.place_mm, 2),
            small_figure(known.pressure_bar, spoken),
            remarks.join("; "),
        ]);
    }
    page.table(table);
    page.list(own.left_out.iter().map(|why| format!("not used: {why}")));
}

impl Report for NextShimReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        for stop in &self.stops {
            page.heading(1, "STOP");
            page.caution(stop.words.clone());
        }
        // Settings by which more preload lowers the pressure cannot both be right: nothing is advised from them.
        let contradicts = |next: &&NextSetting| next.rise_bar_per_mm <= 0.0;
        if let Some(next) = self.next.as_ref().filter(contradicts) {
            page.heading(1, "Read again before anything is changed");
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
            page.heading(1, format!("Next: {place}"));
            page.text(format!(
                "Expected there: {} ± {}; target {}.",
                both(next.expected_bar),
                small(next.expected_sd, self.question.spoken),
                both(self.question.target_bar)
            ));
            let by = if next.own_settings_rule {
                "this unit's own settings"
            } else {
                "theory, as a first guess"
            };
            page.text(format!(
                "A millimetre raises it by {} ({by}); exact thickness {} mm.",
                doubted(next.rise_bar_per_mm, next.rise_sd, self.question.spoken),
                fixed(next.wanted_mm, 2)
            ));
            if let Some(count) = next.readings_to_halve {
                let readings = if count == 1 {
                    "One more reading".to_owned()
                } else {
                    format!("{count} more readings")
                };
                page.text(format!(
                    "{readings} at the new setting would halve the doubt."
                ));
            }
            page.list(next.warnings.iter().cloned());
        }
        page.list(self.warnings.iter().map(warning::words));
        if let Some(job) = &self.from_record {
            record_blocks(&job.own, self.question.spoken, &mut page);
        }
        page.cautions(&self.cautions);
        page
    }
}
