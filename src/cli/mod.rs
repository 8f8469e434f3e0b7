//! The command line: one file a subcommand; it reads words, calls the application and prints the report.

mod context;
mod error;
mod gland;
mod note;
mod outcome;
mod progress;
mod ring;
mod ring_batch;
mod ring_facts;
mod size;

use clap::{Parser, Subcommand};
pub use context::Settings;
pub use error::CliError;
pub use outcome::{Answer, Outcome};
use std::ffi::OsString;
use std::process::ExitCode;

/// Names sealing rings, checks their glands and keeps the parts book of pressure gear that is no longer made
#[derive(Debug, Parser)]
#[command(
    name = "ringwright",
    version,
    about,
    arg_required_else_help = true,
    after_help = EXIT_CODES
)]
pub struct Cli {
    #[command(flatten)]
    settings: Settings,
    #[command(subcommand)]
    command: Command,
}

const EXIT_CODES: &str = "Exit codes: 0 done; 1 done, and the answer is no (nothing found, or a check rejects); \
2 the input is wrong; 3 the book cannot be used.";

#[derive(Debug, Subcommand)]
enum Command {
    Ring(Box<ring::RingArgs>),
    Gland(Box<gland::GlandArgs>),
    Note(note::NoteArgs),
    Size(size::SizeArgs),
}

/// Runs the program on the given words and returns its exit code.
pub fn run(words: impl IntoIterator<Item = OsString>) -> ExitCode {
    let cli = match Cli::try_parse_from(words) {
        Ok(cli) => cli,
        Err(error) => return error::print_usage_error(&error),
    };
    let context = &cli.settings;
    let result = match cli.command {
        Command::Ring(args) => ring::run(&args, context),
        Command::Gland(args) => gland::run(&args, context),
        Command::Note(args) => note::run(&args, context),
        Command::Size(args) => size::run(&args, context),
    };
    match result {
        Ok(outcome) => outcome.print(),
        Err(error) => error.print(),
    }
}
