//! The flags that describe a gland and its service.

use super::dialogue::{ask, can_ask};
use super::one_of::one_of;
use super::read_by::{InUnit, read_by, reads};
use super::{CliError, Result, Settings};
use crate::app::gland::question::{GlandQuestion, SAMPLES, SetAsked};
use crate::core::elastomer::Polymer;
use crate::core::gland::{
    Conditions, Duty, GlandDimension, GlandError, GlandKind, GlandSpec, Law, MOST_BACK_UPS, Metal,
    PortThread, PressureSide, RuleSet, geometry,
};
use crate::core::quantity::{
    Angle, Hardness, LengthUnit, Pressure, TemperatureRange, Typed, parse_angle, parse_dimension,
    parse_hardness, parse_pressure, parse_temperature_range,
};
use crate::render::groove_picture;
use clap::builder::ValueParserFactory;
use clap::{Arg, ArgMatches, Args, Command, FromArgMatches};

/// Says what a length is in the kinds that have it.
const fn help(dimension: GlandDimension) -> &'static str {
    use GlandDimension as D;
    match dimension {
        D::Bore => {
            "Piston: diameter of the bore; every length may carry its tolerance, as \"25.40+0.05/-0 mm\""
        }
        D::Groove => "Piston, rod: diameter at the bottom of the groove",
        D::Width => "Width of the groove",
        D::Piston => "Piston: diameter of the piston beside the groove (for the gap)",
        D::Rod => "Rod: diameter of the rod",
        D::Housing => "Rod: bore of the housing beside the groove (for the gap)",
        D::Outer => {
            "Face: outer diameter of the groove, for pressure from inside; counterbore: its diameter"
        }
        D::Inner => "Face: inner diameter of the groove, for pressure from outside",
        D::Depth => "Face, dovetail, counterbore: depth of the groove; port: depth of the cone",
        D::Neck => {
            "Crush, port, counterbore: diameter of the plug under its head, where the ring lies (thread relief)"
        }
        D::Mouth => "Crush, port: diameter of the chamfer or cone at the face",
        D::Chamfer => "Crush: radial leg of the chamfer, in place of --mouth",
        D::Centre => "Dovetail: mean diameter of the groove",
        D::Carrier => "Carrier: diameter of the seat carrier beside the groove (for the gap)",
        D::Radius => "Radius of the corners at the bottom of the groove",
        D::Lip => "Dovetail: radius of the lips",
        D::Runout => "Total runout of the groove to its part, as an indicator reads it",
    }
}

/// The lengths that were typed; each has a flag of its word.
#[derive(Debug)]
struct GlandLengths(Vec<(GlandDimension, InUnit)>);

impl Args for GlandLengths {
    fn augment_args(command: Command) -> Command {
        command.args(GlandDimension::ALL.map(|(dimension, word)| {
            Arg::new(word)
                .long(word)
                .value_name("LENGTH")
                .help_heading("The groove")
                .value_parser(InUnit::value_parser())
                .help(help(dimension))
        }))
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for GlandLengths {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let typed = GlandDimension::ALL
            .into_iter()
            .filter_map(|(dimension, word)| {
                let length = matches.get_one::<InUnit>(word)?;
                Some((dimension, length.clone()))
            });
        Ok(Self(typed.collect()))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

#[derive(Debug, Args)]
pub(super) struct GlandFlags {
    /// Kind of gland
    #[arg(long, value_name = "KIND", value_parser = one_of::<GlandKind>(), help_heading = "The groove")]
    kind: Option<GlandKind>,
    #[command(flatten)]
    lengths: GlandLengths,
    /// The part may rest on one side of its bore: the gap then opens the gland on the other
    #[arg(long, help_heading = "The groove")]
    side_shift: bool,
    /// Side walls leaning outwards (default 0 deg), chamfer or cone from the axis (45; 12 deg), undercut from the bottom (66)
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true, value_parser = reads(parse_angle), help_heading = "The groove")]
    angle: Option<Typed<Angle>>,
    /// Piston, rod, carrier: how many back-up rings the groove holds beside the ring
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(0..=i64::from(MOST_BACK_UPS)), help_heading = "The groove")]
    back_ups: Option<u8>,
    /// Port: its thread, as 7/16-20 or M14x1.5; fills in what was not measured
    #[arg(long, value_name = "THREAD", value_parser = read_by(|_, text| port(text)), help_heading = "The groove")]
    thread: Option<&'static PortThread>,
    /// Greatest pressure, as "200 bar" or "3000 psi"
    #[arg(allow_hyphen_values = true, long, value_name = "PRESSURE", value_parser = reads(parse_pressure), help_heading = "The service")]
    pressure: Option<Typed<Pressure>>,
    /// Side of the ring from which the pressure comes
    #[arg(long, value_name = "SIDE", value_parser = one_of::<PressureSide>(), help_heading = "The service")]
    from: Option<PressureSide>,
    /// How the parts move
    #[arg(long, value_name = "DUTY", value_parser = one_of::<Duty>(), help_heading = "The service")]
    duty: Option<Duty>,
    /// Hardness of the ring, as 70A
    #[arg(long, value_name = "HARDNESS", value_parser = reads(parse_hardness), help_heading = "The ring")]
    hardness: Option<Typed<Hardness>>,
    /// Polymer of the ring
    #[arg(long, value_name = "POLYMER", value_parser = one_of::<Polymer>(), help_heading = "The ring")]
    polymer: Option<Polymer>,
    /// Coldest and hottest temperature, as "-2..40 C"
    #[arg(long, value_name = "RANGE", allow_hyphen_values = true, value_parser = reads(parse_temperature_range), help_heading = "The service")]
    temperature: Option<Typed<TemperatureRange>>,
    /// Swell by volume in the medium, as "5 %"
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true, value_parser = reads(swell), help_heading = "The service")]
    swell: Option<f64>,
    /// Compression set by method B, as "30 %", or typical for the greatest published for the polymer
    #[arg(long, value_name = "PERCENT|typical", value_parser = reads(set), help_heading = "The service")]
    set: Option<SetAsked>,
    /// Age to which the set belongs, in years
    #[arg(long, value_name = "YEARS", requires = "set", value_parser = clap::value_parser!(u16).range(1..=200), help_heading = "The service")]
    years: Option<u16>,
    /// Thickness of the wall around the bore, for its growth under pressure
    #[arg(long, value_name = "LENGTH", help_heading = "The groove")]
    wall: Option<InUnit>,
    /// Law of the gland's dimensions: measured (normal), uniform or triangular (drawing); by how each is written if left out
    #[arg(long, value_name = "LAW", value_parser = one_of::<Law>(), help_heading = "The groove")]
    law: Option<Law>,
    /// Number of samples of the whole stack
    #[arg(long, value_name = "N", default_value_t = SAMPLES as u32, value_parser = clap::value_parser!(u32).range(1..=100_000_000))]
    samples: u32,
    /// Metal of the gland
    #[arg(long, value_name = "METAL", default_value = "brass", value_parser = one_of::<Metal>(), help_heading = "The groove")]
    metal: Metal,
    /// Rule set: industrial (tables by section), guides (suppliers' ranges), maxima (greatest values alone)
    #[arg(long, value_name = "SET", default_value = "industrial", value_parser = one_of::<RuleSet>())]
    rules: RuleSet,
}

impl GlandFlags {
    /// Reads every flag; a groove that was recorded is that of the question where a flag says nothing else. On a terminal, what
    /// the groove lacks is asked.
    ///
    /// # Errors
    /// Says which flag cannot be read and what to write.
    pub(super) fn question(
        &self,
        recorded: Option<GlandSpec>,
        settings: &Settings,
    ) -> Result<GlandQuestion> {
        let unit = settings.unit();
        let mut spec = self.spec(self.begun(recorded, settings)?, unit)?;
        if let Some(thread) = self.thread {
            if spec.kind != GlandKind::Port {
                return Err(CliError::input(
                    "--thread belongs to --kind port: leave it out, or write --kind port"
                        .to_owned(),
                ));
            }
            thread.complete(&mut spec);
        }
        if can_ask(settings) {
            ask_what_lacks(&mut spec, unit)?;
        }
        let wall = self.wall.as_ref();
        Ok(GlandQuestion {
            spec,
            hardness: self.hardness.as_ref().map(|typed| typed.value),
            conditions: Conditions {
                temperature: self.temperature.as_ref().map(|typed| typed.value),
                swell_pct: self.swell,
                polymer: self.polymer,
                metal: self.metal,
                set: None,
                wall: wall.map(|length| length.length(unit)).transpose()?,
                side_shift: self.side_shift,
                law: self.law,
                thread: self.thread,
            },
            set: self.set,
            years: self.years.map(f64::from),
            rules: self.rules,
            samples: usize::try_from(self.samples).unwrap_or(SAMPLES),
        })
    }

    /// Begins a groove: that which was recorded, or one of the kind that is named.
    fn begun(&self, recorded: Option<GlandSpec>, settings: &Settings) -> Result<GlandSpec> {
        let kinds = GlandKind::ALL.map(|(_, word)| word);
        let mut kind = self.kind;
        if kind.is_none() && recorded.is_none() && can_ask(settings) {
            let read = |text: &str| {
                GlandKind::from_word(text).ok_or_else(|| {
                    CliError::input(format!(
                        "{text:?} is none: write one of {}",
                        kinds.join(", ")
                    ))
                })
            };
            kind = ask(
                &format!("Which kind of groove? ({})", kinds.join(", ")),
                read,
            )?;
        }
        match (recorded, kind) {
            (Some(spec), Some(kind)) if spec.kind != kind => Err(CliError::input(format!(
                "--kind says {}, and the groove recorded there is a {}: leave --kind out",
                kind.word(),
                spec.kind.word()
            ))),
            (Some(spec), _) => Ok(spec),
            (None, Some(kind)) => Ok(GlandSpec::new(kind)),
            (None, None) => Err(CliError::input(format!(
                "which kind of groove? give --kind with one of {}",
                kinds.join(", ")
            ))),
        }
    }

    fn spec(&self, mut spec: GlandSpec, unit: Option<LengthUnit>) -> Result<GlandSpec> {
        for (dimension, length) in &self.lengths.0 {
            spec.dimensions.retain(|(known, _)| known != dimension);
            spec.dimensions.push((*dimension, length.dimension(unit)?));
        }
        Ok(GlandSpec {
            pressure: self.pressure.clone().or(spec.pressure),
            from: self.from.or(spec.from),
            duty: self.duty.or(spec.duty),
            angle: self.angle.clone().or(spec.angle),
            back_ups: self.back_ups.unwrap_or(spec.back_ups),
            ..spec
        })
    }
}

/// Asks for each length without which a groove is none, with a drawing of what it is.
fn ask_what_lacks(spec: &mut GlandSpec, unit: Option<LengthUnit>) -> Result<()> {
    while let Err(GlandError::Missing { kind, dimension }) = geometry(spec) {
        let picture = groove_picture(kind, dimension);
        let question = format!("{picture}{}: {}?", dimension.word(), dimension.meaning());
        let read = |text: &str| {
            parse_dimension(text, unit)
                .map_err(|error| CliError::quantity(dimension.word(), text, &error))
        };
        match ask(&question, read)? {
            Some(typed) => spec.dimensions.push((dimension, typed)),
            None => break,
        }
    }
    Ok(())
}

/// Finds the port of a thread.
fn port(text: &str) -> Result<&'static PortThread> {
    PortThread::from_word(text).ok_or_else(|| {
        let known: Vec<&str> = PortThread::all().iter().map(|p| p.thread.as_str()).collect();
        CliError::input(format!(
            "--thread does not know {text:?}: the known ports are {}; for another give --neck, --mouth, --depth and \
                --angle",
            known.join(", ")
        ))
    })
}

/// Reads a swell in per cent by volume; a rubber that shrinks has a negative one.
fn swell(text: &str) -> Result<f64, &'static str> {
    const REMEDY: &str = "write per cent by volume between -40 % and 200 %, as \"5 %\"";
    percent(text, -40.0..=200.0).ok_or(REMEDY)
}

fn set(text: &str) -> Result<SetAsked, &'static str> {
    const REMEDY: &str =
        "write per cent of the squeeze between 0 % and 100 %, as \"30 %\", or typical";
    if text == "typical" {
        return Ok(SetAsked::Typical);
    }
    let share = percent(text, 0.0..=100.0);
    share.map(SetAsked::Percent).ok_or(REMEDY)
}

/// Reads a number of per cent in a range.
pub(super) fn percent(text: &str, range: std::ops::RangeInclusive<f64>) -> Option<f64> {
    let number = text.trim().strip_suffix('%')?;
    let value: f64 = number.trim().replace(',', ".").parse().ok()?;
    range.contains(&value).then_some(value)
}
