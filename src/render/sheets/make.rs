//! The make-it sheet: a part that cannot be bought, drawn in true size to be made.

use super::made_views::MadeViews;
use super::true_size::{BARS_HIGH, bar_words, check_bars};
use crate::app::sheet::make_part::MakeReport;
use crate::core::book::{MadeAsk, MadeLength};
use crate::core::note::LengthName;
use crate::core::quantity::Length;
use crate::render::number::fixed;
use crate::render::page::{Anchor, Flow, Frame, Grid, GridCell, Pages, Point, SMALL, Type, points};
use crate::render::words::or_empty;

/// A part that is smaller is drawn once more, larger.
const SMALL_PART_MM: f64 = 40.0;
/// About so wide is the larger drawing.
const LARGER_MM: f64 = 60.0;

/// Room that the words of the dimensions take beside a drawing, in points.
const WORDS_WIDE: f64 = 150.0;

const KEY: &str = "Solid lines are recorded; dashed ones are not, or the units contradict each other: settle them \
    before you make the part. The figure after ± says how well the units tell a length (two standard uncertainties); \
    it is not a tolerance to make it by.";

/// Lays out the make-it sheet.
pub fn make(report: &MakeReport, frame: Frame) -> Pages {
    let mut flow = Flow::new(frame);
    let line = &report.line;
    flow.text(&format!(
        "Line {} of the parts list: {}, {} {}; {} in a unit.",
        line.number, line.section, line.part, line.position, line.quantity
    ));
    flow.cautions(&report.cautions);
    asks(&mut flow, report);
    views(&mut flow, report);
    lengths(&mut flow, report);
    material(&mut flow, report);
    recorded(&mut flow, report);
    flow.finish()
}

fn asks(flow: &mut Flow, report: &MakeReport) {
    if report.part.asks.is_empty() {
        return;
    }
    flow.lead("To be settled before it is made");
    let asks = &report.part.asks;
    let tolerances: Vec<&str> = asks
        .iter()
        .filter_map(|ask| match ask {
            MadeAsk::Tolerance(name) => Some(long_word(*name)),
            _ => None,
        })
        .collect();
    let mut points: Vec<String> = asks.iter().copied().filter_map(ask_words).collect();
    if !tolerances.is_empty() {
        points.push(format!(
            "tolerance of {}: no note states one; measure what it fits into and lies against",
            tolerances.join(", ")
        ));
    }
    points.extend(report.line.conflicts.iter().map(|one| one.words.clone()));
    flow.list(&points);
}

/// Says what to do about one thing that is not known; tolerances are said together.
fn ask_words(ask: MadeAsk) -> Option<String> {
    Some(match ask {
        MadeAsk::Length(name) => format!("{}: measure it, no unit recorded it", long_word(name)),
        MadeAsk::Undecided(name) => format!(
            "{}: measure it again, the units contradict each other",
            long_word(name)
        ),
        MadeAsk::Tolerance(_) => return None,
        MadeAsk::SmallEnd => "small end of the cone: measure its diameter".to_owned(),
        MadeAsk::Material => {
            "material: record what it is made of, or choose it for gas, pressure and duty"
                .to_owned()
        }
        MadeAsk::Hardness => "hardness: test it, or choose it with the material".to_owned(),
        MadeAsk::Edges => {
            "edges: look whether they are sharp, broken or rounded, and how far".to_owned()
        }
        MadeAsk::Finish => {
            "finish: look which face seals, and whether it is polished, turned or moulded"
                .to_owned()
        }
    })
}

fn long_word(name: LengthName) -> &'static str {
    match name {
        LengthName::Od => "outside diameter",
        LengthName::Id => "inside diameter",
        LengthName::Thick => "thickness",
        LengthName::Hole => "diameter of the hole",
        LengthName::Edge => "diameter of the sealing edge",
        other => other.word(),
    }
}

fn views(flow: &mut Flow, report: &MakeReport) {
    let frame = flow.frame().clone();
    let scale = frame.printer;
    let views = MadeViews::of(&report.part, |length| drawn_words(&frame, length));
    let true_size = scale.points(1.0);
    let wide = views.od.mm * true_size;
    flow.heading("Plan and section in true size");
    let corner = Point::new(flow.left(), flow.take(BARS_HIGH));
    check_bars(flow.drawing(), corner, scale);
    flow.small(&bar_words(scale));
    if wide + WORDS_WIDE > flow.width() || views.height(true_size, true) > flow.page_height() {
        flow.caution("The part is larger than the paper: it is not drawn. The figures hold.");
        return;
    }
    if views.od.mm >= SMALL_PART_MM {
        let top = flow.take(views.height(true_size, true) + 2.0 * SMALL) + SMALL;
        let middle = Point::new(flow.left() + wide / 2.0 + SMALL, top);
        views.draw(flow.drawing(), middle, true_size);
        views.dimensions(flow.drawing(), middle, true_size);
        flow.small(KEY);
        return;
    }
    let factor = (LARGER_MM / views.od.mm).floor().max(2.0);
    let large = true_size * factor;
    let high = views.height(large, true) + 3.0 * SMALL;
    let corner = Point::new(flow.left(), flow.take(high) + 2.0 * SMALL);
    let captioned = Type::plain(SMALL).at(Anchor::Middle);
    let caption = if views.od.known {
        "true size"
    } else {
        "size not known"
    };
    let middle = corner.by(wide.max(captioned.width(caption)) / 2.0 + SMALL, 0.0);
    // Beside the column of the true-size drawing.
    let aside = points(SMALL_PART_MM) + SMALL;
    let larger = corner.by(aside + views.od.mm * large / 2.0, 0.0);
    let drawing = flow.drawing();
    views.draw(drawing, middle, true_size);
    let below = middle.by(0.0, views.height(true_size, false) + 2.0 * SMALL);
    drawing.text(below, captioned, caption);
    views.draw(drawing, larger, large);
    views.dimensions(drawing, larger, large);
    let factor = format!("×{}", fixed(factor, 0));
    drawing.text(larger.by(0.0, -SMALL), captioned, &factor);
    flow.small(KEY);
}

fn drawn_words(frame: &Frame, length: &MadeLength) -> String {
    let size = or_empty(Length::from_mm(length.mm).map(|mm| frame.length(mm)));
    let sign = match length.name {
        LengthName::Od | LengthName::Id | LengthName::Hole => "ø ",
        LengthName::Edge => "edge ø ",
        _ => "",
    };
    let mark = if length.decided { "" } else { " ?" };
    format!("{sign}{size}{mark}")
}

fn lengths(flow: &mut Flow, report: &MakeReport) {
    if report.part.lengths.is_empty() {
        return;
    }
    flow.heading("Dimensions");
    let mut grid = Grid::new(&[
        "dimension",
        "size",
        ">known to",
        "units that agree",
        "tolerance",
    ]);
    for length in &report.part.lengths {
        let size = or_empty(Length::from_mm(length.mm).map(|mm| flow.frame().length(mm)));
        let agree = format!("{} of {}", length.agree, length.measured);
        grid.row([
            GridCell::new(long_word(length.name)),
            GridCell::bold(format!(
                "{size}{}",
                if length.decided { "" } else { " NOT DECIDED" }
            )),
            GridCell::new(format!("±{} mm", fixed(length.known_to_mm, 2))),
            GridCell::new(agree),
            GridCell::new(length.tolerance.map_or_else(
                || "?".to_owned(),
                |stated| {
                    let plus = fixed(stated.plus.mm(), 2);
                    let minus = fixed(stated.minus.mm(), 2);
                    format!("+{plus}/−{minus} mm in a note: of its drawing or of a reading?")
                },
            )),
        ]);
    }
    flow.grid(&grid);
}

fn material(flow: &mut Flow, report: &MakeReport) {
    let line = &report.line;
    flow.heading("Material and hardness");
    let words = line.material.words();
    if words.is_empty() {
        flow.text("Not recorded: ____________________________");
    } else {
        flow.text(&format!("{words} ({})", line.material.reason));
    }
    if report.part.asks.contains(&MadeAsk::Hardness) {
        flow.text("Hardness not recorded: ____________________________");
    }
}

fn recorded(flow: &mut Flow, report: &MakeReport) {
    flow.heading("As the units recorded it: lengths, material, edges and finish");
    let mut grid = Grid::new(&["unit", "lengths", "material", "faces, side, marks, remarks"]);
    for unit in &report.part.recorded {
        let known = [&unit.lengths, &unit.material, &unit.surface];
        let known = known.map(|text| {
            if text.is_empty() {
                "–"
            } else {
                text.as_str()
            }
        });
        grid.row(
            [unit.unit.as_str()]
                .into_iter()
                .chain(known)
                .map(GridCell::new),
        );
    }
    flow.grid(&grid);
    for (ask, name) in [(MadeAsk::Edges, "Edges"), (MadeAsk::Finish, "Finish")] {
        if report.part.asks.contains(&ask) {
            flow.text(&format!("{name}: ____________________________"));
        }
    }
}
