//! Reports as Markdown.

use super::document::{Block, Document, Table};
use super::visible::visible;

/// Renders a report as Markdown with pipe tables.
pub fn markdown(document: &Document) -> String {
    let mut out = String::new();
    for block in document.all() {
        if !out.is_empty() {
            out.push('\n');
        }
        match block {
            Block::Heading(level, heading) => {
                let marks = "#".repeat(usize::from((*level).clamp(1, 6)));
                push_line(&mut out, &format!("{marks} {}", escaped(heading)));
            }
            Block::Text(text) => push_line(&mut out, &escaped(text)),
            Block::List(points) | Block::Brief(points) => {
                for point in points {
                    push_line(&mut out, &format!("- {}", escaped(point)));
                }
            }
            Block::Table(table) => push_table(&mut out, table),
            Block::Caution(text) => {
                push_line(&mut out, &format!("> **Caution:** {}", escaped(text)));
            }
            Block::Standing(caution) => {
                push_line(
                    &mut out,
                    &format!("> **Caution:** {}", escaped(caution.words())),
                );
            }
            Block::Behind(..) | Block::InShort(_) | Block::IfRoom(_) => {}
        }
    }
    out
}

fn push_line(out: &mut String, line: &str) {
    out.push_str(line);
    out.push('\n');
}

fn push_table(out: &mut String, table: &Table) {
    let line = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
    out.push_str(&line(
        table.heads.iter().map(|h| escaped(&h.text)).collect(),
    ));
    let rules = table.heads.iter().map(|h| {
        if h.numeric {
            "---:".to_owned()
        } else {
            "---".to_owned()
        }
    });
    out.push_str(&line(rules.collect()));
    for row in &table.rows {
        out.push_str(&line(row.iter().map(|cell| escaped(cell)).collect()));
    }
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in visible(text).chars() {
        if matches!(
            c,
            '|' | '\\' | '*' | '_' | '`' | '<' | '>' | '[' | ']' | '#'
        ) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}
