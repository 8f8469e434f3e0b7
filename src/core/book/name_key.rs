//! Names as they are compared: two hands write one name in many ways.

/// Returns a name in plain words: lower case, single spaces, no punctuation.
///
/// A name of punctuation alone is kept in lower case, so that no name has an empty key.
///
/// ```
/// use ringwright::core::book::name_key;
/// assert_eq!(name_key(" Fellwater  TARN-2"), "fellwater tarn 2");
/// ```
pub fn name_key(name: &str) -> String {
    let lower = name.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    if words.is_empty() {
        lower.trim().to_owned()
    } else {
        words.join(" ")
    }
}

/// Words that tell nothing of where a part sits.
const LINKS: [&str; 8] = ["at", "in", "of", "on", "over", "the", "under", "with"];

/// Lists the words of a name or place that tell something: "o-ring at the piston head" gives o, ring, piston, head.
pub fn place_words(name: &str) -> Vec<String> {
    let key = name_key(name);
    let words = key.split(' ').filter(|word| !word.is_empty());
    words
        .filter(|word| !LINKS.contains(word))
        .map(str::to_owned)
        .collect()
}

/// A name counts as near when no more than this share of its letters must change.
const NEAR_SHARE: f64 = 0.34;

/// Returns the names that are near to the asked one, nearest first, at most three.
///
/// Near are names that hold all its words, or whose letters differ by no more than a third (optimal string alignment);
/// the first words of a name, which are often its maker's, may be left out.
pub fn near_names<'n>(asked: &str, names: impl IntoIterator<Item = &'n str>) -> Vec<String> {
    const MOST: usize = 3;
    let asked = name_key(asked);
    let mut near: Vec<(f64, &str)> = names
        .into_iter()
        .filter_map(|name| Some((distance(&asked, &name_key(name))?, name)))
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(b.1)));
    near.into_iter()
        .take(MOST)
        .map(|(_, name)| name.to_owned())
        .collect()
}

fn distance(asked: &str, name: &str) -> Option<f64> {
    let words: Vec<&str> = name.split(' ').collect();
    if !asked.is_empty() && asked.split(' ').all(|word| words.contains(&word)) {
        return Some(0.0);
    }
    (0..words.len())
        .map(|from| {
            let tail = words[from..].join(" ");
            let longest = asked.chars().count().max(tail.chars().count()).max(1);
            strsim::osa_distance(asked, &tail) as f64 / longest as f64
        })
        .min_by(f64::total_cmp)
        .filter(|share| *share <= NEAR_SHARE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_names_come_nearest_first() {
        let known = ["Fellwater Tarn", "Fellwater Tarn 2", "Fellwater Beck"];
        assert_eq!(
            near_names("tarn", known),
            ["Fellwater Tarn", "Fellwater Tarn 2"]
        );
        assert_eq!(near_names("Fellwater Tran", known)[0], "Fellwater Tarn");
        assert_eq!(near_names("bekc", known), ["Fellwater Beck"]);
        assert!(near_names("Halloran Mark 9", known).is_empty());
    }

    #[test]
    fn no_name_has_an_empty_key() {
        assert_eq!(name_key("---"), "---");
        assert_eq!(name_key("Größe 7½"), "größe 7½");
    }
}
