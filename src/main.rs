//! Runs the command line and returns its exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    ringwright::cli::run(std::env::args_os())
}
