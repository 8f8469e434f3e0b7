//! Part numbers that a spreadsheet has turned into dates: "2-012" becomes "Feb-12" or "02-Dec".

const MONTHS: [&str; 12] = [
    "JAN", "FEB", "MAR", "APR", "MAY", "JUN", "JUL", "AUG", "SEP", "OCT", "NOV", "DEC",
];

/// Gives the part numbers that a cell may have held before a spreadsheet made a date of it; empty where it is no date.
///
/// The last number is given with and without the zeros of a dash number, because a spreadsheet drops them.
///
/// ```
/// use ringwright::core::supply::date_like;
/// assert!(date_like("Feb-12").contains(&"2-012".to_owned()));
/// assert!(date_like("02-Dec").contains(&"2-012".to_owned()));
/// assert!(date_like("2-012").is_empty());
/// ```
pub fn date_like(cell: &str) -> Vec<String> {
    let upper = cell.trim().to_uppercase();
    let parts: Vec<&str> = upper.split(['-', '/', ' ', '.']).collect();
    let month = |word: &str| {
        let known = word.len() >= 3 && word.chars().all(char::is_alphabetic);
        let at = MONTHS.iter().position(|m| known && word.starts_with(m))?;
        u32::try_from(at + 1).ok()
    };
    let number = |word: &str| -> Option<u32> {
        let short = (1..=4).contains(&word.len()) && word.bytes().all(|b| b.is_ascii_digit());
        short.then(|| word.parse().ok()).flatten()
    };
    match parts.as_slice() {
        // Day and month, or month and year.
        [a, b] => match (month(a), number(b), number(a), month(b)) {
            (Some(month), Some(year), ..) => pair(month, year % 100),
            (.., Some(day), Some(month)) => pair(day, month),
            _ => Vec::new(),
        },
        // A whole date of the year in which the sheet was opened, or of the year that the number named.
        [y, m, d] if y.len() == 4 => match (number(y), number(m), number(d)) {
            (Some(year), Some(month), Some(day))
                if (1..=12).contains(&month) && (1900..2100).contains(&year) =>
            {
                let mut found = pair(month, day);
                found.extend(pair(month, year % 100));
                found.extend(pair(day, month));
                found.dedup();
                found
            }
            _ => Vec::new(),
        },
        _ => Vec::new(),
    }
}

fn pair(first: u32, second: u32) -> Vec<String> {
    let mut found = vec![format!("{first}-{second:03}")];
    let plain = format!("{first}-{second}");
    if !found.contains(&plain) {
        found.push(plain);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_of_a_spreadsheet_lead_back_to_the_numbers_they_may_have_been() {
        assert!(date_like("Dec-12").contains(&"12-012".to_owned()));
        assert!(date_like("2012-02-01").contains(&"2-012".to_owned()));
        assert!(date_like("2-Dec").contains(&"2-012".to_owned()));
        for text in [
            "2-012", "AB-12", "SEPTUM", "MAR", "12", "568-012", "May be", "Dec-x",
        ] {
            assert!(date_like(text).is_empty(), "{text}");
        }
    }
}
