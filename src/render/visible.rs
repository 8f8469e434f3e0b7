//! Text from outside made safe to show.

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

fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}')
}
