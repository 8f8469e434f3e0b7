//! The pages of the commands that look after the book, and of a book that travels.

use crate::app::book::accept::{AcceptReport, NoteOfOthers, SetAsideReport};
use crate::app::book::care::{BackupReport, BookPathReport, RestoreReport};
use crate::app::book::export::ExportReport;
use crate::app::book::merge::{AsideLine, MergeReport};
use crate::core::count;
use crate::core::exchange::AsideReason;
use crate::render::words::or_empty;
use crate::render::{Cell, Column, Document, Report, both, in_rows, on_page, sheet, table};
use crate::store::check::{CheckReport, TableState};
use std::collections::BTreeMap;

impl Report for BookPathReport {
    fn lay_out(&self, page: &mut Document) {
        page.text(self.path.clone());
        let place = if self.is_default {
            "the default place"
        } else {
            "named by --book or RINGWRIGHT_BOOK"
        };
        page.text(match (self.version, self.models, self.notes) {
            (Some(version), Some(models), Some(notes)) => {
                format!("{place}; book version {version}, models: {models}, notes: {notes}")
            }
            _ => format!("{place}; no book there yet"),
        });
    }
}

impl Report for BackupReport {
    fn lay_out(&self, page: &mut Document) {
        page.text(format!(
            "{} is copied to {} ({} bytes, checked).",
            self.book, self.copy, self.bytes
        ));
        page.text("Keep copies on another disk than the book.");
    }
}

impl Report for RestoreReport {
    fn lay_out(&self, page: &mut Document) {
        page.text(format!("{} now holds what {} holds.", self.book, self.copy));
        page.text(match &self.kept {
            Some(kept) => format!("The former book is kept as {kept}."),
            None => "There was no book there before.".to_owned(),
        });
    }
}

impl Report for CheckReport {
    fn lay_out(&self, page: &mut Document) {
        page.title(format!("Book {}", self.path));
        let version = if self.version == self.newest_version {
            format!(
                "Book version {}, the one that this program writes.",
                self.version
            )
        } else {
            format!(
                "Book version {}; this program writes {} and brings the book to it at the next command.",
                self.version, self.newest_version
            )
        };
        page.text(version);
        if self.is_sound() {
            page.text(
                "Sound: every page, every reference between rows, every row and every seal was read and found whole, and the \
                 search of offers agrees with them.",
            );
        } else {
            page.text("NOT sound:");
            page.list(self.faults.iter().cloned());
            page.text("What can be saved:");
            page.list(self.remedies.iter().cloned());
            page.text("The table says what can still be read.");
        }
        for reason in &self.unexamined {
            page.text(format!("NOT examined: {reason}."));
        }
        if let Some(figures) = &self.job_figures {
            page.text(format!(
                "Job records: {}, entries: {}, seal {}. Write these down with the day and keep them outside the book: they stay the same until \
                 the next entry, and change if somebody alters a record together with all its seals.",
                figures.jobs, figures.entries, figures.seal
            ));
        }
        page.in_short(|page| {
            let stopped = self.tables.iter();
            page.table(table(
                &TABLES,
                stopped.filter(|state| state.stopped_by.is_some()),
            ));
        });
        page.rest(|page| page.listed(&TABLES, &self.tables));
    }
}

/// How many rows of each table can be read.
const TABLES: [Column<TableState>; 3] = [
    both("table", "table", |state| (&state.table).into()),
    both(">rows that can be read", "readable_rows", |state| {
        state.readable.into()
    }),
    both("stopped by", "stopped_by", |state| {
        state.stopped_by.as_ref().into()
    }),
];

impl Report for ExportReport {
    fn lay_out(&self, page: &mut Document) {
        page.text(format!(
            "The book of {} is written to {} ({} bytes): {}.",
            self.shop,
            self.file,
            self.bytes,
            counted(&self.counts)
        ));
        page.text("Photographs stay where they lie; the notes name them.");
    }
}

impl Report for MergeReport {
    fn lay_out(&self, page: &mut Document) {
        page.rows(sheet(&ASIDE, &self.set_aside));
        page.title(format!(
            "Book of {}, written {}",
            self.shop, self.written_at
        ));
        page.text(format!("Taken: {}.", counted(&self.taken)));
        page.text(format!("Held already: {}.", counted(&self.same)));
        aside(page, &self.set_aside);
        self.offers(page);
        page.caution(
            "What came from another shop was measured by other hands: look at it before you order or fit by it. It is marked wherever \
             it counts; where units of yours decide, they stand.",
        );
    }
}

impl Report for SetAsideReport {
    fn lay_out(&self, page: &mut Document) {
        page.rows(sheet(&ASIDE, &self.set_aside));
        page.title("Set aside when other books were merged");
        if self.set_aside.is_empty() {
            page.text("Nothing is set aside.");
        }
        aside(page, &self.set_aside);
        if !self.not_accepted.is_empty() {
            page.section("Notes of other shops in this book that nobody here accepted: they count where no unit of yours settles a thing");
            page.list(self.not_accepted.iter().map(NoteOfOthers::words));
            page.text(ACCEPT);
        }
    }
}

/// How a note of another shop becomes one of ours.
const ACCEPT: &str =
    "To let one count among your own: `ringwright book set-aside --accept \"UNIT DAY\" --by NAME`.";

/// The most offers that the page names; the rest are counted.
const MOST_OFFERS: usize = 10;

impl MergeReport {
    fn offers(&self, page: &mut Document) {
        let all = &self.read_otherwise;
        if all.is_empty() {
            return;
        }
        let count = count::counted(all.len(), "offer", "offers");
        page.section("Descriptions that are read otherwise here");
        page.text(format!(
            "Of {count} the other shop says more, or something else, than the description does. What is read here counts; to have the \
             columns of the list too, import the list itself with `ringwright offer import`."
        ));
        let named = all.iter().take(MOST_OFFERS).map(|offer| {
            let (supplier, line) = (&offer.supplier, offer.line);
            format!(
                "{supplier}, line {line}: {} {}",
                offer.number, offer.description
            )
        });
        let more = all.len().saturating_sub(MOST_OFFERS);
        let rest = (more > 0).then(|| format!("and {more} more; --format json has them all"));
        page.list(named.chain(rest));
    }
}

impl Report for AcceptReport {
    fn lay_out(&self, page: &mut Document) {
        page.text(format!(
            "Accepted by {} at {}: the note {} counts among your own now. It stays marked as one of {}.",
            self.accepted.by, self.accepted.at, self.note.name, self.note.shop
        ));
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
        page.section("Contradictions: this book keeps its own word, the other is kept beside it");
        page.table(table(&DIFFERS, of(AsideReason::Conflict)));
        page.text(
            "To take the other word over, put it in with the ordinary command (`note add --replace`, `offer import`, \
             `setting gauge`); `book set-aside --format json` prints it whole.",
        );
    }
    let mut told = |reason, title: &str, next: &str| {
        if of(reason).next().is_some() {
            page.points(title, of(reason).map(aside_words));
            page.text(next);
        }
    };
    let refused = "Refused, as typing would refuse it; kept as it came, and counts nowhere";
    let mend =
        "Ask the shop that sent it; what is right can be typed in with the ordinary command.";
    told(AsideReason::Refused, refused, mend);
    let ours = "Notes on units of yours, set aside until you accept them by name";
    told(AsideReason::OurUnit, ours, ACCEPT);
    let theirs = "Records, decisions, lots, gauges, known rings and settings of the other shop, kept beside this book's own";
    told(AsideReason::Theirs, theirs, "");
    let unread = "Notes that this program cannot read, kept as they came";
    told(AsideReason::Unreadable, unread, "");
}

/// Names what was set aside: why where it was refused, else when.
fn aside_words(line: &AsideLine) -> String {
    let (what, key, shop) = (line.what.replace('_', " "), &line.key, &line.shop);
    match line.reason {
        AsideReason::Refused => {
            let why = or_empty(line.refusal.as_ref());
            format!("{what} {key} ({shop}): {why}")
        }
        _ => format!("{what} {key} ({shop}, {})", line.merged_at),
    }
}

/// What a contradiction says here, or there.
fn differs(line: &AsideLine, pick: fn(&(String, String)) -> &String) -> Cell {
    line.differs.as_ref().map(pick).into()
}

const DIFFERS: [Column<AsideLine>; 5] = [
    on_page("what", |line| line.what.replace('_', " ").into()),
    on_page("which", |line| (&line.key).into()),
    on_page("here", |line| differs(line, |both| &both.0)),
    on_page("there", |line| differs(line, |both| &both.1)),
    on_page("shop", |line| (&line.shop).into()),
];

const ASIDE: [Column<AsideLine>; 8] = [
    in_rows("what", |line| line.what.into()),
    in_rows("key", |line| (&line.key).into()),
    in_rows("reason", |line| match line.reason {
        AsideReason::Conflict => "conflict".into(),
        AsideReason::Theirs => "theirs".into(),
        AsideReason::Unreadable => "unreadable".into(),
        AsideReason::OurUnit => "our_unit".into(),
        AsideReason::Refused => "refused".into(),
    }),
    in_rows("shop", |line| (&line.shop).into()),
    in_rows("merged_at", |line| (&line.merged_at).into()),
    in_rows("here", |line| differs(line, |both| &both.0)),
    in_rows("there", |line| differs(line, |both| &both.1)),
    in_rows("refusal", |line| {
        line.refusal.as_ref().map(ToString::to_string).into()
    }),
];
