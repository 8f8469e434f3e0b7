//! The parts sheet: the parts list of a model, with the section of each ring in true size.

use super::exploded::exploded;
use crate::app::model::parts_list::{PartsReport, Reader};
use crate::app::supply::order::OrderReport;
use crate::core::book::{PartAction, PartLine};
use crate::core::count::counted;
use crate::core::provenance::from_words;
use crate::core::quantity::Length;
use crate::core::supply::tax_word;
use crate::render::fixed;
use crate::render::page::{Flow, Frame, Grid, GridCell, NO_BREAK, Pages, Picture};
use crate::render::reports::order::not_proved;
use crate::render::reports::parts_list as words;
use crate::render::words::{joined, or_empty};

/// The order that tells what the lines cost, or in words why there is none; nothing on the owner's copy.
pub type CostsKnown = Option<Result<OrderReport, String>>;

/// Lays out the parts sheet: the owner's copy in short and without costs, the shop's with what stands behind each line.
pub fn parts(report: &PartsReport, costs: &CostsKnown, frame: Frame) -> Pages {
    let costs = costs.as_ref().filter(|_| report.reader == Reader::Shop);
    let mut flow = Flow::new(frame);
    let list = &report.list;
    let build = counted(list.build as usize, "unit", "units");
    let copy = match report.reader {
        Reader::Owner => "Owner's copy",
        Reader::Shop => "Shop copy",
    };
    flow.text(&format!(
        "{copy}, for {build}; from {} recorded. Discs show the section of the ring in true size.",
        counted(list.units.len(), "unit", "units")
    ));
    flow.cautions(&report.cautions);
    flow.list(&list.warnings);
    for (action, title) in words::ACTIONS {
        if list.lines_to(action).next().is_some() {
            flow.heading(title);
            // Only what is always replaced is ordered.
            let ordered = costs.filter(|_| action == PartAction::Replace);
            let priced = ordered.and_then(|costs| costs.as_ref().ok());
            let grid = lines(report, priced, action, &flow);
            flow.grid(&grid);
        }
    }
    exploded(&mut flow, &list.lines);
    if let Some(costs) = costs {
        cost_words(&mut flow, costs);
    }
    let (heading, told) = report.told();
    if !told.is_empty() {
        flow.heading(heading);
    }
    for (lead, points) in told {
        flow.lead(&lead);
        flow.list(&points);
    }
    flow.small(&format!(
        "\"all\" counts no spares. ± is a standard uncertainty; instrument bias is taken off. Oxygen threshold: {}. Polymer and \
         hardness are chosen from duty, never from colour.",
        list.oxygen_threshold
    ));
    flow.finish()
}

/// Says what the order costs as a whole, and what the prices rest on.
fn cost_words(flow: &mut Flow, costs: &Result<OrderReport, String>) {
    let costs = match costs {
        Ok(costs) => costs,
        Err(why) => return flow.text(&format!("No costs: {why}.")),
    };
    flow.heading("Costs, for the shop alone");
    let tax = tax_word(costs.tax_included);
    if costs.suppliers.is_empty() {
        flow.text("Nothing to buy: no list offers what is replaced, or it is on the shelf.");
    } else {
        let days = costs.price_days();
        let days = days.map_or_else(String::new, |(first, last)| {
            let to = or_empty((first != last).then(|| format!(" to {last}")));
            format!(", prices of {first}{to}")
        });
        let suppliers: Vec<&str> = costs.suppliers.iter().map(|s| s.name.as_str()).collect();
        flow.text(&format!(
            "Order for the decided lines of \"Replace, always\", from {}: {} with carriage ({} of it), tax {tax}{days}; \
                {} of it is left over in part packs.",
            suppliers.join(" and "),
            costs.total,
            costs.carriage(),
            costs.leftover
        ));
        if costs.at_most_dearer.minor > 0 {
            flow.text(&format!(
                "The order is {}.",
                not_proved(&costs.at_most_dearer)
            ));
        }
        let shops = costs.from_shops();
        if !shops.is_empty() {
            flow.caution(&format!(
                "Prices or carriage in it are {}: ask the supplier before you order by them.",
                from_words(&shops)
            ));
        }
        flow.small("\"Cost each\": per piece used where whole packs are bought, without carriage.");
    }
    if !costs.not_offered.is_empty() {
        flow.lead("No list offers:");
        flow.list(&costs.not_offered);
    }
}

fn cost_cell(report: &PartsReport, costs: &OrderReport, line: &PartLine) -> GridCell {
    let model = report.list.model.to_string();
    let Some(ordered) = costs.line_for(&model, line) else {
        return GridCell::new("–");
    };
    let (letters, places) = (costs.currency.letters(), costs.currency.places());
    let price = || format!("{}{NO_BREAK}{letters}", fixed(ordered.per_used, places));
    match (ordered.bought, ordered.to_buy) {
        (0, 0) => GridCell::new("from the shelf"),
        (0, _) => GridCell::new("not offered"),
        (bought, wanted) if bought > wanted => {
            GridCell::new(joined([&price(), &format!("{bought} bought")], "\n"))
        }
        _ => GridCell::new(price()),
    }
}

fn lines(
    report: &PartsReport,
    costs: Option<&OrderReport>,
    action: PartAction,
    flow: &Flow,
) -> Grid {
    let shop = report.reader == Reader::Shop;
    let keep = action == PartAction::Keep;
    let mut heads = vec!["", "", "part", ">each", ">all", "size"];
    if !keep {
        heads.extend(["made of", "sure"]);
    }
    if !keep && shop {
        heads.extend(["gland", "units"]);
    }
    if costs.is_some() {
        heads.push(">cost each");
    }
    let mut grid = Grid::new(&heads);
    for line in report.list.lines_to(action) {
        let mut row = vec![
            GridCell::new(line.number.to_string()),
            disc(line.size.section.filter(|_| line.size.id.is_some()), flow),
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
            row.push(GridCell::new(no_break(&words::units_words(line))));
        }
        row.extend(costs.map(|costs| cost_cell(report, costs, line)));
        grid.row(row);
    }
    grid
}

/// Draws the section of a ring in true size, where there is one.
pub(super) fn disc(section: Option<Length>, flow: &Flow) -> GridCell {
    let disc = section.map(|section| Picture::Disc(flow.true_size(section)));
    disc.map_or_else(GridCell::default, GridCell::picture)
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

fn no_break(text: &str) -> String {
    text.replace("Shore A", &format!("Shore{NO_BREAK}A"))
        .replace(" of ", &format!("{NO_BREAK}of{NO_BREAK}"))
}
