//! What all units together say of a part that is no ring: its lengths and its material.

use super::findings::Findings;
use super::gather::Gathered;
use super::model_units::ModelUnits;
use super::odds_words::{mm, units as units_words};
use super::part_line::{Conflict, ConflictAbout, PartMaterial, PartSize, SizeBasis};
use super::pooling::{UnitValue, pool};
use crate::core::note::{Entry, LengthName};

/// Standard uncertainty of a length of a soft part by hand in millimetres: soft parts are wanted to a tenth.
const SOFT_MM: f64 = 0.1;
/// Standard uncertainty of a length of a metal part by caliper in millimetres: 0.02 to 0.03 is the trade's usual figure.
const METAL_MM: f64 = 0.03;

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
        .filter(|m| !m.part.entry.dimensions.is_empty())
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
    let uncertainty = if part.kind.is_soft() {
        SOFT_MM
    } else {
        METAL_MM
    };
    let mut words = Vec::new();
    let mut measured: Vec<usize> = Vec::new();
    let mut tied = false;
    for (name, word) in LengthName::ALL {
        let values: Vec<UnitValue> = part
            .members
            .iter()
            .filter_map(|member| {
                let length = member.part.entry.dimension(name)?;
                Some(UnitValue {
                    unit: member.unit,
                    value: length.mean_mm(),
                    uncertainty,
                })
            })
            .collect();
        let Some(pooled) = pool(&values) else {
            continue;
        };
        measured.extend(values.iter().map(|v| v.unit));
        words.push(format!("{word} {}", mm(pooled.value)));
        tied |= !pooled.apart.is_empty() && pooled.agree.len() <= pooled.apart.len();
        for apart in &pooled.apart {
            conflicts.push(Conflict {
                about: ConflictAbout::Length,
                units: units.serials(&[apart.unit]),
                words: format!(
                    "{word} of {}: {} against {}, {} apart ({:.0} standard uncertainties): another variant, or worn?",
                    units.named(&[apart.unit]),
                    mm(pooled.value + apart.difference),
                    mm(pooled.value),
                    mm(apart.difference.abs()),
                    apart.sigmas
                ),
            });
        }
    }
    measured.sort_unstable();
    measured.dedup();
    let stated = part
        .members
        .iter()
        .find_map(|m| m.part.entry.stated_size.as_ref());
    if words.is_empty() {
        return stated.map_or_else(
            || PartSize::unknown("not measured"),
            |stated| PartSize {
                basis: SizeBasis::Stated,
                decided: true,
                measured: stated.text.clone(),
                ..PartSize::unknown("stated, not measured")
            },
        );
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
