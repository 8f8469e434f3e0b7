//! Probabilities and lengths in the words of a parts list.

use crate::core::count::counted;

/// Writes a probability as a whole percentage that never claims certainty.
pub(super) fn percent(probability: f64) -> String {
    const LEAST: f64 = 0.01;
    if probability < LEAST {
        "<1 %".to_owned()
    } else if probability > 1.0 - LEAST {
        ">99 %".to_owned()
    } else {
        format!("{:.0} %", probability * 100.0)
    }
}

/// Writes a length in millimetres to the hundredth.
pub(super) fn mm(value: f64) -> String {
    format!("{value:.2} mm")
}

/// Says in words what a reading or a fact that brings so many bits tells.
pub fn worth(bits: f64) -> &'static str {
    match bits {
        bits if bits >= 1.0 => "settles it",
        bits if bits >= 0.3 => "worth it",
        _ => "tells little",
    }
}

/// Writes how many units there are.
pub(super) fn units(count: usize) -> String {
    counted(count, "unit", "units")
}
