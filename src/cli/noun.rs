//! Words that name a thing, each kind with a type of its own, so that none stands where another belongs.

use std::fmt::{Debug, Formatter};
use std::ops::Deref;

/// Makes the type of each noun: what was typed, which clap reads and the application takes.
macro_rules! nouns {
    ($($(#[$told:meta])* $noun:ident,)*) => {$(
        $(#[$told])*
        #[derive(Clone)]
        pub(super) struct $noun(String);

        impl From<String> for $noun {
            fn from(words: String) -> Self {
                Self(words)
            }
        }

        impl From<$noun> for String {
            fn from(noun: $noun) -> Self {
                noun.0
            }
        }

        impl Deref for $noun {
            type Target = str;

            fn deref(&self) -> &str {
                &self.0
            }
        }

        impl Debug for $noun {
            fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(f)
            }
        }
    )*};
}

nouns! {
    /// A bin of the shelf.
    Bin,
    /// A gas in words.
    Gas,
    /// A gauge of the register.
    GaugeName,
    /// A line of a parts list: its number or its words.
    Line,
    /// A lot.
    Lot,
    /// A model, whose maker may be left out.
    Model,
    /// A file with a note, or - for standard input.
    NoteFile,
    /// A maker's or supplier's number.
    PartNumber,
    /// Who says or does something.
    Person,
    /// A place in a model: section and position.
    Place,
    /// A ring as people write it: code, old number or dimensions.
    RingText,
    /// A scanner of the shop.
    Scanner,
    /// The serial number of a unit.
    Serial,
    /// A supplier.
    Supplier,
}
