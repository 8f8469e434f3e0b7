//! The page of a ring checked in a gland.

use crate::app::gland_check::GlandCheckReport;
use crate::app::gland_question::CAUTION;
use crate::core::gland::{Bounds, Check, Verdict};
use crate::render::{Cell, Document, Report, Sheet, Table, fixed, mm2, rounded};

impl Report for GlandCheckReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(
            1,
            format!("{}: {}", verdict_word(self.verdict), self.title()),
        );
        page.text(self.reasons());
        let shown: Vec<&Check> = self
            .checks
            .iter()
            .filter(|c| !c.quiet || c.verdict != Verdict::Good)
            .collect();
        page.table(check_table(&shown));
        page.text(format!(
            "Rule set: {}. {} checks were made; {} that are good and seldom matter are left out here (all are in --format json).",
            self.rules.word(),
            self.checks.len(),
            self.checks.len() - shown.len()
        ));
        page.heading(2, "Figures");
        page.table(self.figure_table());
        if self.states.len() > 1 {
            page.heading(2, "States");
            page.table(self.state_table());
        }
        page.heading(2, "Before you rely on it");
        page.list(self.warnings.iter().filter(|w| *w != CAUTION).cloned());
        page.heading(2, "Sources");
        page.list(sources(&shown));
        page.list(self.laws.iter().map(|law| (*law).to_owned()));
        page.caution(CAUTION);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.checks.iter().map(|c| {
            let number = |value: Option<f64>| Cell::number(value.map(|v| rounded(v, 4)));
            vec![
                Cell::text(&c.name),
                number(c.value),
                number(c.low),
                number(c.high),
                Cell::text(c.unit),
                Cell::text(c.held_at),
                Cell::text(c.verdict.word()),
                Cell::text(&c.rule),
                Cell::text(&c.source),
                Cell::text(c.confidence.word()),
            ]
        });
        Some(Sheet {
            header: vec![
                "name",
                "value",
                "low",
                "high",
                "unit",
                "held_at",
                "verdict",
                "rule",
                "source",
                "confidence",
            ],
            rows: rows.collect(),
        })
    }
}

/// Returns the verdict in capitals, so that it is seen without colour.
pub(super) fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Good => "GOOD",
        Verdict::Marginal => "MARGINAL",
        Verdict::Reject => "REJECT",
    }
}

impl GlandCheckReport {
    fn title(&self) -> String {
        let name = self
            .ring
            .codes
            .first()
            .map_or_else(String::new, |c| format!("{c}, "));
        format!(
            "ring {name}{} x {} mm in a {} {} gland",
            mm2(self.ring.id),
            mm2(self.ring.section),
            self.duty.word(),
            self.kind.word()
        )
    }

    /// Names the checks that make the verdict what it is.
    fn reasons(&self) -> String {
        let worst: Vec<&str> = self
            .checks
            .iter()
            .filter(|c| c.verdict == self.verdict)
            .map(|c| c.name.as_str())
            .collect();
        match self.verdict {
            Verdict::Good => "Every check is good, tolerances counted in.".to_owned(),
            Verdict::Marginal => format!("Marginal: {}.", worst.join(", ")),
            Verdict::Reject => format!("Rejected for: {}.", worst.join(", ")),
        }
    }

    fn figure_table(&self) -> Table {
        let mut table = Table::new(&["", ">least", ">nominal", ">greatest", "unit"]);
        let mut line = |name: &str, bounds: Option<Bounds>, places: u32, unit: &str| {
            let cell = |pick: fn(Bounds) -> f64| {
                bounds.map_or_else(|| "not known".to_owned(), |b| fixed(pick(b), places))
            };
            table.row([
                name.to_owned(),
                cell(|b| b.min),
                cell(|b| b.nominal),
                cell(|b| b.max),
                unit.to_owned(),
            ]);
        };
        line("gland depth", Some(self.gland_depth_mm), 3, "mm");
        line("stretch", Some(self.stretch_pct), 2, "%");
        if self.outside_compression_pct.is_some() {
            line("outside compression", self.outside_compression_pct, 2, "%");
        }
        line("section on its seat", Some(self.section_mm), 3, "mm");
        line("squeeze", Some(self.squeeze_mm), 3, "mm");
        line("squeeze", Some(self.squeeze_pct), 1, "%");
        let printed = "squeeze as tables form it (no stretch)";
        line(printed, Some(self.squeeze_as_printed_mm), 3, "mm");
        line(printed, Some(self.squeeze_as_printed_pct), 1, "%");
        line(
            "fill (ring against groove, by volume)",
            Some(self.fill_pct),
            1,
            "%",
        );
        line("gap, whole diametral clearance", self.gap_mm, 3, "mm");
        line("gap, parts held in the middle", self.gap_radial_mm, 3, "mm");
        line(
            "line force (modulus by Gent)",
            self.line_force_n_per_mm,
            2,
            "N/mm",
        );
        line(
            "line force (modulus by Ruess)",
            self.line_force_ruess_n_per_mm,
            2,
            "N/mm",
        );
        table
    }

    fn state_table(&self) -> Table {
        let mut table = Table::new(&[
            "state",
            ">squeeze % least",
            ">nominal",
            ">greatest",
            ">fill % greatest",
        ]);
        for state in &self.states {
            table.row([
                state.name.clone(),
                fixed(state.squeeze_pct.min, 1),
                fixed(state.squeeze_pct.nominal, 1),
                fixed(state.squeeze_pct.max, 1),
                fixed(state.fill_pct.max, 1),
            ]);
        }
        table
    }
}

fn check_table(checks: &[&Check]) -> Table {
    let mut table = Table::new(&["check", ">value", "held at", "allowed", "verdict", "rule"]);
    for check in checks {
        let places = if check.unit == "mm" { 3 } else { 1 };
        let value = check.value.map_or_else(
            || "not known".to_owned(),
            |v| format!("{} {}", fixed(v, places), check.unit),
        );
        table.row([
            check.name.clone(),
            value,
            check.held_at.to_owned(),
            allowed(check),
            verdict_word(check.verdict).to_owned(),
            check.rule.clone(),
        ]);
    }
    table
}

fn allowed(check: &Check) -> String {
    let places = if check.unit == "mm" { 3 } else { 0 };
    let number = |v: f64| {
        if check.unit == "mm" {
            fixed(v, places)
        } else {
            format!("{v}")
        }
    };
    match (check.low, check.high) {
        (Some(low), Some(high)) => format!("{} to {}", number(low), number(high)),
        (Some(low), None) => format!("at least {}", number(low)),
        (None, Some(high)) => format!("at most {}", number(high)),
        (None, None) => "any".to_owned(),
    }
}

/// Lists each source once, behind the checks that it speaks for.
fn sources(checks: &[&Check]) -> Vec<String> {
    let mut sources: Vec<(String, Vec<&str>)> = Vec::new();
    for check in checks {
        let source = format!("{} ({})", check.source, check.confidence);
        match sources.iter_mut().find(|(known, _)| *known == source) {
            Some((_, names)) => names.push(&check.name),
            None => sources.push((source, vec![&check.name])),
        }
    }
    sources
        .into_iter()
        .map(|(source, names)| format!("{}: {source}", names.join("; ")))
        .collect()
}
