//! Makes the parts list of a model.

use super::list_maker::ListMaker;
use super::statements::Statements;
use super::unit_records::recorded_model;
use crate::core::book::{PartAction, PartLine, PartsList, SizeBasis, UnitRecord};
use crate::core::caution::Caution;
use crate::core::gas::{GasStatement, OxygenThreshold};
use crate::core::gear::GearKind;
use crate::core::identification::Prior;
use crate::core::note::PartKind;
use crate::core::quantity::{Hardness, Pressure, PressureUnit};
use crate::core::word::words;
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

words!(Reader {
    Owner => "owner",
    Shop => "shop",
});

/// Says which parts list is asked for.
#[derive(Debug, Clone)]
pub struct PartsQuestion {
    pub model: String,
    /// How many units are to be built.
    pub build: u32,
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

/// A parts list with its cautions.
#[derive(Debug, Clone, Serialize)]
pub struct PartsReport {
    #[serde(flatten)]
    pub list: PartsList,
    pub reader: Reader,
    /// Cautions that must be seen before anything is ordered or fitted.
    pub cautions: Vec<Caution>,
}

/// One line with what told its ring.
#[derive(Debug, Clone, Serialize)]
pub struct PartWhy {
    pub model: String,
    pub line: PartLine,
}

/// Makes the parts list of a model.
pub fn parts_list(place: &BookPlace, question: &PartsQuestion) -> Result<PartsReport, StoreError> {
    let mut book = Book::open_to_read(place)?;
    let (model, said) = book.read(|book| {
        let model = recorded_model(book, &question.model)?;
        Ok::<_, StoreError>((model, Statements::read(book)?))
    })?;
    Ok(ListMaker::beside(place).report(&model, &said, question))
}

impl PartsReport {
    /// Adds to a list what must be seen with it.
    pub(in crate::app) fn of(
        list: PartsList,
        units: &[UnitRecord],
        question: &PartsQuestion,
    ) -> Self {
        Self {
            cautions: cautions(&list, units),
            reader: question.reader,
            list,
        }
    }
}

fn cautions(list: &PartsList, units: &[UnitRecord]) -> Vec<Caution> {
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
    // Gear of which nobody says what it is may be breathed from.
    let breathed = units.iter().any(|unit| {
        let gear = unit.header.gear;
        gear.is_none_or(GearKind::is_life_support)
    });
    let mut cautions = vec![if breathed {
        Caution::Standing
    } else {
        Caution::StandingOther
    }];
    if high || hard_ring {
        cautions.push(Caution::HighPressure);
    }
    if undecided {
        cautions.push(Caution::Undecided);
    }
    if list.lines.iter().any(|line| !line.rests_on.is_empty()) {
        cautions.push(Caution::OtherShops);
    }
    cautions
}
