//! Fills the bag of one unit from the shelf: what goes into it, position by position, from which lot.

use super::find_model::Found;
use super::parts_list::{PartsQuestion, parts_list};
use super::stock_add::StockError;
use super::stock_list::{StockLine, shelf};
use crate::core::book::{
    LotLife, MeasuredName, PartAction, PartLine, StockKey, StockLot, WantedMaterial, pick,
};
use crate::core::caution::Caution;
use crate::core::elastomer::{Quarter, ShelfLifeSystem};
use crate::core::note::PartKind;
use crate::core::sizes::SizeTable;
use crate::store::{Book, BookPlace, StoredLot};
use serde::Serialize;

/// Says for which unit a bag is filled.
#[derive(Debug, Clone)]
pub struct KitQuestion {
    /// The model, and by which rules its parts are chosen.
    pub parts: PartsQuestion,
    /// The unit; named on the bag and in the movements.
    pub unit: String,
    /// Whether the parts are taken from the shelf; else it is only said what would be.
    pub take: bool,
    /// The system of shelf lives.
    pub system: ShelfLifeSystem,
    /// The quarter now.
    pub now: Quarter,
    /// The moment, ISO 8601.
    pub made_at: String,
}

/// Holds the bag of one unit.
#[derive(Debug, Clone, Serialize)]
pub struct Kit {
    /// The model.
    pub model: String,
    /// The unit.
    pub unit: String,
    /// The system by which lives are counted.
    pub system: ShelfLifeSystem,
    /// What goes in, in the order of the parts list.
    pub lines: Vec<KitLine>,
    /// Whether every line is filled.
    pub complete: bool,
    /// Whether the parts were taken from the shelf.
    pub taken: bool,
    /// The quarter in which the first of its parts expires: the bag is as old as its oldest member.
    pub use_before: Option<Quarter>,
    /// Whether some part's life cannot be told.
    pub undated: bool,
    /// The bag's label, line by line.
    pub label: Vec<String>,
    /// Cautions of the parts list.
    pub cautions: Vec<Caution>,
}

/// Holds what goes into one position.
#[derive(Debug, Clone, Serialize)]
pub struct KitLine {
    /// Number in the parts list.
    pub number: usize,
    /// Section of the unit.
    pub section: String,
    /// Where it sits.
    pub position: String,
    /// The part.
    pub part: String,
    /// Its size as it is kept on the shelf.
    pub size: String,
    /// How many.
    pub quantity: u32,
    /// From which lots.
    pub from: Vec<KitPart>,
    /// How many are lacking.
    pub short: u32,
    /// Why, where it is not filled.
    pub why: String,
    /// Other shops whose records the line rests on.
    pub rests_on: Vec<String>,
}

/// Holds what is taken of one lot.
#[derive(Debug, Clone, Serialize)]
pub struct KitPart {
    /// How many.
    pub quantity: u32,
    /// The lot; `on_hand` is what is left.
    #[serde(flatten)]
    pub lot: StockLine,
}

/// Fills the bag of one unit; parts are taken only where every line can be filled.
///
/// # Errors
/// Fails where the book cannot be used.
pub fn stock_kit(place: &BookPlace, question: &KitQuestion) -> Result<Found<Kit>, StockError> {
    let report = match parts_list(place, &question.parts)? {
        Found::Yes(report) => report,
        Found::No(missing) => return Ok(Found::No(missing)),
    };
    let wanted: Vec<&PartLine> = report
        .list
        .lines
        .iter()
        .filter(|line| line.action == PartAction::Replace)
        .collect();
    let fill = |lots: &[StoredLot]| {
        let mut shelf: Vec<StockLot> = lots.iter().map(|stored| stored.lot.clone()).collect();
        let mut moves = Vec::new();
        let lines: Vec<KitLine> = wanted
            .iter()
            .map(|line| kit_line(line, &mut shelf, &mut moves, question))
            .collect();
        (lines, moves)
    };
    let (lines, taken) = if question.take {
        let mut book = Book::open_to_write(place)?;
        book.write(|book| {
            let lots = book.stock_lots()?;
            let (lines, moves) = fill(&lots);
            let complete = lines.iter().all(|line| line.short == 0);
            if complete {
                for (lot, quantity) in moves {
                    let why = (question.unit.as_str(), question.made_at.as_str());
                    book.move_stock(lots[lot].id, -i64::from(quantity), why)?;
                }
            }
            Ok::<_, StockError>((lines, complete))
        })?
    } else {
        let lots = shelf(place)?;
        (fill(&lots).0, false)
    };
    let undated = parts_of(&lines).any(|part| part.lot.life == LotLife::Unknown);
    let mut kit = Kit {
        model: report.list.model.to_string(),
        unit: question.unit.clone(),
        system: question.system,
        complete: !lines.is_empty() && lines.iter().all(|line| line.short == 0),
        taken,
        use_before: use_before(&lines),
        undated,
        label: Vec::new(),
        cautions: report.cautions,
        lines,
    };
    kit.label = label(&kit, question);
    Ok(Found::Yes(kit))
}

fn parts_of(lines: &[KitLine]) -> impl Iterator<Item = &KitPart> {
    lines.iter().flat_map(|line| &line.from)
}

fn use_before(lines: &[KitLine]) -> Option<Quarter> {
    let ends = parts_of(lines).filter_map(|part| match part.lot.life {
        LotLife::Ends { quarter, .. } => Some(quarter),
        LotLife::Unlimited | LotLife::Unknown => None,
    });
    ends.min()
}

fn kit_line(
    line: &PartLine,
    shelf: &mut [StockLot],
    moves: &mut Vec<(usize, u32)>,
    question: &KitQuestion,
) -> KitLine {
    let mut filled = KitLine {
        number: line.number,
        section: line.section.clone(),
        position: line.position.clone(),
        part: line.part.clone(),
        size: String::new(),
        quantity: line.quantity,
        from: Vec::new(),
        short: line.quantity,
        why: String::new(),
        rests_on: line.rests_on.clone(),
    };
    let (key, shown) = match stock_key(line) {
        Ok(found) => found,
        Err(why) => {
            filled.why = why;
            return filled;
        }
    };
    filled.size = shown;
    let material = if line.kind == PartKind::Ring {
        WantedMaterial {
            polymer: line.material.polymer,
            hardness: line.material.hardness,
        }
    } else {
        WantedMaterial::default()
    };
    let found = pick(
        shelf,
        &key,
        (material, line.quantity),
        (question.system, question.now),
    );
    for part in &found.taken {
        shelf[part.lot].on_hand -= part.quantity;
        moves.push((part.lot, part.quantity));
        filled.from.push(KitPart {
            quantity: part.quantity,
            lot: StockLine::of(&shelf[part.lot], question.system, question.now),
        });
    }
    filled.short = found.short;
    if found.short > 0 {
        let mut asked = vec![filled.size.clone()];
        asked.extend(material.polymer.map(|p| p.to_string()));
        asked.extend(material.hardness.map(|h| h.to_string()));
        filled.why = format!("{} of {} not on the shelf", found.short, asked.join(" "));
        if found.expired > 0 {
            let over = format!("; {} there are past their life", found.expired);
            filled.why.push_str(&over);
        }
    }
    filled
}

/// Says what a line of the parts list is called on the shelf.
///
/// # Errors
/// Says why it cannot be picked: its size is not decided.
pub fn stock_key(line: &PartLine) -> Result<(StockKey, String), String> {
    if line.kind == PartKind::Ring {
        if line.failed_itself().is_some() {
            return Err("the listed ring was tried and failed here: settle why first".to_owned());
        }
        if !line.size.decided {
            return Err("the size is not decided: measure first".to_owned());
        }
        let Some((id, section)) = line.size.id.zip(line.size.section) else {
            return Err("the size is not known: measure first".to_owned());
        };
        let code = line.size.codes.first().cloned();
        let plain = || format!("{:.2} x {:.2} mm", id.mm(), section.mm());
        let table = SizeTable::shipped();
        let ring = code
            .as_deref()
            .and_then(|code| table.find_code(code))
            .and_then(|size| table.ring_of(size));
        let key = ring.map_or(StockKey::Ring(id, section), |ring| {
            StockKey::Ring(ring.id.nominal, ring.section.nominal)
        });
        return Ok((key, code.unwrap_or_else(plain)));
    }
    let shown = format!("{} {}", line.part, line.size.measured)
        .trim()
        .to_owned();
    let name = MeasuredName::of_part(&line.part, &line.size.lengths);
    Ok((StockKey::Named(name), shown))
}

fn label(kit: &Kit, question: &KitQuestion) -> Vec<String> {
    let parts: u32 = parts_of(&kit.lines).map(|part| part.quantity).sum();
    let day = question.made_at.get(..10).unwrap_or_default();
    let mut label = vec![
        kit.model.clone(),
        format!("unit {}", kit.unit),
        format!("{parts} parts, bagged {day}"),
    ];
    if !kit.complete {
        label.push("NOT COMPLETE".to_owned());
    }
    if let Some(quarter) = kit.use_before {
        label.push(format!(
            "use before {quarter} ({}, oldest part in it)",
            kit.system.name()
        ));
    }
    if kit.undated {
        label.push("holds parts of unknown shelf life".to_owned());
    }
    label
}
