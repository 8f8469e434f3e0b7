//! Values of fixed lists, each written as one word in notes, in the book and on the command line.

/// A value of a fixed list.
pub trait Word: Copy + 'static {
    /// Lists the words in the order in which they are offered.
    fn words() -> Vec<&'static str>;

    /// Finds the value of a word, whatever its case; some know spellings beside those that are offered.
    fn of_word(word: &str) -> Option<Self>;
}

/// Gives an enum the words of its values; behind a bar stands what is read too.
macro_rules! words {
    ($named:ident { $($value:ident => $word:literal $(| $other:literal)*),* $(,)? }) => {
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
                match word.trim().to_lowercase().as_str() {
                    $($word $(| $other)* => Some(Self::$value),)*
                    _ => None,
                }
            }
        }

        impl $crate::core::word::Word for $named {
            fn words() -> Vec<&'static str> {
                Self::ALL.map(|(_, word)| word).to_vec()
            }

            fn of_word(word: &str) -> Option<Self> {
                Self::from_word(word)
            }
        }
    };
}
pub(crate) use words;
