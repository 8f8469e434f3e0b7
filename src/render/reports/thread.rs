//! The page of a thread.

use super::ring::fits;
use crate::app::thread_named::{NextThreadReading, ThreadLine, ThreadReport};
use crate::core::gland::PortThread;
use crate::core::thread::{Rival, RivalSign, ThreadSide};
use crate::render::{
    Cell, Column, Document, Report, Table, both, fixed, in_rows, notice, on_page, percent_of,
    sheet, table,
};

/// What is shown on a screen before the rest.
const THREADS_IN_SHORT: usize = 3;
const RIVALS_IN_SHORT: usize = 4;
const INCH_MM: f64 = 25.4;

impl Report for ThreadReport {
    fn lay_out(&self, page: &mut Document) {
        page.rows(sheet(&columns(), &rows(self)));
        page.title(headline(self));
        page.in_short(|page| {
            page.table(lines(self, THREADS_IN_SHORT));
            page.text(rivals_in_short(&self.rivals));
        });
        page.rest(|page| {
            page.table(lines(self, self.threads.len()));
            page.list(self.rivals.iter().map(rival_words));
        });
        let port = self.threads.first().and_then(|line| line.port);
        page.text(self.threads.first().map_or_else(String::new, use_words));
        page.text(port.map_or_else(String::new, port_words));
        page.text(self.next.map_or("", |next| next_words(next, self.side)));
        page.reasons(|page| {
            page.list(self.threads.iter().map(source_words));
            page.text(
                "Diameters are expected within ISO 965-1 grade 6, some hundredths worn; a pitch by gauge within 1 %. Formulas and \
                 wear: memory.",
            );
        });
        page.cautions(&self.cautions);
    }
}

fn headline(report: &ThreadReport) -> String {
    match report.threads.first() {
        Some(line) if report.is_found() => {
            format!("{}, {}", line.thread.size, percent_of(line.probability))
        }
        _ => format!(
            "No listed thread fits: none of them is likelier than one that is not listed ({}). Read pitch and diameter again",
            percent_of(report.none_listed)
        ),
    }
}

/// A thread, and the side of it that was read.
type Line<'t> = (&'t ThreadLine, ThreadSide);

fn rows(report: &ThreadReport) -> Vec<Line<'_>> {
    let side = report.side.unwrap_or(ThreadSide::Male);
    report.threads.iter().map(|line| (line, side)).collect()
}

fn columns<'t>() -> [Column<Line<'t>>; 17] {
    [
        both("thread", "thread", |(line, _)| (&line.thread.size).into()),
        both(">pitch mm", "pitch_mm", |(line, _)| {
            Cell::figure(line.pitch_mm, 3, 4)
        }),
        both(">tpi", "tpi", |(line, _)| {
            let tpi = line.thread.threads_per_inch();
            Cell::shown(fixed(INCH_MM / line.pitch_mm, 1), Cell::rounded(tpi, 1))
        }),
        on_page(">outside mm", |(line, side)| match side {
            ThreadSide::Female => fixed(line.thread.minor_mm, 2).into(),
            ThreadSide::Male => fixed(line.thread.major_mm, 2).into(),
        }),
        in_rows("major_mm", |(line, _)| {
            Cell::rounded(line.thread.major_mm, 3)
        }),
        in_rows("minor_mm", |(line, _)| {
            Cell::rounded(line.thread.minor_mm, 3)
        }),
        in_rows("angle_deg", |(line, _)| {
            Cell::rounded(line.thread.angle_deg, 0)
        }),
        in_rows("taper", |(line, _)| Cell::rounded(line.thread.taper, 4)),
        both(">odds", "probability", |(line, _)| {
            Cell::share(line.probability)
        }),
        both("diameter", "diameter_sigmas", |(line, _)| {
            sigmas(line.diameter_sigmas)
        }),
        both("pitch", "pitch_sigmas", |(line, _)| {
            sigmas(line.pitch_sigmas)
        }),
        in_rows("taken_for_it", |(line, side)| {
            let rivals = Rival::of(line.thread, *side).into_iter();
            let rivals: Vec<String> = rivals.map(|rival| rival.size).collect();
            rivals.join(", ").into()
        }),
        in_rows("port", |(line, _)| {
            line.port.map(|port| &port.standard).into()
        }),
        in_rows("port_ring", |(line, _)| {
            line.port.map(PortThread::ring_words).into()
        }),
        in_rows("source", |(line, _)| (&line.thread.source).into()),
        in_rows("confidence", |(line, _)| line.thread.confidence.into()),
        in_rows("notice", |_| notice([])),
    ]
}

fn lines(report: &ThreadReport, most: usize) -> Table {
    let mut table = table(&columns(), rows(report).iter().take(most));
    if report.side == Some(ThreadSide::Female) {
        "inside mm".clone_into(&mut table.heads[3].text);
    }
    let rest: f64 = report
        .threads
        .iter()
        .skip(most)
        .map(|l| l.probability)
        .sum();
    for (words, share) in [
        ("other listed", rest + report.others_listed),
        ("none listed", report.none_listed),
    ] {
        let mut row = vec![String::new(); 7];
        words.clone_into(&mut row[0]);
        row[4] = percent_of(share);
        table.row(row);
    }
    table
}

fn sigmas(off: Option<f64>) -> Cell {
    off.map(|off| Cell::shown(fits(off.abs()), Cell::rounded(off, 1)))
        .into()
}

/// Names what is easily taken for the thread, each with the plainest sign.
fn rivals_in_short(rivals: &[Rival]) -> String {
    let named = rivals.iter().take(RIVALS_IN_SHORT).map(|rival| {
        let sign = rival.signs.first().map_or_else(String::new, sign_words);
        format!("{} ({sign})", rival.size)
    });
    match named.collect::<Vec<_>>().join(", ") {
        none if none.is_empty() => none,
        named => format!("Easily mistaken for it: {named}."),
    }
}

/// Says what is easily taken for the thread, and what tells them apart.
fn rival_words(rival: &Rival) -> String {
    let signs: Vec<String> = rival.signs.iter().map(sign_words).collect();
    format!("easily mistaken for {}: {}", rival.size, signs.join("; "))
}

fn sign_words(sign: &RivalSign) -> String {
    match *sign {
        RivalSign::Pitch {
            pitch_mm,
            apart_after,
        } => format!(
            "pitch {} mm, half a pitch apart after {} crests",
            fixed(pitch_mm, 3),
            fixed(apart_after, 1)
        ),
        RivalSign::Diameter { larger_mm } => {
            let word = if larger_mm > 0.0 { "larger" } else { "smaller" };
            format!("{} mm {word}", fixed(larger_mm.abs(), 2))
        }
        RivalSign::Taper {
            rival_is_taper: true,
        } => "taper".to_owned(),
        RivalSign::Taper { .. } => "parallel".to_owned(),
        RivalSign::Angle { angle_deg } => format!("flanks {}°", fixed(angle_deg, 0)),
    }
}

fn use_words(line: &ThreadLine) -> String {
    let used = line.thread.used_for.as_ref();
    used.map_or_else(String::new, |used| {
        format!("{} is used for: {used}.", line.thread.size)
    })
}

fn port_words(port: &PortThread) -> String {
    format!(
        "Where it is cut as a port of {}: ring {}, cone {} mm at the mouth, {} mm deep, {}° ({}). A flat face at the mouth is another \
         gland: measure it.",
        port.standard,
        port.ring_words(),
        fixed(port.mouth_mm, 1),
        fixed(port.depth_mm, 1),
        fixed(port.angle_deg, 0),
        port.confidence
    )
}

fn next_words(next: NextThreadReading, side: Option<ThreadSide>) -> &'static str {
    match (next, side) {
        (NextThreadReading::Diameter, _) => {
            "Read next: the diameter over the crests (--od of a male, --id of a female thread)."
        }
        (NextThreadReading::Pitch, _) => "Read next: the pitch (--pitch by gauge, or --crests).",
        (NextThreadReading::Taper, _) => {
            "Read next: the diameter at both ends of the thread; --taper where it grows, else --parallel."
        }
        (NextThreadReading::Angle, _) => {
            "Read next: the flank angle with a 55° and a 60° gauge (--angle)."
        }
        (NextThreadReading::MoreCrests, Some(ThreadSide::Female)) => {
            "Read next: the pitch of a wax or putty cast over as many crests as it has (--crests)."
        }
        (NextThreadReading::MoreCrests, _) => {
            "Read next: the pitch over as many crests as the thread has (--crests), and the diameter by micrometer."
        }
    }
}

fn source_words(line: &ThreadLine) -> String {
    let common = line
        .common_by
        .map_or_else(String::new, |(source, confidence)| {
            format!("; how common: {source} ({confidence})")
        });
    format!(
        "{}: {} ({}){common}",
        line.thread.size, line.thread.source, line.thread.confidence
    )
}
