//! How wide the gap behind a ring may be.

use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::elastomer::Polymer;
use crate::core::quantity::{Length, NM_PER_INCH};
use serde::Deserialize;
use std::sync::LazyLock;

#[derive(Debug, Deserialize)]
struct ExtrusionRow {
    set: String,
    pressure_psi_to: Option<f64>,
    #[serde(rename = "shore_A")]
    shore_a: f64,
    max_diametral_clearance_in: String,
    source: String,
    confidence: Confidence,
}

static ROWS: LazyLock<Vec<ExtrusionRow>> =
    LazyLock::new(|| shipped_rows!("glands/extrusion_limits.csv"));

/// The set whose rows cover two hardnesses; the other rows of the file serve as checks.
const SET: &str = "diametral_70_90";
const SOFT: f64 = 70.0;
const HARD: f64 = 90.0;
/// A pressure typed as a printed step comes back from pascals with round-off.
const ROUND_OFF_PSI: f64 = 1e-6;

/// Above this pressure a back-up ring is to be considered for every seal with a gap, in psi.
///
/// Source: Parker, section IV (design guide), read; 103.5 bar.
pub const BACK_UP_PSI: f64 = 1500.0;

/// The widest diametral clearance for a pressure and a hardness.
#[derive(Debug, Clone, PartialEq)]
pub struct ExtrusionLimit {
    /// The clearance in millimetres; `None` above the table, where a back-up ring is called for.
    pub clearance_mm: Option<f64>,
    /// How it was found, in words.
    pub rule: String,
    /// Whether the ring is softer than the table covers, so that the limit is only an upper bound of the true one.
    pub softer_than_table: bool,
    pub source: &'static str,
    pub confidence: Confidence,
}

/// Returns the widest diametral clearance for a gauge pressure in psi and a Shore A hardness.
///
/// The table steps by pressure: the row whose upper end is not below the pressure governs. Between 70 and 90 Shore A the
/// limit is interpolated in a straight line (this program's choice; the table prints the two ends); harder rings keep that
/// of 90. Silicone and fluorosilicone take half. Source: data/glands/extrusion_limits.csv.
pub fn extrusion_limit(psi: f64, shore: f64, polymer: Option<Polymer>) -> ExtrusionLimit {
    let (soft, hard) = (step(psi, SOFT), step(psi, HARD));
    let row = soft.or_else(|| ROWS.iter().find(|row| row.set == SET));
    let (source, confidence) = row.map_or(("", Confidence::Memory), |row| {
        (row.source.as_str(), row.confidence)
    });
    let (Some(soft), Some(hard)) = (soft, hard) else {
        return ExtrusionLimit {
            clearance_mm: None,
            rule: "above 3000 psi, where the table ends: fit a back-up ring".to_owned(),
            softer_than_table: false,
            source,
            confidence,
        };
    };
    let share = ((shore - SOFT) / (HARD - SOFT)).clamp(0.0, 1.0);
    let clearance = soft.clearance() + share * (hard.clearance() - soft.clearance());
    let halved = matches!(polymer, Some(Polymer::Vmq | Polymer::Fvmq));
    let step = soft.pressure_psi_to.unwrap_or(0.0);
    let hardness = if shore < SOFT {
        format!("70 Shore A; none is printed for {shore} Shore A, which bears less")
    } else if share > 0.0 && share < 1.0 {
        format!("{shore} Shore A between the printed 70 and 90 by straight line")
    } else {
        format!("{} Shore A", if share > 0.5 { HARD } else { SOFT })
    };
    let mut rule = format!("diametral clearance up to {step} psi, {hardness}");
    if halved {
        rule.push_str(", halved for silicone (Parker, section IV)");
    }
    ExtrusionLimit {
        clearance_mm: Some(if halved { clearance / 2.0 } else { clearance }),
        rule,
        softer_than_table: shore < SOFT,
        source,
        confidence,
    }
}

fn step(psi: f64, shore: f64) -> Option<&'static ExtrusionRow> {
    ROWS.iter()
        .filter(|row| row.set == SET && (row.shore_a - shore).abs() < f64::EPSILON)
        .find(|row| {
            row.pressure_psi_to
                .is_some_and(|to| psi <= to + ROUND_OFF_PSI)
        })
}

impl ExtrusionRow {
    /// Returns the clearance in millimetres, from the printed inches.
    fn clearance(&self) -> f64 {
        const THOUSANDTHS: f64 = 1000.0;
        let inches: f64 = self.max_diametral_clearance_in.parse().unwrap_or(0.0);
        #[allow(
            clippy::cast_possible_truncation,
            reason = "table values lie below one inch"
        )]
        let thousandths = (inches * THOUSANDTHS).round() as i64;
        Length::from_nm(thousandths * (NM_PER_INCH / 1000)).mm()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(psi: f64, shore: f64) -> Option<f64> {
        extrusion_limit(psi, shore, None)
            .clearance_mm
            .map(|mm| (mm / 25.4 * 1e6).round() / 1e6)
    }

    #[test]
    fn the_printed_clearances_are_reproduced() {
        // Seal & Design, limits of diametral clearance: inches at 500, 1000, 1500, 2000, 3000 psi.
        let steps = [500.0, 1000.0, 1500.0, 2000.0, 3000.0];
        for (psi, gap) in steps.iter().zip([0.016, 0.010, 0.006, 0.004, 0.002]) {
            assert_eq!(inches(*psi, 70.0), Some(gap));
        }
        for (psi, gap) in steps.iter().zip([0.028, 0.024, 0.020, 0.016, 0.010]) {
            assert_eq!(inches(*psi, 90.0), Some(gap));
        }
    }

    #[test]
    fn sixteen_thousandths_at_1000_psi_fail_at_70_shore_and_pass_at_80() {
        // Apple Rubber, illustration 5.2: .016 in at 1000 psi is not acceptable at 70 Shore A and is at 80.
        assert!(inches(1000.0, 70.0) < Some(0.016));
        assert!(inches(1000.0, 80.0) >= Some(0.016));
    }

    #[test]
    fn above_the_table_no_gap_is_allowed_and_silicone_takes_half() {
        assert_eq!(inches(3000.1, 90.0), None);
        let half = extrusion_limit(400.0, 70.0, Some(Polymer::Vmq));
        assert!((half.clearance_mm.unwrap_or(0.0) - 0.2032).abs() < 1e-9);
        assert!(extrusion_limit(400.0, 60.0, None).softer_than_table);
    }
}
