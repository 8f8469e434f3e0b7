//! What all units together say of a part that is no ring: its lengths and its material.

use super::findings::Findings;
use super::gather::Gathered;
use super::model_units::ModelUnits;
use super::odds_words::{mm, units as units_words};
use super::part_line::{Conflict, ConflictAbout, PartMaterial, PartSize, SizeBasis};
use super::pooling::{Apart, Pooled, UnitValue, pool};
use crate::core::measurement::{Measurand, Reading};
use crate::core::note::{Entry, LengthName};

/// Two lengths of one part in two units differ by how it was read (notes write a tenth of a millimetre) and by how it was
/// made (half a per cent covers ordinary manufacture): the standard uncertainty is √((0.1 mm)² + (0.5 %)²).
const READ_MM: f64 = 0.1;
const MADE_SHARE: f64 = 0.005;

/// Finds what all units together say of a part that is no ring.
pub(super) fn plain_findings(part: &Gathered<'_>, units: &ModelUnits<'_>) -> Findings {
    let mut conflicts = Vec::new();
    let size = size(part, units, &mut conflicts);
    let material = material(part, units, &mut conflicts);
    let apart: Vec<&String> = conflicts
        .iter()
        .filter(|c| c.about == ConflictAbout::Length)
        .flat_map(|c| &c.units)
        .collect();
    let agree = part
        .members
        .iter()
        .filter(|m| {
            let entry = &m.part.entry;
            !entry.dimensions.is_empty() || !entry.readings.is_empty()
        })
        .map(|m| m.unit)
        .filter(|unit| !apart.contains(&&units.units[*unit].serial))
        .collect();
    Findings {
        size,
        material,
        gland: None,
        alternates: Vec::new(),
        agree,
        conflicts,
        cautions: Vec::new(),
    }
}

fn size(part: &Gathered<'_>, units: &ModelUnits<'_>, conflicts: &mut Vec<Conflict>) -> PartSize {
    let mut words = Vec::new();
    let mut measured: Vec<usize> = Vec::new();
    let mut tied = false;
    for (word, values) in lengths(part) {
        let Some(pooled) = pool(&values) else {
            continue;
        };
        measured.extend(values.iter().map(|v| v.unit));
        words.push(format!("{word} {}", mm(pooled.value)));
        tied |= !pooled.apart.is_empty() && pooled.agree.len() <= pooled.apart.len();
        let apart = pooled.apart.iter();
        conflicts.extend(apart.map(|one| length_conflict(word, &pooled, one, units)));
    }
    measured.sort_unstable();
    measured.dedup();
    if words.is_empty() {
        return stated_size(part);
    }
    let count = units_words(measured.len());
    PartSize {
        basis: SizeBasis::Lengths,
        decided: !tied,
        measured: words.join(", "),
        how_sure: if tied {
            format!("NOT DECIDED, the units contradict each other: {count} measured")
        } else {
            format!("{count} measured")
        },
        ..PartSize::unknown("")
    }
}

/// Lists the lengths of a part by name, each with the units that measured it; those of a back-up ring are readings.
fn lengths(part: &Gathered<'_>) -> Vec<(&'static str, Vec<UnitValue>)> {
    let of_units = |value: &dyn Fn(&Entry) -> Option<f64>| -> Vec<UnitValue> {
        part.members
            .iter()
            .filter_map(|member| {
                let value = value(&member.part.entry)?;
                Some(UnitValue {
                    unit: member.unit,
                    value,
                    uncertainty: READ_MM.hypot(MADE_SHARE * value),
                })
            })
            .collect()
    };
    let named = LengthName::ALL.iter().map(|(name, word)| {
        (
            *word,
            of_units(&|entry| Some(entry.dimension(*name)?.mean_mm())),
        )
    });
    let read = Measurand::ALL
        .iter()
        .filter(|(measurand, _)| *measurand != Measurand::Mass)
        .map(|(measurand, word)| {
            let mean = |entry: &Entry| entry.readings_of(*measurand).next().map(Reading::mean);
            (*word, of_units(&mean))
        });
    named.chain(read).collect()
}

fn length_conflict(word: &str, pooled: &Pooled, one: &Apart, units: &ModelUnits<'_>) -> Conflict {
    Conflict {
        about: ConflictAbout::Length,
        units: units.serials(&[one.unit]),
        words: format!(
            "{word} of {}: {} against {}, {:.0} combined standard uncertainties apart: another variant, or worn?",
            units.named(&[one.unit]),
            mm(pooled.value + one.difference),
            mm(pooled.value),
            one.sigmas
        ),
    }
}

fn stated_size(part: &Gathered<'_>) -> PartSize {
    let stated = part
        .members
        .iter()
        .find_map(|m| m.part.entry.stated_size.as_ref());
    stated.map_or_else(
        || PartSize::unknown("not measured"),
        |stated| PartSize {
            basis: SizeBasis::Stated,
            decided: true,
            measured: stated.text.clone(),
            ..PartSize::unknown("stated, not measured")
        },
    )
}

fn material(
    part: &Gathered<'_>,
    units: &ModelUnits<'_>,
    conflicts: &mut Vec<Conflict>,
) -> PartMaterial {
    let recorded: Vec<(usize, String)> = part
        .members
        .iter()
        .filter_map(|m| Some((m.unit, material_words(&m.part.entry)?)))
        .collect();
    let Some((_, first)) = recorded.first() else {
        return PartMaterial::default();
    };
    for (unit, words) in &recorded {
        if words.to_lowercase() != first.to_lowercase() {
            conflicts.push(Conflict {
                about: ConflictAbout::Material,
                units: units.serials(&[*unit]),
                words: format!(
                    "{} records {words:?} against {first:?}",
                    units.named(&[*unit])
                ),
            });
        }
    }
    PartMaterial {
        material: Some(first.clone()),
        reason: "as recorded".to_owned(),
        ..PartMaterial::default()
    }
}

fn material_words(entry: &Entry) -> Option<String> {
    let parts = [
        entry.material.clone(),
        entry.polymer.as_ref().map(|p| p.value.to_string()),
        entry.hardness.as_ref().map(|h| h.value.to_string()),
    ];
    let words: Vec<String> = parts.into_iter().flatten().collect();
    (!words.is_empty()).then(|| words.join(", "))
}
