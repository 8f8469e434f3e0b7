//! A parts list on one screen.

use super::parts_list::{material_words, sure_with_mark, verdict_word};
use crate::app::parts_list::PartsReport;
use crate::core::book::{PartAction, PartLine};
use crate::render::{Document, Table};

/// So many warnings are told on a screen.
const WARNINGS_TOLD: usize = 2;

impl PartsReport {
    /// The list on a screen: a line a part that is bought, what waits for a reading, which lines have more behind them.
    pub(super) fn short(&self, page: &mut Document) {
        let list = &self.list;
        page.list(list.warnings.iter().take(WARNINGS_TOLD).cloned());
        let mut table = Table::new(&["", "part", ">all", "fit", "made of", "sure", "gland"]);
        let bought = |line: &&PartLine| line.action != PartAction::Keep;
        for line in list.lines.iter().filter(bought) {
            let fit = line.size.codes.first().unwrap_or(&line.size.measured);
            let words = [line.part.as_str(), line.position.as_str()].join(" ");
            let part = words.trim().to_owned();
            table.row([
                line.number.to_string(),
                match line.action {
                    PartAction::OnCondition => format!("{part} (if it fails)"),
                    _ => part,
                },
                line.quantity_total.to_string(),
                fit.clone(),
                material_words(line),
                sure_with_mark(line, " *"),
                verdict_word(line).to_owned(),
            ]);
        }
        page.table(table);
        let mut points: Vec<String> = not_decided(list.lines.iter().filter(bought))
            .into_iter()
            .collect();
        if list.warnings.len() > WARNINGS_TOLD {
            points.push(match list.warnings.len() - WARNINGS_TOLD {
                1 => "one more warning: --full".to_owned(),
                more => format!("{more} more warnings: --full"),
            });
        }
        let disputed: Vec<String> = list
            .lines
            .iter()
            .filter(|line| !line.conflicts.is_empty() || !line.failed.is_empty())
            .map(|line| line.number.to_string())
            .collect();
        if !disputed.is_empty() {
            points.push(format!(
                "units disagree, or a wrong ring came out, at {}: --full, or --why LINE",
                disputed.join(", ")
            ));
        }
        page.list(points);
    }
}

/// Says in one line what is to be measured at the lines that are not decided.
fn not_decided<'l>(lines: impl Iterator<Item = &'l PartLine>) -> Option<String> {
    let mut asked: Vec<(String, Vec<String>)> = Vec::new();
    for line in lines.filter(|line| !line.size.decided) {
        let next = line.ring.measure_next.as_ref();
        let what = next.map_or_else(
            || "more".to_owned(),
            |next| format!("the {} by {}", next.reading, next.label),
        );
        let number = line.number.to_string();
        match asked.iter_mut().find(|(known, _)| *known == what) {
            Some((_, numbers)) => numbers.push(number),
            None => asked.push((what, vec![number])),
        }
    }
    let asked: Vec<String> = asked
        .iter()
        .map(|(what, numbers)| format!("{what} at {}", numbers.join(", ")))
        .collect();
    (!asked.is_empty()).then(|| {
        let asked = asked.join("; ");
        format!("NOT DECIDED, do not order yet: measure {asked} (--why LINE says why)")
    })
}
