//! Values of fixed lists, each written as one word in notes, in the book and on the command line.

/// A value of a fixed list.
pub trait Word: Copy + 'static {
    /// Lists every value with its word, in the order in which they are offered.
    const WORDS: &'static [(Self, &'static str)];

    /// Finds the value of a word, whatever its case.
    fn of_word(word: &str) -> Option<Self> {
        let lower = word.trim().to_lowercase();
        let found = Self::WORDS.iter().find(|(_, known)| *known == lower);
        found.map(|(value, _)| *value)
    }
}

/// Gives an enum the words of its values.
macro_rules! words {
    ($named:ident { $($value:ident => $word:literal),* $(,)? }) => {
        impl $named {
            /// Lists every value with its word.
            pub const ALL: [(Self, &'static str); [$($word),*].len()] = [$((Self::$value, $word)),*];

            /// Returns the word.
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$value => $word),*
                }
            }

            /// Finds the value of a word, whatever its case.
            pub fn from_word(word: &str) -> Option<Self> {
                <Self as $crate::core::word::Word>::of_word(word)
            }
        }

        impl $crate::core::word::Word for $named {
            const WORDS: &'static [(Self, &'static str)] = &Self::ALL;
        }
    };
}
pub(crate) use words;
