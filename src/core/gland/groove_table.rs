//! The published tables of grooves by section.

use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use serde::{Deserialize, Deserializer};
use std::sync::LazyLock;

/// One printed groove of an industrial table, in inches.
#[derive(Debug, Clone, Deserialize)]
pub struct PrintedGroove {
    /// What the row is for.
    pub seal_type: String,
    pub cs_in: f64,
    pub depth_min_in: f64,
    pub depth_max_in: f64,
    pub diam_clear_min_in: Option<f64>,
    pub diam_clear_max_in: Option<f64>,
    /// Least width without back-up ring.
    pub width0_min_in: f64,
    pub width0_max_in: f64,
    /// Least width with one back-up ring, where printed.
    pub width1_min_in: Option<f64>,
    pub width1_max_in: Option<f64>,
    pub width2_min_in: Option<f64>,
    pub width2_max_in: Option<f64>,
    /// Least radius at the bottom.
    pub radius_min_in: f64,
    /// Greatest radius at the bottom, where printed.
    pub radius_max_in: Option<f64>,
    /// Greatest runout, where printed.
    pub ecc_max_in: Option<f64>,
    pub source: String,
    pub confidence: Confidence,
}

/// One printed groove of the metric table, in millimetres.
#[derive(Debug, Clone, Deserialize)]
pub struct PrintedHousing {
    /// What the row is for.
    pub seal_type: String,
    pub cs_mm: f64,
    pub depth_mm: f64,
    /// Its upper tolerance as printed; zero where none is.
    #[serde(deserialize_with = "plus")]
    pub depth_tol: f64,
    pub width_mm: f64,
    /// Its upper tolerance as printed.
    #[serde(deserialize_with = "plus")]
    pub width_tol: f64,
    /// Radius at the bottom.
    pub radius_mm: f64,
    pub source: String,
    pub confidence: Confidence,
}

static INCH: LazyLock<Vec<PrintedGroove>> =
    LazyLock::new(|| shipped_rows!("glands/industrial_inch.csv"));

static METRIC: LazyLock<Vec<PrintedHousing>> =
    LazyLock::new(|| shipped_rows!("glands/housing_metric.csv"));

/// A section is that of a row if it differs by no more.
const SAME_MM: f64 = 0.03;
const MM_PER_INCH: f64 = 25.4;

impl PrintedGroove {
    /// Finds the row of a seal type for a section in millimetres.
    pub fn of(seal_type: &str, section_mm: f64) -> Option<&'static Self> {
        INCH.iter().find(|row| {
            row.seal_type == seal_type && (row.cs_in * MM_PER_INCH - section_mm).abs() <= SAME_MM
        })
    }

    /// Returns by how many millimetres the printed groove that is nearest in depth is wider for so many back-up rings.
    pub(super) fn taken_by_back_ups(seal_type: &str, depth_mm: f64, back_ups: u8) -> f64 {
        let rows = INCH.iter().filter(|row| row.seal_type == seal_type);
        let far = |row: &&Self| {
            let printed = f64::midpoint(row.depth_min_in, row.depth_max_in);
            (printed * MM_PER_INCH - depth_mm).abs()
        };
        let nearest = rows.min_by(|a, b| far(a).total_cmp(&far(b)));
        let widths = nearest.and_then(|row| row.width_mm(back_ups).zip(row.width_mm(0)));
        widths.map_or(0.0, |((with, _), (without, _))| with - without)
    }

    /// Returns the widths in millimetres, least and greatest, for a number of back-up rings, where printed.
    ///
    /// The reciprocating table prints none with back-up rings; they are those of the static table of the same series.
    pub fn width_mm(&self, back_ups: u8) -> Option<(f64, f64)> {
        let pair = match back_ups {
            0 => (Some(self.width0_min_in), Some(self.width0_max_in)),
            1 => (self.width1_min_in, self.width1_max_in),
            _ => (self.width2_min_in, self.width2_max_in),
        };
        match pair {
            (Some(low), Some(high)) => Some((low * MM_PER_INCH, high * MM_PER_INCH)),
            _ if self.seal_type == "reciprocating" => {
                Self::of("static_radial", self.cs_in * MM_PER_INCH)?.width_mm(back_ups)
            }
            _ => None,
        }
    }
}

impl PrintedHousing {
    /// Finds the row of a seal type for a section in millimetres.
    pub fn of(seal_type: &str, section_mm: f64) -> Option<&'static Self> {
        METRIC
            .iter()
            .filter(|row| row.seal_type == seal_type)
            .find(|row| (row.cs_mm - section_mm).abs() <= SAME_MM)
    }
}

fn plus<'de, D: Deserializer<'de>>(printed: D) -> Result<f64, D::Error> {
    let printed = String::deserialize(printed)?;
    Ok(printed.trim_start_matches('+').parse().unwrap_or(0.0))
}
