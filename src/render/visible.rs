//! Text from outside made safe to show.

use std::fmt::Write;

/// Replaces every control, bidirectional and invisible format character by its code, so that text from a note or a
/// supplier can neither steer a terminal nor hide.
///
/// ```
/// assert_eq!(ringwright::render::visible("a\u{1b}[31mb"), "a\\u{1b}[31mb");
/// ```
pub fn visible(text: &str) -> String {
    if !text.chars().any(is_hidden) {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if is_hidden(c) {
            out.extend(c.escape_unicode());
        } else {
            out.push(c);
        }
    }
    out
}

/// As [`visible`], but line feeds stay.
///
/// ```
/// assert_eq!(ringwright::render::visible_page("a\n\u{9b}2J"), "a\n\\u{9b}2J");
/// ```
pub fn visible_page(text: &str) -> String {
    let lines: Vec<String> = text.split('\n').map(visible).collect();
    lines.join("\n")
}

/// Writes hidden characters of a JSON text as JSON's own escapes: it says the same, and steers no terminal.
pub(super) fn visible_json(json: &str) -> String {
    if !json.chars().any(|c| c != '\n' && is_hidden(c)) {
        return json.to_owned();
    }
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        if c != '\n' && is_hidden(c) {
            let mut units = [0; 2];
            for unit in c.encode_utf16(&mut units) {
                // Writing to a string does not fail.
                let _ = write!(out, "\\u{unit:04x}");
            }
        } else {
            out.push(c);
        }
    }
    out
}

fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn json_says_the_same_in_its_own_escapes() {
        let text = "a\u{7f}\u{9b}\u{202e}\u{feff}b";
        let json = serde_json::to_string(text).expect("a text");
        let shown = visible_json(&json);
        assert!(shown.is_ascii(), "{shown}");
        let read: String = serde_json::from_str(&shown).expect("JSON");
        assert_eq!(read, text);
    }
}
