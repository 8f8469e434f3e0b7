//! `manual`: the guide, the words, the manual pages and what shells complete, the last two made from the help of the commands.

use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::file::write_file;
use crate::core::data_table::shipped_rows;
use crate::render::{Document, Report};
use clap::{Args, Command, ValueEnum};
use clap_complete::Shell;
use clap_mangen::Man;
use clap_mangen::roff::{Inline, Roff, bold, roman};
use serde::{Deserialize, Serialize};
use std::path::PathBuf;

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

/// What was written.
#[derive(Debug, Serialize)]
struct ManualWritten {
    folder: String,
    /// Names of the manual pages.
    pages: Vec<String>,
    /// Names of the completions.
    completions: Vec<String>,
}

pub(super) fn run(args: &ManualArgs, settings: &Settings) -> Result<Outcome> {
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
    for (name, text) in pages.into_iter().chain(super::manual::topic_pages()) {
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
    fn lay_out(&self, page: &mut Document) {
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
    }
}

const GUIDE: &str = include_str!("../../data/guide.md");
/// Section of the manual for what is neither a command nor a file.
const SECTION: &str = "7";

/// Gives each page with the name of its file.
pub(super) fn topic_pages() -> [(String, Vec<u8>); 2] {
    [
        ("ringwright-guide.7".to_owned(), guide()),
        ("ringwright-words.7".to_owned(), words()),
    ]
}

fn page(name: &str, about: &str) -> Roff {
    let mut page = Roff::new();
    page.control("TH", [name, SECTION]);
    page.control("SH", ["NAME"]);
    page.text([roman(format!("{name} - {about}"))]);
    page
}

/// Lays the guide out: headings, paragraphs, points and what is typed, the forms of Markdown that it uses.
fn guide() -> Vec<u8> {
    let mut page = page(
        "ringwright-guide",
        "every topic of ringwright, in the order of the work",
    );
    let mut typed = false;
    let mut ended = true;
    for line in GUIDE.lines() {
        if line.starts_with("```") {
            typed = !typed;
            page.control(if typed { "EX" } else { "EE" }, []);
        } else if typed {
            page.text([roman(line)]);
        } else if line.is_empty() {
            ended = true;
        } else if let Some(title) = line.strip_prefix("## ") {
            page.control("SH", [title.to_uppercase().as_str()]);
        } else if let Some(point) = line.strip_prefix("- ") {
            page.control("IP", ["\u{2022}", "2"]);
            page.text(inlines(point));
        } else if !line.starts_with("# ") {
            if ended {
                page.control("PP", []);
            }
            ended = false;
            page.text(inlines(line.trim_start()));
        }
        ended |= line.starts_with('#') || line.starts_with("```");
    }
    page.render().into_bytes()
}

/// Sets what stands between back quotes in bold; other marks of emphasis fall away.
fn inlines(text: &str) -> Vec<Inline> {
    let pieces = text.split('`').enumerate();
    let inline = |(number, piece): (usize, &str)| match number % 2 {
        1 => bold(piece),
        _ => roman(piece.replace('*', "")),
    };
    pieces.map(inline).collect()
}

#[derive(Deserialize)]
struct WordRow {
    word: String,
    meaning: String,
    not_called: String,
}

/// Lays the list of words out: each word with its meaning, and what is not said for it.
fn words() -> Vec<u8> {
    let mut page = page(
        "ringwright-words",
        "the words of ringwright, each with its one meaning",
    );
    page.control("SH", ["WORDS"]);
    let rows: Vec<WordRow> = shipped_rows!("words.csv");
    for row in rows {
        page.control("TP", []);
        page.text([bold(row.word)]);
        let instead = Some(&row.not_called).filter(|names| !names.is_empty());
        let instead = instead.map_or_else(String::new, |names| format!(" (not: {names})"));
        page.text([roman(format!("{}{instead}.", row.meaning))]);
    }
    page.render().into_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_word_has_one_meaning_and_none_is_another_ones_wrong_name() {
        let rows: Vec<WordRow> = shipped_rows!("words.csv");
        let words: BTreeSet<&str> = rows.iter().map(|row| row.word.as_str()).collect();
        assert_eq!(words.len(), rows.len());
        assert!(rows.is_sorted_by_key(|row| row.word.as_str()));
        for row in &rows {
            assert!(!row.meaning.is_empty(), "{}", row.word);
            let mut names = row.not_called.split(", ");
            assert!(names.all(|name| !words.contains(name)), "{}", row.word);
        }
    }
}
