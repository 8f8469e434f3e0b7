//! Reports as plain text for a terminal or a file.

use super::document::{Block, Document, Table};
use super::visible::visible;
use comfy_table::{CellAlignment, ContentArrangement, LineStyle, TableStyle};

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
    let lines: Vec<String> = drawn.lines().map(|l| l.trim_end().to_owned()).collect();
    lines.join("\n")
}
