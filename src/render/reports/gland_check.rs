//! The page of a ring checked in a gland.

use super::limit_bar::limit_bar;
use crate::app::gland::check::{GlandCheckReport, StateShown};
use crate::core::gland::{Bounds, Check, Outside, Verdict};
use crate::render::words::{grouped, joined, ring_size};
use crate::render::{
    Cell, Column, Document, Report, both, fixed, in_rows, on_page, percent_of, sheet, table,
};

impl Report for GlandCheckReport {
    fn lay_out(&self, page: &mut Document) {
        page.rows(sheet(&CHECKS, &self.checks));
        page.title(format!("{}: {}", verdict_word(self.verdict), self.title()));
        page.text(self.reasons());
        let shown: Vec<&Check> = self
            .checks
            .iter()
            .filter(|c| !c.quiet || c.verdict != Verdict::Good)
            .collect();
        page.in_short(|page| {
            page.table(table(&SHORT, shown.iter().copied()));
            page.list(self.short_points());
        });
        page.rest(|page| {
            page.table(table(&CHECKS, shown.iter().copied()));
            page.text(format!(
                "Rule set: {}. {} checks were made; {} good ones that seldom matter are not shown (--format json has \
                    them all).",
                self.rules.word(),
                self.checks.len(),
                self.checks.len() - shown.len()
            ));
            page.section("Figures");
            page.table(table(&FIGURES, &self.figures()));
            page.text("Squeeze: how much the section is compressed. Stretch: how far the ring is pulled open on its \
                seat. Fill: how much of the groove the ring takes up. Gap: the clearance that pressure can push the \
                ring into.");
            if self.states.len() > 1 {
                page.section("States");
                page.table(table(&STATES, &self.states));
            }
            self.tell_chances(page);
            self.tell_back_up(page);
            page.points("Before you rely on it", self.warnings.points.iter().cloned());
        });
        page.reasons(|page| {
            page.section("Sources");
            page.list(sources(&shown));
            page.list(self.laws.iter().map(|law| (*law).to_owned()));
        });
        page.cautions(&self.warnings.cautions);
    }
}

/// One line of the table of figures: name, bounds, decimals, unit.
type FigureLine = (&'static str, Option<Bounds>, u32, &'static str);

fn of_figure(line: &FigureLine, pick: fn(Bounds) -> f64) -> Cell {
    let (_, bounds, places, _) = *line;
    bounds.map_or_else(|| "not known".into(), |b| fixed(pick(b), places).into())
}

const FIGURES: [Column<FigureLine>; 5] = [
    on_page("", |line| line.0.into()),
    on_page(">least", |line| of_figure(line, |b| b.min)),
    on_page(">nominal", |line| of_figure(line, |b| b.nominal)),
    on_page(">greatest", |line| of_figure(line, |b| b.max)),
    on_page("unit", |line| line.3.into()),
];

const STATES: [Column<StateShown>; 7] = [
    on_page("state", |state| (&state.name).into()),
    on_page(">squeeze % least", |state| {
        fixed(state.squeeze_pct.min, 1).into()
    }),
    on_page(">nominal", |state| {
        fixed(state.squeeze_pct.nominal, 1).into()
    }),
    on_page(">greatest", |state| fixed(state.squeeze_pct.max, 1).into()),
    on_page(">fill % greatest", |state| {
        fixed(state.fill_pct.max, 1).into()
    }),
    on_page(">gap mm greatest", |state| {
        let gap = state.gap_mm.map(|gap| fixed(gap.max, 3));
        gap.unwrap_or_else(|| "not known".to_owned()).into()
    }),
    on_page("verdict", |state| state.verdict.into()),
];

/// Returns the verdict in capitals, so that it is seen without colour.
pub(in crate::render) fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Good => "GOOD",
        Verdict::Marginal => "MARGINAL",
        Verdict::Reject => "REJECT",
    }
}

impl GlandCheckReport {
    fn title(&self) -> String {
        let size = ring_size(self.ring.id, self.ring.section);
        let code = self.ring.codes.first().map_or("", String::as_str);
        format!(
            "ring {} in a {} {} gland",
            joined([code, &size], ", "),
            self.duty.word(),
            self.kind.word()
        )
    }

    /// Names the checks that make the verdict what it is.
    pub(in crate::render) fn reasons(&self) -> String {
        let worst: Vec<&str> = self
            .checks
            .iter()
            .filter(|c| c.verdict == self.verdict)
            .map(|c| c.name.as_str())
            .collect();
        match self.verdict {
            Verdict::Good if !self.not_checked.is_empty() => format!(
                "Every check that could be made is good. NOT checked, because no pressure was given: {}.",
                self.not_checked.join(", ")
            ),
            Verdict::Good => "Every check is good, tolerances counted in.".to_owned(),
            Verdict::Marginal => format!(
                "Marginal: less margin than the sources ask for, though it passes in {} of cases. {}, or choose \
                    another ring.",
                percent_of(self.stack.pass_probability),
                self.stack
                    .advice
                    .as_deref()
                    .map_or_else(|| "Measure again what is least certain".to_owned(), capital)
            ),
            Verdict::Reject => format!("Do not fit it. Rejected for {}.", worst.join(" and ")),
        }
    }

    /// A back-up ring that is needed, and the first point to know, a line each.
    fn short_points(&self) -> Vec<String> {
        /// So many of the points before one relies on it are told on a screen.
        const TOLD: usize = 1;
        let mut points = Vec::new();
        if let Some(back_up) = self.back_up.as_ref().filter(|back_up| back_up.needed) {
            points.push(format!("the gap is too wide for this ring at this pressure: fit a back-up ring on {}, close \
                the gap, or choose a harder ring", back_up.side));
        }
        let more = &self.warnings.points;
        points.extend(more.iter().take(TOLD).cloned());
        if more.len() > TOLD {
            points.push(format!(
                "{} more before you rely on it: --full",
                more.len() - TOLD
            ));
        }
        points
    }

    /// Lists how the ring lies in its gland, and with what force it bears.
    fn figures(&self) -> Vec<FigureLine> {
        let printed = "squeeze as the tables figure it (no stretch)";
        let fill = "fill (ring against groove, by volume)";
        let open = "squeeze on the open side";
        let [gent, ruess] = [
            "line force (modulus by Gent)",
            "line force (modulus by Ruess)",
        ];
        let (closed, force) = (self.closed_side_squeeze_pct, self.face_load_n);
        let has_gap = self.gap_mm.is_none_or(|gap| gap.max > 0.0);
        let [gap, centred] = ["gap, full diametral clearance", "gap, parts centred"]
            .map(|name| Some(name).filter(|_| has_gap));
        let has_open = self.open_side_squeeze_pct.is_some();
        let [open, closed_name] =
            [open, "squeeze on the closed side"].map(|name| Some(name).filter(|_| has_open));
        let compression = self.outside_compression_pct;
        let compressed = compression.map(|_| "outside compression");
        let opens = force.map(|_| "load that opens the faces");
        let lines = [
            (Some("gland depth"), Some(self.gland_depth_mm), 3, "mm"),
            (Some("stretch"), Some(self.stretch_pct), 2, "%"),
            (compressed, compression, 2, "%"),
            (Some("section as seated"), Some(self.section_mm), 3, "mm"),
            (Some("squeeze"), Some(self.squeeze_mm), 3, "mm"),
            (Some("squeeze"), Some(self.squeeze_pct), 1, "%"),
            (Some(printed), Some(self.squeeze_as_printed_mm), 3, "mm"),
            (Some(printed), Some(self.squeeze_as_printed_pct), 1, "%"),
            (Some(fill), Some(self.fill_pct), 1, "%"),
            (gap, self.gap_mm, 3, "mm"),
            (centred, self.gap_radial_mm, 3, "mm"),
            (open, self.open_side_squeeze_mm, 3, "mm"),
            (open, self.open_side_squeeze_pct, 1, "%"),
            (closed_name, closed, 1, "%"),
            (Some("contact width"), self.contact_width_mm, 2, "mm"),
            (
                Some("peak contact stress"),
                self.contact_stress_mpa,
                2,
                "MPa",
            ),
            (opens, force, 0, "N"),
            (Some(gent), self.line_force_n_per_mm, 2, "N/mm"),
            (Some(ruess), self.line_force_ruess_n_per_mm, 2, "N/mm"),
        ];
        let lines = lines.into_iter();
        lines
            .filter_map(|(name, of, places, unit)| Some((name?, of, places, unit)))
            .collect()
    }

    /// Says how likely each limit is missed, and what to measure again.
    fn tell_chances(&self, page: &mut Document) {
        /// Chances below this are told by one sentence.
        const WORTH_A_LINE: f64 = 0.0005;
        let stack = &self.stack;
        page.section("Chances");
        page.text(format!(
            "Chance of meeting every limit that can reject, in every state: {}. ({} samples of the whole tolerance \
                stack. A tolerance written as ± is read as a measurement, its 95 % band; one with two different \
                limits as a drawing, anywhere between them; --law changes that.)",
            percent_of(stack.pass_probability),
            stack.samples
        ));
        let mut rows: Vec<&Outside> = stack
            .outside
            .iter()
            .filter(|row| row.chance >= WORTH_A_LINE)
            .collect();
        rows.sort_by(|a, b| b.binds.cmp(&a.binds).then(b.chance.total_cmp(&a.chance)));
        if rows.is_empty() {
            page.text("No limit is missed in more than 1 case in 2000.");
        } else {
            page.table(table(&OUTSIDE, rows));
        }
        let doubt = stack.doubts.iter().find(|d| d.figure == "squeeze_pct");
        if let Some(doubt) = doubt {
            let shares: Vec<String> = doubt
                .shares
                .iter()
                .filter(|s| s.share >= 0.005)
                .map(|s| format!("{} {:.0} %", s.dimension, 100.0 * s.share))
                .collect();
            page.text(format!(
                "The uncertainty in the squeeze comes from: {}.",
                shares.join(", ")
            ));
        }
        if let Some(advice) = &stack.advice {
            page.text(format!("To know better, {advice}."));
        }
    }

    fn tell_back_up(&self, page: &mut Document) {
        let Some(back_up) = &self.back_up else { return };
        page.section("Back-up rings");
        page.text(if back_up.needed {
            "The gap is too wide for this ring at this pressure: fit a back-up ring, close the gap, or choose a \
                harder ring."
        } else {
            "At this pressure and gap, consider a back-up ring."
        });
        page.text(format!("It goes on {}.", back_up.side));
        let width = |pair: Option<(f64, f64)>| {
            pair.map_or_else(
                || "not printed".to_owned(),
                |(low, high)| format!("{} to {} mm", fixed(low, 2), fixed(high, 2)),
            )
        };
        page.text(format!(
            "Groove width with one: {}; with two: {}. Source: {}.",
            width(back_up.width_one_mm),
            width(back_up.width_two_mm),
            back_up.source
        ));
    }
}

/// Begins a sentence.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

fn check_value(check: &Check) -> String {
    let places = if check.unit == "mm" { 3 } else { 1 };
    match check.value {
        Some(v) => format!("{} {}", fixed(v, places), check.unit),
        None if check.unit.is_empty() => String::new(),
        None => "not known".to_owned(),
    }
}

const SHORT: [Column<Check>; 5] = [
    on_page("check", |check| (&check.name).into()),
    on_page(">value", |check| check_value(check).into()),
    on_page("allowed", |check| allowed(check).into()),
    on_page("verdict", |check| check.verdict.into()),
    on_page("[ limits ]", |check| limit_bar(check).into()),
];

const CHECKS: [Column<Check>; 11] = [
    both("check", "name", |check| (&check.name).into()),
    both(">value", "value", |check| {
        Cell::shown(check_value(check), Cell::rounded(check.value, 4))
    }),
    in_rows("low", |check| Cell::rounded(check.low, 4)),
    in_rows("high", |check| Cell::rounded(check.high, 4)),
    in_rows("unit", |check| check.unit.into()),
    both("judged at", "held_at", |check| {
        let judged = if check.unit.is_empty() {
            ""
        } else {
            check.held_at
        };
        Cell::shown(judged, check.held_at)
    }),
    on_page("allowed", |check| allowed(check).into()),
    both("verdict", "verdict", |check| check.verdict.into()),
    both("rule", "rule", |check| (&check.rule).into()),
    in_rows("source", |check| (&check.source).into()),
    in_rows("confidence", |check| check.confidence.into()),
];

const OUTSIDE: [Column<Outside>; 4] = [
    on_page("limit", |row| (&row.name).into()),
    on_page("state", |row| (&row.state).into()),
    on_page(">chance outside", |row| {
        format!("{} %", fixed(100.0 * row.chance, 1)).into()
    }),
    on_page("a miss", |row| {
        if row.binds { "can reject" } else { "cautions" }.into()
    }),
];

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
        (None, None) if check.unit.is_empty() => "the one listed".to_owned(),
        (None, None) => "any".to_owned(),
    }
}

/// Lists each source once, behind the checks that it speaks for.
pub(in crate::render) fn sources(checks: &[&Check]) -> Vec<String> {
    let named = checks.iter().map(|check| {
        let source = format!("{} ({})", check.source, check.confidence);
        (source, check.name.as_str())
    });
    grouped(named)
        .into_iter()
        .map(|(source, names)| format!("{}: {source}", names.join("; ")))
        .collect()
}
