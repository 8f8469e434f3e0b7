//! Faults of a text shown in the text.

use super::visible::visible;
use crate::core::count;
use crate::core::note::{Diagnostic, Severity};
use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};

/// Shows each diagnostic with its line of the text, the marked part underlined and the remedy below.
///
/// `place` says where the text came from. Of many, the first twenty errors are shown (then dangers, then warnings, where there is room), and
/// the others counted: one habit makes one fault a line.
pub fn marked_lines(place: &str, text: &str, diagnostics: &[Diagnostic]) -> String {
    let mut chosen: Vec<&Diagnostic> = diagnostics.iter().collect();
    chosen.sort_by_key(|diagnostic| diagnostic.severity);
    chosen.truncate(MOST_SHOWN);
    chosen.sort_by_key(|diagnostic| diagnostic.span.start);
    let mut shown: Vec<String> = chosen
        .iter()
        .map(|diagnostic| marked_line(place, text, diagnostic))
        .collect();
    let (errors_shown, warnings_shown) = counts(&chosen);
    let (errors, warnings) = counts(&diagnostics.iter().collect::<Vec<_>>());
    let left = (errors - errors_shown, warnings - warnings_shown);
    if left != (0, 0) {
        shown.push(format!(
            "… and {} more: mend these first",
            counted(left.0, left.1)
        ));
    }
    shown.join("\n\n")
}

/// Counts the errors, and what is none.
fn counts(diagnostics: &[&Diagnostic]) -> (usize, usize) {
    let error = |d: &&&Diagnostic| d.severity == Severity::Error;
    let errors = diagnostics.iter().filter(error).count();
    (errors, diagnostics.len() - errors)
}

/// More faults of one text than this are counted and not shown.
const MOST_SHOWN: usize = 20;

fn marked_line(place: &str, text: &str, diagnostic: &Diagnostic) -> String {
    let at = diagnostic.span.start.min(text.len());
    let start = text[..at].rfind(['\n', '\r']).map_or(0, |n| n + 1);
    let end = text[at..].find(['\n', '\r']).map_or(text.len(), |n| at + n);
    let stop = diagnostic.span.end.clamp(at, end);
    let before = plain(text[start..at].trim_start_matches('\u{feff}'));
    let inside = plain(&text[at..stop]);
    let after = plain(&text[stop..end]);
    let shown = format!("{before}{inside}{after}");
    let marked = before.len()..before.len() + inside.len();
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Danger => Level::WARNING.with_name(Severity::Danger.word()),
        Severity::Warning => Level::WARNING,
    };
    let place = match &diagnostic.cell {
        Some(cell) => format!("{place}, column {}", visible(cell)),
        None => place.to_owned(),
    };
    let message = visible(&diagnostic.message);
    let mut group = level.primary_title(message.as_str()).element(
        Snippet::source(shown.as_str())
            .line_start(diagnostic.line)
            .path(place.as_str())
            .annotation(AnnotationKind::Primary.span(marked)),
    );
    let remedy = diagnostic.remedy.as_deref().map(visible);
    if let Some(remedy) = &remedy {
        group = group.element(Level::HELP.message(remedy.as_str()));
    }
    Renderer::plain().render(&[group])
}

/// A tab is one space here, so that columns are characters.
fn plain(text: &str) -> String {
    visible(&text.replace('\t', " "))
}

/// Says how many errors and warnings there are: "2 errors, 1 warning".
pub fn counted(errors: usize, warnings: usize) -> String {
    let (some_errors, some_warnings) = (
        count::counted(errors, "error", "errors"),
        count::counted(warnings, "warning", "warnings"),
    );
    match (errors, warnings) {
        (0, 0) => "no errors".to_owned(),
        (_, 0) => some_errors,
        (0, _) => some_warnings,
        _ => format!("{some_errors}, {some_warnings}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::note::read_note;

    #[test]
    fn of_many_faults_the_first_errors_are_shown_and_the_others_counted() {
        let text = format!(
            "model A\nunit 1\n\n[body]\n{}",
            "o-ring ; NBR 70\n".repeat(50)
        );
        let diagnostics = read_note(&text).diagnostics;
        let shown = marked_lines("a.note", &text, &diagnostics);
        assert_eq!(shown.matches("error:").count(), MOST_SHOWN, "{shown}");
        assert!(shown.contains("… and 30 errors"), "{shown}");
        let few = marked_lines("a.note", &text, &diagnostics[..MOST_SHOWN]);
        assert!(!few.contains("… and"), "{few}");
    }

    #[test]
    fn a_fault_is_shown_under_its_bytes_with_the_remedy() {
        let text =
            "model Tarn\nunit 1\nlengths mm\ndate 2026-03-14\n[a]\nclip ; keep ; odd 3\u{1b}\n";
        let reading = read_note(text);
        let shown = marked_lines("x.note", text, &reading.diagnostics);
        assert!(shown.contains("x.note:6:15"), "{shown}");
        assert!(shown.contains("^^^") && shown.contains("help: "), "{shown}");
        assert!(!shown.contains('\u{1b}'));
    }

    #[test]
    fn counts_are_said_in_words() {
        assert_eq!(counted(2, 1), "2 errors, 1 warning");
        assert_eq!(counted(0, 0), "no errors");
    }
}
