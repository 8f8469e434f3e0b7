//! What a stage of known geometry should do: pressure over the supply, slope, lock-up, droop, friction; and what readings
//! say of its seat and spring.

use crate::core::caution::Caution;
use crate::core::quantity::Spoken;
use crate::core::quantity::{Force, Length, Pressure, PressureUnit};
use crate::core::stage::{
    Balance, ExplainedSeat, READING_SD_BAR, SettingReading, Stage, StageFault, Step, above_surface,
    cautions, explain_seat, infer_design, sudden_fill_celsius,
};
use serde::Serialize;

/// What is asked of a stage.
#[derive(Debug, Clone)]
pub struct ExpectedQuestion {
    pub stage: Stage,
    /// The main spring's force as it is set; `None`: from the readings.
    pub spring: Option<Force>,
    /// The spring's rate in N/mm, for droop and shims.
    pub rate: Option<f64>,
    /// Lift under flow.
    pub lift: Option<Length>,
    /// Force that indents the seat at lock-up.
    pub bite: Option<Force>,
    pub friction: Option<Force>,
    /// Supplies to work out.
    pub supplies: Vec<Pressure>,
    /// The unit in which pressures were typed.
    pub spoken: Spoken,
    /// The unit in which supplies were typed.
    pub supply_spoken: Spoken,
    /// Readings to explain.
    pub readings: Vec<SettingReading>,
    /// A depth, as the pressure of the surroundings above the surface.
    pub ambient: Option<Pressure>,
}

/// The pressure at one supply, in bar.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ExpectedPoint {
    pub supply_bar: f64,
    /// Just closed.
    pub balance_bar: f64,
    pub lock_up_bar: f64,
    /// Under flow at the lift.
    pub flowing_bar: Option<f64>,
}

/// What a stage should do.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ExpectedReport {
    pub stage: Stage,
    /// The unit of the reader.
    #[serde(skip)]
    pub spoken: Spoken,
    /// The unit of the reader for supplies.
    #[serde(skip)]
    pub supply_spoken: Spoken,
    pub balance: Balance,
    /// Spring force in newtons, stated or explained.
    pub spring_n: f64,
    /// Its standard uncertainty, where it was explained by readings.
    pub spring_sd_n: Option<f64>,
    /// Change in bar a bar of supply.
    pub slope: f64,
    pub points: Vec<ExpectedPoint>,
    /// Spread of readings by friction, ± bar.
    pub friction_bar: Option<f64>,
    /// Rise a millimetre of shim, in bar.
    pub rise_bar_per_mm: Option<f64>,
    /// The sealing circle that explains the slope of the readings.
    pub explained_seat: Option<ExplainedSeat>,
    /// Slope of the readings with its standard uncertainty.
    pub read_slope: Option<(f64, f64)>,
    /// At the depth: surroundings, and the pressure at the highest supply counted from the surface, in bar.
    pub at_depth_bar: Option<(f64, f64)>,
    /// Temperature in °C to which gas at 20 °C heats when the highest supply is let in at once; an upper bound.
    pub sudden_fill_celsius: Option<f64>,
    /// Points to see.
    pub warnings: Vec<String>,
    pub cautions: Vec<Caution>,
}

/// The room from which gas is let in, in °C.
const ROOM_CELSIUS: f64 = 20.0;

/// Says why nothing can be said.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ExpectedError {
    /// The geometry.
    #[error(transparent)]
    Stage(#[from] StageFault),
    /// Neither force nor readings.
    #[error(
        "the spring's force is not known: give --spring FORCE, or --reading to work it out from"
    )]
    NoSpring,
}

/// Works out what a stage should do.
///
/// # Errors
/// A geometry that is none, or neither spring nor readings.
pub fn stage_expected(question: &ExpectedQuestion) -> Result<ExpectedReport, ExpectedError> {
    let balance = question.stage.balance()?;
    let (spring_n, spring_sd_n) = spring_force(question, &balance)?;
    let spring = Force::from_newtons(spring_n).ok_or(ExpectedError::NoSpring)?;
    let bite = question
        .bite
        .map_or(0.0, |force| balance.bar_of_force(force));
    let droop = question
        .rate
        .zip(question.lift)
        .map(|(rate, lift)| balance.bar_of_travel(rate, lift));
    let points = question.supplies.iter().map(|supply| {
        let at = balance.pressure_bar(spring, *supply);
        ExpectedPoint {
            supply_bar: supply.bar(),
            balance_bar: at,
            lock_up_bar: at + bite,
            flowing_bar: droop.map(|droop| at - droop),
        }
    });
    let read: Vec<(f64, f64)> = question
        .readings
        .iter()
        .map(|r| (r.supply_bar(), r.bar()))
        .collect();
    let trend = infer_design(&read, READING_SD_BAR);
    let explained_seat = match &trend {
        Some(trend) => explain_seat(&question.stage, trend.slope, trend.slope_sd)?,
        None => None,
    };
    let points: Vec<ExpectedPoint> = points.collect();
    let highest = question.supplies.iter().copied().max_by(|a, b| {
        let bar = |p: &Pressure| p.bar();
        bar(a).total_cmp(&bar(b))
    });
    let at_depth = |ambient: Pressure| {
        let set = balance.pressure_bar(spring, highest?);
        let set = Pressure::gauge(set, PressureUnit::Bar)?;
        let whole = above_surface(set, ambient)?;
        Some((ambient.bar(), whole.bar()))
    };
    Ok(ExpectedReport {
        spoken: question.spoken,
        supply_spoken: question.supply_spoken,
        at_depth_bar: question.ambient.and_then(at_depth),
        sudden_fill_celsius: highest.map(|supply| sudden_fill_celsius(ROOM_CELSIUS, supply)),
        points,
        slope: balance.slope(),
        friction_bar: question.friction.map(|force| balance.bar_of_force(force)),
        rise_bar_per_mm: question
            .rate
            .zip(Length::from_mm(1.0))
            .map(|(rate, one)| balance.bar_of_travel(rate, one)),
        warnings: warnings(trend.is_some(), explained_seat.is_some()),
        read_slope: trend.map(|trend| (trend.slope, trend.slope_sd)),
        explained_seat,
        stage: question.stage,
        balance,
        spring_n,
        spring_sd_n,
        cautions: cautions(Step::Seat).to_vec(),
    })
}

fn spring_force(
    question: &ExpectedQuestion,
    balance: &Balance,
) -> Result<(f64, Option<f64>), ExpectedError> {
    if let Some(spring) = question.spring {
        return Ok((spring.newtons(), None));
    }
    let forces: Vec<f64> = question
        .readings
        .iter()
        .map(|r| balance.spring_newtons(r.pressure, r.supply))
        .collect();
    if forces.is_empty() {
        return Err(ExpectedError::NoSpring);
    }
    let count = forces.len() as f64;
    let one = READING_SD_BAR * 0.1 * balance.effective_mm2;
    Ok((forces.iter().sum::<f64>() / count, Some(one / count.sqrt())))
}

fn warnings(sloped: bool, explained: bool) -> Vec<String> {
    let mut notes = vec![
        "sizes are those of sealing circles, not of holes; a dressed seat or edge has another"
            .to_owned(),
    ];
    if sloped && !explained {
        notes.push("no sealing circle explains how these readings change with the supply: the design is another one, or a reading slipped".to_owned());
    }
    notes
}
