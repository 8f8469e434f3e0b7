//! What a ring should be made of, from the duty that all units together give it.

use super::gather::Gathered;
use super::model_units::{ModelUnits, harder_motion};
use super::part_line::PartMaterial;
use super::seal_check::{RingInGland, SealCheck};
use crate::core::elastomer::{ElastomerChoice, SealDuty};
use crate::core::quantity::Hardness;
use crate::core::sizes::SizeTable;

/// The harder of the two usual hardnesses, Shore A.
const HARD: f64 = 90.0;

/// Returns the most demanding duty over all units that have the ring.
pub(super) fn duty_of(part: &Gathered<'_>, units: &ModelUnits<'_>) -> SealDuty {
    let mut duty = units.hardest_duty();
    for gland in part.members.iter().filter_map(|m| m.entry.gland.as_ref()) {
        duty.motion = harder_motion(duty.motion, gland.duty);
        let here = gland.pressure.as_ref().map(|p| p.value);
        duty.pressure = match (duty.pressure, here) {
            (Some(known), Some(other)) if other.bar() <= known.bar() => Some(known),
            (known, other) => other.or(known),
        };
    }
    duty
}

/// Turns a choice into the material of a line; where the gap beside the groove is too wide for the usual hardness and not
/// for the harder one, the harder one is taken.
pub(super) fn ring_material(
    choice: &ElastomerChoice,
    ring: Option<usize>,
    seals: &SealCheck<'_>,
) -> PartMaterial {
    let mut hardness = choice.hardness;
    let mut reason = format!("{}; {}", choice.polymer_reason, choice.hardness_reason);
    let harder = Hardness::shore_a(HARD);
    if let Some(ring) = ring
        && hardness.is_some_and(|h| h.value < HARD)
    {
        let verdict = |hardness| {
            seals.worst(RingInGland {
                ring: &SizeTable::shipped().rings()[ring],
                polymer: choice.polymer,
                hardness,
            })
        };
        if verdict(harder) < verdict(hardness) {
            hardness = harder;
            reason = format!(
                "{}; the gap beside the groove is too wide for 70 Shore A at this pressure",
                choice.polymer_reason
            );
        }
    }
    PartMaterial {
        polymer: choice.polymer,
        hardness,
        material: None,
        reason,
        material_source: Some(choice.source.to_owned()),
        material_confidence: Some(choice.confidence),
    }
}

/// Names recorded materials that the duty speaks against.
pub(super) fn contradictions(
    part: &Gathered<'_>,
    units: &ModelUnits<'_>,
    choice: &ElastomerChoice,
    duty: &SealDuty,
) -> Vec<String> {
    let mut found = Vec::new();
    for member in &part.members {
        let entry = member.entry;
        let polymer = entry.polymer.as_ref().map(|p| p.value);
        let hardness = entry.hardness.as_ref().map(|h| h.value);
        let unit = units.named(&[member.unit]);
        let words = choice.contradictions(duty, units.threshold, polymer, hardness);
        found.extend(words.into_iter().map(|words| format!("{unit}: {words}")));
    }
    found
}
