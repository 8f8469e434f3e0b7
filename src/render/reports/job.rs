//! The pages of job records.

use super::setting::setting_blocks;
use crate::app::job::{JobList, JobShown};
use crate::core::job::ReleaseFacts;
use crate::render::{Block, Cell, Document, Report, Sheet, Table};

impl Report for JobShown {
    fn document(&self) -> Document {
        let mut page = Document::new();
        let facts = &self.release;
        let state = match (facts.closed, facts.released) {
            (false, _) => "open",
            (true, true) => "RELEASED",
            (true, false) => "closed, NOT RELEASED",
        };
        page.heading(
            1,
            format!(
                "Job {}: {} {}, {state}",
                facts.job, facts.model, facts.serial
            ),
        );
        if let Some(fault) = &self.changed {
            page.caution(changed_words(fault));
        }
        if let Some(words) = &self.unlike_list {
            page.caution(words.clone());
        }
        if let Some(judged) = &self.judged {
            setting_blocks(judged, &mut page, 2);
        }
        let mut table = Table::new(&[">", "day", "by", "", "says"]);
        let skipped = if self.added {
            self.record.entries.len().saturating_sub(1)
        } else {
            0
        };
        for sealed in &self.record.entries[skipped..] {
            table.row([
                sealed.place.to_string(),
                sealed
                    .added_at
                    .get(..10)
                    .unwrap_or(&sealed.added_at)
                    .to_owned(),
                sealed.person.clone(),
                sealed.entry.kind().to_owned(),
                sealed.entry.words(),
            ]);
        }
        page.table(table);
        if facts.closed {
            release(facts, &mut page);
        } else if self.added && !self.lacking.is_empty() {
            page.text(format!(
                "Entered. Points still lacking before release: {} (`ringwright job show {}` lists them).",
                self.lacking.len(),
                facts.job
            ));
        } else if self.lacking.is_empty() {
            page.text("Nothing is lacking but the second person's check: job close releases it.");
        } else {
            page.text("Before release it lacks:");
            page.list(self.lacking.iter().map(|lack| lack.0.clone()));
        }
        if !self.added {
            page.text(format!(
            "Seal of entry {}: {}. It stands on the printed record, and shows where entries were taken away later.",
            self.record.entries.len(),
            facts.seal
            ));
        }
        // What always stands on a record does not hide the caution of the step.
        let standing = facts.cautions.iter().filter(|_| !self.added);
        for caution in self.step_cautions.iter().chain(standing) {
            if page
                .blocks
                .iter()
                .any(|block| matches!(block, Block::Caution(known) if known == caution))
            {
                continue;
            }
            page.caution(*caution);
        }
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.record.entries.iter().map(|sealed| {
            vec![
                Cell::Count(i64::from(sealed.place)),
                Cell::text(&sealed.added_at),
                Cell::text(&sealed.person),
                Cell::text(sealed.entry.kind()),
                Cell::text(sealed.entry.words()),
                Cell::text(&sealed.seal),
            ]
        });
        Some(Sheet {
            header: vec!["entry", "added_at", "person", "kind", "words", "seal"],
            rows: rows.collect(),
        })
    }
}

/// Says that a record cannot be relied on.
pub(in crate::render) fn changed_words(fault: &str) -> String {
    format!(
        "THE RECORD WAS CHANGED: {fault}. Nothing of it counts as released until somebody who knows the work has settled what is true"
    )
}

fn release(facts: &ReleaseFacts, page: &mut Document) {
    page.heading(2, "Release");
    let oxygen = facts.oxygen_pct.map_or_else(
        || "oxygen not stated".to_owned(),
        |share| format!("{share} % oxygen"),
    );
    let enriched = match facts.enriched {
        Some(true) => "ENRICHED",
        Some(false) => "not enriched",
        None => "NOT SETTLED whether enriched",
    };
    let due = facts
        .due
        .map_or_else(|| "-".to_owned(), |day| day.to_string());
    let mut points = vec![
        format!(
            "gas: {}, {oxygen}, {enriched} by the threshold of {} % ({})",
            facts.gas, facts.threshold.0, facts.threshold.1
        ),
        facts
            .as_found
            .clone()
            .unwrap_or_else(|| "as found: -".to_owned()),
        facts
            .as_left
            .clone()
            .unwrap_or_else(|| "as left: -".to_owned()),
        format!(
            "checked by: {}",
            facts.checked_by.as_deref().unwrap_or("nobody")
        ),
        format!(
            "limits: {}",
            if facts.limits.is_empty() {
                "-"
            } else {
                facts.limits.as_str()
            }
        ),
        format!("due: {due} ({})", facts.due_rule),
        format!(
            "kept where the list replaces it: {}",
            if facts.kept.is_empty() {
                "nothing".to_owned()
            } else {
                let kept = facts.kept.iter();
                let kept = kept.map(|(part, why)| format!("{part} ({why})"));
                kept.collect::<Vec<_>>().join("; ")
            }
        ),
        format!("tested: {}", listed(&facts.tested)),
        format!("not tested: {}", listed(&facts.not_tested)),
    ];
    points.extend(
        facts
            .as_left_said
            .iter()
            .map(|line| format!("as left, {line}")),
    );
    points.extend(facts.lacking.iter().map(|lack| format!("LACKING: {lack}")));
    page.list(points);
}

fn listed(lines: &[String]) -> String {
    if lines.is_empty() {
        "nothing recorded".to_owned()
    } else {
        lines.join("; ")
    }
}

impl Report for JobList {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, format!("Jobs: {}", self.jobs.len()));
        let mut table = Table::new(&[
            ">job", "model", "unit", "opened", ">entries", "state", "due",
        ]);
        for line in &self.jobs {
            table.row([
                line.job.to_string(),
                line.model.clone(),
                line.serial.clone(),
                line.opened_at
                    .get(..10)
                    .unwrap_or(&line.opened_at)
                    .to_owned(),
                line.entries.to_string(),
                line.state.to_owned(),
                line.due
                    .map_or_else(|| "-".to_owned(), |day| day.to_string()),
            ]);
        }
        page.table(table);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.jobs.iter().map(|line| {
            vec![
                Cell::Count(line.job),
                Cell::text(&line.model),
                Cell::text(&line.serial),
                Cell::text(&line.opened_at),
                Cell::text(line.state),
                line.due
                    .map_or(Cell::Empty, |day| Cell::text(day.to_string())),
            ]
        });
        Some(Sheet {
            header: vec!["job", "model", "unit", "opened_at", "state", "due"],
            rows: rows.collect(),
        })
    }
}
