//! Which design a trend of readings points to, and which seat explains it.

use super::balance::{Stage, StageFault, area};
use super::design::StageDesign;
use super::fit::{Line, fit_line};
use crate::core::quantity::{Length, as_mm};
use crate::core::uncertainty::{normal_quantile, shares_of_log_weights};
use crate::core::word::words;
use serde::Serialize;

/// Names what a trend alone can tell apart: the two balanced designs look alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum DesignGroup {
    /// Falls with the supply.
    #[serde(rename = "unbalanced piston")]
    UnbalancedPiston,
    /// Stays: piston or diaphragm.
    #[serde(rename = "balanced (piston or diaphragm)")]
    Balanced,
    /// Rises as the supply falls.
    #[serde(rename = "unbalanced diaphragm")]
    UnbalancedDiaphragm,
}

words!(DesignGroup {
    UnbalancedPiston => "unbalanced piston",
    Balanced => "balanced (piston or diaphragm)",
    UnbalancedDiaphragm => "unbalanced diaphragm",
});

impl DesignGroup {
    /// Returns the group of a design.
    pub const fn of(design: StageDesign) -> Self {
        match design {
            StageDesign::UnbalancedPiston => Self::UnbalancedPiston,
            StageDesign::UnbalancedDiaphragm => Self::UnbalancedDiaphragm,
            StageDesign::BalancedPiston | StageDesign::BalancedDiaphragm => Self::Balanced,
        }
    }
}

/// The odds of one design.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DesignOdds {
    pub design: StageDesign,
    /// Its probability, every design held equally common beforehand.
    pub probability: f64,
}

/// What a trend of readings says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trend {
    /// Change of the intermediate pressure in bar a bar of supply.
    pub slope: f64,
    /// Its standard uncertainty.
    pub slope_sd: f64,
    /// The line, for levels at other supplies; bar over bar.
    #[serde(skip)]
    pub line: Line,
    /// Odds, likeliest first; empty where the slope names no design.
    pub odds: Vec<DesignOdds>,
    /// The design named; `None` means that it cannot be told.
    pub named: Option<DesignGroup>,
    /// Probability of the likeliest group.
    pub named_probability: f64,
}

/// A group is named from these odds on.
const NAMED_FROM: f64 = 0.9;
/// Steps in which the slope of each design is summed.
const STEPS: u32 = 60;
/// Median and spread (of the logarithm) of the slope of unbalanced designs: seat circles of 1.8 to 3.2 mm under heads of
/// 22 to 32 mm, a reported fall of 20 psi over 2,500 psi (0.008) in the middle. Recalled ranges, not a survey.
const UNBALANCED_SLOPE: f64 = 0.008;
const UNBALANCED_LOG_SD: f64 = 0.5;
/// Spread of the slope of balanced designs: 0.002 (5 psi over 2,500 psi) is called balanced in practice (recalled), taken
/// as the 95 % point.
const BALANCED_SLOPE_SD: f64 = 0.001;

/// A slope is never taken as sharper than this: the summed slopes lie about so far apart, and gauges are not straight.
const LEAST_SLOPE_SD: f64 = 0.0004;

/// Says which design two or more readings (supply, pressure; both bar) point to.
///
/// The level is free; the slope of each design has the spread of the constants above, and is summed over its quantiles.
/// `sd_bar`: standard uncertainty of one reading, friction included. `None` where all readings have one supply.
pub fn infer_design(points: &[(f64, f64)], sd_bar: f64) -> Option<Trend> {
    let plain = slope_alone(points, sd_bar)?;
    let weights = StageDesign::ALL.map(|design| log_evidence(design, &plain.line));
    let shares = shares_of_log_weights(&weights);
    let pairs = StageDesign::ALL.into_iter().zip(shares);
    let mut odds: Vec<DesignOdds> = pairs
        .map(|(design, probability)| DesignOdds {
            design,
            probability,
        })
        .collect();
    odds.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    let (group, named_probability) = likeliest_group(&odds);
    Some(Trend {
        odds,
        named: (named_probability >= NAMED_FROM).then_some(group),
        named_probability,
        ..plain
    })
}

/// Fits the slope of readings (supply, pressure; both bar) and names no design, for gear whose slopes are not known.
pub(super) fn slope_alone(points: &[(f64, f64)], sd_bar: f64) -> Option<Trend> {
    let line = fit_line(points, sd_bar, None)?;
    Some(Trend {
        slope: line.slope,
        slope_sd: line.slope_sd,
        line,
        odds: Vec::new(),
        named: None,
        named_probability: 0.0,
    })
}

fn likeliest_group(odds: &[DesignOdds]) -> (DesignGroup, f64) {
    let mut best = (DesignGroup::Balanced, 0.0);
    for (group, _) in DesignGroup::ALL {
        let own = odds.iter().filter(|o| DesignGroup::of(o.design) == group);
        let share: f64 = own.map(|o| o.probability).sum();
        if share > best.1 {
            best = (group, share);
        }
    }
    best
}

/// Logarithm of the likelihood of the fitted slope, averaged over the slopes that the design has.
///
/// The slope is sufficient: with a free level the residuals do not depend on the design.
fn log_evidence(design: StageDesign, line: &Line) -> f64 {
    let mut sum = 0.0;
    for step in 0..STEPS {
        let quantile = normal_quantile((f64::from(step) + 0.5) / f64::from(STEPS));
        let slope = match design {
            StageDesign::UnbalancedPiston => unbalanced(quantile),
            StageDesign::UnbalancedDiaphragm => -unbalanced(quantile),
            StageDesign::BalancedPiston | StageDesign::BalancedDiaphragm => {
                BALANCED_SLOPE_SD * quantile
            }
        };
        let z = (line.slope - slope) / line.slope_sd.max(LEAST_SLOPE_SD);
        sum += libm::exp(-0.5 * z * z);
    }
    libm::log((sum / f64::from(STEPS)).max(f64::MIN_POSITIVE))
}

fn unbalanced(quantile: f64) -> f64 {
    UNBALANCED_SLOPE * libm::exp(UNBALANCED_LOG_SD * quantile)
}

/// The sealing circle that explains a slope, with its doubt.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ExplainedSeat {
    /// The circle: the seat of an unbalanced design or of a balanced diaphragm, the edge of a balanced piston.
    #[serde(rename = "diameter_mm", serialize_with = "as_mm")]
    pub diameter: Length,
    /// Standard uncertainty in millimetres, from the slope alone.
    pub sd_mm: f64,
}

/// Returns the sealing circle that explains `slope`, the other sizes of `stage` being right.
///
/// The balances are solved for the circle: `As = m (Ah − At)/(1 − m)` of a piston, `Ae = (Ash − m Ah)/(1 − m)` of a
/// balanced one, `As = −m Ad/(1 − m)` of a diaphragm, `As = Ab − m Ad/(1 − m)` of a balanced one, with the slope `m`.
///
/// # Errors
/// A geometry that is none. `Ok(None)` where no circle explains the slope.
pub fn explain_seat(
    stage: &Stage,
    slope: f64,
    slope_sd: f64,
) -> Result<Option<ExplainedSeat>, StageFault> {
    stage.balance()?;
    let middle = circle_mm(stage, slope);
    let side = circle_mm(stage, slope + slope_sd).or_else(|| circle_mm(stage, slope - slope_sd));
    let found = middle.zip(side).and_then(|(middle, side)| {
        Some(ExplainedSeat {
            diameter: Length::from_mm(middle)?,
            sd_mm: (side - middle).abs(),
        })
    });
    Ok(found)
}

fn circle_mm(stage: &Stage, m: f64) -> Option<f64> {
    let circle = match *stage {
        Stage::UnbalancedPiston { head, stem, .. } => m * (area(head) - area(stem)) / (1.0 - m),
        Stage::BalancedPiston { head, shaft, .. } => (area(shaft) - m * area(head)) / (1.0 - m),
        Stage::UnbalancedDiaphragm { diaphragm, .. } => -m * area(diaphragm) / (1.0 - m),
        // With E = Ad − As + Ab and S = Ab − As: S/(Ad + S) = m, so S = m Ad/(1 − m).
        Stage::BalancedDiaphragm {
            diaphragm, tail, ..
        } => area(tail) - m * area(diaphragm) / (1.0 - m),
    };
    (circle > 0.0).then(|| libm::sqrt(circle / std::f64::consts::FRAC_PI_4))
}
