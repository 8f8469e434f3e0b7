//! What the gas of a note asks of whoever works on the unit.

use super::diagnostic::Diagnostics;
use super::header_draft::HeaderDraft;
use crate::core::gas::{Doubt, GasService, OxygenThreshold};
use crate::core::quantity::Span;

/// Reviews what is said of the gas; a note that says nothing of it is not warned about here.
pub(super) fn gas(draft: &HeaderDraft, top: Span, out: &mut Diagnostics) {
    let header = &draft.header;
    if header.gas.is_none() && header.oxygen.is_none() {
        return;
    }
    let threshold = OxygenThreshold::default();
    let place = |key: &str| draft.span_of(key).unwrap_or(top);
    match header.gas_statement().judge(&threshold) {
        GasService::Air | GasService::Other { .. } => {}
        GasService::Enriched { share: None } => {
            if draft.span_of("oxygen").is_none() {
                out.danger(
                    place("gas"),
                    "the share of oxygen in this gas is not stated",
                    "say it, as in: oxygen 32 %",
                );
            }
        }
        GasService::Enriched { share: Some(_) } => {
            let stated = header.oxygen.as_ref().filter(|o| o.value > threshold.share);
            let (words, key) = match (stated, &header.gas) {
                (Some(share), _) => (format!("{} oxygen", share.text), "oxygen"),
                (None, gas) => (gas.clone().unwrap_or_default(), "gas"),
            };
            out.danger(
                place(key),
                format!(
                    "{words} is above {threshold}, from where this program treats a gas as oxygen-enriched"
                ),
                "materials, cleaning and lubricant must be those for oxygen, by the code that applies to you",
            );
        }
        GasService::Unsettled { doubts, .. } => unsettled(draft, &doubts, place("gas"), out),
    }
}

/// Warns of a gas that is not settled, where the first doubt lies.
fn unsettled(draft: &HeaderDraft, doubts: &[Doubt], gas: Span, out: &mut Diagnostics) {
    let Some(first) = doubts.first() else {
        return;
    };
    let words = draft.header.gas.as_deref().unwrap_or_default();
    // Where the words were written with escapes, places in them are not places in the note.
    let plain = gas.end - gas.start == words.len();
    let inside = first.span().filter(|_| plain);
    let why: Vec<String> = doubts.iter().map(ToString::to_string).collect();
    out.danger(
        inside.map_or(gas, |span| span.shifted(gas.start)),
        format!(
            "the gas is not settled: {}; it is treated as oxygen-enriched",
            why.join("; ")
        ),
        first.remedy(),
    );
}
