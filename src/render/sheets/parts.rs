//! The parts sheet: the parts list of a model, with the section of each ring in true size.

use super::true_size::PrinterScale;
use crate::app::parts_list::{PartsReport, Reader};
use crate::core::book::{PartAction, PartLine};
use crate::render::page::{Flow, Frame, Grid, GridCell, NO_BREAK, Pages, Picture};
use crate::render::reports::parts_list as words;

const ACTIONS: [(PartAction, &str); 3] = [
    (PartAction::Replace, "Replace, always"),
    (PartAction::OnCondition, "Replace on condition"),
    (PartAction::Keep, "Keep"),
];

/// Lays out the parts sheet: the owner's copy in short, the shop's with what stands behind each line.
pub fn parts(report: &PartsReport, frame: Frame, scale: PrinterScale) -> Pages {
    let mut flow = Flow::new(frame);
    let list = &report.list;
    let build = match list.build {
        1 => "for 1 unit".to_owned(),
        many => format!("for {many} units"),
    };
    let copy = match report.reader {
        Reader::Owner => "Owner's copy",
        Reader::Shop => "Shop copy",
    };
    flow.text(&format!(
        "{copy}, {build}; from {} recorded. Discs show the section of the ring in true size.",
        match list.units.len() {
            1 => "1 unit".to_owned(),
            many => format!("{many} units"),
        }
    ));
    for caution in &report.cautions {
        flow.caution(caution);
    }
    flow.list(list.warnings.iter().map(String::as_str));
    for (action, title) in ACTIONS {
        if list.lines_to(action).next().is_some() {
            flow.heading(title);
            let grid = lines(report, action, (&flow, scale));
            flow.grid(&grid);
        }
    }
    behind(&mut flow, report);
    flow.small(&format!(
        "\"all\" counts no spares. ± is a standard uncertainty; instrument bias is taken off. Oxygen threshold: {}. Polymer and \
         hardness are chosen from duty, never from colour.",
        list.oxygen_threshold
    ));
    flow.finish()
}

fn lines(report: &PartsReport, action: PartAction, (flow, scale): (&Flow, PrinterScale)) -> Grid {
    let shop = report.reader == Reader::Shop;
    let keep = action == PartAction::Keep;
    let mut heads = vec!["", "", "part", ">each", ">all", "size"];
    if !keep {
        heads.extend(["made of", "sure"]);
    }
    if !keep && shop {
        heads.extend(["gland", "units"]);
    }
    let mut grid = Grid::new(&heads);
    for line in report.list.lines_to(action) {
        let disc = line.size.section.filter(|_| line.size.id.is_some());
        let mut row = vec![
            GridCell::new(line.number.to_string()),
            disc.map_or_else(GridCell::default, |section| {
                GridCell::picture(Picture::Disc(scale.points(section.mm())))
            }),
            GridCell::new(words::place_words(line)),
            GridCell::new(line.quantity.to_string()),
            GridCell::new(line.quantity_total.to_string()),
            size(line, flow),
        ];
        if !keep {
            row.push(GridCell::new(no_break(&words::material_words(line))));
            let sure = words::sure_words(line);
            row.push(if line.size.decided {
                GridCell::new(sure)
            } else {
                GridCell::bold(sure)
            });
        }
        if !keep && shop {
            row.push(GridCell::new(words::verdict_word(line)));
            let agree = line.units_agree.len();
            row.push(GridCell::new(no_break(&format!(
                "{agree} of {}",
                line.units_recorded
            ))));
        }
        grid.row(row);
    }
    grid
}

fn size(line: &PartLine, flow: &Flow) -> GridCell {
    match (line.size.id, line.size.section) {
        (Some(id), Some(section)) => {
            let code = line.size.codes.first().cloned().unwrap_or_default();
            GridCell::new(format!("{code}\n{}", flow.frame().ring_lines(id, section)))
        }
        _ => GridCell::new(line.size.measured.clone()),
    }
}

fn behind(flow: &mut Flow, report: &PartsReport) {
    let shop = report.reader == Reader::Shop;
    let told: Vec<(&PartLine, Vec<String>)> = report
        .list
        .lines
        .iter()
        .map(|line| {
            (
                line,
                if shop {
                    words::points(line)
                } else {
                    words::warnings(line)
                },
            )
        })
        .filter(|(_, points)| !points.is_empty())
        .collect();
    if told.is_empty() {
        return;
    }
    flow.heading(if shop {
        "Behind the lines"
    } else {
        "Before you order"
    });
    for (line, points) in told {
        flow.lead(&format!("{}. {}", line.number, words::place_words(line)));
        flow.list(points.iter().map(String::as_str));
    }
}

/// Keeps a value together with its unit.
fn no_break(text: &str) -> String {
    text.replace("Shore A", &format!("Shore{NO_BREAK}A"))
        .replace(" of ", &format!("{NO_BREAK}of{NO_BREAK}"))
}
