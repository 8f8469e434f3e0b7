//! The flags that describe a gland and its service.

use super::asked::{ask, can_ask};
use super::context::Settings;
use super::error::CliError;
use super::one_of::{metal, one_of, polymer, rule_set};
use super::read_by::{quantity, read_by};
use crate::app::gland::question::{GlandQuestion, SAMPLES};
use crate::core::elastomer::Polymer;
use crate::core::gland::{
    Duty, GlandDimension, GlandError, GlandKind, GlandSpec, Law, MOST_BACK_UPS, Metal, PortThread,
    PressureSide, RuleSet, geometry,
};
use crate::core::quantity::{
    Angle, Dimension, Hardness, LengthUnit, Pressure, TemperatureRange, Typed, parse_angle,
    parse_dimension, parse_hardness, parse_pressure, parse_temperature_range,
};
use crate::render::groove_picture;
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct GlandFlags {
    /// Kind of gland
    #[arg(long, value_name = "KIND", value_parser = one_of::<GlandKind>())]
    kind: Option<GlandKind>,
    /// Piston: diameter of the bore; every length may carry its tolerance, as "25.40+0.05/-0 mm"
    #[arg(long, value_name = "LENGTH")]
    bore: Option<String>,
    /// Piston, rod: diameter at the bottom of the groove
    #[arg(long, value_name = "LENGTH")]
    groove: Option<String>,
    /// Width of the groove
    #[arg(long, value_name = "LENGTH")]
    width: Option<String>,
    /// Piston: diameter of the piston beside the groove (for the gap)
    #[arg(long, value_name = "LENGTH")]
    piston: Option<String>,
    /// Rod: diameter of the rod
    #[arg(long, value_name = "LENGTH")]
    rod: Option<String>,
    /// Rod: bore of the housing beside the groove (for the gap)
    #[arg(long, value_name = "LENGTH")]
    housing: Option<String>,
    /// Face: outer diameter of the groove, for pressure from inside; counterbore: its diameter
    #[arg(long, value_name = "LENGTH")]
    outer: Option<String>,
    /// Face: inner diameter of the groove, for pressure from outside
    #[arg(long, value_name = "LENGTH")]
    inner: Option<String>,
    /// Face, dovetail, counterbore: depth of the groove; port: depth of the cone
    #[arg(long, value_name = "LENGTH")]
    depth: Option<String>,
    /// Crush, port, counterbore: diameter of the plug under its head, where the ring lies (thread relief)
    #[arg(long, value_name = "LENGTH")]
    neck: Option<String>,
    /// Crush, port: diameter of the chamfer or cone at the face
    #[arg(long, value_name = "LENGTH")]
    mouth: Option<String>,
    /// Crush: radial leg of the chamfer, in place of --mouth
    #[arg(long, value_name = "LENGTH")]
    chamfer: Option<String>,
    /// Dovetail: mean diameter of the groove
    #[arg(long, value_name = "LENGTH")]
    centre: Option<String>,
    /// Carrier: diameter of the seat carrier beside the groove (for the gap)
    #[arg(long, value_name = "LENGTH")]
    carrier: Option<String>,
    /// Radius of the corners at the bottom of the groove
    #[arg(long, value_name = "LENGTH")]
    radius: Option<String>,
    /// Dovetail: radius of the lips
    #[arg(long, value_name = "LENGTH")]
    lip: Option<String>,
    /// Total runout of the groove to its part, as an indicator reads it
    #[arg(long, value_name = "LENGTH")]
    runout: Option<String>,
    /// The part may rest on one side of its bore: the gap then opens the gland on the other
    #[arg(long)]
    side_shift: bool,
    /// Side walls leaning outwards (default 0 deg), chamfer or cone from the axis (45; 12 deg), undercut from the bottom (66)
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true, value_parser = quantity(parse_angle))]
    angle: Option<Typed<Angle>>,
    /// Piston, rod, carrier: how many back-up rings the groove holds beside the ring
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(0..=i64::from(MOST_BACK_UPS)))]
    back_ups: Option<u8>,
    /// Port: its thread, as 7/16-20 or M14x1.5; fills in what was not measured
    #[arg(long, value_name = "THREAD", value_parser = read_by(|_, text| port(text)))]
    thread: Option<&'static PortThread>,
    /// Greatest pressure, as "200 bar" or "3000 psi"
    #[arg(allow_hyphen_values = true, long, value_name = "PRESSURE", value_parser = quantity(parse_pressure))]
    pressure: Option<Typed<Pressure>>,
    /// Side of the ring from which the pressure comes
    #[arg(long, value_name = "SIDE", value_parser = one_of::<PressureSide>())]
    from: Option<PressureSide>,
    /// How the parts move
    #[arg(long, value_name = "DUTY", value_parser = one_of::<Duty>())]
    duty: Option<Duty>,
    /// Hardness of the ring, as 70A
    #[arg(long, value_name = "HARDNESS", value_parser = quantity(parse_hardness))]
    hardness: Option<Typed<Hardness>>,
    /// Polymer of the ring
    #[arg(long, value_name = "POLYMER", value_parser = polymer())]
    polymer: Option<Polymer>,
    /// Coldest and hottest temperature, as "-2..40 C"
    #[arg(long, value_name = "RANGE", allow_hyphen_values = true, value_parser = quantity(parse_temperature_range))]
    temperature: Option<Typed<TemperatureRange>>,
    /// Swell by volume in the medium, as "5 %"
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true, value_parser = read_by(|_, text| swell(text)))]
    swell: Option<f64>,
    /// Compression set by method B, as "30 %", or typical for the greatest published for the polymer
    #[arg(long, value_name = "PERCENT|typical")]
    set: Option<String>,
    /// Age to which the set belongs, in years
    #[arg(long, value_name = "YEARS", requires = "set", value_parser = clap::value_parser!(u16).range(1..=200))]
    years: Option<u16>,
    /// Thickness of the wall around the bore, for its growth under pressure
    #[arg(long, value_name = "LENGTH")]
    wall: Option<String>,
    /// Law of the gland's dimensions: measured (normal), uniform or triangular (drawing); by how each is written if left out
    #[arg(long, value_name = "LAW", value_parser = one_of::<Law>())]
    law: Option<Law>,
    /// Number of samples of the whole stack
    #[arg(long, value_name = "N", default_value_t = SAMPLES as u32, value_parser = clap::value_parser!(u32).range(1..=100_000_000))]
    samples: u32,
    /// Metal of the gland
    #[arg(long, value_name = "METAL", default_value = "brass", value_parser = metal())]
    metal: Metal,
    /// Rule set: industrial (tables by section), guides (suppliers' ranges), maxima (greatest values alone)
    #[arg(long, value_name = "SET", default_value = "industrial", value_parser = rule_set())]
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
    ) -> Result<GlandQuestion, CliError> {
        let unit = settings.unit();
        let mut spec = self.spec(self.begun(recorded, settings)?, unit)?;
        let thread = self.thread;
        if let Some(thread) = thread {
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
        let mut question = GlandQuestion::new(spec);
        question.thread = thread;
        question.side_shift = self.side_shift;
        question.samples = usize::try_from(self.samples).unwrap_or(SAMPLES);
        self.ageing(&mut question)?;
        question.wall = Self::length("--wall", self.wall.as_deref(), unit)?.map(|w| w.nominal);
        question.law = self.law;
        question.rules = self.rules;
        self.service(&mut question);
        Ok(question)
    }

    /// Begins a groove: that which was recorded, or one of the kind that is named.
    fn begun(
        &self,
        recorded: Option<GlandSpec>,
        settings: &Settings,
    ) -> Result<GlandSpec, CliError> {
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

    fn spec(&self, mut spec: GlandSpec, unit: Option<LengthUnit>) -> Result<GlandSpec, CliError> {
        for (dimension, text) in self.lengths() {
            if let Some(text) = text {
                let place = format!("--{}", dimension.word());
                let typed = parse_dimension(text, unit)
                    .map_err(|error| CliError::quantity(&place, text, &error))?;
                spec.dimensions.retain(|(known, _)| *known != dimension);
                spec.dimensions.push((dimension, typed));
            }
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

    fn service(&self, question: &mut GlandQuestion) {
        question.hardness = self.hardness.as_ref().map(|typed| typed.value);
        question.polymer = self.polymer;
        question.temperature = self.temperature.as_ref().map(|typed| typed.value);
        question.swell_pct = self.swell;
        question.metal = self.metal;
    }

    fn ageing(&self, question: &mut GlandQuestion) -> Result<(), CliError> {
        question.years = self.years.map(f64::from);
        match self.set.as_deref() {
            None => {}
            Some("typical") => question.typical_set = true,
            Some(text) => question.set_pct = Some(set(text)?),
        }
        Ok(())
    }

    /// Reads one length with its tolerance.
    pub(super) fn length(
        place: &str,
        text: Option<&str>,
        unit: Option<LengthUnit>,
    ) -> Result<Option<Dimension>, CliError> {
        text.map(|text| {
            parse_dimension(text, unit)
                .map(|typed| typed.value)
                .map_err(|error| CliError::quantity(place, text, &error))
        })
        .transpose()
    }

    fn lengths(&self) -> [(GlandDimension, Option<&str>); 17] {
        use GlandDimension as D;
        [
            (D::Bore, self.bore.as_deref()),
            (D::Groove, self.groove.as_deref()),
            (D::Piston, self.piston.as_deref()),
            (D::Rod, self.rod.as_deref()),
            (D::Housing, self.housing.as_deref()),
            (D::Outer, self.outer.as_deref()),
            (D::Inner, self.inner.as_deref()),
            (D::Depth, self.depth.as_deref()),
            (D::Width, self.width.as_deref()),
            (D::Neck, self.neck.as_deref()),
            (D::Mouth, self.mouth.as_deref()),
            (D::Chamfer, self.chamfer.as_deref()),
            (D::Centre, self.centre.as_deref()),
            (D::Carrier, self.carrier.as_deref()),
            (D::Radius, self.radius.as_deref()),
            (D::Lip, self.lip.as_deref()),
            (D::Runout, self.runout.as_deref()),
        ]
    }
}

/// Asks for each length without which a groove is none, with a drawing of what it is.
fn ask_what_lacks(spec: &mut GlandSpec, unit: Option<LengthUnit>) -> Result<(), CliError> {
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
fn port(text: &str) -> Result<&'static PortThread, CliError> {
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
fn swell(text: &str) -> Result<f64, CliError> {
    percent(text, -40.0..=200.0).ok_or_else(|| {
        CliError::input(format!(
            "--swell does not take {text:?}: write per cent by volume between -40 % and 200 %, as \"5 %\""
        ))
    })
}

/// Reads a compression set in per cent of the squeeze.
fn set(text: &str) -> Result<f64, CliError> {
    percent(text, 0.0..=100.0).ok_or_else(|| {
        CliError::input(format!(
            "--set does not take {text:?}: write per cent of the squeeze between 0 % and 100 %, as \"30 %\", or typical"
        ))
    })
}

fn percent(text: &str, range: std::ops::RangeInclusive<f64>) -> Option<f64> {
    let number = text.trim().strip_suffix('%')?;
    let value: f64 = number.trim().replace(',', ".").parse().ok()?;
    range.contains(&value).then_some(value)
}
