//! The page of rings that were measured from a scan.

use crate::app::scan::{RingLine, RingName, ScanPage, ScanReport};
use crate::core::scan::{
    Defect, DefectKind, DefectSide, Doubt, Measured, NoRing, PageRefusal, RefusedPlace, Scale,
    ScaleSource,
};
use crate::render::words::or_empty;
use crate::render::{
    Cell, Column, Document, Report, both, fixed, in_rows, mm2, mm3, notice, on_page, percent_of,
    sheet, table,
};

impl Report for ScanReport {
    fn lay_out(&self, page: &mut Document) {
        let pages = (1..).zip(&self.pages);
        let all: Vec<Row<'_>> = pages.flat_map(|(page, scan)| rows(page, scan)).collect();
        page.rows(sheet(&columns(), &all));
        page.title(headline(self));
        page.list(next_steps(self));
        for (at, scan) in self.pages.iter().enumerate() {
            if self.pages.len() > 1 || scan.refused.is_some() {
                page.section(format!("Page {}: {}", at + 1, scan.file));
            }
            if let Some(refused) = scan.refused {
                page.text(refused_words(refused));
                continue;
            }
            page.table(table(&columns(), &rows(at + 1, scan)));
            page.list(damage_lines(scan));
            page.list(scan.places.iter().map(place_words));
            page.text(scan.scale.as_ref().map(scale_words).unwrap_or_default());
        }
        page.text(NOT_TRIED);
        page.cautions(&self.cautions);
    }
}

/// A ring of a page.
struct Row<'r> {
    page: usize,
    file: &'r str,
    ring: &'r RingLine,
}

fn rows(page: usize, scan: &ScanPage) -> Vec<Row<'_>> {
    let row = |ring| Row {
        page,
        file: &scan.file,
        ring,
    };
    scan.rings.iter().map(row).collect()
}

fn columns<'r>() -> [Column<Row<'r>>; 19] {
    [
        in_rows("page", |row| row.page.into()),
        in_rows("file", |row| row.file.into()),
        both(">ring", "ring", |row| row.ring.number.into()),
        in_rows("x_mm", |row| row.ring.x.into()),
        in_rows("y_mm", |row| row.ring.y.into()),
        both(">OD mm", "od_mm", |row| figure(row.ring.seen.od)),
        in_rows("od_standard_uncertainty_mm", |row| {
            row.ring.seen.od.uncertainty.into()
        }),
        both(">ID mm", "id_mm", |row| figure(row.ring.seen.id)),
        in_rows("id_standard_uncertainty_mm", |row| {
            row.ring.seen.id.uncertainty.into()
        }),
        in_rows("plan_width_mm", |row| row.ring.seen.plan_width.value.into()),
        in_rows("ovality", |row| Cell::rounded(row.ring.seen.ovality, 4)),
        in_rows("sure", |row| row.ring.sure.into()),
        in_rows("doubts", |row| doubts(row.ring).join("; ").into()),
        in_rows("damage", |row| kinds(row.ring).join("; ").into()),
        both("most likely", "code", |row| {
            let best = row.ring.name.best().map(first_code);
            Cell::shown(best.as_deref().unwrap_or("no listed ring"), best.as_ref())
        }),
        both(">odds", "probability", |row| {
            let best = row.ring.name.best().map(|best| best.probability);
            let shown = best.unwrap_or(row.ring.name.unlisted_probability);
            Cell::shown(percent_of(shown), Cell::rounded(best, 4))
        }),
        on_page("then", |row| rival(&row.ring.name).into()),
        on_page("mind", |row| {
            let mut kinds = kinds(row.ring);
            kinds.dedup();
            Cell::text([doubts(row.ring), kinds].concat().join(", "))
        }),
        in_rows("notice", |_| notice([])),
    ]
}

const NOT_TRIED: &str = "The method was worked out on simulated scans and on photographs and has not been tried on a real scanner yet: \
     check the first page against a caliper, and calibrate the scanner.";

fn headline(report: &ScanReport) -> String {
    let rings: usize = report.pages.iter().map(|page| page.rings.len()).sum();
    let sure = report.pages.iter().flat_map(|page| &page.rings);
    let sure = sure.filter(|ring| ring.sure).count();
    match rings {
        0 => "No ring was measured".to_owned(),
        1 if sure == 1 => "1 ring measured".to_owned(),
        1 => "1 ring measured, with doubt".to_owned(),
        _ if sure == rings => format!("{rings} rings measured"),
        _ => format!(
            "{rings} rings measured, {} of them with doubt",
            rings - sure
        ),
    }
}

/// What to do next, on top.
fn next_steps(report: &ScanReport) -> Vec<String> {
    let several = report.pages.len() > 1;
    let mut steps = Vec::new();
    for (at, page) in report.pages.iter().enumerate() {
        let of_page = or_empty(several.then(|| format!(" of page {}", at + 1)));
        let page_number = or_empty(several.then(|| format!("{}:", at + 1)));
        let heights = page.heights_wanted();
        if !heights.is_empty() {
            steps.push(format!(
                "Take the height of {}{of_page} by hand, and give it as --height \"{page_number}{}=1.72 mm by caliper\": it settles most of the rest.",
                rings(&heights),
                heights[0]
            ));
        }
        let doubtful: Vec<usize> = page
            .rings
            .iter()
            .filter(|r| !r.sure)
            .map(|r| r.number)
            .collect();
        if !doubtful.is_empty() {
            steps.push(format!(
                "Look at {}{of_page}, or lay them apart and scan again: they are measured with doubt.",
                rings(&doubtful)
            ));
        }
        let uncalibrated = page
            .scale
            .as_ref()
            .filter(|s| s.source != ScaleSource::Calibrated);
        if uncalibrated.is_some() && steps.iter().all(|step| step != CALIBRATE) {
            steps.push(CALIBRATE.to_owned());
        }
    }
    steps
}

const CALIBRATE: &str = "Calibrate the scanner once, with `ring scan calibrate`, and name it with --scanner: the scale is known to 0.2 % only, \
     which is most of what is uncertain above 10 mm.";

fn rings(numbers: &[usize]) -> String {
    match numbers {
        [one] => format!("ring {one}"),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(usize::to_string).collect();
            format!("rings {} and {last}", first.join(", "))
        }
        [] => String::new(),
    }
}

fn figure(figure: Measured) -> Cell {
    let doubt = mm3(figure.uncertainty);
    Cell::shown(format!("{} ±{doubt}", mm2(figure.value)), figure.value)
}

fn doubts(ring: &RingLine) -> Vec<&'static str> {
    let doubts = ring.seen.doubts.iter();
    doubts.map(|doubt| doubt_words(*doubt)).collect()
}

fn kinds(ring: &RingLine) -> Vec<&'static str> {
    let defects = ring.seen.defects.iter();
    defects.map(|defect| kind_words(defect.kind)).collect()
}

fn first_code(candidate: &crate::app::ring::identify::RingCandidate) -> String {
    candidate.codes.first().cloned().unwrap_or_default()
}

fn rival(name: &RingName) -> String {
    /// A rarer one is not worth a column.
    const LEAST: f64 = 0.05;
    let rival = name
        .candidates
        .get(1)
        .filter(|rival| rival.probability >= LEAST);
    rival.map_or_else(String::new, |rival| {
        format!("{} {}", first_code(rival), percent_of(rival.probability))
    })
}

fn damage_lines(scan: &ScanPage) -> Vec<String> {
    let rings = scan.rings.iter();
    rings
        .flat_map(|ring| {
            let lines = ring.seen.defects.iter();
            lines.map(|defect| format!("Ring {}: {}.", ring.number, defect_words(defect)))
        })
        .collect()
}

fn defect_words(defect: &Defect) -> String {
    let clock = match fixed(defect.clock(), 0).as_str() {
        "0" => "12".to_owned(),
        hour => hour.to_owned(),
    };
    let side = match defect.side {
        DefectSide::Inside => " on the inside",
        DefectSide::Outside => " on the outside",
        DefectSide::Across => "",
    };
    let depth = match defect.kind {
        DefectKind::EdgeLost | DefectKind::Crack | DefectKind::Cut => String::new(),
        DefectKind::Flash => format!(", {} mm high", mm2(defect.depth)),
        _ => format!(", {} mm deep", mm2(defect.depth)),
    };
    format!(
        "{}{side} at {clock} o'clock, {} mm long{depth}",
        kind_words(defect.kind),
        mm2(defect.length)
    )
}

fn kind_words(kind: DefectKind) -> &'static str {
    match kind {
        DefectKind::Nick => "nick",
        DefectKind::Flash => "flash",
        DefectKind::Flat => "flat",
        DefectKind::Crack => "crack",
        DefectKind::Cut => "cut through",
        DefectKind::EdgeLost => "edge lost (gone, cut, or behind a neighbour)",
    }
}

fn doubt_words(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::Lighter => "lighter than the paper",
        Doubt::Grey => "grey: talc, or metal",
        Doubt::PartlyHidden => "edge partly hidden",
        Doubt::UnevenWidth => "uneven width",
        Doubt::Rough => "rough edge",
        Doubt::Blurred => "blurred edge: known to 0.2 mm",
        Doubt::Cut => "cut through, or a neighbour lies across it",
        Doubt::Flat => "not shaded like a tube: roll it, a flat washer looks the same from above",
        Doubt::FewPoints => "too few points: scan finer",
    }
}

fn place_words(place: &RefusedPlace) -> String {
    let why = match place.why {
        NoRing::NoOuterEdge => "a hole without a ring round it",
        NoRing::TooThin => "too thin to be measured: scan it finer",
        NoRing::HoleTooSmall => "the hole is too small for what is round it",
        NoRing::NotSmooth => "its edges are not those of one closed ring",
        NoRing::LikeThePaper => {
            "metal, or as light as the paper: lay a light ring on dark or coloured paper"
        }
        NoRing::Metal => "metal: flat and bright, a washer or a circlip",
        NoRing::Open => "open: a ring that is cut through, or a circlip",
        NoRing::NotRound => "not round",
        NoRing::UnevenWidth => "not of one width",
    };
    format!(
        "Not measured, {} mm from the left and {} mm from the top: {why}.",
        fixed(place.x.mm(), 0),
        fixed(place.y.mm(), 0)
    )
}

/// Says why a page was refused, and the remedy.
pub(super) fn refused_words(refused: PageRefusal) -> String {
    match refused {
        PageRefusal::NoScale => "The file does not say its resolution: give it with --dpi 600."
            .to_owned(),
        PageRefusal::TooCoarse { dpi } => format!(
            "The file says {} dots an inch. That is too coarse to measure a ring, or what programs write that do not know: scan at 600 \
             dots an inch, or give the true resolution with --dpi.",
            fixed(dpi, 0)
        ),
        PageRefusal::DarkGround => "What lies behind the rings is dark: the lid was open, or it is black. Rings would read up to 0.5 mm too \
             thin. Lay a sheet of white paper over the rings and scan again."
            .to_owned(),
        PageRefusal::LikeThePaper => "What lies there is as light as the paper. Lay light rings under dark or strongly coloured paper and scan \
             again; they still read 0.08 mm thin on it."
            .to_owned(),
        PageRefusal::Open => "What lies there is cut through, or a circlip: it is not a whole ring. Fit a new one; to learn its size, close \
             its ends under a strip of clear tape and scan again."
            .to_owned(),
        PageRefusal::NoRings => "No ring is on it. Lay the rings flat on the glass with a gap between them and white paper over them, and \
             scan at 600 dots an inch."
            .to_owned(),
    }
}

fn scale_words(scale: &Scale) -> String {
    let source = match scale.source {
        ScaleSource::File => "as the file states",
        ScaleSource::Typed => "as given",
        ScaleSource::Calibrated => "as calibrated",
    };
    let lens = scale.lens.map_or_else(String::new, |lens| {
        format!(
            " The rings show a lens {} mm below the glass; what it makes of their sizes is taken out.",
            fixed(lens.distance_mm, 0)
        )
    });
    format!(
        "Scale: {} by {} dots an inch {source}, known to {} % (one error for the whole page). ± is a standard uncertainty; OD and ID share \
         most of it.{lens} Neither says the section: half of OD less ID is the extent along the radius only.",
        fixed(scale.across.dpi(), 1),
        fixed(scale.down.dpi(), 1),
        fixed(scale.relative_uncertainty * 100.0, 2)
    )
}
