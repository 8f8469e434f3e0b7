//! Reports as plain text for a terminal or a file.

use super::document::{Block, Document, Table};
use super::visible::visible;
use comfy_table::{
    CellAlignment, ColumnConstraint, ContentArrangement, LineStyle, Row, TableStyle, Width,
};

/// White space between columns and one rule under the heads: readable in any terminal and on paper.
const PLAIN: TableStyle =
    TableStyle::new().header_separator(LineStyle::none().fill('─').junction('─'));

/// Renders a report for a page of `width` columns (at least 40). Where the report has room for so many lines alone, blank lines go.
pub fn text(document: &Document, width: u16) -> String {
    let width = width.max(40);
    let blocks = document.all();
    let brief = |block: &&Block| match block {
        Block::Brief(points) => points.len(),
        _ => 0,
    };
    let mut whole = blocks
        .iter()
        .map(brief)
        .sum::<usize>()
        .saturating_sub(document.cut);
    let pieces = blocks.iter().map(|block| {
        let piece = piece(block, whole, width);
        whole = whole.saturating_sub(brief(block));
        piece
    });
    let pieces: Vec<String> = pieces.collect();
    let lines: usize = pieces.iter().map(|piece| piece.lines().count()).sum();
    let blank = document
        .room
        .map_or(usize::MAX, |room| room.saturating_sub(lines));
    let mut gaps: Vec<usize> = (1..blocks.len()).collect();
    gaps.sort_by_key(|at| std::cmp::Reverse(gap_weight(blocks[at - 1], blocks[*at])));
    gaps.truncate(blank);
    let mut out = String::new();
    for (at, piece) in pieces.iter().enumerate() {
        if gaps.contains(&at) {
            out.push('\n');
        }
        out.push_str(piece);
    }
    out
}

/// Says how much a blank line between two blocks helps the eye.
fn gap_weight(above: &Block, below: &Block) -> u8 {
    match (above, below) {
        (_, Block::Caution(_)) => 3,
        (_, Block::Table(_) | Block::Heading(..)) => 2,
        (Block::Table(_), _) => 1,
        _ => 0,
    }
}

/// Renders a block; of brief points the first `whole` are not cut.
fn piece(block: &Block, whole: usize, width: u16) -> String {
    let mut out = String::new();
    match block {
        Block::Heading(level, heading) => push_heading(&mut out, *level, &visible(heading)),
        Block::Text(paragraph) => push_wrapped(&mut out, "", &visible(paragraph), width),
        Block::Brief(points) | Block::List(points) => {
            let is_brief = matches!(block, Block::Brief(_));
            for (at, point) in points.iter().enumerate() {
                if is_brief && at >= whole {
                    out.push_str(&one_line("  - ", &visible(point), width));
                } else {
                    push_wrapped(&mut out, "  - ", &visible(point), width);
                }
            }
        }
        Block::Table(table) => {
            out.push_str(&table_text(table, width));
            out.push('\n');
        }
        Block::Caution(caution) => push_wrapped(&mut out, "CAUTION: ", &visible(caution), width),
        Block::Standing(caution) => push_wrapped(&mut out, "CAUTION: ", caution.words(), width),
        Block::Behind(..) | Block::InShort(_) | Block::IfRoom(_) => {}
    }
    out
}

/// Cuts a text to a line.
fn one_line(lead: &str, text: &str, width: u16) -> String {
    let wrapped = |width: u16| {
        let mut lines = String::new();
        push_wrapped(&mut lines, lead, text, width);
        lines
    };
    let whole = wrapped(width);
    if whole.lines().count() <= 1 {
        return whole;
    }
    let narrower = wrapped(width - 2);
    format!("{} …\n", narrower.lines().next().unwrap_or_default())
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
        let mut row = Row::from(row.iter().map(|cell| visible(cell)).collect::<Vec<_>>());
        if table.line_a_row {
            row.max_height(1);
        }
        drawn.add_row(row);
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

/// The widths of the columns with their padding, where the table is wider than the page; `None` where it is not.
fn column_widths(table: &Table, width: u16) -> Option<Vec<u16>> {
    let between = table.heads.len() * (PADDING + 1);
    let room = (usize::from(width) + 1).saturating_sub(between);
    let measure = |widest: fn(&str) -> usize| -> Vec<usize> {
        let heads = table.heads.iter().enumerate();
        let column = heads.map(|(index, head)| {
            let cells = table.rows.iter().filter_map(|row| row.get(index));
            let texts = cells.map(String::as_str).chain([head.text.as_str()]);
            texts.map(|text| widest(&visible(text))).max().unwrap_or(0)
        });
        column.collect()
    };
    let letters = |text: &str| text.chars().count();
    let texts = measure(letters);
    if texts.iter().sum::<usize>() <= room {
        return None;
    }
    let words = measure(|text| {
        text.split_whitespace()
            .map(|w| w.chars().count())
            .max()
            .unwrap_or(0)
    });
    let shares = shared_out(&texts, &words, room);
    let padded = shares.iter().map(|one| u16::try_from(one + PADDING));
    padded.collect::<Result<_, _>>().ok()
}

/// A column no wider than this is not broken: "at most 0.406", "142.0 psi".
const SHORT: usize = 14;
/// The same of the first column, which names the rows.
const LABEL: usize = 18;

/// Shares room out between columns of these longest texts and longest words.
///
/// Each column gets the width of its longest word, as far as there is room for that of every one, and then one whose text is
/// short all of it, so that nothing is broken that need not be; what is left goes, one by one, to the column whose longest
/// text takes the most lines.
fn shared_out(texts: &[usize], words: &[usize], room: usize) -> Vec<usize> {
    let capped = |most: usize| words.iter().map(move |word| (*word).min(most).max(1));
    let most = (1..=room)
        .rev()
        .find(|most| capped(*most).sum::<usize>() <= room);
    let mut shares: Vec<usize> = capped(most.unwrap_or(1)).collect();
    let mut left = room.saturating_sub(shares.iter().sum());
    let lacks = |shares: &[usize], at: usize| texts[at].saturating_sub(shares[at]);
    let mut short: Vec<usize> = (0..shares.len())
        .filter(|at| texts[*at] <= if *at == 0 { LABEL } else { SHORT })
        .collect();
    short.sort_by_key(|at| lacks(&shares, *at));
    for at in short {
        let more = lacks(&shares, at);
        if more <= left {
            shares[at] += more;
            left -= more;
        }
    }
    while left > 0 {
        let lacking = (0..shares.len()).filter(|at| lacks(&shares, *at) > 0);
        let Some(tallest) = lacking.max_by_key(|at| texts[*at].saturating_mul(1000) / shares[*at])
        else {
            break;
        };
        shares[tallest] += 1;
        left -= 1;
    }
    shares
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig { failure_persistence: None, ..Default::default() })]

        #[test]
        fn no_word_is_broken_that_has_room_and_no_room_is_wasted(
            columns in proptest::collection::vec((1_usize..60, 0_usize..200), 1..12),
            room in 12_usize..200,
        ) {
            let words: Vec<usize> = columns.iter().map(|(word, _)| *word).collect();
            let texts: Vec<usize> = columns.iter().map(|(word, more)| word + more).collect();
            let shares = shared_out(&texts, &words, room);
            let given: usize = shares.iter().sum();
            proptest::prop_assert!(given <= room);
            if words.iter().sum::<usize>() <= room {
                proptest::prop_assert!(shares.iter().zip(&words).all(|(share, word)| share >= word));
            }
            let satisfied = shares.iter().zip(&texts).all(|(share, text)| share >= text);
            let capped = words.iter().sum::<usize>() > room;
            proptest::prop_assert!(given == room || satisfied || capped, "{shares:?}");
        }
    }

    #[test]
    fn a_table_wider_than_the_page_stays_on_it_and_a_cell_of_a_megabyte_is_borne() {
        let mut table = Table::new(&["name", ">value", "rule"]);
        table.row([
            "squeeze".to_owned(),
            "11.7 %".to_owned(),
            "a word ".repeat(30),
        ]);
        let drawn = table_text(&table, 60);
        assert!(
            drawn.lines().all(|line| line.chars().count() <= 60),
            "{drawn}"
        );
        assert!(
            drawn.contains("squeeze") && drawn.contains("11.7 %"),
            "{drawn}"
        );
        table.row([String::new(), String::new(), "x".repeat(100_000)]);
        assert!(table_text(&table, 60).len() > 100_000);
    }
}
