//! The rings whose outlines are to be printed: those of a model, of a family and section, or named ones.

use crate::app::model::parts_list::{PartsQuestion, parts_list};
use crate::core::book::PartLine;
use crate::core::gland::GlandRing;
use crate::core::note::PartKind;
use crate::core::quantity::{Length, LengthUnit};
use crate::core::sizes::{DesignationError, NominalSize, SizeTable, Standard, read_designation};
use crate::store::{BookPlace, StoreError};
use serde::Serialize;

/// Rings to be printed, with what they are.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RingOutlines {
    /// What they have in common.
    pub title: String,
    pub rings: Vec<RingOutline>,
    /// Points to see before relying on the sheet.
    pub warnings: Vec<String>,
}

/// One ring to be printed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RingOutline {
    /// Codes under which it is listed; empty where it is known by dimensions alone.
    pub codes: Vec<String>,
    #[serde(flatten)]
    pub size: NominalSize,
    /// Where it belongs, or what else is said of it.
    pub words: String,
}

/// Takes the rings of a model's parts list that have a size; an undecided one carries the words.
pub fn outlines_of_model(place: &BookPlace, model: &str) -> Result<RingOutlines, StoreError> {
    let list = parts_list(place, &PartsQuestion::of_one(model))?.list;
    let rings = list.lines.iter().filter(|line| line.kind == PartKind::Ring);
    let lacking: Vec<String> = rings
        .clone()
        .filter(|line| line.size.id.is_none())
        .map(|line| format!("no size is known of {}: it is not drawn", place_of(line)))
        .collect();
    Ok(RingOutlines {
        title: format!("Rings of {}", list.model),
        rings: rings.filter_map(outline_of_line).collect(),
        warnings: lacking,
    })
}

fn place_of(line: &PartLine) -> String {
    let words = [
        line.section.as_str(),
        line.part.as_str(),
        line.position.as_str(),
    ];
    let words: Vec<&str> = words.into_iter().filter(|w| !w.is_empty()).collect();
    words.join(" · ")
}

fn outline_of_line(line: &PartLine) -> Option<RingOutline> {
    let mut words = format!("{}. {}", line.number, place_of(line));
    if let Some(failed) = line.failed_itself() {
        words = format!("{words}. {}", failed.words());
    } else if !line.size.decided {
        words = format!("{words}. NOT DECIDED: one of several sizes that fit the readings");
    }
    Some(RingOutline {
        codes: line.size.codes.clone(),
        size: NominalSize {
            id: line.size.id?,
            section: line.size.section?,
        },
        words,
    })
}

/// Lists the rings of a family with a section; the section agrees to half a tenth of a millimetre.
pub fn outlines_of_family(family: Standard, section: Length) -> RingOutlines {
    const NEAR_NM: i64 = 50_000;
    let rings: Vec<RingOutline> = SizeTable::shipped()
        .sizes()
        .iter()
        .filter(|size| size.standard == family)
        .filter(|size| (size.section.nominal.nm() - section.nm()).abs() <= NEAR_NM)
        .map(|size| RingOutline {
            codes: vec![size.code()],
            size: size.nominal(),
            words: String::new(),
        })
        .collect();
    RingOutlines {
        title: format!("{} rings of section {:.2} mm", family.name(), section.mm()),
        rings,
        warnings: Vec::new(),
    }
}

/// Reads named rings; one that can mean several rings gives each of them.
///
/// # Errors
/// Says which designation cannot be read, by its place in the list, and why.
pub fn outlines_of_codes(
    codes: &[String],
    declared: Option<LengthUnit>,
) -> Result<RingOutlines, (usize, DesignationError)> {
    let table = SizeTable::shipped();
    let mut rings = Vec::new();
    for (at, code) in codes.iter().enumerate() {
        let readings = read_designation(code, declared).map_err(|error| (at, error))?;
        for reading in &readings {
            let ring = GlandRing::of_reading(reading, table);
            rings.push(RingOutline {
                size: ring.nominal(),
                codes: ring.codes,
                words: if readings.len() > 1 {
                    format!("{:?} can mean this ring", code.trim())
                } else {
                    String::new()
                },
            });
        }
    }
    Ok(RingOutlines {
        title: "Named rings".to_owned(),
        rings,
        warnings: Vec::new(),
    })
}
