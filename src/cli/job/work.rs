//! `job do`: what was done, in words; several entries in one line, or asked for one after another.

use super::super::clock::this_quarter;
use super::super::dialogue::{ask_until, in_plain_text};
use super::super::line::{Begins, flag_groups, key_of};
use super::super::read_by::read_by;
use super::super::setting::{ReadArgs, ReadSettings, read_settings};
use super::super::{Answer, CliError, Outcome, Result, Settings};
use super::parts::{enter, go_through};
use super::reading::not_taken;
use super::step::{Beside, WorkFlags, reason};
use super::{add, hand};
use crate::app::job::{Hand, JobDesk, NewEntry};
use crate::core::job::{Lack, ReadState};
use crate::core::quantity::Typed;
use clap::builder::TypedValueParser;
use clap::{Arg, Args, Command, FromArgMatches};

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright job do \"found 142 psi at 195 bar, 126 at 35; gauge 2\"\n  \
    ringwright job do \"bag; clean detergent, hot rinse; lubricant silicone grease; lot S-07\"\n  \
    ringwright job do \"part 4; as listed; lot S1; torque cap 25 N m\"\n  \
    ringwright job do \"left 148.5 psi at 195 bar, 132.5 at 35; gauge 2; lock-up 1 s; creep 0 s 148.5 psi, 15 min 149\"\n  \
    ringwright job do \"clean same; leak test same; result passed\"\n  \
    ringwright job do\n\n\
    A line is written as a note is, its fields parted by ; and each begun with the word of a flag of `job step` or `job reading`. Readings \
    begin with found, between or left (\"found; why WORDS\" where nothing was read). \"bag\" says that all that the bag of the unit holds \
    was fitted as the list has it. A number without a unit has that of the one before it. All entries of a command are written, or none."
)]
pub(super) struct DoArgs {
    /// The number of the job, where more than one is open, and what was done; without a line it asks for what is missing
    #[arg(value_name = "JOB or LINE")]
    words: Vec<String>,
    /// Who did it
    #[arg(long, value_name = "NAME", env = "RINGWRIGHT_BY", value_parser = read_by(hand))]
    by: Hand,
}

/// One entry as a line says it.
#[derive(Debug, Args)]
struct EntryFlags {
    /// Readings before it was opened
    #[arg(long, num_args = 0..=1, default_missing_value = "", value_parser = said_readings())]
    found: Option<ReadSettings>,
    /// Readings during the work
    #[arg(long, num_args = 0..=1, default_missing_value = "", value_parser = said_readings())]
    between: Option<ReadSettings>,
    /// Readings as it is given back
    #[arg(long, num_args = 0..=1, default_missing_value = "", value_parser = said_readings())]
    left: Option<ReadSettings>,
    /// What the bag of the unit holds was fitted
    #[arg(long)]
    bag: bool,
    /// Why
    #[arg(long)]
    why: Option<String>,
    #[command(flatten)]
    work: WorkFlags,
    #[command(flatten)]
    read: ReadArgs,
}

/// Reads what stands behind the word of a state; nothing may, where it stands in fields of its own.
fn said_readings() -> impl TypedValueParser<Value = ReadSettings> {
    read_by(|flag, text| match text {
        "" => Ok(Typed::new(Vec::new(), "")),
        text => read_settings(flag, text),
    })
}

/// Where the lines of a command go.
pub(super) struct Bench<'b> {
    desk: JobDesk<'b>,
    job: i64,
    settings: &'b Settings,
    command: Command,
}

pub(super) fn run(args: &DoArgs, desk: JobDesk<'_>, settings: &Settings) -> Result<Outcome> {
    let named = args.words.first().and_then(|word| word.parse().ok());
    let lines = &args.words[usize::from(named.is_some())..];
    let bench = Bench::of(desk, desk.which(named)?, settings);
    if lines.is_empty() {
        return bench.ask(&args.by);
    }
    let new = bench.entries(lines)?;
    add(desk, Some(bench.job), &args.by, &new, settings)
}

impl<'b> Bench<'b> {
    pub(super) fn of(desk: JobDesk<'b>, job: i64, settings: &'b Settings) -> Self {
        Self {
            desk,
            job,
            settings,
            command: EntryFlags::augment_args(Command::new("job do").no_binary_name(true)),
        }
    }

    /// Tells whether a key begins an entry.
    fn begins(&self, arg: &Arg) -> bool {
        let mut groups = self.command.get_groups();
        let steps = groups.find(|group| group.get_id() == "what");
        let is_step = steps.is_some_and(|group| group.get_args().any(|id| id == arg.get_id()));
        is_step || ["found", "between", "left", "bag"].contains(&arg.get_id().as_str())
    }

    /// Reads lines as entries.
    ///
    /// # Errors
    /// One of them cannot be read; nothing is written then.
    pub(super) fn entries(&self, lines: &[String]) -> Result<Vec<NewEntry>> {
        let mut entries = Vec::new();
        for line in lines {
            for flags in self.flags(line)? {
                entries.extend(self.entry(&flags)?);
            }
        }
        if entries.is_empty() {
            return Err(CliError::input(
                "the line says nothing: see ringwright job do --help",
            ));
        }
        Ok(entries)
    }

    /// Checks lines that are to be entered, as far as that goes without the record.
    ///
    /// # Errors
    /// One of them cannot be read.
    pub(super) fn check(&self, lines: &[String]) -> Result<()> {
        for line in lines {
            for flags in self.flags(line)?.iter().filter(|flags| !flags.bag) {
                self.entry(flags)?;
            }
        }
        Ok(())
    }

    /// Reads a line as the flags of its entries.
    fn flags(&self, line: &str) -> Result<Vec<EntryFlags>> {
        let groups = flag_groups(line, &self.command, |arg| self.begins(arg))?;
        let read = groups.into_iter().map(|flags| {
            let read = self.command.clone().try_get_matches_from(&flags);
            read.and_then(|matches| EntryFlags::from_arg_matches(&matches))
                .map_err(|error| CliError::clap(&error))
        });
        read.collect()
    }

    fn entry(&self, flags: &EntryFlags) -> Result<Vec<NewEntry>> {
        if flags.bag {
            return Ok(self.desk.fitted_from_bag(self.job, this_quarter())?);
        }
        let read = [
            (ReadState::AsFound, &flags.found),
            (ReadState::Between, &flags.between),
            (ReadState::AsLeft, &flags.left),
        ];
        let mut read = read
            .into_iter()
            .filter_map(|(state, said)| Some((state, said.as_ref()?)));
        if let Some((state, said)) = read.next() {
            return self.reading(flags, state, said).map(|entry| vec![entry]);
        }
        let beside = Beside {
            why: flags.why.as_deref(),
            unit: self.settings.unit(),
        };
        let new = flags.work.new_entry(beside)?;
        Ok(new.into_iter().collect())
    }

    fn reading(
        &self,
        flags: &EntryFlags,
        state: ReadState,
        said: &ReadSettings,
    ) -> Result<NewEntry> {
        if let (true, Some(why)) = (said.text.is_empty(), &flags.why) {
            return Ok(not_taken(state, reason("why", why)?));
        }
        let mut read = flags.read.clone();
        read.readings
            .extend((!said.text.is_empty()).then(|| said.clone()));
        let question = read.question(self.settings)?.ok_or_else(|| {
            CliError::input(format!(
                "{}: nothing was read: write it as \"142 psi at 195 bar, 126 at 35\", or say why with \"; why WORDS\"",
                state.word()
            ))
        })?;
        Ok(NewEntry::Reading {
            state,
            question: Box::new(question),
        })
    }

    /// Asks for what the record misses, in the order of the work, each once; Enter alone leaves a question open.
    fn ask(&self, hand: &Hand) -> Result<Outcome> {
        in_plain_text(self.settings, ", or give a line")?;
        for missing in Missing::ALL {
            let page = self.desk.show(self.job)?;
            if !page.lacking.iter().any(|lack| missing.is(lack)) {
                continue;
            }
            let goes_on = match missing {
                Missing::Parts => go_through(self.desk, self.job, hand)?,
                other => self.ask_for(other, hand)?,
            };
            if !goes_on {
                break;
            }
        }
        self.settings
            .answer(&self.desk.show(self.job)?, Answer::Yes)
    }

    /// Asks until the answer can be entered; tells whether the dialogue goes on.
    fn ask_for(&self, missing: Missing, hand: &Hand) -> Result<bool> {
        let last = match missing.kind() {
            Some(kind) => self.desk.said_last(kind)?,
            None => None,
        };
        let same = last.map_or_else(String::new, |last| format!(" [same: {last}]"));
        ask_until(&format!("{}{same}", missing.question()), |words| {
            if words.is_empty() {
                return Ok(());
            }
            let new = self.entries(&[self.answered(missing, words)])?;
            enter(self.desk, self.job, hand, &new)
        })
    }

    /// Makes the line of an answer, which need not begin with the key of what was asked for.
    fn answered(&self, missing: Missing, words: &str) -> String {
        let first = words.split(';').next().unwrap_or_default();
        let key = missing.key();
        match key_of(first, &self.command) {
            Begins::Key(arg, _) if self.begins(arg) => words.to_owned(),
            Begins::Key(..) => format!("{key}; {words}"),
            Begins::Several(_) | Begins::Words => format!("{key} {words}"),
        }
    }
}

/// Names what a record can be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Missing {
    Found,
    Parts,
    Cleaning,
    Lubricant,
    Left,
    LeakTest,
    CrackingEffort,
}

impl Missing {
    /// In the order of the work.
    const ALL: [Self; 7] = [
        Self::Found,
        Self::Parts,
        Self::Cleaning,
        Self::Lubricant,
        Self::Left,
        Self::LeakTest,
        Self::CrackingEffort,
    ];

    /// Tells whether an answer ends the lack.
    const fn is(self, lack: &Lack) -> bool {
        match self {
            Self::Found => matches!(lack, Lack::NoAsFound),
            Self::Parts => matches!(lack, Lack::PlaceNotRecorded(_)),
            Self::Cleaning => matches!(lack, Lack::NoCleaning | Lack::NotOxygenClean),
            Self::Lubricant => matches!(lack, Lack::NoLubricant),
            Self::Left => matches!(lack, Lack::NoAsLeft | Lack::AsLeftBeforeLastStep { .. }),
            Self::LeakTest => {
                matches!(lack, Lack::NoLeakTest | Lack::LeakTestBeforeLastStep { .. })
            }
            Self::CrackingEffort => matches!(lack, Lack::NoCrackingEffort),
        }
    }

    /// The key of its line.
    const fn key(self) -> &'static str {
        match self {
            Self::Found => "found",
            Self::Parts => "bag",
            Self::Cleaning => "clean",
            Self::Lubricant => "lubricant",
            Self::Left => "left",
            Self::LeakTest => "leak-test",
            Self::CrackingEffort => "cracking-effort",
        }
    }

    /// The kind of entry that can be said again.
    const fn kind(self) -> Option<&'static str> {
        match self {
            Self::Cleaning => Some("clean"),
            Self::Lubricant => Some("lubricant"),
            Self::LeakTest => Some("leak test"),
            _ => None,
        }
    }

    const fn question(self) -> &'static str {
        match self {
            Self::Found => {
                "As found: 142 psi at 195 bar, 126 at 35 ; gauge 2 (or: why WORDS, where nothing was read)"
            }
            Self::Parts => "What went in?",
            Self::Cleaning => "How was it cleaned? For enriched gas end with \"; for oxygen\".",
            Self::Lubricant => "Which lubricant? NAME ; lot LOT (or: none ; lot none)",
            Self::Left => {
                "As left: 148 psi at 195 bar, 132 at 35 ; gauge 2 ; lock-up 1 s ; creep 0 s 148 psi, 5 min 148, 15 min 148"
            }
            Self::LeakTest => {
                "Leak test: immersion 5 min at 195 bar ; result passed (or: result failed)"
            }
            Self::CrackingEffort => "Cracking effort: 1.2 inH2O ; result passed",
        }
    }
}
