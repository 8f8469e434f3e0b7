//! The assembly sheet: the steps with boxes to tick.

use super::exploded::exploded;
use super::parts::disc;
use crate::app::sheet::assembly::{Assembly, AssemblyStep, NewPart};
use crate::core::book::PartAction;
use crate::render::page::{Flow, Frame, Grid, GridCell, NO_BREAK, Pages, Picture};
use crate::render::words::{joined, or_empty};

/// Lays out the assembly sheet.
pub fn assembly(report: &Assembly, frame: Frame) -> Pages {
    let mut flow = Flow::new(frame);
    let mut words = vec![format!(
        "The teardown of unit {} in reverse: what came off last goes in first.",
        report.serial
    )];
    words.extend(report.owner.iter().map(|owner| format!("Owner: {owner}.")));
    words.push(match &report.gas {
        Some(gas) => format!("Gas: {gas}."),
        None => "Gas: not recorded.".to_owned(),
    });
    if !report.pressures.is_empty() {
        words.push(format!("Pressures: {}.", report.pressures.join(", ")));
    }
    flow.text(&words.join(" "));
    for caution in &report.cautions {
        flow.caution(caution);
    }
    exploded(&mut flow, &report.parts);
    let mut sections: Vec<(String, Grid)> = Vec::new();
    for step in &report.steps {
        let title = match step.section.as_str() {
            "" => "Unit",
            section => section,
        };
        if sections.last().is_none_or(|(last, _)| last != title) {
            sections.push((title.to_owned(), steps_grid()));
        }
        if let Some((_, grid)) = sections.last_mut() {
            grid.row(row(step, &flow));
        }
    }
    flow.grids(&sections);
    flow.heading("Before it is used");
    flow.text(
        "Set the pressure, test for leaks and creep, and record what was read. This list says nothing of pressure setting.",
    );
    let mut done = Grid::new(&["done", "built by", "checked by", "day"]);
    done.row([
        GridCell::picture(Picture::Tick),
        GridCell::new("____________________________"),
        GridCell::new("____________________________"),
        GridCell::new("________________"),
    ]);
    flow.grid(&done);
    flow.finish()
}

fn steps_grid() -> Grid {
    Grid::new(&["", "", "part", "", "goes in", "tool and torque", "how"])
}

fn row(step: &AssemblyStep, flow: &Flow) -> Vec<GridCell> {
    let mut part = step.part.clone();
    if step.quantity > 1 {
        part = format!("{part} ×{}", step.quantity);
    }
    if !step.position.is_empty() {
        part = format!("{part} {}", step.position);
    }
    if let Some(line) = step.line {
        part = format!("{part}\n(list {line})");
    }
    let goes_in = match (step.action, &step.new) {
        (PartAction::Keep, _) => "the same, back in".to_owned(),
        (PartAction::OnCondition, None) => "the same if sound, else a new one".to_owned(),
        (PartAction::Replace, None) => "NEW".to_owned(),
        (action, Some(new)) => new_words(action, new, flow),
    };
    let mut how = step.hints.clone();
    how.extend(step.lubricant.clone());
    let cautions = step.cautions.iter();
    how.extend(cautions.map(|caution| format!("CAUTION: {caution}")));
    let size = step.new.as_ref().and_then(|new| new.size);
    vec![
        GridCell::picture(Picture::Tick),
        GridCell::new(step.number.to_string()),
        GridCell::new(part),
        disc(size.map(|(_, section)| section), flow),
        if step.action == PartAction::Replace {
            GridCell::bold(goes_in)
        } else {
            GridCell::new(goes_in)
        },
        GridCell::framed(step.tools.join("\n").replace(' ', NO_BREAK)),
        GridCell {
            picture: step.facing.map(Picture::Facing),
            ..GridCell::new(how.join("\n"))
        },
    ]
}

/// What goes in: its size and what it is made of.
fn new_words(action: PartAction, part: &NewPart, flow: &Flow) -> String {
    let new = if action == PartAction::Replace {
        "NEW"
    } else {
        "new unless sound:"
    };
    let size = part.size;
    let size = or_empty(size.map(|(id, section)| flow.frame().ring_lines(id, section)));
    let new = format!("{new} {}", part.words);
    joined([&new, &size, &part.material], "\n")
}
