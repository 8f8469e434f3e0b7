//! stub until the gas room lands
use crate::core::elastomer::{GasService, Polymer};

pub(super) fn asks_oxygen_care(service: &GasService) -> bool {
    !matches!(service, GasService::Air)
}
pub(super) fn unsettled(service: &GasService) -> Option<String> {
    match service {
        GasService::Other { words } => Some(format!("{words:?} is not known")),
        GasService::Unknown => Some("not recorded".to_owned()),
        _ => None,
    }
}
pub(super) fn polymer_unfit(polymer: Polymer, service: &GasService) -> Option<String> {
    let facts = polymer.facts();
    let rating = if asks_oxygen_care(service) {
        facts.enriched_gas
    } else {
        facts.breathing_air
    };
    rating
        .filter(|rating| *rating >= 3)
        .map(|rating| format!("rated {rating}"))
}
pub(super) fn lubricant_unfit(name: &str, service: &GasService) -> Option<String> {
    (name.contains("silicone") && asks_oxygen_care(service)).then(|| "air only".to_owned())
}
pub(super) fn share_of(service: &GasService) -> f64 {
    match service {
        GasService::Enriched { share } => share.unwrap_or(1.0),
        _ => 0.21,
    }
}
