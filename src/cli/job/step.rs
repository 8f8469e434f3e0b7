//! `job step`.

use super::super::context::Settings;
use super::super::error::CliError;
use super::super::outcome::Outcome;
use super::{add, words};
use crate::app::job::{JobDesk, NewEntry, is_same};
use crate::core::job::{
    Cleaning, FittedPart, JobEntry, KeptPart, LeakTest, LubricantUsed, OtherTest, RatedPart, Screw,
    ShimPack, TestResult, Words, mentioned,
};
use crate::core::quantity::LengthUnit;
use crate::core::stage::{Step, parse_rating, parse_shims};
use clap::{ArgGroup, Args, ValueEnum};

#[derive(Debug, Args)]
pub(super) struct StepArgs {
    /// The job; else the only one that is open
    job: Option<i64>,
    /// Who did it
    #[arg(long, value_name = "NAME", env = "RINGWRIGHT_BY")]
    by: String,
    #[command(flatten)]
    work: WorkFlags,
}

/// Holds one step as typed.
#[derive(Debug, Args)]
#[command(group(ArgGroup::new("what").args([
    "part", "kept", "clean", "lubricant", "torque", "shims", "screw", "rated", "leak_test", "no_leak_test", "cracking_effort", "tested",
    "not_tested", "remark",
])))]
pub(super) struct WorkFlags {
    /// A part fitted: its place as `parts` names it, or the line number there
    #[arg(long, value_name = "PLACE", requires = "lot")]
    part: Option<String>,
    /// What was fitted, as "AS568-119 NBR 70" or "od 12.7 mm ; thick 3.2 mm"
    #[arg(
        long,
        value_name = "WORDS",
        requires = "part",
        conflicts_with = "as_listed"
    )]
    spec: Option<String>,
    /// What was fitted is what the parts list has there
    #[arg(long, requires = "part")]
    as_listed: bool,
    /// How many were fitted there
    #[arg(long, value_name = "NUMBER", requires = "part", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=999))]
    count: u32,
    /// Its lot, or that none is known
    #[arg(long, value_name = "LOT")]
    lot: Option<String>,
    /// A part that the list replaces and that stays: its place, or the line number; --why says why
    #[arg(long, value_name = "PLACE")]
    kept: Option<String>,
    /// How it was cleaned; "same" says what was said last
    #[arg(long, value_name = "WORDS")]
    clean: Option<String>,
    /// It was cleaned and verified for enriched gas: the unit with --clean, the part with --part
    #[arg(long)]
    for_oxygen: bool,
    /// The lubricant, or "none"; "same" is the last one, of the same lot
    #[arg(long, value_name = "NAME")]
    lubricant: Option<String>,
    /// A fastener and its torque, as "cap 25 N m"
    #[arg(long, value_name = "WORDS")]
    torque: Option<String>,
    /// The stack fitted, as "0.25x2 0.10 mm"
    #[arg(long, value_name = "SHIMS")]
    shims: Option<String>,
    /// How the adjusting screw stands, as "1.75 turns"
    #[arg(long, value_name = "TURNS")]
    screw: Option<String>,
    /// Recorded rating of a part, as "hose 250 psi" or "body 3000 psi on supply"
    #[arg(long, value_name = "PART PRESSURE")]
    rated: Option<String>,
    /// A leak test, with its pressure, as "immersion 5 min at 195 bar"; "same" was made as the last one
    #[arg(long, value_name = "WORDS", requires = "result")]
    leak_test: Option<String>,
    /// The result of a test
    #[arg(long, value_name = "RESULT", value_enum)]
    result: Option<ResultWord>,
    /// Why no leak test is made; --by decides it
    #[arg(long, value_name = "WHY")]
    no_leak_test: Option<String>,
    /// The effort that opens a second stage, as "1.2 inH2O"
    #[arg(long, value_name = "WORDS")]
    cracking_effort: Option<String>,
    /// Another test that was done: what, how long, with what result
    #[arg(long, value_name = "WORDS")]
    tested: Option<String>,
    /// A test not done, and why
    #[arg(long, value_name = "WORDS")]
    not_tested: Option<String>,
    /// A remark
    #[arg(long, value_name = "WORDS")]
    remark: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ResultWord {
    /// It is tight, or as it should be.
    Passed,
    /// It leaks, or is not as it should be.
    Failed,
}

impl From<ResultWord> for TestResult {
    fn from(word: ResultWord) -> Self {
        match word {
            ResultWord::Passed => Self::Passed,
            ResultWord::Failed => Self::Failed,
        }
    }
}

/// Holds what was said beside a step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beside<'s> {
    /// Why.
    pub(super) why: Option<&'s str>,
    /// The unit of bare lengths.
    pub(super) unit: Option<LengthUnit>,
}

impl<'s> Beside<'s> {
    pub(super) fn of(settings: &'s Settings) -> Self {
        Self {
            why: settings.why_words(),
            unit: settings.unit(),
        }
    }
}

/// Holds a step as it was meant.
pub(super) struct Work {
    pub(super) entry: JobEntry,
    pub(super) as_listed: bool,
    step: Option<Step>,
}

impl Work {
    const fn plain(entry: JobEntry) -> Self {
        Self {
            entry,
            as_listed: false,
            step: None,
        }
    }

    pub(super) fn entry(self) -> NewEntry {
        NewEntry::Step {
            entry: Box::new(self.entry),
            as_listed: self.as_listed,
            step: self.step,
        }
    }

    const fn with(entry: JobEntry, step: Step) -> Self {
        Self {
            entry,
            as_listed: false,
            step: Some(step),
        }
    }
}

pub(super) fn run(
    args: &StepArgs,
    desk: JobDesk<'_>,
    settings: &Settings,
) -> Result<Outcome, CliError> {
    let Some(work) = args.work.read(Beside::of(settings))? else {
        return Err(CliError::input(
            "say what was done: --part, --kept, --clean, --lubricant, --torque, --shims, --screw, --rated, --leak-test, --no-leak-test, --cracking-effort, --tested, --not-tested or --remark",
        ));
    };
    add(desk, args.job, &args.by, &[work.entry()], settings)
}

impl WorkFlags {
    /// Reads what was typed; `None` where nothing was.
    pub(super) fn read(&self, said: Beside<'_>) -> Result<Option<Work>, CliError> {
        if let Some(place) = &self.part {
            return self.fitted(place, said).map(Some);
        }
        if let Some(text) = &self.shims {
            return shim_pack(text, said.unit).map(Some);
        }
        if let Some(text) = &self.leak_test {
            return self.leak_test(text).map(Some);
        }
        let told = |text: &Option<String>, flag: &str| {
            text.as_deref().map(|text| words(flag, text)).transpose()
        };
        let found = if let Some(part) = told(&self.kept, "--kept")? {
            let why = reason("--why", said.why.unwrap_or(""))?;
            Work::plain(JobEntry::Kept(KeptPart { part, why }))
        } else if let Some(how) = told(&self.clean, "--clean")? {
            let for_oxygen = self.for_oxygen;
            let step = if for_oxygen {
                Step::Oxygen
            } else {
                Step::Clean
            };
            Work::with(JobEntry::Clean(Cleaning { how, for_oxygen }), step)
        } else if let Some(name) = told(&self.lubricant, "--lubricant")? {
            let lot = if is_same(&name) {
                String::new()
            } else {
                self.lot()?
            };
            let why = said.why.map(|why| reason("--why", why));
            let deviation = why.transpose()?;
            let used = LubricantUsed {
                name,
                lot,
                deviation,
            };
            Work::with(JobEntry::Lubricant(used), Step::Lubricate)
        } else if let Some(text) = &self.screw {
            Work::with(JobEntry::Screw(screw(text)?), Step::Adjust)
        } else if let Some(text) = &self.rated {
            let rating =
                parse_rating(text).map_err(|f| CliError::input(format!("--rated: {f}")))?;
            Work::plain(JobEntry::Rating(RatedPart { rating }))
        } else if let Some(why) = &self.no_leak_test {
            Work::plain(JobEntry::LeakTest(LeakTest {
                words: reason("--no-leak-test", why)?,
                supply: None,
                result: None,
            }))
        } else if let Some(words) = told(&self.cracking_effort, "--cracking-effort")? {
            Work::plain(self.test(words))
        } else if let Some(words) = told(&self.tested, "--tested")? {
            Work::plain(self.test(words))
        } else if let Some(words) = told(&self.torque, "--torque")? {
            Work::plain(JobEntry::Torque(Words { words }))
        } else if let Some(words) = told(&self.not_tested, "--not-tested")? {
            Work::plain(JobEntry::NotTested(Words { words }))
        } else if let Some(words) = told(&self.remark, "--remark")? {
            Work::plain(JobEntry::Remark(Words { words }))
        } else {
            return Ok(None);
        };
        Ok(Some(found))
    }

    fn test(&self, words: String) -> JobEntry {
        JobEntry::Tested(OtherTest {
            words,
            cracking_effort: self.cracking_effort.is_some(),
            failed: self.result == Some(ResultWord::Failed),
        })
    }

    fn lot(&self) -> Result<String, CliError> {
        words("--lot", self.lot.as_deref().unwrap_or(""))
    }

    fn fitted(&self, place: &str, said: Beside<'_>) -> Result<Work, CliError> {
        let spec = self.spec.as_deref().unwrap_or("").trim();
        if !tells_anything(spec) && !self.as_listed {
            return Err(CliError::input(format!(
                "--spec {spec:?} tells nothing of the part: write it as \"AS568-119 NBR 70\" or \"od 12.7 mm ; thick 3.2 mm\", or give --as-listed"
            )));
        }
        let why = said.why.map(|why| reason("--why", why));
        let fitted = FittedPart {
            part: words("--part", place)?,
            spec: spec.to_owned(),
            lot: self.lot()?,
            count: self.count,
            oxygen_clean: self.for_oxygen,
            unlike: None,
            deviation: why.transpose()?,
        };
        Ok(Work {
            entry: JobEntry::Part(fitted),
            as_listed: self.as_listed,
            step: None,
        })
    }

    fn leak_test(&self, text: &str) -> Result<Work, CliError> {
        let words = words("--leak-test", text)?;
        let supply = mentioned(&words).greatest();
        if supply.is_none() && !is_same(&words) {
            return Err(CliError::input(format!(
                "--leak-test {words:?} names no pressure: write at which one, as \"immersion 5 min at 195 bar\""
            )));
        }
        let test = LeakTest {
            words,
            supply,
            result: self.result.map(TestResult::from),
        };
        Ok(Work::with(JobEntry::LeakTest(test), Step::Pressurise))
    }
}

/// Tells whether words hold letters or digits enough to say anything.
pub(super) fn tells_anything(words: &str) -> bool {
    const LEAST_LETTERS: usize = 2;
    words.chars().filter(|c| c.is_alphanumeric()).count() >= LEAST_LETTERS
}

/// Refuses a reason that says nothing.
pub(super) fn reason(flag: &str, text: &str) -> Result<String, CliError> {
    let plain = words(flag, text)?;
    if tells_anything(&plain) {
        return Ok(plain);
    }
    Err(CliError::input(format!(
        "{flag} {plain:?} is not a reason: whoever reads the record must understand why"
    )))
}

fn shim_pack(text: &str, unit: Option<LengthUnit>) -> Result<Work, CliError> {
    let shims =
        parse_shims(text, unit).map_err(|fault| CliError::input(format!("--shims: {fault}")))?;
    let thick = shims
        .iter()
        .map(|shim| shim.thickness.mm() * f64::from(shim.count));
    let total_mm = thick.sum::<f64>();
    let pack = ShimPack {
        words: text.trim().to_owned(),
        total_mm: (total_mm * 1e4).round() / 1e4,
    };
    Ok(Work::with(JobEntry::Shims(pack), Step::Adjust))
}

fn screw(text: &str) -> Result<Screw, CliError> {
    const MOST_TURNS: f64 = 100.0;
    let number = text
        .trim()
        .trim_end_matches("turns")
        .trim_end_matches("turn")
        .trim();
    let turns = number.replace(',', ".").parse().ok();
    let turns = turns.filter(|turns: &f64| turns.abs() <= MOST_TURNS && text.contains("turn"));
    let turns = turns.ok_or_else(|| {
        CliError::input(format!(
            "--screw does not take {text:?}: write the turns, as \"1.75 turns\""
        ))
    })?;
    Ok(Screw {
        words: text.trim().to_owned(),
        turns,
    })
}
