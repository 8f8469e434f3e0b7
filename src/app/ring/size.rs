//! Looks up one ring size and its relatives.

use crate::core::caution::Caution;
use crate::core::confidence::Confidence;
use crate::core::elastomer::Polymer;
use crate::core::interchange::Nickname;
use crate::core::provenance::{Sourced, with_shops};
use crate::core::quantity::{Dimension, Hardness, Length, LengthUnit, as_mm, as_optional_mm};
use crate::core::sizes::{
    DesignationError, DesignationReading, NearGrade, NominalSize, RingSize, SizeTable, Standard,
    ToleranceBasis, class_b_inside_diameter, class_b_section, read_designation,
};
use serde::Serialize;

/// What is known of one designation: every size it can mean and the rings near to them.
#[derive(Debug, Clone, Serialize)]
pub struct SizeReport {
    pub typed: String,
    pub matches: Vec<SizeMatch>,
    /// Rings that are the same or near, nearest first.
    pub equivalents: Vec<NearRing>,
    /// What stands on every answer of this kind.
    pub cautions: Vec<Caution>,
    /// Points to see before relying on the answer.
    pub warnings: Vec<String>,
}

/// One size that a designation can mean. Lengths are serialized in millimetres.
#[derive(Debug, Clone, Serialize)]
pub struct SizeMatch {
    /// The family, or `dimensions` where no family was named.
    pub standard: String,
    /// The code, or the dimensions.
    pub code: String,
    #[serde(rename = "id_mm", serialize_with = "as_mm")]
    pub id: Length,
    #[serde(rename = "id_tol_mm", serialize_with = "as_optional_mm")]
    pub id_tolerance: Option<Length>,
    #[serde(rename = "cs_mm", serialize_with = "as_mm")]
    pub section: Length,
    #[serde(rename = "cs_tol_mm", serialize_with = "as_optional_mm")]
    pub section_tolerance: Option<Length>,
    /// Whether a tolerance of the family is not at hand and class B stands in.
    pub tolerance_assumed: bool,
    /// ISO 3601-1 class B tolerance of the inside diameter.
    #[serde(rename = "class_b_id_tol_mm", serialize_with = "as_mm")]
    pub class_b_id: Length,
    /// ISO 3601-1 class B tolerance of the section.
    #[serde(rename = "class_b_cs_tol_mm", serialize_with = "as_mm")]
    pub class_b_section: Length,
    /// Polymer that was named or implied.
    pub polymer: Option<Polymer>,
    /// Hardness that was named or implied.
    pub hardness: Option<Hardness>,
    pub understood: String,
    pub source: String,
    pub confidence: Confidence,
    /// How sure this way of reading the text is.
    pub reading_confidence: Confidence,
}

/// One listed ring near the first match. Differences are its dimension less the asked one.
#[derive(Debug, Clone, Serialize)]
pub struct NearRing {
    pub code: String,
    pub grade: NearGrade,
    #[serde(flatten)]
    pub size: NominalSize,
    #[serde(rename = "delta_id_mm", serialize_with = "as_mm")]
    pub delta_id: Length,
    #[serde(rename = "delta_cs_mm", serialize_with = "as_mm")]
    pub delta_section: Length,
}

/// Looks up what the words name: one designation written in several words, or several designations.
///
/// # Errors
/// Says which part of the text is not understood, where, and what to write; the span counts in the words joined by
/// single spaces.
pub fn look_up(
    words: &[String],
    declared: Option<LengthUnit>,
) -> Result<SizeReport, DesignationError> {
    let whole = words.join(" ");
    let designations = match read_designation(&whole, declared) {
        Ok(readings) => vec![readings],
        Err(error) => words
            .iter()
            .map(|word| read_designation(word, declared))
            .collect::<Result<Vec<_>, _>>()
            .map_err(|_| error)?,
    };
    let table = SizeTable::shipped();
    let matches: Vec<SizeMatch> = designations
        .iter()
        .flatten()
        .map(|reading| size_match(reading, table))
        .collect();
    let mut warnings = warnings(&matches);
    if designations.iter().any(|readings| readings.len() > 1) {
        warnings.insert(0, SEVERAL.to_owned());
    }
    let equivalents: Vec<NearRing> = designations
        .iter()
        .flat_map(|readings| near_rings(&readings[0], table))
        .collect();
    Ok(SizeReport {
        typed: whole.trim().to_owned(),
        matches,
        cautions: beside(&equivalents),
        equivalents,
        warnings,
    })
}

/// Looks up what the words name by themselves and what people use them for; a name that means two things gives both.
///
/// # Errors
/// As [`look_up`], where the words are no name that people use either.
pub fn look_up_named(
    words: &[String],
    names: &[Sourced<Nickname>],
    declared: Option<LengthUnit>,
) -> Result<SizeReport, DesignationError> {
    let plain = look_up(words, declared);
    let rings = names.iter().filter_map(|name| {
        let mut report = look_up(std::slice::from_ref(&name.part), None).ok()?;
        for one in &mut report.matches {
            one.understood = format!(
                "{:?}: a name for {}, {} says so ({})",
                name.name,
                name.part,
                with_shops(&name.person, name.from_shop.as_slice()),
                name.source
            );
            one.reading_confidence = name.confidence;
        }
        Some(report)
    });
    let mut reports: Vec<SizeReport> = rings.collect();
    match plain {
        Ok(report) => reports.push(report),
        Err(error) if reports.is_empty() => return Err(error),
        Err(_) => {}
    }
    let several = reports.len() > 1;
    let mut all = reports.into_iter();
    let Some(mut first) = all.next() else {
        return look_up(words, declared);
    };
    for more in all {
        let known = |code: &String| first.matches.iter().any(|one| one.code == *code);
        if more.matches.iter().all(|one| known(&one.code)) {
            continue;
        }
        first.matches.extend(more.matches);
        first.equivalents.extend(more.equivalents);
        first.warnings.extend(more.warnings);
    }
    if several && first.matches.len() > 1 {
        first.warnings.insert(0, SEVERAL.to_owned());
        first.warnings.dedup();
    }
    words.join(" ").trim().clone_into(&mut first.typed);
    first.cautions = beside(&first.equivalents);
    Ok(first)
}

/// The caution of rings that are listed beside the one that was asked for.
fn beside(equivalents: &[NearRing]) -> Vec<Caution> {
    let listed = !equivalents.is_empty();
    listed.then_some(Caution::NearSize).into_iter().collect()
}

const SEVERAL: &str = "this can mean more than one ring; every reading is shown";

/// The open table of listed sizes.
#[derive(Debug, Clone, Serialize)]
pub struct OpenTable {
    /// One row a size, in the order of the families.
    pub sizes: Vec<OpenRow>,
}

/// One row of the open table.
#[derive(Debug, Clone, Serialize)]
pub struct OpenRow {
    pub standard: Standard,
    /// The full code.
    pub code: String,
    #[serde(rename = "id_mm", serialize_with = "as_mm")]
    pub id: Length,
    /// Its tolerance, where the family's own table states one.
    #[serde(rename = "id_tol_mm", serialize_with = "as_optional_mm")]
    pub id_tolerance: Option<Length>,
    #[serde(rename = "cs_mm", serialize_with = "as_mm")]
    pub section: Length,
    /// Its tolerance, where the family's own table states one.
    #[serde(rename = "cs_tol_mm", serialize_with = "as_optional_mm")]
    pub section_tolerance: Option<Length>,
    pub source: String,
    pub confidence: Confidence,
}

/// Lists every listed size, or those of one family, as the open table.
pub fn open_table(standard: Option<Standard>) -> OpenTable {
    let listed = |d: Dimension, basis| (basis == ToleranceBasis::Listed).then_some(d.plus);
    let sizes = SizeTable::shipped()
        .sizes()
        .iter()
        .filter(|size| standard.is_none_or(|s| s == size.standard))
        .map(|size| OpenRow {
            standard: size.standard,
            code: size.code(),
            id: size.id.nominal,
            id_tolerance: listed(size.id, size.id_tolerance_basis),
            section: size.section.nominal,
            section_tolerance: listed(size.section, size.section_tolerance_basis),
            source: size.source().to_owned(),
            confidence: size.confidence,
        })
        .collect();
    OpenTable { sizes }
}

fn near_rings(reading: &DesignationReading, table: &SizeTable) -> Vec<NearRing> {
    let (id, section) = reading.size.dimensions(table);
    let code = reading.size.listed(table).map(RingSize::code);
    table
        .equivalents(id, section, &code.unwrap_or_default())
        .into_iter()
        .map(|near| NearRing {
            code: near.size.code(),
            grade: near.grade,
            size: near.size.nominal(),
            delta_id: near.delta_id,
            delta_section: near.delta_section,
        })
        .collect()
}

fn warnings(matches: &[SizeMatch]) -> Vec<String> {
    let mut warnings = Vec::new();
    if matches.iter().any(|m| m.confidence == Confidence::Memory) {
        warnings.push(
            "a size marked \"memory\" was recalled and is not confirmed in a source: measure before you order"
                .to_owned(),
        );
    }
    if matches
        .iter()
        .any(|m| m.reading_confidence == Confidence::Memory)
    {
        warnings.push(
            "what this kind of number means was recalled, not confirmed in a source".to_owned(),
        );
    }
    if matches.iter().any(|m| m.tolerance_assumed) {
        warnings.push(
            "no tolerance of this family is at hand; ISO 3601-1 class B stands in for it"
                .to_owned(),
        );
    }
    warnings
}

fn size_match(reading: &DesignationReading, table: &SizeTable) -> SizeMatch {
    let (id, section) = reading.size.dimensions(table);
    let listed = reading.size.listed(table);
    let tolerance = |d: Dimension| d.has_tolerance().then(|| d.plus.max(d.minus));
    let written = || {
        let [id, section] = [id, section].map(|d| d.nominal.mm_rounded());
        format!("{id}x{section}")
    };
    SizeMatch {
        standard: listed
            .map_or("dimensions", |size| size.standard.name())
            .to_owned(),
        code: listed.map_or_else(written, RingSize::code),
        id: id.nominal,
        id_tolerance: tolerance(id),
        section: section.nominal,
        section_tolerance: tolerance(section),
        tolerance_assumed: listed.is_some_and(|size| {
            let bases = [size.id_tolerance_basis, size.section_tolerance_basis];
            bases.contains(&ToleranceBasis::AssumedClassB)
        }),
        class_b_id: class_b_inside_diameter(id.nominal),
        class_b_section: class_b_section(section.nominal),
        polymer: reading.polymer,
        hardness: reading.hardness,
        understood: reading.understood.clone(),
        source: listed.map_or("as typed", RingSize::source).to_owned(),
        confidence: listed.map_or(reading.confidence, |size| size.confidence),
        reading_confidence: reading.confidence,
    }
}
