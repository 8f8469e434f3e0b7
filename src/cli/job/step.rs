//! `job step`.

use super::super::one_of::one_of;
use super::super::read_by::{InUnit, read_by, reads};
use super::super::{CliError, Outcome, Result, Settings};
use super::{add, hand, words};
use crate::app::job::{Hand, JobDesk, NewEntry, is_same};
use crate::core::job::{
    Cleaning, FittedPart, JobEntry, KeptPart, LeakTest, LubricantUsed, OtherTest, RatedPart, Screw,
    ShimPack, TestResult, Words, mentioned,
};
use crate::core::quantity::LengthUnit;
use crate::core::stage::{Step, SupplyRating, parse_rating, parse_shims};
use clap::{ArgGroup, Args};

#[derive(Debug, Args)]
pub(super) struct StepArgs {
    /// The job; else the only one that is open
    job: Option<i64>,
    /// Who did it
    #[arg(long, value_name = "NAME", env = "RINGWRIGHT_BY", value_parser = read_by(hand))]
    by: Hand,
    #[command(flatten)]
    work: WorkFlags,
}

// Holds one step as typed.
#[derive(Debug, Args)]
#[command(group(ArgGroup::new("what").args([
    "part", "kept", "clean", "lubricant", "torque", "shims", "screw", "rated", "leak_test", "no_leak_test", "cracking_effort", "tested",
    "not_tested", "remark",
])))]
pub(super) struct WorkFlags {
    /// A part fitted: its place as `parts` names it, or the line number there
    #[arg(long, value_name = "PLACE", requires = "lot", value_parser = read_by(words), help_heading = "What was done")]
    part: Option<Words>,
    /// What was fitted, as "AS568-119 NBR 70" or "od 12.7 mm ; thick 3.2 mm"
    #[arg(
        long,
        value_name = "WORDS",
        requires = "part",
        conflicts_with = "as_listed",
        value_parser = read_by(spec),
        help_heading = "What belongs to it"
    )]
    spec: Option<Words>,
    /// What was fitted is what the parts list has there
    #[arg(long, requires = "part", help_heading = "What belongs to it")]
    pub(super) as_listed: bool,
    /// How many were fitted there
    #[arg(long, value_name = "NUMBER", requires = "part", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=999), help_heading = "What belongs to it")]
    count: u32,
    /// Its lot, or that none is known
    #[arg(long, value_name = "LOT", value_parser = read_by(words), help_heading = "What belongs to it")]
    lot: Option<Words>,
    /// A part that the list replaces and that stays: its place, or the line number; --why says why
    #[arg(long, value_name = "PLACE", value_parser = read_by(words), help_heading = "What was done")]
    kept: Option<Words>,
    /// How it was cleaned; "same" says what was said last
    #[arg(long, value_name = "WORDS", value_parser = read_by(words), help_heading = "What was done")]
    clean: Option<Words>,
    /// It was cleaned and verified for enriched gas: the unit with --clean, the part with --part
    #[arg(long, help_heading = "What belongs to it")]
    for_oxygen: bool,
    /// The lubricant, or "none"; "same" is the last one, of the same lot
    #[arg(long, value_name = "NAME", value_parser = read_by(words), help_heading = "What was done")]
    lubricant: Option<Words>,
    /// A fastener and its torque, as "cap 25 N m"
    #[arg(long, value_name = "WORDS", value_parser = read_by(words), help_heading = "What was done")]
    torque: Option<Words>,
    /// The stack fitted, as "0.25x2 0.10 mm"
    #[arg(long, value_name = "SHIMS", help_heading = "What was done")]
    shims: Option<InUnit>,
    /// How the adjusting screw stands, as "1.75 turns"
    #[arg(long, value_name = "TURNS", value_parser = reads(screw), help_heading = "What was done")]
    screw: Option<Screw>,
    /// Recorded rating of a part, as "hose 250 psi" or "body 3000 psi on supply"
    #[arg(long, value_name = "PART PRESSURE", value_parser = reads(parse_rating), help_heading = "What was done")]
    rated: Option<SupplyRating>,
    /// A leak test, with its pressure, as "immersion 5 min at 195 bar"; "same" was made as the last one
    #[arg(long, value_name = "WORDS", requires = "result", value_parser = read_by(leak_test), help_heading = "What was done")]
    leak_test: Option<LeakTest>,
    /// The result of a test
    #[arg(long, value_name = "RESULT", value_parser = one_of::<TestResult>(), help_heading = "What belongs to it")]
    result: Option<TestResult>,
    /// Why no leak test is made; --by decides it
    #[arg(long, value_name = "WHY", value_parser = read_by(reason), help_heading = "What was done")]
    no_leak_test: Option<Words>,
    /// The effort that opens a second stage, as "1.2 inH2O"
    #[arg(long, value_name = "WORDS", value_parser = read_by(words), help_heading = "What was done")]
    cracking_effort: Option<Words>,
    /// Another test that was done: what, how long, with what result
    #[arg(long, value_name = "WORDS", value_parser = read_by(words), help_heading = "What was done")]
    tested: Option<Words>,
    /// A test not done, and why
    #[arg(long, value_name = "WORDS", value_parser = read_by(words), help_heading = "What was done")]
    not_tested: Option<Words>,
    /// A remark
    #[arg(long, value_name = "WORDS", value_parser = read_by(words), help_heading = "What was done")]
    remark: Option<Words>,
}

/// What was said beside a step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beside<'s> {
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

/// Names the step whose cautions are shown when it is entered.
fn step_of(entry: &JobEntry) -> Option<Step> {
    match entry {
        JobEntry::Clean(cleaning) if cleaning.for_oxygen => Some(Step::Oxygen),
        JobEntry::Clean(_) => Some(Step::Clean),
        JobEntry::Lubricant(_) => Some(Step::Lubricate),
        JobEntry::Screw(_) | JobEntry::Shims(_) => Some(Step::Adjust),
        JobEntry::LeakTest(test) if test.result.is_some() => Some(Step::Pressurise),
        _ => None,
    }
}

pub(super) fn run(args: &StepArgs, desk: JobDesk<'_>, settings: &Settings) -> Result<Outcome> {
    let Some(new) = args.work.new_entry(Beside::of(settings))? else {
        return Err(CliError::input(
            "say what was done: --part, --kept, --clean, --lubricant, --torque, --shims, --screw, --rated, --leak-test, --no-leak-test, --cracking-effort, --tested, --not-tested or --remark",
        ));
    };
    add(desk, args.job, &args.by, &[new], settings)
}

impl WorkFlags {
    /// Makes the entry of what was done; `None` where nothing was.
    pub(super) fn new_entry(&self, said: Beside<'_>) -> Result<Option<NewEntry>> {
        let entry = self.entry(said)?;
        Ok(entry.map(|entry| NewEntry::Step {
            step: step_of(&entry),
            entry: Box::new(entry),
            as_listed: self.as_listed,
        }))
    }

    /// Says what was done; `None` where nothing was.
    pub(super) fn entry(&self, said: Beside<'_>) -> Result<Option<JobEntry>> {
        let why = || said.why.map(|why| reason("--why", why)).transpose();
        let found = if let Some(place) = &self.part {
            JobEntry::Part(self.fitted(place, why()?)?)
        } else if let Some(text) = &self.shims {
            JobEntry::Shims(shim_pack(text, said.unit)?)
        } else if let Some(test) = self.leak_test.clone() {
            let result = self.result;
            JobEntry::LeakTest(LeakTest { result, ..test })
        } else if let Some(Words { words: part }) = self.kept.clone() {
            let why = reason("--why", said.why.unwrap_or(""))?.words;
            JobEntry::Kept(KeptPart { part, why })
        } else if let Some(Words { words: how }) = self.clean.clone() {
            let for_oxygen = self.for_oxygen;
            JobEntry::Clean(Cleaning { how, for_oxygen })
        } else if let Some(Words { words: name }) = self.lubricant.clone() {
            let lot = if is_same(&name) {
                String::new()
            } else {
                self.lot()?
            };
            let deviation = why()?.map(|why| why.words);
            JobEntry::Lubricant(LubricantUsed {
                name,
                lot,
                deviation,
            })
        } else if let Some(screw) = self.screw.clone() {
            JobEntry::Screw(screw)
        } else if let Some(rating) = self.rated.clone() {
            JobEntry::Rating(RatedPart { rating })
        } else if let Some(Words { words }) = self.no_leak_test.clone() {
            JobEntry::LeakTest(LeakTest {
                words,
                supply: None,
                result: None,
            })
        } else if let Some(Words { words }) = self.cracking_effort.as_ref().or(self.tested.as_ref())
        {
            JobEntry::Tested(OtherTest {
                words: words.clone(),
                cracking_effort: self.cracking_effort.is_some(),
                failed: self.result == Some(TestResult::Failed),
            })
        } else if let Some(words) = self.torque.clone() {
            JobEntry::Torque(words)
        } else if let Some(words) = self.not_tested.clone() {
            JobEntry::NotTested(words)
        } else if let Some(words) = self.remark.clone() {
            JobEntry::Remark(words)
        } else {
            return Ok(None);
        };
        Ok(Some(found))
    }

    fn lot(&self) -> Result<String> {
        let lot = self.lot.clone();
        Ok(lot.map_or_else(|| words("--lot", ""), Ok)?.words)
    }

    fn fitted(&self, place: &Words, why: Option<Words>) -> Result<FittedPart> {
        let spec = match &self.spec {
            None if !self.as_listed => spec("--spec", "")?.words,
            listed => listed.clone().map_or_else(String::new, |spec| spec.words),
        };
        Ok(FittedPart {
            part: place.words.clone(),
            spec,
            lot: self.lot()?,
            count: self.count,
            oxygen_clean: self.for_oxygen,
            unlike: None,
            deviation: why.map(|why| why.words),
        })
    }
}

/// Reads what a part is.
fn spec(flag: &str, text: &str) -> Result<Words> {
    let words = text.trim();
    if tells_anything(words) {
        return Ok(Words {
            words: words.to_owned(),
        });
    }
    Err(CliError::input(format!(
        "{flag} {words:?} tells nothing of the part: write it as \"AS568-119 NBR 70\" or \"od 12.7 mm ; thick 3.2 mm\", or give --as-listed"
    )))
}

/// Reads how a unit was tested for leaks; what came of it is said beside it.
fn leak_test(flag: &str, text: &str) -> Result<LeakTest> {
    let Words { words } = words(flag, text)?;
    let supply = mentioned(&words).greatest();
    if supply.is_none() && !is_same(&words) {
        return Err(CliError::input(format!(
            "{flag} {words:?} names no pressure: write at which one, as \"immersion 5 min at 195 bar\""
        )));
    }
    Ok(LeakTest {
        words,
        supply,
        result: None,
    })
}

/// Tells whether words hold letters or digits enough to say anything.
pub(super) fn tells_anything(words: &str) -> bool {
    const LEAST_LETTERS: usize = 2;
    words.chars().filter(|c| c.is_alphanumeric()).count() >= LEAST_LETTERS
}

/// Refuses a reason that says nothing.
pub(super) fn reason(flag: &str, text: &str) -> Result<Words> {
    let plain = words(flag, text)?;
    if tells_anything(&plain.words) {
        return Ok(plain);
    }
    Err(CliError::input(format!(
        "{flag} {:?} is not a reason: whoever reads the record must understand why",
        plain.words
    )))
}

fn shim_pack(typed: &InUnit, unit: Option<LengthUnit>) -> Result<ShimPack> {
    let shims = typed.read(unit, parse_shims)?;
    let thick = shims
        .iter()
        .map(|shim| shim.thickness.mm() * f64::from(shim.count));
    let total_mm = thick.sum::<f64>();
    Ok(ShimPack {
        words: typed.text.trim().to_owned(),
        total_mm: (total_mm * 1e4).round() / 1e4,
    })
}

fn screw(text: &str) -> Result<Screw, &'static str> {
    const MOST_TURNS: f64 = 100.0;
    let words = text.trim();
    let number = words.trim_end_matches("turns").trim_end_matches("turn");
    let turns = number.trim().replace(',', ".").parse().ok();
    let turns = turns.filter(|turns: &f64| turns.abs() <= MOST_TURNS && text.contains("turn"));
    Ok(Screw {
        words: words.to_owned(),
        turns: turns.ok_or("write the turns, as \"1.75 turns\"")?,
    })
}
