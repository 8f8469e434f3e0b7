//! Characters that are not seen where they stand, or that steer what stands beside them.

/// Replaces every hidden character by its code, so that text from a note or a supplier can neither steer a terminal nor
/// hide.
///
/// ```
/// assert_eq!(ringwright::core::hidden::visible("a\u{1b}[31mb"), "a\\u{1b}[31mb");
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
/// assert_eq!(ringwright::core::hidden::visible_page("a\n\u{9b}2J"), "a\n\\u{9b}2J");
/// ```
pub fn visible_page(text: &str) -> String {
    let lines: Vec<String> = text.split('\n').map(visible).collect();
    lines.join("\n")
}

/// Tells whether a character is a control, ends a line or paragraph, annotates, is ignored where it cannot be drawn, or is
/// no character at all.
pub fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{2028}' | '\u{2029}' | '\u{fff9}'..='\u{fffb}')
        || is_ignorable(c)
        || is_no_character(c)
}

/// Tells whether a character has the property Default_Ignorable_Code_Point (Unicode Character Database,
/// DerivedCoreProperties.txt; the ranges are those of versions 9 to 17, and hold unassigned places that are set aside for
/// such characters).
fn is_ignorable(c: char) -> bool {
    matches!(c,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}'..='\u{1160}' | '\u{17b4}'..='\u{17b5}' | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}'
            | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}' | '\u{fff0}'..='\u{fff8}'
            | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}' | '\u{e0000}'..='\u{e0fff}')
}

/// Tells whether a place is a noncharacter (The Unicode Standard, 23.7): U+FDD0 to U+FDEF and the last two of each plane. XML
/// admits neither U+FFFE nor U+FFFF.
fn is_no_character(c: char) -> bool {
    matches!(c, '\u{fdd0}'..='\u{fdef}') || u32::from(c) & 0xfffe == 0xfffe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_seen_leaves_as_its_code() {
        for c in [
            '\u{61c}',
            '\u{ad}',
            '\u{34f}',
            '\u{115f}',
            '\u{180e}',
            '\u{200d}',
            '\u{202e}',
            '\u{2028}',
            '\u{3164}',
            '\u{fe0f}',
            '\u{ffa0}',
            '\u{fffb}',
            '\u{fffe}',
            '\u{10ffff}',
            '\u{fdd0}',
            '\u{1d173}',
            '\u{e0001}',
            '\u{e0100}',
            '\u{9b}',
        ] {
            let code = format!("a\\u{{{:x}}}b", u32::from(c));
            assert_eq!(visible(&format!("a{c}b")), code);
        }
    }

    #[test]
    fn what_is_seen_stays_as_it_is() {
        let text = "Ålesund 3/8″ × 1/16 — 12,7 ±0.1 µm 漢字 \u{a0}é e\u{301} 🔧 \u{fffd}";
        assert_eq!(visible(text), text);
    }

    /// The Unicode Character Database counts 4,174 such code points, as the last line of the property's list says.
    #[test]
    fn as_many_are_ignorable_as_the_database_counts() {
        let all = '\0'..=char::MAX;
        assert_eq!(all.filter(|c| is_ignorable(*c)).count(), 4174);
    }
}
