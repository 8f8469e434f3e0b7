//! The labels of a model: bags for its places, bins for its sizes, its units.

use super::find_model::Found;
use super::parts_list::{PartsQuestion, parts_list};
use super::unit_records::recorded_model;
use crate::core::book::{Label, LabelKind, PartAction, PartLine};
use crate::core::note::PartKind;
use crate::core::provenance::with_shops;
use crate::core::quantity::Length;
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;

/// Holds labels with what they are of.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LabelSet {
    /// What they are of.
    pub title: String,
    /// The labels.
    pub labels: Vec<Label>,
}

/// Makes the labels of one kind for a model; `day` is written on each.
///
/// # Errors
/// Fails where the book cannot be read.
pub fn labels(
    place: &BookPlace,
    question: &PartsQuestion,
    (kind, day): (LabelKind, &str),
) -> Result<Found<LabelSet>, StoreError> {
    if kind == LabelKind::Unit {
        return unit_labels(place, &question.model, day);
    }
    let list = match parts_list(place, question)? {
        Found::Yes(report) => report.list,
        Found::No(missing) => return Ok(Found::No(missing)),
    };
    let model = list.model.to_string();
    let bought = list
        .lines
        .iter()
        .filter(|line| line.action != PartAction::Keep);
    let labels = match kind {
        LabelKind::Bag => bought.map(|line| bag(line, &model, day)).collect(),
        _ => bins(bought.filter(|line| line.kind == PartKind::Ring), day),
    };
    let title = format!("{} labels of {model}", kind.word());
    Ok(Found::Yes(LabelSet { title, labels }))
}

fn mm(length: Option<Length>) -> String {
    length.map_or_else(String::new, |length| format!("{:.2}", length.mm()))
}

fn size(line: &PartLine) -> String {
    match line.size.codes.first() {
        Some(code) => code.clone(),
        None => line.size.measured.clone(),
    }
}

fn state(line: &PartLine) -> String {
    let unsettled = !line.size.decided && line.kind == PartKind::Ring;
    let settled = if unsettled { "NOT DECIDED" } else { "" };
    with_shops(settled, &line.rests_on)
}

fn bag(line: &PartLine, model: &str, day: &str) -> Label {
    Label::new(
        LabelKind::Bag,
        [
            ("model", model.to_owned()),
            ("line", line.number.to_string()),
            ("section", line.section.clone()),
            ("part", line.part.clone()),
            ("at", line.position.clone()),
            ("size", size(line)),
            ("id", mm(line.size.id)),
            ("cs", mm(line.size.section)),
            ("of", line.material.words()),
            ("qty", line.quantity_total.to_string()),
            ("state", state(line)),
            ("day", day.to_owned()),
        ],
    )
}

/// One bin a size and material, in the order of the list.
fn bins<'l>(lines: impl Iterator<Item = &'l PartLine>, day: &str) -> Vec<Label> {
    let mut labels: Vec<Label> = Vec::new();
    for line in lines.filter(|line| line.size.decided && !line.size.codes.is_empty()) {
        let label = Label::new(
            LabelKind::Bin,
            [
                ("size", size(line)),
                ("also", line.size.codes[1..].join(", ")),
                ("id", mm(line.size.id)),
                ("cs", mm(line.size.section)),
                ("of", line.material.words()),
                ("state", with_shops("", &line.rests_on)),
                ("day", day.to_owned()),
            ],
        );
        if !labels.contains(&label) {
            labels.push(label);
        }
    }
    labels
}

fn unit_labels(place: &BookPlace, model: &str, day: &str) -> Result<Found<LabelSet>, StoreError> {
    let mut book = Book::open_to_read(place)?;
    book.read(|book| {
        let model = match recorded_model(book, model)? {
            Found::Yes(found) => found,
            Found::No(missing) => return Ok(Found::No(missing)),
        };
        let name = model.name.to_string();
        let labels = model.units.iter().map(|unit| {
            let header = &unit.header;
            let text = |text: Option<&str>| text.unwrap_or_default().to_owned();
            Label::new(
                LabelKind::Unit,
                [
                    ("model", name.clone()),
                    ("unit", unit.serial.clone()),
                    ("state", with_shops("", unit.whose.shops())),
                    ("variant", text(header.variant.as_deref())),
                    ("owner", text(header.owner.as_deref())),
                    ("for", text(header.purpose.as_deref())),
                    ("gas", text(header.gas.as_deref())),
                    (
                        "rated",
                        text(header.rated.as_ref().map(|p| p.text.as_str())),
                    ),
                    ("day", day.to_owned()),
                ],
            )
        });
        Ok(Found::Yes(LabelSet {
            title: format!("unit labels of {name}"),
            labels: labels.collect(),
        }))
    })
}
