//! Reports as plain text for a terminal or a file.

use super::document::{Block, Document, Table};
use super::visible::visible;
use comfy_table::{
    CellAlignment, ColumnConstraint, ContentArrangement, LineStyle, TableStyle, Width,
};

/// White space between columns and one rule under the heads: readable in any terminal and on paper.
const PLAIN: TableStyle =
    TableStyle::new().header_separator(LineStyle::none().fill('─').junction('─'));

/// Renders a report for a page of `width` columns (at least 40).
pub fn text(document: &Document, width: u16) -> String {
    let width = width.max(40);
    let mut out = String::new();
    for block in &document.blocks {
        if !out.is_empty() {
            out.push('\n');
        }
        match block {
            Block::Heading(level, heading) => push_heading(&mut out, *level, &visible(heading)),
            Block::Text(paragraph) => push_wrapped(&mut out, "", &visible(paragraph), width),
            Block::List(points) => {
                for point in points {
                    push_wrapped(&mut out, "  - ", &visible(point), width);
                }
            }
            Block::Table(table) => {
                out.push_str(&table_text(table, width));
                out.push('\n');
            }
            Block::Caution(caution) => {
                push_wrapped(&mut out, "CAUTION: ", &visible(caution), width);
            }
        }
    }
    out
}

fn push_heading(out: &mut String, level: u8, heading: &str) {
    let rule = if level <= 1 { "=" } else { "-" };
    out.push_str(heading);
    out.push('\n');
    out.push_str(&rule.repeat(heading.chars().count()));
    out.push('\n');
}

/// Breaks a text at spaces; following lines stand under the first.
fn push_wrapped(out: &mut String, lead: &str, text: &str, width: u16) {
    let indent = " ".repeat(lead.chars().count());
    let mut line = lead.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        let needed = line.chars().count() + usize::from(!empty) + word.chars().count();
        if !empty && needed > usize::from(width) {
            out.push_str(line.trim_end());
            out.push('\n');
            line.clone_from(&indent);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
}

fn table_text(table: &Table, width: u16) -> String {
    let mut drawn = comfy_table::Table::new();
    drawn
        .load_style(PLAIN)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(width)
        .set_header(table.heads.iter().map(|h| visible(&h.text)));
    for row in &table.rows {
        drawn.add_row(row.iter().map(|cell| visible(cell)));
    }
    for (index, head) in table.heads.iter().enumerate() {
        if let (true, Some(column)) = (head.numeric, drawn.column_mut(index)) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    for (index, fixed) in column_widths(table, width)
        .into_iter()
        .flatten()
        .enumerate()
    {
        if let Some(column) = drawn.column_mut(index) {
            column.set_constraint(ColumnConstraint::Absolute(Width::Fixed(fixed)));
        }
    }
    let lines: Vec<String> = drawn.lines().map(|l| l.trim_end().to_owned()).collect();
    lines.join("\n")
}

/// comfy-table sets a blank on either side of a cell, and one more between two columns.
const PADDING: usize = 2;

/// A column no wider than this is not broken: "at most 0.406", "142.0 psi".
const SHORT: usize = 14;
/// The same of the first column, which names the rows.
const LABEL: usize = 18;

/// The widths of the columns with their padding, where the table is wider than the page; `None` where it is not.
///
/// Each column gets the width of its longest word, as far as there is room for that of every one, and then one whose text is
/// short all of it, so that nothing is broken that need not be; what is left goes, one by one, to the column whose longest text takes the most lines.
fn column_widths(table: &Table, width: u16) -> Option<Vec<u16>> {
    let between = table.heads.len() * (PADDING + 1);
    let room = (usize::from(width) + 1).saturating_sub(between);
    let measure = |widest: fn(&str) -> usize| -> Vec<usize> {
        let heads = table.heads.iter().enumerate();
        let column = heads.map(|(index, head)| {
            let cells = table.rows.iter().filter_map(|row| row.get(index));
            let cells = cells.map(|cell| widest(&visible(cell)));
            cells
                .chain([widest(&visible(&head.text))])
                .max()
                .unwrap_or(0)
        });
        column.collect()
    };
    let lines = measure(|text| {
        text.lines()
            .map(|line| line.chars().count())
            .max()
            .unwrap_or(0)
    });
    if lines.iter().sum::<usize>() <= room {
        return None;
    }
    let words = measure(|text| {
        let words = text.split_whitespace().map(|word| word.chars().count());
        words.max().unwrap_or(0)
    });
    let capped = |most: usize| words.iter().map(move |word| (*word).min(most).max(1));
    let most = (1..=room)
        .rev()
        .find(|most| capped(*most).sum::<usize>() <= room);
    let mut widths: Vec<usize> = capped(most.unwrap_or(1)).collect();
    let mut left = room.saturating_sub(widths.iter().sum());
    let lacks = |widths: &[usize], at: usize| lines[at].saturating_sub(widths[at]);
    let mut short: Vec<usize> = (0..widths.len())
        .filter(|at| lines[*at] <= if *at == 0 { LABEL } else { SHORT })
        .collect();
    short.sort_by_key(|at| lacks(&widths, *at));
    for at in short {
        let more = lacks(&widths, at);
        if more <= left {
            widths[at] += more;
            left -= more;
        }
    }
    while left > 0 {
        let lacking = (0..widths.len()).filter(|at| widths[*at] < lines[*at]);
        let Some(tallest) = lacking.max_by_key(|at| lines[*at] * 1000 / widths[*at]) else {
            break;
        };
        widths[tallest] += 1;
        left -= 1;
    }
    let padded = widths.iter().map(|one| u16::try_from(one + PADDING));
    padded.collect::<Result<_, _>>().ok()
}
