//! The word that was meant by a misspelt one.

/// Longer words are no slip of a word, and measuring them takes time.
const LONGEST_WORD: usize = 24;

/// Asks in brackets whether a word was meant; says nothing where none was near.
pub(crate) fn did_you_mean(meant: Option<&str>) -> String {
    meant.map_or_else(String::new, |word| format!(" (did you mean {word:?}?)"))
}

/// Finds the candidate nearest to a word: one slip in words of three to five letters, two in longer ones.
pub(crate) fn nearest_of<'t>(
    candidates: impl Iterator<Item = &'t str>,
    word: &str,
) -> Option<&'t str> {
    let lower = word.to_lowercase();
    let length = lower.chars().count();
    let slips = match length {
        0..=2 => return None,
        3..=5 => 1,
        6..=LONGEST_WORD => 2,
        _ => return None,
    };
    candidates
        .filter(|candidate| {
            candidate.len() > 2 && !candidate.contains(['.', '/']) && **candidate != lower
        })
        .map(|candidate| (strsim::osa_distance(candidate, &lower), candidate))
        .filter(|(distance, _)| *distance <= slips)
        .min()
        .map(|(_, candidate)| candidate)
}
