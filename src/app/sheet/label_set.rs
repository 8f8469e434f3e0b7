//! The labels of a model: bags for its places, bins for its sizes, its units.

use crate::app::model::line::NoLine;
use crate::app::model::parts_list::{PartsQuestion, parts_list};
use crate::app::model::unit_records::recorded_model;
use crate::app::stock::kit::{stock_key, wanted_material};
use crate::app::stock::shelf::shelf;
use crate::core::book::{
    Label, LabelKind, LifeRule, LotLife, PartAction, PartLine, PartsList, StockLot, UnitRecord,
};
use crate::core::job::PlaceList;
use crate::core::note::PartKind;
use crate::core::provenance::with_shops;
use crate::core::quantity::Length;
use crate::store::{Book, BookPlace, StoreError, StoredLot};
use serde::Serialize;

/// Labels with what they are of.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LabelSet {
    /// What they are of.
    pub title: String,
    pub labels: Vec<Label>,
}

/// Says which labels are asked for.
#[derive(Debug, Clone)]
pub struct LabelQuestion {
    /// The model, and by which rules its parts are chosen.
    pub parts: PartsQuestion,
    /// What they are stuck on.
    pub kind: LabelKind,
    /// The lines of the parts list that are labelled, by number or words; where empty, every line that gets a new part.
    pub lines: Vec<String>,
    /// The unit whose bags they are. Where `None`: that of the one open job on the model, else no unit is named.
    pub serial: Option<String>,
    /// The day that is written on each.
    pub day: String,
    pub shelf_life: LifeRule,
}

/// Makes the labels of one kind for a model.
///
/// # Errors
/// A word names no line of the list, or the book cannot be read.
pub fn labels(place: &BookPlace, question: &LabelQuestion) -> Result<LabelSet, NoLine> {
    let model = &question.parts.model;
    let (recorded, jobs) = Book::open_to_read(place)?
        .read(|book| Ok::<_, StoreError>((recorded_model(book, model)?, book.jobs()?)))?;
    let unit = recorded.unit_asked(question.serial.as_deref(), &jobs)?;
    let title = format!("{} labels of {}", question.kind.word(), recorded.name);
    if question.kind == LabelKind::Unit {
        let asked = unit.filter(|_| question.serial.is_some());
        let units = recorded.units.iter();
        let labels = units
            .filter(|one| asked.is_none_or(|asked| one.serial == asked.serial))
            .map(|unit| of_unit(unit, &recorded.name.to_string(), &question.day))
            .collect();
        return Ok(LabelSet { title, labels });
    }
    let list = parts_list(place, &question.parts)?.list;
    let lines = chosen(&list, &question.lines)?;
    let labels = match question.kind {
        LabelKind::Bag => {
            let serial = unit.map_or("", |unit| unit.serial.as_str());
            let bag = |line: &&PartLine| bag(line, &list.model.to_string(), serial, &question.day);
            lines.iter().map(bag).collect()
        }
        _ => bins(&lines, &shelf(place)?, question),
    };
    Ok(LabelSet { title, labels })
}

/// The lines that words name, or all that may get a new part.
fn chosen<'l>(list: &'l PartsList, words: &[String]) -> Result<Vec<&'l PartLine>, NoLine> {
    if words.is_empty() {
        let new = |line: &&PartLine| line.action != PartAction::Keep;
        return Ok(list.lines.iter().filter(new).collect());
    }
    let places = PlaceList::of_lines(&list.lines);
    let mut numbers = Vec::new();
    for word in words {
        numbers.push(places.find(word)?.number);
    }
    let named = |line: &&PartLine| numbers.contains(&line.number);
    Ok(list.lines.iter().filter(named).collect())
}

fn mm(length: Option<Length>) -> String {
    length.map_or_else(String::new, |length| format!("{:.2}", length.mm()))
}

fn state(line: &PartLine) -> String {
    let unsettled = !line.size.decided && line.kind == PartKind::Ring;
    let settled = if unsettled { "NOT DECIDED" } else { "" };
    with_shops(settled, &line.rests_on)
}

fn bag(line: &PartLine, model: &str, serial: &str, day: &str) -> Label {
    Label::new(
        LabelKind::Bag,
        [
            ("model", model.to_owned()),
            ("unit", serial.to_owned()),
            ("line", line.number.to_string()),
            ("section", line.section.clone()),
            ("part", line.part.clone()),
            ("at", line.position.clone()),
            ("size", line.size.words().to_owned()),
            ("id", mm(line.size.id)),
            ("cs", mm(line.size.section)),
            ("of", line.material.words()),
            ("qty", line.quantity_total.to_string()),
            ("state", state(line)),
            ("day", day.to_owned()),
        ],
    )
}

/// One bin a lot that lies on the shelf, and where none of a size does, one of that size and material; in the order of the list.
fn bins(lines: &[&PartLine], lots: &[StoredLot], question: &LabelQuestion) -> Vec<Label> {
    let mut labels: Vec<Label> = Vec::new();
    let rings = lines.iter().filter(|line| line.kind == PartKind::Ring);
    for line in rings.filter(|line| line.size.decided && !line.size.codes.is_empty()) {
        let material = wanted_material(line);
        let key = stock_key(line).ok().map(|(key, _)| key);
        let here = |stored: &&StoredLot| {
            Some(&stored.lot.key) == key.as_ref() && stored.lot.suits(material)
        };
        let mut of_size: Vec<Label> = lots
            .iter()
            .filter(here)
            .map(|stored| bin(line, Some(&stored.lot), question))
            .collect();
        if of_size.is_empty() {
            of_size.push(bin(line, None, question));
        }
        for label in of_size {
            if !labels.contains(&label) {
                labels.push(label);
            }
        }
    }
    labels
}

fn bin(line: &PartLine, lot: Option<&StockLot>, question: &LabelQuestion) -> Label {
    let LifeRule { system, now } = question.shelf_life;
    let of_lot = |field: fn(&StockLot) -> Option<String>| lot.and_then(field).unwrap_or_default();
    let life = lot.map(|lot| lot.life(system, now));
    Label::new(
        LabelKind::Bin,
        [
            ("size", line.size.words().to_owned()),
            ("also", line.size.codes[1..].join(", ")),
            ("id", mm(line.size.id)),
            ("cs", mm(line.size.section)),
            ("of", line.material.words()),
            ("bin", of_lot(|lot| Some(lot.bin.clone()))),
            ("lot", of_lot(|lot| lot.lot.clone())),
            (
                "cured",
                of_lot(|lot| lot.cured.map(|cured| cured.to_string())),
            ),
            (
                "before",
                match life {
                    Some(LotLife::Ends { quarter, over }) => {
                        let over = if over { ": PAST ITS LIFE" } else { "" };
                        format!("{quarter} ({}){over}", system.name())
                    }
                    Some(LotLife::Unknown) => "nobody knows: no cure date".to_owned(),
                    Some(LotLife::Unlimited) | None => String::new(),
                },
            ),
            ("state", with_shops("", &line.rests_on)),
            ("day", question.day.clone()),
        ],
    )
}

fn of_unit(unit: &UnitRecord, model: &str, day: &str) -> Label {
    let header = &unit.header;
    let text = |text: Option<&str>| text.unwrap_or_default().to_owned();
    Label::new(
        LabelKind::Unit,
        [
            ("model", model.to_owned()),
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
}
