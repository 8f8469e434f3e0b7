//! The page of a price list that was read: what became of its rows, how its columns were told, what was not read.

use crate::app::supply::price_list::{ImportReport, MappingFrom, TableRead};
use crate::core::supply::{LeftOutWhy, PassedOver, tax_word};
use crate::render::words::or_empty;
use crate::render::{Document, Report, Table};

impl Report for ImportReport {
    fn lay_out(&self, page: &mut Document) {
        page.title(headline(self));
        page.text(format!(
            "Prices of {} in {}, tax {}; nothing is converted.",
            self.price_date,
            self.currency.letters(),
            tax_word(self.tax_included)
        ));
        if !self.preview {
            page.list(counted(self));
        }
        for table in &self.tables {
            columns(page, table, self.mapping_from);
        }
        page.list(not_read(self));
        if !self.preview {
            page.next(&format!("offer list {:?}", self.supplier));
        }
        if self.preview {
            page.text("Nothing was stored. Change what is wrong with --mapping; the columns are saved for lists of this supplier with these heads.");
        }
    }
}

fn counted(report: &ImportReport) -> Vec<String> {
    let n = &report.described;
    let mut lines = vec![format!(
        "{} rows read = {} accepted + {} rejected",
        report.rows_read, report.accepted, report.rejected
    )];
    if let Some(file) = &report.rejects_file {
        lines.push(format!("rejected rows, each with its reason: {file}"));
    }
    lines.push(format!(
        "rings: {} with one size, {} ambiguous (every meaning is kept), {} whose size was not read (kept, findable by their words)",
        n.rings, n.ambiguous, n.rings_unread
    ));
    lines.push(format!(
        "other parts: {}; no known kind of part named: {}",
        n.other_parts, n.unknown
    ));
    if n.numbers_restored > 0 {
        lines.push(format!(
            "part numbers that a spreadsheet had made dates, restored by the size in the description: {}",
            n.numbers_restored
        ));
    }
    for (word, rows) in &report.materials_unread {
        lines.push(format!("material {word:?} was not understood in {rows} rows: they are offered without a polymer"));
    }
    lines
}

/// The columns of one table, and those that were left out.
fn columns(page: &mut Document, read: &TableRead, from: MappingFrom) {
    let lines = read.heads_on.map_or_else(
        || "no heads".to_owned(),
        |(first, last)| format!("heads on {}", lines_words(&first, &last)),
    );
    let sheet = or_empty(read.sheet.as_ref().map(|name| format!("Sheet {name}: ")));
    let from = match from {
        MappingFrom::Given => "given",
        MappingFrom::Saved => "saved for these heads",
        MappingFrom::Proposed => "as the heads say",
    };
    page.text(format!(
        "{sheet}{lines}; columns {from}: --mapping {}",
        read.mapping
    ));
    let mut table = Table::new(&["holds", ">column", "head", "example"]);
    for column in &read.columns {
        table.row([
            column.column.clone(),
            column.place.to_string(),
            column.head.clone(),
            column.example.clone(),
        ]);
    }
    for column in &read.left_out {
        table.row([
            format!("left out: {}", left_out_words(column.why)),
            column.place.to_string(),
            column.head.clone(),
            String::new(),
        ]);
    }
    page.table(table);
}

fn left_out_words(why: LeftOutWhy) -> &'static str {
    match why {
        LeftOutWhy::NotUnderstood => "not understood",
        LeftOutWhy::NotNeeded => "not needed",
        LeftOutWhy::Hidden => "hidden",
        LeftOutWhy::ListPrice => "list price, another is paid",
        LeftOutWhy::OldPrice => "former price",
        LeftOutWhy::OtherTax => "the other tax",
        LeftOutWhy::OtherCurrency => "another currency",
        LeftOutWhy::SaidTwice => "another column holds it",
    }
}

fn not_read(report: &ImportReport) -> Vec<String> {
    let mut lines = Vec::new();
    for (why, count) in &report.passed_over {
        let what = match why {
            PassedOver::Blank => "blank lines",
            PassedOver::Heads => "lines with the heads again",
            PassedOver::Text => "headings and lines of text",
            PassedOver::Total => "lines with sums",
            PassedOver::Hidden => "hidden lines",
        };
        lines.push(format!("passed over: {count} {what}"));
    }
    let sheets = [
        ("hidden, not read", &report.hidden_sheets),
        ("no price list in", &report.other_sheets),
    ];
    for (what, names) in sheets {
        lines.extend(names.iter().map(|name| format!("{what}: sheet {name}")));
    }
    for table in &report.tables {
        let sheet = table.sheet.as_deref().unwrap_or("");
        let columns = table.hidden_columns.iter().take(MOST_NAMED);
        let columns = columns.map(|column| format!("column {column}"));
        let hidden = table.hidden_lines.iter().take(MOST_NAMED);
        let hidden = hidden.map(|(first, last)| lines_words(first, last));
        let hidden = columns.chain(hidden);
        lines.extend(hidden.map(|what| format!("hidden, not read: {what} of {sheet}")));
    }
    lines
}

fn lines_words<N: PartialEq + std::fmt::Display>(first: &N, last: &N) -> String {
    if first == last {
        return format!("line {first}");
    }
    format!("lines {first} to {last}")
}

/// So many hidden columns and stretches of lines are named on the page; JSON has all.
const MOST_NAMED: usize = 20;

fn headline(report: &ImportReport) -> String {
    if report.preview {
        return format!("How {} would be read for {}", report.file, report.supplier);
    }
    format!(
        "Price list of {}: {} offers",
        report.supplier, report.accepted
    )
}
