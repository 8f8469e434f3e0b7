//! Works out the rate of a spring, its coil bind and its preload.

use crate::core::caution::Caution;
use crate::core::quantity::{Force, Length, Pressure};
use crate::core::stage::{
    Balance, ForcePoint, Magnet, Preload, PreloadVerdict, Rate, SpringFault, SpringShape, Step,
    cautions, rate_from_points, rate_of_unit, spring_materials,
};
use serde::Serialize;

/// How the rate is to be found.
#[derive(Debug, Clone)]
pub enum RateBy {
    /// From two points: the points, and the standard uncertainties of a force and a length.
    Points([ForcePoint; 2], Force, Length),
    /// From the shape, for every material that it may be.
    Shape {
        shape: SpringShape,
        material: Option<String>,
        magnet: Option<Magnet>,
    },
    /// From the unit: a thickness of shim, the rise in bar with its standard uncertainty.
    Unit(Length, (f64, f64)),
    Stated(Rate),
}

/// What is asked of a spring.
#[derive(Debug, Clone)]
pub struct SpringQuestion {
    /// How the rate is found.
    pub by: RateBy,
    pub free: Option<Length>,
    /// Pressure it must hold, and the supply.
    pub holds: Option<(Pressure, Pressure)>,
    /// The force balance of the stage.
    pub balance: Option<Balance>,
}

/// The rate for one material or one way.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RateLine {
    /// The material, or how it was found.
    pub by: String,
    pub rate: Rate,
    /// Rate in pounds-force an inch.
    pub lbf_per_in: f64,
    /// What it must do, where a pressure to hold was given.
    pub preload: Option<Preload>,
    /// Where the modulus comes from.
    pub source: String,
}

/// What is known of a spring.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpringReport {
    /// One line a material or way.
    pub rates: Vec<RateLine>,
    /// Length at which the coils touch, in millimetres.
    pub solid_mm: Option<f64>,
    /// Travel from free to solid, in millimetres.
    pub travel_to_bind_mm: Option<f64>,
    /// Points to see.
    pub warnings: Vec<String>,
    /// Cautions of the step.
    pub cautions: Vec<Caution>,
}

/// Says why a spring cannot be worked out.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SpringError {
    /// The spring itself.
    #[error(transparent)]
    Spring(#[from] SpringFault),
    /// No material is left.
    #[error(
        "no spring material of the table fits: write music_wire, stainless, 17-7PH, phosphor_bronze, beryllium_copper or nickel_copper, and --magnet strong, weak or none"
    )]
    NoMaterial,
    /// The balance is needed.
    #[error(
        "the stage is needed for that: --design with its sizes (ringwright spring --help lists them)"
    )]
    NoStage,
    /// The spring would have to pull.
    #[error("no spring is needed to hold that pressure at that supply: check both")]
    NoForce,
}

/// Works out a spring.
///
/// # Errors
/// Says what is missing or contradicts itself.
pub fn spring(question: &SpringQuestion) -> Result<SpringReport, SpringError> {
    let solid = match &question.by {
        RateBy::Shape { shape, .. } => Some(shape.solid_mm()),
        _ => None,
    };
    let lengths = question.free.map(Length::mm).zip(solid);
    let holding = match (question.holds, question.balance) {
        (None, _) => None,
        (Some(_), None) => return Err(SpringError::NoStage),
        (Some((pressure, supply)), Some(balance)) => {
            let force = balance.spring_newtons(pressure, supply);
            let force = Force::from_newtons(force).filter(|f| f.newtons() > 0.0);
            Some(force.ok_or(SpringError::NoForce)?)
        }
    };
    let mut rates = rates(question)?;
    for line in &mut rates {
        line.preload = holding.map(|force| Preload::judge(line.rate, force, lengths));
    }
    Ok(SpringReport {
        warnings: warnings(&rates, lengths),
        rates,
        solid_mm: solid,
        travel_to_bind_mm: lengths.map(|(free, solid)| free - solid),
        cautions: cautions(Step::Spring).to_vec(),
    })
}

fn line(by: &str, rate: Rate, source: impl Into<String>) -> RateLine {
    RateLine {
        by: by.to_owned(),
        lbf_per_in: rate.lbf_per_in(),
        rate,
        preload: None,
        source: source.into(),
    }
}

fn rates(question: &SpringQuestion) -> Result<Vec<RateLine>, SpringError> {
    match &question.by {
        RateBy::Stated(rate) => Ok(vec![line("stated", *rate, "as typed")]),
        RateBy::Points(points, force_sd, length_sd) => {
            let rate = rate_from_points(*points, *force_sd, *length_sd)?;
            Ok(vec![line("two points", rate, "measured")])
        }
        RateBy::Unit(thickness, rise) => {
            let balance = question.balance.ok_or(SpringError::NoStage)?;
            let rate = rate_of_unit(&balance, *thickness, rise.0, rise.1)?;
            Ok(vec![line("the unit itself", rate, "measured")])
        }
        RateBy::Shape {
            shape,
            material,
            magnet,
        } => {
            let rows = spring_materials(Some(shape.wire), material.as_deref(), *magnet);
            if rows.is_empty() {
                return Err(SpringError::NoMaterial);
            }
            rows.iter()
                .map(|row| {
                    // The range seen is taken as a 95 % band.
                    let sd = (row.high_gpa - row.low_gpa) / 4.0;
                    let rate = shape.rate(row.shear_modulus_gpa, sd)?;
                    let source = format!(
                        "G {} GPa: {} ({})",
                        row.shear_modulus_gpa, row.source, row.confidence
                    );
                    Ok(line(&row.name, rate, source))
                })
                .collect()
        }
    }
}

fn warnings(rates: &[RateLine], lengths: Option<(f64, f64)>) -> Vec<String> {
    let mut notes = Vec::new();
    if rates.len() > 1 {
        notes.push("the material is not settled: steels hold a magnet strongly, cold-drawn stainless weakly, bronze and beryllium copper not at all; bronze has about half the rate of steel".to_owned());
    }
    for line in rates {
        let Some(preload) = line.preload else {
            continue;
        };
        match preload.verdict {
            PreloadVerdict::Plausible => {}
            PreloadVerdict::Doubtful => notes.push(format!(
                "{}: a preload of {:.1} mm is seldom built: check material, coils and the pressure it holds",
                line.by, preload.travel_mm
            )),
            PreloadVerdict::Impossible => notes.push(format!(
                "{}: the coils would touch before that pressure is held: this is not its rate, or not its spring",
                line.by
            )),
        }
    }
    if lengths.is_some_and(|(free, solid)| free <= solid) {
        notes.push("the free length is not longer than the coils lying on each other: count and measure again".to_owned());
    }
    notes
}
