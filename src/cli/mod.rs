//! The command line: one file a subcommand; it reads words, calls the application and prints the report.

mod book;
mod care;
mod context;
mod demo;
mod error;
mod gland;
mod gland_flags;
mod model;
mod note;
mod note_add;
mod note_show;
mod outcome;
mod parts;
mod progress;
mod ring;
mod ring_batch;
mod ring_bench;
mod ring_facts;
mod ring_known;
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
    Book(book::BookArgs),
    Ring(Box<ring::RingArgs>),
    Note(note::NoteArgs),
    Model(model::ModelArgs),
    Parts(parts::PartsArgs),
    Demo(demo::DemoArgs),
    Gland(Box<gland::GlandArgs>),
    Care(care::CareArgs),
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
        Command::Book(args) => book::run(&args, context),
        Command::Ring(args) => ring::run(&args, context),
        Command::Note(args) => note::run(&args, context),
        Command::Model(args) => model::run(&args, context),
        Command::Parts(args) => parts::run(&args, context),
        Command::Demo(args) => demo::run(&args, context),
        Command::Gland(args) => gland::run(&args, context),
        Command::Care(args) => care::run(&args, context),
        Command::Size(args) => size::run(&args, context),
    };
    match result {
        Ok(outcome) => outcome.print(),
        Err(error) => error.print(),
    }
}
