//! Makes the parts list of a model.

use super::find_model::Found;
use super::unit_records::recorded_model;
use crate::core::book::{ModelName, PartAction, PartsList, SizeBasis, UnitRecord, Workshop};
use crate::core::gas::{GasStatement, OxygenThreshold};
use crate::core::identification::{Candidates, Prior};
use crate::core::measurement::Instruments;
use crate::core::note::PartKind;
use crate::core::quantity::{Hardness, Pressure, PressureUnit};
use crate::core::sizes::SizeTable;
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;

/// Says for whom a parts list is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Reader {
    /// Who owns the unit: what goes in and why, in short.
    Owner,
    /// Who rebuilds it: everything.
    Shop,
}

/// Says which parts list is asked for.
#[derive(Debug, Clone)]
pub struct PartsQuestion {
    /// The model.
    pub model: String,
    /// How many units are to be built.
    pub build: u32,
    /// For whom it is.
    pub reader: Reader,
    /// From which share of oxygen on a gas is enriched.
    pub threshold: OxygenThreshold,
    /// The gas that the units will be used with; that of their notes where `None`.
    pub gas: Option<GasStatement>,
    /// How common each family of sizes is taken to be.
    pub prior: Prior,
}

impl PartsQuestion {
    /// Asks for the parts of one unit of a model, everything shown, by the rules that hold where nothing else is said.
    pub fn of_one(model: impl Into<String>) -> Self {
        Self {
            model: model.into(),
            build: 1,
            reader: Reader::Shop,
            threshold: OxygenThreshold::default(),
            gas: None,
            prior: Prior::default(),
        }
    }
}

/// Holds a parts list with its cautions.
#[derive(Debug, Clone, Serialize)]
pub struct PartsReport {
    /// The list.
    #[serde(flatten)]
    pub list: PartsList,
    /// For whom it is.
    pub reader: Reader,
    /// Cautions that must be seen before anything is ordered or fitted.
    pub cautions: Vec<String>,
}

/// What every parts list says first.
const STANDING: &str = "Breathing gas is life support. A rebuilt obsolete unit has no maker's approval; the sizes here are \
    estimates from measurement, not approvals. A competent person decides and signs; local codes and licensed practice come \
    first.";
/// What a list with high-pressure rings says.
const HIGH_PRESSURE: &str = "A ring that fits its groove is not thereby safe at high pressure: hardness, gap and material \
    decide too. A ring of the wrong hardness in a high-pressure place can blow out within one dive. Never fit a softer ring \
    than the list names, and none from an unknown assortment.";
/// What a list with undecided sizes says.
const UNDECIDED: &str =
    "Lines marked NOT DECIDED must not be ordered from this list: measure what they ask for first.";

/// Makes the parts list of a model.
///
/// # Errors
/// Fails where the book cannot be read.
pub fn parts_list(
    place: &BookPlace,
    question: &PartsQuestion,
) -> Result<Found<PartsReport>, StoreError> {
    let mut book = Book::open_to_read(place)?;
    let (model, units) = match book.read(|book| recorded_model(book, &question.model))? {
        Found::Yes(found) => found,
        Found::No(missing) => return Ok(Found::No(missing)),
    };
    Ok(Found::Yes(report_of(model, &units, question)))
}

/// Makes the parts list of a model whose units were read already.
pub(super) fn report_of(
    model: ModelName,
    units: &[UnitRecord],
    question: &PartsQuestion,
) -> PartsReport {
    let candidates = Candidates::new(SizeTable::shipped(), &question.prior);
    let workshop = Workshop {
        candidates: &candidates,
        instruments: Instruments::shipped(),
        threshold: question.threshold.clone(),
        gas: question.gas.clone(),
    };
    let list = PartsList::of(model, units, question.build, &workshop);
    PartsReport {
        cautions: cautions(&list, units),
        reader: question.reader,
        list,
    }
}

fn cautions(list: &PartsList, units: &[UnitRecord]) -> Vec<String> {
    /// Pressures above this are high: the threshold of the hardness rule, 1000 psi.
    const HIGH_PSI: f64 = 1000.0;
    let psi = |pressure: Pressure| pressure.gauge_in(PressureUnit::Psi);
    let high = units.iter().any(|unit| {
        let supply = unit.header.supply.as_ref();
        supply.is_none_or(|p| psi(p.value) > HIGH_PSI)
    });
    let hard = |hardness: Option<Hardness>| hardness.is_none_or(|h| h.value > 80.0);
    let hard_ring = list
        .lines
        .iter()
        .any(|line| line.kind == PartKind::Ring && hard(line.material.hardness));
    let undecided = list.lines.iter().any(|line| {
        line.action != PartAction::Keep
            && !line.size.decided
            && (line.kind == PartKind::Ring || line.size.basis != SizeBasis::Unknown)
    });
    let mut cautions = vec![STANDING.to_owned()];
    if high || hard_ring {
        cautions.push(HIGH_PRESSURE.to_owned());
    }
    if undecided {
        cautions.push(UNDECIDED.to_owned());
    }
    cautions
}
