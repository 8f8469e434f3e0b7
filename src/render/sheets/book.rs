//! The model book: everything recorded, as one page for a browser.

use super::exploded::Exploded;
use crate::app::sheet::photographs::Photograph;
use crate::app::sheet::whole_book::{BookModel, BookNote, WholeBook};
use crate::core::book::PartLine;
use crate::core::gear::GearKind;
use crate::core::note::{Entry, Header};
use crate::core::provenance::with_shops;
use crate::core::quantity::LengthUnit;
use crate::render::page::{Drawing, Frame, Point, PrinterScale, TrueSize, Web};
use crate::render::reports::parts_list as words;
use crate::store::RingPicture;

/// Width of a drawing, in points, as on a printed page.
const BOOK_WIDE: f64 = 490.0;

/// Lays out the model book.
pub fn book(report: &WholeBook, frame: &Frame) -> String {
    let mut web = Web::default();
    let mut cautions = Vec::new();
    for caution in report.models.iter().flat_map(|model| &model.parts.cautions) {
        if !cautions.contains(caution) {
            cautions.push(*caution);
        }
    }
    web.cautions(&cautions);
    for model in &report.models {
        one_model(&mut web, model, frame);
    }
    web.finish(frame)
}

fn one_model(web: &mut Web, model: &BookModel, frame: &Frame) {
    web.section(2, &model.name);
    web.list(&model.parts.list.warnings);
    web.section(3, &format!("{}: parts list", model.name));
    let heads = [
        "no.", "part", "action", "each", "size", "made of", "sure", "gland",
    ];
    let lines = &model.parts.list.lines;
    let rows: Vec<Vec<String>> = lines.iter().map(|line| part_row(line, frame)).collect();
    web.table("Parts in the order in which they come off", &heads, &rows);
    if let Some(view) = Exploded::of(lines, BOOK_WIDE, PrinterScale::default()) {
        let mut drawing = Drawing::default();
        view.draw(&mut drawing, Point::default());
        web.drawing(&drawing, &view.caption());
    }
    web.section(3, &format!("{}: line by line", model.name));
    for line in lines {
        let points = words::points(line);
        if !points.is_empty() {
            web.lead(&format!("{}. {}", line.number, words::place_words(line)));
            web.list(&points);
        }
        scanned_rings(web, model, line);
    }
    let mut units: Vec<_> = model.units.iter().collect();
    units.sort_by_key(|unit| unit.notes.iter().map(|note| note.note.header.date).max());
    for unit in units {
        web.section(3, &format!("{}: unit {}", model.name, unit.serial));
        for note in &unit.notes {
            one_note(web, note);
        }
    }
}

/// Shows the rings of a line as scanners saw them, beside the outline of its size, all in true size.
fn scanned_rings(web: &mut Web, model: &BookModel, line: &PartLine) {
    let place = line.place();
    let pictures = model.units.iter().flat_map(|unit| {
        let of_note = |note: &'_ BookNote| {
            let shown = |ring: &RingPicture| {
                let mut entries = note.note.entries.iter();
                let is_here =
                    |entry: &&Entry| entry.order == ring.removal && entry.place() == place;
                let scan = entries.find(is_here)?.scan.as_ref()?;
                Some(TrueSize::Photograph {
                    jpeg: ring.jpeg.clone(),
                    width: ring.width,
                    words: format!("unit {}: {scan}", unit.serial),
                })
            };
            note.rings.iter().filter_map(shown).collect::<Vec<_>>()
        };
        unit.notes.iter().flat_map(of_note)
    });
    let mut shown: Vec<TrueSize> = pictures.collect();
    if shown.is_empty() {
        return;
    }
    if let (Some(id), Some(section)) = (line.size.id, line.size.section) {
        let words = line.size.codes.first().cloned().unwrap_or_default();
        shown.insert(0, TrueSize::Ring { id, section, words });
    }
    web.lead(&format!(
        "{}. {}, in true size",
        line.number,
        words::place_words(line)
    ));
    web.side_by_side(&shown);
}

fn part_row(line: &PartLine, frame: &Frame) -> Vec<String> {
    let size = match (line.size.id, line.size.section) {
        (Some(id), Some(section)) => {
            let codes = line.size.codes.join(", ");
            format!("{codes}\n{}", frame.ring(id, section))
        }
        _ => line.size.measured.clone(),
    };
    vec![
        line.number.to_string(),
        words::place_words(line),
        line.action.word().to_owned(),
        line.quantity.to_string(),
        size,
        words::material_words(line),
        words::sure_words(line),
        words::verdict_word(line).to_owned(),
    ]
}

fn one_note(web: &mut Web, note: &BookNote) {
    let header = &note.note.header;
    let day = header.date.map(|day| day.to_string());
    let day = day.as_deref().unwrap_or("a day not written down");
    web.lead(&with_shops(
        &format!("Teardown of {day}"),
        note.from_shop.as_slice(),
    ));
    web.list(said_of_unit(header));
    if note.unread_lines > 0 {
        web.caution(&format!(
            "{} of this note could not be read",
            note.unread_lines
        ));
    }
    let heads = [
        "no.",
        "section",
        "part",
        "fate",
        "readings and lengths",
        "remarks",
    ];
    let rows: Vec<Vec<String>> = note.note.entries.iter().map(entry_row).collect();
    web.table("Parts as they came off", &heads, &rows);
    for (name, photograph) in &note.photographs {
        match photograph {
            Photograph::Found(kind, bytes) => web.photograph(kind, bytes, name),
            Photograph::Missing(why) => web.text(&format!("photograph not shown: {why}")),
        }
    }
    web.folded("The note as the program prints it", &note.canonical);
}

fn said_of_unit(header: &Header) -> Vec<String> {
    let said = |name: &str, text: Option<&str>| text.map(|text| format!("{name}: {text}"));
    let single = [
        said("kind of gear", header.gear.map(GearKind::word)),
        said("variant", header.variant.as_deref()),
        said("gas", header.gas.as_deref()),
        said("supply", header.supply.as_ref().map(|p| p.text.as_str())),
        said("rated", header.rated.as_ref().map(|p| p.text.as_str())),
        said("taken apart by", header.by.as_deref()),
        said("owner", header.owner.as_deref()),
        said("used for", header.purpose.as_deref()),
        said("connection", header.connection.as_deref()),
        said(
            "bare lengths are in",
            header.lengths.map(LengthUnit::symbol),
        ),
    ];
    let mut points: Vec<String> = single.into_iter().flatten().collect();
    points.extend(
        header
            .as_found
            .iter()
            .map(|text| format!("as found: {text}")),
    );
    points.extend(header.remarks.iter().cloned());
    points.extend(
        header
            .photos
            .iter()
            .map(|name| format!("photograph: {name}")),
    );
    points
}

fn entry_row(entry: &Entry) -> Vec<String> {
    let mut part = entry.name.clone();
    if entry.quantity > 1 {
        part = format!("{part} ×{}", entry.quantity);
    }
    let scans = entry.scan.iter().map(|ring| format!("scan {ring}"));
    let readings = entry.readings.iter();
    let readings = readings.map(|one| format!("{} {}", one.measurand.word(), one.typed));
    let lengths = entry.dimensions.iter();
    let lengths = lengths.map(|one| format!("{} {}", one.name.word(), one.typed));
    let read: Vec<String> = scans.chain(readings).chain(lengths).collect();
    let said = |name: &str, text: Option<&str>| text.map(|text| format!("{name} {text}"));
    let single = [
        said("tool", entry.tool.as_deref()),
        said("torque", entry.torque.as_ref().map(|t| t.text.as_str())),
        said("thread", entry.thread.as_deref()),
        said("orientation", entry.orientation.as_deref()),
        said("side", entry.side.as_deref()),
        said("colour", entry.colour.as_deref()),
        said("marking", entry.marking.as_deref()),
    ];
    let mut remarks: Vec<String> = single.into_iter().flatten().collect();
    remarks.extend(entry.remarks.iter().cloned());
    remarks.extend(entry.photos.iter().map(|name| format!("photograph {name}")));
    vec![
        entry.order.to_string(),
        entry.section.clone(),
        format!("{part} {}", entry.position).trim().to_owned(),
        entry.fate.word().to_owned(),
        read.join("\n"),
        remarks.join("\n"),
    ]
}
