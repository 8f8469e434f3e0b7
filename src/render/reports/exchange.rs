//! The pages of a book that travels.

use crate::app::book_export::ExportReport;
use crate::app::book_merge::{AsideLine, MergeReport, SetAsideReport};
use crate::core::exchange::AsideReason;
use crate::render::{Cell, Document, Report, Sheet, Table};
use std::collections::BTreeMap;

impl Report for ExportReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.text(format!(
            "The book of {} is written to {} ({} bytes): {}.",
            self.shop,
            self.file,
            self.bytes,
            counted(&self.counts)
        ));
        page.text("Photographs stay where they lie; the notes name them.");
        page
    }
}

impl Report for MergeReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(
            1,
            format!("Book of {}, written {}", self.shop, self.written_at),
        );
        page.text(format!("Taken: {}.", counted(&self.taken)));
        page.text(format!("Held already: {}.", counted(&self.same)));
        aside(&mut page, &self.set_aside);
        page.caution(
            "What came from another shop was measured by other hands: look at it before you order or fit by it.",
        );
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(sheet(&self.set_aside))
    }
}

impl Report for SetAsideReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, "Set aside when other books were merged");
        if self.set_aside.is_empty() {
            page.text("Nothing is set aside.");
        }
        aside(&mut page, &self.set_aside);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(sheet(&self.set_aside))
    }
}

fn counted(counts: &BTreeMap<&'static str, usize>) -> String {
    if counts.is_empty() {
        return "nothing".to_owned();
    }
    let words = counts.iter().map(|(what, count)| {
        let plural = if *count == 1 { "" } else { "s" };
        format!("{count} {}{plural}", what.replace('_', " "))
    });
    words.collect::<Vec<_>>().join(", ")
}

fn aside(page: &mut Document, lines: &[AsideLine]) {
    let of = |reason: AsideReason| lines.iter().filter(move |line| line.reason == reason);
    if of(AsideReason::Conflict).next().is_some() {
        page.heading(
            2,
            "Contradictions: this book keeps its own word, the other is kept beside it",
        );
        let mut table = Table::new(&["what", "which", "here", "there", "shop"]);
        for line in of(AsideReason::Conflict) {
            let (here, there) = line.differs.clone().unwrap_or_default();
            table.row([
                line.what.replace('_', " "),
                line.key.clone(),
                here,
                there,
                line.shop.clone(),
            ]);
        }
        page.table(table);
        page.text(
            "To take the other word over, put it in with the ordinary command (`note add --replace`, `offer import`, \
             `setting gauge`); `book set-aside --format json` prints it whole.",
        );
    }
    let kept = |reason, title: &str, page: &mut Document| {
        let words = of(reason).map(|line| {
            format!(
                "{} {} ({}, {})",
                line.what.replace('_', " "),
                line.key,
                line.shop,
                line.merged_at
            )
        });
        let words: Vec<String> = words.collect();
        if !words.is_empty() {
            page.heading(2, title);
            page.list(words);
        }
    };
    kept(
        AsideReason::Theirs,
        "Records and lots of the other shop, kept beside this book's own",
        page,
    );
    kept(
        AsideReason::Unreadable,
        "Notes that this program cannot read, kept as they came",
        page,
    );
}

fn sheet(lines: &[AsideLine]) -> Sheet {
    let word = |reason: AsideReason| match reason {
        AsideReason::Conflict => "conflict",
        AsideReason::Theirs => "theirs",
        AsideReason::Unreadable => "unreadable",
    };
    let rows = lines.iter().map(|line| {
        let (here, there) = line.differs.clone().unwrap_or_default();
        vec![
            Cell::text(line.what),
            Cell::text(&line.key),
            Cell::text(word(line.reason)),
            Cell::text(&line.shop),
            Cell::text(&line.merged_at),
            Cell::text(here),
            Cell::text(there),
        ]
    });
    Sheet {
        header: vec![
            "what",
            "key",
            "reason",
            "shop",
            "merged_at",
            "here",
            "there",
        ],
        rows: rows.collect(),
    }
}
