//! `manual`: the guide, the words, the manual pages and what shells complete, the last two made from the help of the commands.

use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use crate::app::out_file::write_file;
use crate::render::{Document, Report};
use clap::{Args, Command, ValueEnum};
use clap_complete::Shell;
use clap_mangen::Man;
use serde::Serialize;
use std::path::PathBuf;

/// Write the guide, the manual pages and the shell completions into a folder
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright manual --out manual\n  man manual/ringwright-ring.1\n\n\
    Pages of commands end in .1, the guide is ringwright-guide.7 and the words ringwright-words.7; completions are ringwright.bash, _ringwright (zsh), ringwright.fish, ringwright.elv and _ringwright.ps1."
)]
pub(super) struct ManualArgs {
    /// The folder; it is created if missing
    #[arg(long, value_name = "FOLDER")]
    out: PathBuf,
}

/// Holds what was written.
#[derive(Debug, Serialize)]
struct ManualWritten {
    /// The folder.
    folder: String,
    /// Names of the manual pages.
    pages: Vec<String>,
    /// Names of the completions.
    completions: Vec<String>,
}

pub(super) fn run(args: &ManualArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let fault = |error: &dyn std::fmt::Display| {
        CliError::input(format!(
            "the manual cannot be written into {}: {error}",
            args.out.display()
        ))
    };
    std::fs::create_dir_all(&args.out).map_err(|error| fault(&error))?;
    let mut program = super::whole_program();
    program.build();
    let mut pages = Vec::new();
    pages_of(&program, &mut pages).map_err(|error| fault(&error))?;
    let mut written = ManualWritten {
        folder: args.out.display().to_string(),
        pages: Vec::new(),
        completions: Vec::new(),
    };
    for (name, text) in pages.into_iter().chain(super::manual_topic::topic_pages()) {
        write_file(&args.out.join(&name), &text).map_err(|error| fault(&error))?;
        written.pages.push(name);
    }
    for shell in Shell::value_variants() {
        let mut text = Vec::new();
        clap_complete::generate(*shell, &mut program, "ringwright", &mut text);
        let name = clap_complete::Generator::file_name(shell, "ringwright");
        write_file(&args.out.join(&name), &text).map_err(|error| fault(&error))?;
        written.completions.push(name);
    }
    settings.answer(&written, Answer::Yes)
}

/// Makes the page of a command and of every one below it: "ringwright-gland-check.1".
fn pages_of(command: &Command, pages: &mut Vec<(String, Vec<u8>)>) -> std::io::Result<()> {
    let name = command.get_display_name().unwrap_or(command.get_name());
    let mut text = Vec::new();
    Man::new(command.clone()).render(&mut text)?;
    pages.push((format!("{name}.1"), text));
    for inner in command.get_subcommands() {
        if inner.get_name() != "help" {
            pages_of(inner, pages)?;
        }
    }
    Ok(())
}

impl Report for ManualWritten {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.text(format!(
            "Written into {}: {} manual pages, the first is {}.",
            self.folder,
            self.pages.len(),
            self.pages.first().map_or("", String::as_str)
        ));
        page.text(format!(
            "Completions: {}. Put one where the shell looks for such files.",
            self.completions.join(", ")
        ));
        page
    }
}
