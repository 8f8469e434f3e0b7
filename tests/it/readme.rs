//! The output that the README shows is what the program prints: every shown line stands in the real output, in order.

use super::program::words;
use std::process::Command;

/// Gives the commands of the README's console blocks with the lines shown below each.
fn shown() -> Vec<(String, Vec<String>)> {
    let text = include_str!("../../README.md");
    let mut commands: Vec<(String, Vec<String>)> = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        if line.starts_with("```") {
            inside = line == "```console";
        } else if let (true, Some(command)) = (inside, line.strip_prefix("$ ringwright ")) {
            commands.push((command.to_owned(), Vec::new()));
        } else if let (true, Some((_, lines))) = (inside, commands.last_mut()) {
            lines.push(line.to_owned());
        }
    }
    commands
}

#[test]
fn every_line_shown_in_the_readme_is_printed() {
    let folder = tempfile::tempdir().expect("a scratch folder");
    let run = |words: &[String]| {
        let output = Command::new(env!("CARGO_BIN_EXE_ringwright"))
            .args(words)
            .current_dir(folder.path())
            .env("RINGWRIGHT_BOOK", folder.path().join("demo.book"))
            .env_remove("COLUMNS")
            .output()
            .expect("the program starts");
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    run(&["demo".to_owned()]);
    let commands = shown();
    assert!(
        commands.len() >= 4,
        "the README shows {} commands",
        commands.len()
    );
    for (command, lines) in commands {
        let printed = run(&words(&command));
        let mut rest = printed.lines();
        for line in lines {
            assert!(
                rest.any(|l| l == line.trim_end()),
                "$ ringwright {command}\nis said to print: {line}\nbut prints:\n{printed}"
            );
        }
    }
}
