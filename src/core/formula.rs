//! Texts that a spreadsheet would take for a formula.

/// Tells whether a spreadsheet would compute a text: it begins with =, +, -, @, a tab, an end of line, or a full-width form.
pub fn computes(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'])
}

/// Puts an apostrophe before a text that a spreadsheet would compute or cut.
pub fn defused(text: &str) -> String {
    let loses_zero =
        text.len() > 1 && text.starts_with('0') && text.chars().all(|c| c.is_ascii_digit());
    if computes(text) || loses_zero || text.starts_with('\'') {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_keep_their_zeros_and_are_no_formulas() {
        assert_eq!(defused("-012"), "'-012");
        assert_eq!(defused("012"), "'012");
        assert_eq!(defused("=1+1"), "'=1+1");
        assert_eq!(defused("\n=1+1"), "'\n=1+1");
        assert_eq!(defused("AS568-012"), "AS568-012");
        assert_eq!(defused("0096-24"), "0096-24");
    }
}
