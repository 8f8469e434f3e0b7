//! A parts list on one screen.

use super::parts_list::{material_words, sure_with_mark, verdict_word};
use crate::app::model::parts_list::PartsReport;
use crate::core::book::{PartAction, PartLine, PartsList};
use crate::core::quantity::HardnessScale;
use crate::render::words::grouped;
use crate::render::{Document, Table, mm2};

/// So many warnings are told on a screen.
const WARNINGS_TOLD: usize = 2;

impl PartsReport {
    /// The list on a screen: a line a part that is bought, what waits for a reading, which lines have more behind them.
    pub(super) fn short(&self, page: &mut Document) {
        let list = &self.list;
        page.brief(list.warnings.iter().take(WARNINGS_TOLD).cloned());
        let mut table = Table::new(&["", "part", "fit", "sure", "gland"]);
        table.line_a_row = true;
        for line in bought(list) {
            let words = [line.part.as_str(), line.position.as_str()].join(" ");
            let part = words.trim().to_owned();
            table.row([
                line.number.to_string(),
                match line.action {
                    PartAction::OnCondition => format!("{part} (if it fails)"),
                    _ => part,
                },
                fit_words(line),
                sure_with_mark(line, " *"),
                verdict_word(line).to_owned(),
            ]);
        }
        page.table(table);
        let near = list.near.iter().map(|pair| {
            format!(
                "lines {0} and {1} may be one place: ringwright note join {2:?} {0} {1}",
                pair[0],
                pair[1],
                list.model.to_string()
            )
        });
        page.brief(near.chain(not_decided(bought(list))));
        page.if_room(|page| page.brief(self.behind()));
    }

    fn behind(&self) -> Vec<String> {
        let list = &self.list;
        let disputed = list.lines.iter();
        let disputed = disputed.filter(|l| !l.conflicts.is_empty() || !l.failed.is_empty());
        let disputed: Vec<String> = disputed.map(|line| line.number.to_string()).collect();
        let disputed = (!disputed.is_empty()).then(|| {
            format!(
                "units disagree, or a wrong ring came out, at {}: --full, or --why LINE",
                disputed.join(", ")
            )
        });
        let more = match list.warnings.len().saturating_sub(WARNINGS_TOLD) {
            0 => None,
            1 => Some("one more warning: --full".to_owned()),
            more => Some(format!("{more} more warnings: --full")),
        };
        disputed.into_iter().chain(more).collect()
    }
}

pub(super) fn bought(list: &PartsList) -> impl Iterator<Item = &PartLine> {
    let lines = list.lines.iter();
    lines.filter(|line| line.action != PartAction::Keep)
}

/// Says how many of what go in, as the trade writes it: "2 x AS568-025 NBR 70", "1 x od 12.60, thick 3.00 mm".
fn fit_words(line: &PartLine) -> String {
    let size = &line.size;
    let what = match (size.codes.first(), size.lengths.as_slice()) {
        (Some(code), _) => code.clone(),
        (None, []) => size.measured.clone(),
        (None, lengths) => {
            let lengths = lengths
                .iter()
                .map(|one| format!("{} {}", one.word, mm2(one.length)));
            format!("{} mm", lengths.collect::<Vec<_>>().join(", "))
        }
    };
    let made = match (line.material.polymer, line.material.hardness) {
        (Some(polymer), Some(hardness)) if hardness.scale == HardnessScale::ShoreA => {
            format!("{polymer} {}", hardness.value)
        }
        _ => material_words(line),
    };
    let between = match (size.codes.is_empty(), made.is_empty()) {
        (_, true) => "",
        (true, false) => ", ",
        (false, false) => " ",
    };
    format!("{} x {what}{between}{made}", line.quantity_total)
}

/// Says in one line what is to be measured at the lines that are not decided.
fn not_decided<'l>(lines: impl Iterator<Item = &'l PartLine>) -> Option<String> {
    let open = lines.filter(|line| !line.size.decided);
    let asked = open.map(|line| {
        let next = line.ring.measure_next.as_ref();
        let what = next.map_or_else(
            || "more".to_owned(),
            |next| format!("the {} by {}", next.reading, next.label),
        );
        (what, line.number.to_string())
    });
    let asked: Vec<String> = grouped(asked)
        .iter()
        .map(|(what, numbers)| format!("{what} at {}", numbers.join(", ")))
        .collect();
    (!asked.is_empty()).then(|| {
        let asked = asked.join("; ");
        format!("NOT DECIDED, do not order yet: measure {asked} (--why LINE says why)")
    })
}
