//! Texts that a spreadsheet would take for a formula.

/// Puts an apostrophe before a text that a spreadsheet would compute or cut.
pub fn defused(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
    let loses_zero =
        text.len() > 1 && text.starts_with('0') && text.chars().all(|c| c.is_ascii_digit());
    if formula || loses_zero || text.starts_with('\'') {
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
