//! The teardown of a unit in reverse: the steps in which it goes together again.

use crate::app::model::list_maker::ListMaker;
use crate::app::model::parts_list::PartsQuestion;
use crate::app::model::statements::Statements;
use crate::app::model::unit_records::recorded_model;
use crate::core::book::{Failed, PartAction, PartLine, PartsList, UnitRecord};
use crate::core::elastomer::{LubricantVerdict, LubricatedGas, Polymer, lubricants};
use crate::core::gas::{GasService, GasStatement};
use crate::core::note::{Entry, Facing, PartKind};
use crate::core::provenance::from_words;
use crate::core::quantity::Length;
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;

/// The steps in which a unit goes together.
#[derive(Debug, Clone, Serialize)]
pub struct Assembly {
    pub model: String,
    /// The unit whose teardown is reversed.
    pub serial: String,
    pub owner: Option<String>,
    /// The gas that it will be used with, where anything was said of it.
    pub gas: Option<String>,
    /// Supply pressure and rating as written.
    pub pressures: Vec<String>,
    /// Whether parts and lubricants are those for enriched gas, because it is enriched or because it is not settled.
    pub enriched: bool,
    pub steps: Vec<AssemblyStep>,
    /// Cautions of the whole.
    pub cautions: Vec<String>,
    /// The parts list, in the order in which the parts come off.
    #[serde(skip)]
    pub parts: Vec<PartLine>,
}

/// One step: one part that goes in.
#[derive(Debug, Clone, Serialize)]
pub struct AssemblyStep {
    pub number: usize,
    /// The number of its line in the parts list.
    pub line: Option<usize>,
    pub section: String,
    pub part: String,
    /// Where it goes.
    pub position: String,
    pub quantity: u32,
    /// Whether a new one goes in.
    pub action: PartAction,
    /// The part of the list for the place; empty where the same goes back in.
    pub new: Option<NewPart>,
    /// Tool, torque and turns, as they were noted.
    pub tools: Vec<String>,
    /// Which way round it sits, as far as the note's words say so.
    pub facing: Option<Facing>,
    /// Hints in words: which way round, thread, marking and what else was noted.
    pub hints: Vec<String>,
    /// The class of lubricant, where the part is rubber.
    pub lubricant: Option<String>,
    /// Cautions of this step.
    pub cautions: Vec<String>,
}

/// The part that a step puts in.
#[derive(Debug, Clone, Serialize)]
pub struct NewPart {
    /// Its first code, or its measure in words.
    pub words: String,
    /// Inside diameter and section of a ring, where it is listed.
    pub size: Option<(Length, Length)>,
    pub material: String,
    /// Whether the size is settled.
    pub decided: bool,
}

/// Says which assembly is asked for.
#[derive(Debug, Clone)]
pub struct AssemblyQuestion {
    pub model: String,
    /// The unit whose teardown is reversed. Where `None`: that of the one open job on the model, else the one with most parts.
    pub serial: Option<String>,
    /// The gas that it will be used with; that of its note where `None`.
    pub gas: Option<GasStatement>,
}

/// Makes the assembly steps of a model from the record of one unit.
pub fn assembly(place: &BookPlace, question: &AssemblyQuestion) -> Result<Assembly, StoreError> {
    let mut book = Book::open_to_read(place)?;
    let (model, said, jobs) = book.read(|book| {
        let model = recorded_model(book, &question.model)?;
        Ok::<_, StoreError>((model, Statements::read(book)?, book.jobs()?))
    })?;
    let chosen = model.unit_asked(question.serial.as_deref(), &jobs)?;
    // The record with most parts tells most; of equals the first by serial number.
    let most_parts = || model.units.iter().rev().max_by_key(|unit| unit.parts.len());
    let unit = chosen.or_else(most_parts).ok_or_else(|| {
        StoreError::not_found("unit with a note under", model.name.to_string(), Vec::new())
    })?;
    let asked = PartsQuestion {
        gas: question.gas.clone(),
        ..PartsQuestion::of_one(model.name.to_string())
    };
    let report = ListMaker::beside(place).report(&model, &said, &asked);
    Ok(of_unit(unit, &report.list, &asked))
}

fn of_unit(unit: &UnitRecord, list: &PartsList, asked: &PartsQuestion) -> Assembly {
    let header = &unit.header;
    let gas = asked.gas.clone().unwrap_or_else(|| header.gas_statement());
    let service = gas.judge(&asked.threshold);
    let mut used: Vec<usize> = Vec::new();
    let mut steps: Vec<AssemblyStep> = unit
        .parts
        .iter()
        .map(|part| {
            let line = line_of(list, part, &mut used);
            step(part, line, &service)
        })
        .collect();
    steps.reverse();
    for (at, step) in steps.iter_mut().enumerate() {
        step.number = at + 1;
    }
    Assembly {
        model: list.model.to_string(),
        serial: unit.serial.clone(),
        owner: header.owner.clone(),
        gas: gas.said(),
        pressures: [("supply", &header.supply), ("rated", &header.rated)]
            .into_iter()
            .filter_map(|(word, said)| Some(format!("{word} {}", said.as_ref()?.text)))
            .collect(),
        enriched: service.asks_oxygen_care(),
        cautions: cautions(&service, unit, list),
        parts: list
            .lines
            .iter()
            .map(|line| own_count(line, &steps))
            .collect(),
        steps,
    }
}

/// Gives a line the count of this unit, where its teardown tells one.
fn own_count(line: &PartLine, steps: &[AssemblyStep]) -> PartLine {
    let own = steps.iter().filter(|step| step.line == Some(line.number));
    let counted: u32 = own.map(|step| step.quantity).sum();
    PartLine {
        quantity: if counted == 0 { line.quantity } else { counted },
        ..line.clone()
    }
}

/// Finds the line of a part's place; parts of one place take its lines in their order.
fn line_of<'l>(list: &'l PartsList, entry: &Entry, used: &mut Vec<usize>) -> Option<&'l PartLine> {
    let place = entry.place();
    let mut lines = list.lines.iter();
    let line = lines.find(|line| line.place() == place && !used.contains(&line.number))?;
    used.push(line.number);
    Some(line)
}

fn step(entry: &Entry, line: Option<&PartLine>, gas: &GasService) -> AssemblyStep {
    let soft = entry.kind.is_ring() || matches!(entry.kind, PartKind::Seat | PartKind::Diaphragm);
    let action = line.map_or(PartAction::of(entry.fate, soft), |line| line.action);
    let new = line.filter(|_| action != PartAction::Keep).map(new_part);
    let polymer = line.and_then(|line| line.material.polymer);
    let lubricated = entry.kind.is_ring();
    let failed = line.iter().flat_map(|line| &line.failed);
    let mut cautions: Vec<String> = failed.map(Failed::words).collect();
    cautions.extend(line.iter().flat_map(|line| line.cautions.clone()));
    if let Some(line) = line.filter(|line| !line.rests_on.is_empty()) {
        cautions.push(format!(
            "what goes in here is {}, not your own record: check the part itself",
            from_words(&line.rests_on)
        ));
    }
    if new.as_ref().is_some_and(|new| !new.decided) {
        cautions.push("the size is NOT DECIDED: measure before a ring goes in here".to_owned());
    }
    if matches!(entry.kind, PartKind::Spring) {
        cautions.push(
            "a spring under load can fly out: eye protection, and hold what it presses on"
                .to_owned(),
        );
    }
    AssemblyStep {
        number: 0,
        line: line.map(|line| line.number),
        section: entry.section.clone(),
        part: entry.name.clone(),
        position: entry.position.clone(),
        quantity: entry.quantity,
        action,
        tools: entry.said(&["tool", "torque", "turns"]),
        facing: [&entry.orientation, &entry.face, &entry.side]
            .into_iter()
            .find_map(|words| Facing::of(words.as_deref()?)),
        hints: hints(entry, new.is_some()),
        new,
        lubricant: lubricated.then(|| lubricant(polymer, gas)),
        cautions,
    }
}

fn new_part(line: &PartLine) -> NewPart {
    NewPart {
        words: match line.size.words() {
            "" => "size not recorded".to_owned(),
            known => known.to_owned(),
        },
        size: line.size.id.zip(line.size.section),
        material: line.material.words(),
        decided: line.size.decided || line.kind != PartKind::Ring,
    }
}

fn lubricant(polymer: Option<Polymer>, gas: &GasService) -> String {
    let Some(rules) = LubricatedGas::of(gas) else {
        return "no rule covers this gas: ask the supplier".to_owned();
    };
    let suits = lubricants(rules, polymer);
    match suits
        .first()
        .filter(|rule| rule.verdict == LubricantVerdict::Suits)
    {
        Some(rule) => format!("{}, sparingly ({})", rule.name, rule.confidence),
        None => "no class of lubricant is known to suit".to_owned(),
    }
}

/// What else was noted; the lengths of the old part only where it goes back in, because those of a new one stand with it.
fn hints(entry: &Entry, new: bool) -> Vec<String> {
    let mut hints = entry.said(&["thread"]);
    hints.extend(entry.exposed.iter().map(|out| format!("stood out {out}")));
    hints.extend(entry.said(&["orientation", "side", "face", "marking"]));
    if !new {
        // In millimetres, because what was typed may lean on the unit that its note declares.
        let lengths = entry.dimensions.iter();
        hints.extend(
            lengths.map(|length| format!("{} {:.2} mm", length.name.word(), length.mean_mm())),
        );
    }
    hints.extend(entry.remarks.iter().cloned());
    hints
}

fn cautions(gas: &GasService, unit: &UnitRecord, list: &PartsList) -> Vec<String> {
    let mut cautions = vec![
        "Work on a depressurised unit, cleaned for its gas, in clean surroundings. These steps are a record of how \
            one unit came apart, not a maker's procedure: where the record is silent, stop and find out."
            .to_owned(),
    ];
    if gas.asks_oxygen_care() {
        cautions.push(
            "Enriched gas: every part and every lubricant must be clean and rated for oxygen. Silicone grease and hydrocarbons burn."
                .to_owned(),
        );
    }
    if let GasService::Other { words } = gas {
        cautions.push(format!(
            "No rules cover parts and lubricants in {words}: ask the suppliers before anything goes in."
        ));
    }
    if !unit.whose.shops().is_empty() {
        cautions.push(format!(
            "The record of this unit is {}: another shop took it apart.",
            from_words(unit.whose.shops())
        ));
    }
    if unit.unread_lines > 0 {
        cautions.push(format!(
            "{} of this unit's note could not be read: steps are missing.",
            match unit.unread_lines {
                1 => "1 line".to_owned(),
                many => format!("{many} lines"),
            }
        ));
    }
    cautions.extend(list.warnings.iter().cloned());
    cautions
}
