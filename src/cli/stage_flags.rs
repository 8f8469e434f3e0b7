//! The flags that describe the inside of a pressure stage.

use super::one_of::one_of;
use super::read_by::{InUnit, reads};
use super::{CliError, Result, Settings};
use crate::core::quantity::{Force, Length, LengthUnit, Typed, parse_force, parse_pressure};
use crate::core::stage::{BELIEVED_CIRCLE_MM, Stage, StageDesign};
use clap::Args;

// Holds the geometry of a stage as typed.
#[derive(Debug, Clone, Default, Args)]
pub(super) struct StageFlags {
    /// The design
    #[arg(long, value_name = "DESIGN", help_heading = "The stage", value_parser = one_of::<StageDesign>())]
    pub(super) design: Option<StageDesign>,
    /// Bore in which the piston's head seals
    #[arg(long, value_name = "LENGTH", help_heading = "The stage")]
    pub(super) head: Option<InUnit>,
    /// Stem of an unbalanced piston where it seals in the body
    #[arg(long, value_name = "LENGTH", help_heading = "The stage")]
    pub(super) stem: Option<InUnit>,
    /// Sealing circle on the jet or seat, not its hole
    #[arg(long, value_name = "LENGTH", help_heading = "The stage")]
    pub(super) seat: Option<InUnit>,
    /// Shaft of a balanced piston where it passes its ring
    #[arg(long, value_name = "LENGTH", help_heading = "The stage")]
    pub(super) shaft: Option<InUnit>,
    /// Sharp edge of a balanced piston
    #[arg(long, value_name = "LENGTH", help_heading = "The stage")]
    pub(super) edge: Option<InUnit>,
    /// Effective diameter of a diaphragm, about the mean of clamp and pusher
    #[arg(long, value_name = "LENGTH", help_heading = "The stage")]
    pub(super) diaphragm: Option<InUnit>,
    /// Seal of a balanced poppet's tail
    #[arg(long, value_name = "LENGTH", help_heading = "The stage")]
    pub(super) tail: Option<InUnit>,
    /// Force of the poppet's own spring
    #[arg(long, value_name = "FORCE", help_heading = "The stage", value_parser = reads(parse_force))]
    pub(super) poppet_spring: Option<Typed<Force>>,
}

impl StageFlags {
    /// Returns the geometry, where a design and all of its sizes are stated.
    pub(super) fn stage(&self, settings: &Settings) -> Result<Option<Stage>> {
        let Some(design) = self.design else {
            return Ok(None);
        };
        let any = [
            &self.head,
            &self.stem,
            &self.seat,
            &self.shaft,
            &self.edge,
            &self.diaphragm,
            &self.tail,
        ];
        if any.iter().all(|flag| flag.is_none()) {
            return Ok(None);
        }
        let unit = settings.unit();
        let size = |flag: &'static str, typed: &Option<InUnit>| match typed {
            Some(typed) => circle(typed, unit),
            None => Err(CliError::input(format!(
                "{flag} is missing: the force balance of this design ({design}) needs it"
            ))),
        };
        let poppet_spring = self.poppet_spring.as_ref();
        let poppet_spring = poppet_spring.map_or_else(|| newtons(0.0), |typed| typed.value);
        Ok(Some(match design {
            StageDesign::UnbalancedPiston => Stage::UnbalancedPiston {
                head: size("--head", &self.head)?,
                stem: size("--stem", &self.stem)?,
                seat: size("--seat", &self.seat)?,
            },
            StageDesign::BalancedPiston => Stage::BalancedPiston {
                head: size("--head", &self.head)?,
                shaft: size("--shaft", &self.shaft)?,
                edge: size("--edge", &self.edge)?,
            },
            StageDesign::UnbalancedDiaphragm => Stage::UnbalancedDiaphragm {
                diaphragm: size("--diaphragm", &self.diaphragm)?,
                seat: size("--seat", &self.seat)?,
                poppet_spring,
            },
            StageDesign::BalancedDiaphragm => Stage::BalancedDiaphragm {
                diaphragm: size("--diaphragm", &self.diaphragm)?,
                seat: size("--seat", &self.seat)?,
                tail: size("--tail", &self.tail)?,
                poppet_spring,
            },
        }))
    }
}

/// Returns no force; zero is always in range.
fn newtons(value: f64) -> Force {
    Force::from_newtons(value).unwrap_or_else(|| unreachable!("0 N is in range"))
}

/// Reads the diameter of a sealing circle of a stage.
fn circle(typed: &InUnit, unit: Option<LengthUnit>) -> Result<Length> {
    let read = typed.length(unit)?;
    if BELIEVED_CIRCLE_MM.contains(&read.mm()) {
        return Ok(read);
    }
    Err(typed.wrong(format_args!(
        "no sealing circle of a stage has {} mm ({} to {} mm are believed): look at the unit",
        read.mm_rounded(),
        BELIEVED_CIRCLE_MM.start(),
        BELIEVED_CIRCLE_MM.end()
    )))
}

/// Reads a difference of pressures, such as `-1.5 psi`, in bar.
pub(super) fn pressure_difference(flag: &str, text: &str) -> Result<f64> {
    let trimmed = text.trim();
    let (sign, rest) = match trimmed.strip_prefix(['-', '−']) {
        Some(rest) => (-1.0, rest),
        None => (1.0, trimmed.strip_prefix('+').unwrap_or(trimmed)),
    };
    let read = parse_pressure(rest).map_err(|error| CliError::quantity(flag, rest, &error))?;
    Ok(sign * read.value.bar())
}
