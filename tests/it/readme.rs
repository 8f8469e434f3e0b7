//! The output that the README and the guide show is what the program prints: every shown line stands in the real output, in order.

use super::program::Workshop;

/// Gives the commands of a page's console blocks with the lines shown below each.
fn shown(text: &str) -> Vec<(String, Vec<String>)> {
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
fn every_line_shown_in_the_readme_and_the_guide_is_printed() {
    let shop = Workshop::new();
    shop.screen("demo");
    let readme = shown(include_str!("../../README.md"));
    let guide = shown(include_str!("../../data/guide.md"));
    assert!(readme.len() >= 7 && guide.len() >= 3, "commands are shown");
    for (command, lines) in readme.into_iter().chain(guide) {
        let printed = shop.screen(&command).out;
        let mut rest = printed.lines();
        for line in lines {
            assert!(
                rest.any(|l| l == line.trim_end()),
                "$ ringwright {command}\nis said to print: {line}\nbut prints:\n{printed}"
            );
        }
    }
}
