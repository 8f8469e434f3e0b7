//! Whose word a thing is: our own, or that of another shop whose book was merged into ours.

use serde::{Deserialize, Serialize};
use std::ops::Deref;

/// What somebody said with the shop whose book brought it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sourced<T> {
    /// What was said.
    #[serde(flatten)]
    pub said: T,
    /// The other shop; `None` where it was said here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_shop: Option<String>,
}

impl<T> Sourced<T> {
    /// What was said here.
    pub const fn ours(said: T) -> Self {
        Self {
            said,
            from_shop: None,
        }
    }
}

impl<T> Deref for Sourced<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.said
    }
}

/// Says whose word the record of a unit is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Whose {
    /// Our own.
    #[default]
    Ours,
    /// In part that of these shops, whose notes somebody here accepted; it counts as our own.
    Accepted(Vec<String>),
    /// That of these shops alone.
    Theirs(Vec<String>),
}

impl Whose {
    /// Tells whether the record counts as our own.
    pub fn is_ours(&self) -> bool {
        !matches!(self, Self::Theirs(_))
    }

    /// Lists the other shops that it rests on.
    pub fn shops(&self) -> &[String] {
        match self {
            Self::Ours => &[],
            Self::Accepted(shops) | Self::Theirs(shops) => shops,
        }
    }
}

/// Names the shops whose records something rests on, for a sentence: "from Hill and Lake store room"; empty where it is our own.
pub fn from_words(shops: &[String]) -> String {
    match shops {
        [] => String::new(),
        [one] => format!("from {one}"),
        [most @ .., last] => format!("from {} and {last}", most.join(", ")),
    }
}

/// Puts the shops behind words, in brackets; leaves the words alone where they are our own.
pub fn with_shops(words: &str, shops: &[String]) -> String {
    if shops.is_empty() {
        words.to_owned()
    } else {
        format!("{words} ({})", from_words(shops)).trim().to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_others_name_them_and_our_own_stay_as_they_are() {
        let shops =
            |names: &[&str]| -> Vec<String> { names.iter().map(|n| (*n).to_owned()).collect() };
        assert_eq!(with_shops("97 %", &[]), "97 %");
        assert_eq!(with_shops("97 %", &shops(&["Hill"])), "97 % (from Hill)");
        assert_eq!(from_words(&shops(&["A", "B", "C"])), "from A, B and C");
        assert!(!Whose::Theirs(shops(&["Hill"])).is_ours());
        assert!(Whose::Accepted(shops(&["Hill"])).is_ours());
    }
}
