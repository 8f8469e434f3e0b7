//! The words of a dialogue at the bench, for a plain terminal of 80 columns.

use super::groove_picture::groove_picture;
use crate::app::ring::session_said::{Advice, Ask, OddsRow, OddsSaid, Said};
use crate::core::book::worth;
use crate::core::caution::Caution;
use crate::core::measurement::Measurand;
use crate::core::quantity::Span;
use crate::render::words::{or_empty, ring_size};
use crate::render::{Document, Table, fixed, mm2, percent_of, text, visible};

const COLUMNS: u16 = 80;
/// A change of odds by less than this is not put into words.
const WORTH_SAYING: f64 = 0.02;

const HELP: [(&str, &str); 10] = [
    (
        "12.85 12.90 mm",
        "answers the question; repeats make it surer",
    ),
    (
        "od 12.85 mm by scan",
        "any reading: od, id, cs, width, cut, mass; by instrument",
    ),
    ("undo", "takes the last line back"),
    ("skip", "asks for something else"),
    (
        "have caliper rule",
        "asks only for what these can measure; have all",
    ),
    (
        "new, used, rough",
        "the state of the ring (rough: flattened, hard, swollen)",
    ),
    ("unit mm, unit in", "what a bare number means"),
    ("odds", "shows the odds again"),
    ("done", "ends with a line for a teardown note"),
    ("help", "shows this"),
];

/// Writes what a dialogue says.
pub fn said_text(said: &[Said]) -> String {
    said.iter().map(one).collect()
}

fn one(said: &Said) -> String {
    match said {
        Said::Text(sentence) => paragraph(sentence),
        Said::Caution(caution) => page(|page| page.caution(caution)),
        Said::Lines(lines) => format!("  {}\n", visible_lines(lines).join("\n  ")),
        Said::Groove(kind, dimension) => groove_picture(*kind, *dimension),
        Said::Warning(warning) => page(|page| page.list([warning.clone()])),
        Said::Fault {
            line,
            span,
            message,
        } => fault(line, *span, message),
        Said::Odds(odds) => odds_text(odds),
        Said::Verdict(odds) => verdict(odds),
        Said::Help => {
            let lines = HELP.map(|(words, meaning)| format!("  {words:20} {meaning}"));
            format!("{}\n", lines.join("\n"))
        }
        Said::Ask { ask, advice } => question(ask.as_ref(), advice),
        Said::Note(lines) => {
            let lines = visible_lines(lines).join("\n");
            format!("\nFor the teardown note:\n{lines}\n")
        }
    }
}

fn visible_lines(lines: &[String]) -> Vec<String> {
    lines.iter().map(|line| visible(line)).collect()
}

fn page(fill: impl FnOnce(&mut Document)) -> String {
    let mut page = Document::default();
    fill(&mut page);
    text(&page, COLUMNS)
}

fn paragraph(sentence: &str) -> String {
    page(|page| page.text(sentence))
}

/// Shows the line with the wrong part underlined and the message below. A long line is shown from near the wrong part on.
fn fault(line: &str, span: Span, message: &str) -> String {
    const BEFORE: usize = 30;
    const SHOWN: usize = 72;
    let start = span.start.min(line.len());
    let end = span.end.clamp(start, line.len());
    let before: String = visible(&line[..start]);
    let marked = visible(&line[start..end]);
    let after = visible(&line[end..]);
    let hidden = before.chars().count().saturating_sub(BEFORE);
    let lead: String = before.chars().skip(hidden).collect();
    let shown: String = format!("{lead}{marked}{after}")
        .chars()
        .take(SHOWN)
        .collect();
    let room = SHOWN - lead.chars().count();
    let carets = "^".repeat(marked.chars().count().clamp(1, room));
    let under = " ".repeat(lead.chars().count());
    let words: Vec<String> = message.split(' ').map(cut).collect();
    let told = page(|page| page.text(format!("error: {}", words.join(" "))));
    format!("  | {}\n  | {under}{carets}\n{told}", shown.trim_end())
}

/// Cuts a word that no line could hold.
fn cut(word: &str) -> String {
    const MOST: usize = 40;
    if word.chars().count() <= MOST {
        return word.to_owned();
    }
    let kept: String = word.chars().take(MOST).collect();
    format!("{kept}…")
}

fn odds_text(odds: &OddsSaid) -> String {
    let mut out = page(|page| page.table(table(odds)));
    if let Some(change) = change(odds) {
        out.push_str(&paragraph(&change));
    }
    out
}

fn table(odds: &OddsSaid) -> Table {
    let mut table = Table::new(&["ring", ">ID mm", ">section mm", ">odds"]);
    for row in &odds.rows {
        table.row([
            row.codes.join(", "),
            mm2(row.size.id),
            mm2(row.size.section),
            percent_of(row.probability),
        ]);
    }
    let unlisted = ["not a listed size", "", "", &percent_of(odds.unlisted)];
    table.row(unlisted.map(str::to_owned));
    if odds.unlisted_before.is_some() {
        let before = odds.rows.iter().map(|row| row.before);
        let before = before.chain([odds.unlisted_before]);
        table.and(
            ">before",
            before.map(|share| or_empty(share.map(percent_of))),
        );
    }
    table
}

fn first_code(row: &OddsRow) -> &str {
    row.codes.first().map_or("", String::as_str)
}

/// Says which ring gained most and which lost most.
fn change(odds: &OddsSaid) -> Option<String> {
    odds.unlisted_before?;
    let moves = || {
        let rows = odds.rows.iter().filter_map(|row| {
            let before = row.before?;
            Some((first_code(row), before, row.probability))
        });
        let unlisted = odds
            .unlisted_before
            .map(|before| ("a ring of no listed size", before, odds.unlisted));
        rows.chain(unlisted)
    };
    let gain = |(_, before, now): &(&str, f64, f64)| now - before;
    let most = moves().max_by(|a, b| gain(a).total_cmp(&gain(b)));
    let least = moves().min_by(|a, b| gain(a).total_cmp(&gain(b)));
    let rises = most.filter(|m| gain(m) >= WORTH_SAYING);
    let falls = least.filter(|m| gain(m) <= -WORTH_SAYING);
    let moved = rises.map(|m| ("rises", m)).into_iter();
    let moved = moved.chain(falls.map(|m| ("falls", m)));
    let parts: Vec<String> = moved
        .map(|(word, (name, before, now))| {
            let [before, now] = [before, now].map(percent_of);
            format!("{name} {word} from {before} to {now}")
        })
        .collect();
    Some(if parts.is_empty() {
        "This changed little.".to_owned()
    } else {
        format!("What changed: {}.", parts.join(", "))
    })
}

fn verdict(odds: &OddsSaid) -> String {
    let first = odds
        .rows
        .first()
        .filter(|row| row.probability >= odds.unlisted);
    let sentence = match first {
        Some(row) => format!(
            "Most likely {} ({}), {}.",
            ring_size(row.size.id, row.size.section),
            row.codes.join(", "),
            percent_of(row.probability)
        ),
        None => "No listed ring is likely.".to_owned(),
    };
    let mut out = page(|page| {
        page.text(sentence);
        page.table(table(odds));
        page.cautions(&[Caution::Named]);
    });
    out.insert(0, '\n');
    out
}

fn question(ask: Option<&Ask>, advice: &Advice) -> String {
    let counsel = match advice {
        Advice::Unchanged => "",
        Advice::GoOn => "Another reading is worth it.",
        Advice::Enough => {
            "You can stop here (\"done\"): one ring leads clearly. A second look costs little where a life hangs on it."
        }
        Advice::Unlisted => {
            "No listed ring leads. Check the last reading and its unit (\"undo\" takes it back), or end with \"done\"."
        }
        Advice::NoMore(group) if group.is_empty() => {
            "You can stop here (\"done\"): no further reading of the ring is expected to tell much."
        }
        Advice::NoMore(group) => &format!(
            "You can stop here (\"done\"): no further reading of the ring is expected to tell apart {}. Its gland may.",
            group.join(", ")
        ),
    };
    let mut out = match counsel {
        "" => String::new(),
        counsel => paragraph(counsel),
    };
    if let Some(ask) = ask {
        out.push_str(&paragraph(&asked(ask)));
    }
    out
}

fn asked(ask: &Ask) -> String {
    let what = match ask.measurand {
        Measurand::Od => "Outside diameter?",
        Measurand::Id => "Inside diameter?",
        Measurand::Cs => "Section? (on a used ring its height, the smaller way across)",
        Measurand::Width => "Width of the section, across the height?",
        Measurand::CutLength => "Length of the ring, cut and laid straight?",
        Measurand::Mass => "Mass?",
        Measurand::Stack => "Height of several equal rings, stacked flat?",
    };
    let worth = ask.bits.map_or_else(String::new, |bits| {
        format!("; {} in {} min", worth(bits), fixed(ask.minutes, 1))
    });
    let label = or_empty((ask.label != ask.method).then(|| format!(" ({})", ask.label)));
    format!(
        "{what} By {}{label} unless you write another{worth}.",
        ask.method
    )
}
