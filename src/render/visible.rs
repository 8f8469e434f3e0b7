//! Text from outside made safe to show.

use crate::core::hidden::is_hidden;
pub use crate::core::hidden::{visible, visible_page};
use std::fmt::Write;

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
