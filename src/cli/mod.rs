//! The command line: one file a subcommand; it reads words, calls the application and prints the report.
//!
//! The start is kept short, each step measured: sizes are static tables made by `scripts/build_tables.rs` before
//! compiling, other shipped tables are read when they are wanted (`core/data_table.rs`), and the words of a subcommand
//! are defined only when it is called.

mod book;
mod clock;
mod context;
mod decide;
mod demo;
mod dialogue;
mod error;
mod gas_flags;
mod gland;
mod gland_flags;
mod job;
mod line;
mod listed;
mod manual;
mod model;
mod note;
mod note_record;
mod noun;
mod offer;
mod one_of;
mod order;
mod outcome;
mod parts;
mod progress;
mod read_by;
mod ring;
mod ring_batch;
mod ring_bench;
mod ring_facts;
mod ring_known;
mod ring_of;
mod ring_scan;
mod seal;
mod setting;
mod sheet;
mod sheet_labels;
mod sheet_out;
mod shim;
mod size;
mod spring;
mod stage_flags;
mod stock;
mod thread;
mod usage;
mod uses;

use crate::store::announce_waits;
use clap::{ArgMatches, Args, Command, FromArgMatches};
pub use context::Settings;
pub use error::{CliError, Result};
pub use outcome::{Answer, Outcome};
use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

const ABOUT: &str = "Names sealing rings, checks their glands and keeps the parts book of pressure gear that is no longer made";
const EXIT_CODES: &str = "A flag may be cut short as long as no other begins the same way (--quant, --check).\n\nExit codes: 0 done; 1 done, and the answer is no (nothing found, or a check rejects); \
2 the input is wrong; 3 the book cannot be used; 4 the answer could not be written, but the command did its work.";

/// What the program says where no command is named: what the work is, and what carries it.
const START: &str = "\
ringwright names unlabelled sealing rings, checks them in their grooves, and keeps the parts book of
pressure gear that is no longer made: from teardown to signed record, offline, over one file.

  ringwright demo                                                       try it: three models, nine units
  ringwright ring --od \"12.80 mm by caliper\" --cs \"1.72 mm by caliper\"  which ring is this?
  ringwright note record my.note                                        note a teardown, part by part
  ringwright parts MODEL                                                the parts list from your notes
  ringwright order MODEL                                                the cheapest order for it
  ringwright job open MODEL UNIT                                        the record, as found to release

All commands: ringwright --help
";

/// One subcommand: its word, its line in the help, how its own words are defined, and what runs it.
struct Entry {
    word: &'static str,
    about: &'static str,
    define: fn(Command) -> Command,
    run: fn(&ArgMatches, &Settings) -> Result<Outcome>,
}

/// Lists the commands by the parts of the work, in their order: word, words behind it and what runs them, line in the help.
macro_rules! commands {
    ($($title:literal { $($word:ident: $words:ty, $run:path, $about:literal;)* })*) => {
        const WORK: &[(&str, &[Entry])] = &[$(($title, &[$(Entry {
            word: stringify!($word),
            about: $about,
            define: <$words>::augment_args,
            run: |words, settings| $run(&read::<$words>(words)?, settings),
        }),*])),*];
    };
}
commands! {
    "Name the rings and threads, check the grooves" {
        ring: ring::RingArgs, ring::run,
            "Name an unlabelled ring: ranked listed sizes with their odds, and what to measure next";
        size: size::SizeArgs, size::run,
            "Show a ring size: dimensions, tolerances, source, and the same or near rings in other families";
        gland: gland::GlandArgs, gland::run,
            "Check a ring in a gland, find the listed rings that suit one, or get the groove to cut";
        thread: thread::ThreadArgs, thread::run,
            "Name a thread from its pitch and a diameter: odds, threads easily mistaken for it, and its port";
    }
    "Note the teardown, list the parts" {
        note: note::NoteArgs, note::run,
            "Teardown notes: what came out of a unit, one line a part";
        model: model::ModelArgs, model::run,
            "Models of the book: their recorded units, and what these agree and disagree on";
        parts: parts::PartsArgs, parts::run,
            "Make the parts list of a model from all its recorded units";
        decide: decide::DecideArgs, decide::run,
            "Record what a person decided for a place of a model: which ring, of what material, who and why; or withdraw it";
        uses: uses::UsesArgs, uses::run,
            "Show where a part is used and what can replace it: same, fits, fits with work, tried and failed";
    }
    "Choose, buy and keep" {
        offer: offer::OfferArgs, offer::run,
            "Suppliers' price lists: import, search, and what an order costs besides the goods";
        order: order::OrderArgs, order::run,
            "Plan the cheapest order for several models at once: packs, price breaks, carriage and minimum by supplier";
        stock: stock::StockArgs, stock::run,
            "The shelf: lots in bins, used in order of expiry, and the bag of parts for a unit";
        material: seal::MaterialArgs, seal::material,
            "Choose the material of a ring from gas, pressure, motion and temperature: what to order, what not, and why";
        care: seal::CareArgs, seal::care,
            "Show how rings of a polymer are lubricated, and how long they keep in store";
    }
    "Rebuild, set, record" {
        sheet: sheet::SheetArgs, sheet::run,
            "Print sheets: ring outlines in true size, parts, glands, assembly steps, labels, parts to make, the release of a job, the whole book";
        job: job::JobArgs, job::run,
            "Keep the record of a job: as found, parts and lots, cleaning, shims, as left, second person, release";
        setting: setting::SettingArgs, setting::run,
            "Judge pressure readings: level, supply effect, lock-up, creep; which design they point to";
        shim: shim::ShimArgs, shim::run,
            "Work out the next shim or turn of the screw, from this unit's own settings first";
        spring: spring::SpringArgs, spring::run,
            "Work out a spring: rate from two points, from wire and coils, or from the unit itself; coil bind; preload";
    }
    "The book" {
        book: book::BookArgs, book::run,
            "Look after the book: where it lies, copies of it, whether it is sound";
        demo: demo::DemoArgs, demo::run,
            "Fill a new book with the demo shop: nine worn units of three invented models";
        manual: manual::ManualArgs, manual::run,
            "Write the guide, the manual pages and the shell completions into a folder";
    }
}

fn entries() -> impl Iterator<Item = &'static Entry> {
    WORK.iter().flat_map(|(_, entries)| *entries)
}

/// Describes the command line; a subcommand's own words are defined only when it is called, which keeps the start short.
pub fn program() -> Command {
    with_commands(|entry| {
        Command::new(entry.word)
            .about(entry.about)
            .defer(entry.define)
    })
}

/// Describes the command line with the words of every command, for what is written about all of them.
fn whole_program() -> Command {
    with_commands(|entry| (entry.define)(Command::new(entry.word)).about(entry.about))
}

fn with_commands(command: impl Fn(&Entry) -> Command) -> Command {
    let program = Command::new("ringwright")
        .infer_long_args(true)
        .version(env!("CARGO_PKG_VERSION"))
        .after_help(EXIT_CODES)
        .help_template(help_page());
    // The settings bring their own description along, so that the program's stands last.
    Settings::augment_args(program)
        .about(ABOUT)
        .subcommands(entries().map(command))
}

/// The page of the help, its commands in the order of the work.
fn help_page() -> String {
    let widest = entries().map(|entry| entry.word.len()).max().unwrap_or(0);
    let parts = WORK.iter().map(|(title, entries)| {
        let line = |entry: &Entry| format!("  {:widest$}  {}\n", entry.word, entry.about);
        let lines: Vec<String> = entries.iter().map(line).collect();
        format!("\n{title}:\n{}", lines.concat())
    });
    let parts: Vec<String> = parts.collect();
    format!(
        "{{about-with-newline}}\n{{usage-heading}} {{usage}}\n{}\nOptions:\n{{options}}\n\n{{after-help}}",
        parts.concat()
    )
}

fn read<Words: FromArgMatches>(words: &ArgMatches) -> Result<Words> {
    Words::from_arg_matches(words).map_err(|error| CliError::clap(&error))
}

fn answer(matches: &ArgMatches) -> Result<Outcome> {
    let called = matches.subcommand();
    if called.is_none() {
        return Ok(Outcome::new(START.to_owned(), Answer::Yes));
    }
    let settings: Settings = read(matches)?;
    let entry = called.and_then(|(word, words)| {
        let entry = entries().find(|entry| entry.word == word)?;
        Some((entry, words))
    });
    match entry {
        Some((entry, words)) => match (entry.run)(words, &settings) {
            Err(CliError::NotFound(missing)) => settings.answer(&missing, Answer::No),
            outcome => outcome,
        },
        None => Err(CliError::input(
            "no command was named: see ringwright --help",
        )),
    }
}

/// Says on standard error that the command waits, so that nobody takes it for a hung one.
fn tell_wait(seconds: u64) {
    // A wait that cannot be told is no reason to stop.
    let _ = writeln!(
        std::io::stderr(),
        "waiting: another process is using the book (at most {seconds} s)"
    );
}

/// Runs the program on the given words and returns its exit code.
pub fn run(words: impl IntoIterator<Item = OsString>) -> ExitCode {
    announce_waits(tell_wait);
    let matches = match program().try_get_matches_from(words) {
        Ok(matches) => matches,
        Err(error) => return error::print_usage_error(&error),
    };
    match answer(&matches) {
        Ok(outcome) => outcome.print(),
        Err(error) => error.print(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_command_is_sound_and_has_its_line_from_the_list_alone() {
        for entry in entries() {
            let own = (entry.define)(Command::new(entry.word));
            // A comment of a group of arguments that begins with three strokes would take its place.
            assert!(own.get_about().is_none(), "{}", entry.word);
            own.debug_assert();
        }
        program().debug_assert();
    }

    /// An argument of a command that has the name of one for every command is found in its place, with another type.
    #[test]
    fn no_command_has_an_argument_named_as_one_of_every_command() {
        fn look(command: &Command, shared: &[String], path: &str) {
            for inner in command.get_subcommands() {
                let path = format!("{path} {}", inner.get_name());
                for argument in inner.get_arguments() {
                    let id = argument.get_id().as_str();
                    let hides = !argument.is_global_set() && shared.iter().any(|name| name == id);
                    assert!(!hides, "{path}: {id}");
                }
                look(inner, shared, &path);
            }
        }
        let program = program();
        let shared: Vec<String> = program
            .get_arguments()
            .filter(|argument| argument.is_global_set())
            .map(|argument| argument.get_id().to_string())
            .collect();
        assert!(shared.iter().any(|name| name == "unit"), "{shared:?}");
        for entry in entries() {
            let own = (entry.define)(Command::new(entry.word));
            look(&Command::new("").subcommand(own), &shared, "");
        }
    }
}
