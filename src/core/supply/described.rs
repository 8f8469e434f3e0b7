//! What a supplier's description says.

use super::description::DescriptionReader;
use crate::core::elastomer::Polymer;
use crate::core::note::PartKind;
use crate::core::quantity::{Hardness, Length};
use crate::core::sizes::{Designated, NominalSize, SizeId, SizeTable};

/// Names a ring by its dimensions and, where it is listed, by its first code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedRing {
    /// First code of the listed ring.
    pub code: Option<String>,
    pub size: NominalSize,
}

impl NamedRing {
    /// Names what a designation means; dimensions that are those of a listed ring to the hundredth become that ring.
    pub fn of(size: &Designated) -> Self {
        match size {
            Designated::Listed(id) => Self::listed(*id),
            Designated::Dimensions { id, section, same } => match same.first() {
                Some(listed) => Self::listed(*listed),
                None => Self {
                    code: None,
                    size: NominalSize::of(*id, *section),
                },
            },
        }
    }

    /// Names a listed ring by its first code.
    pub fn listed(id: SizeId) -> Self {
        let table = SizeTable::shipped();
        let first = table
            .ring_of(id)
            .and_then(|ring| ring.sizes().first().copied());
        let size = table.size(first.unwrap_or(id));
        Self {
            code: Some(size.code()),
            size: size.nominal(),
        }
    }

    /// Returns the listed size of its code, where it has one.
    pub fn listing(&self) -> Option<SizeId> {
        SizeTable::shipped().find_code(self.code.as_deref()?)
    }

    /// Tells whether two names are of one ring: lists round to the tenth at worst.
    pub fn is_same(&self, other: &Self) -> bool {
        self.size.is_near(other.size)
    }
}

/// Says what somebody who orders must know of a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SizeFlag {
    /// The last digits differ from those of the listed ring, which is given.
    LastDigit(NominalSize),
    /// The inside diameter is the nominal inch size in millimetres; the ring that is sold by it is given.
    NominalInch(NominalSize),
    /// A code and dimensions name different rings; both are given.
    Contradiction,
    /// The text lists several sizes, so that it is no offer of one ring; none is given.
    SeveralSizes,
}

/// What a description says; what it does not say is `None`, never a guess.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Described {
    /// The kind of part, where a word names it.
    pub kind: Option<PartKind>,
    /// The ring sizes that the text can mean: none where it names none, several where it is ambiguous.
    pub rings: Vec<NamedRing>,
    /// What must be known of the sizes.
    pub flags: Vec<SizeFlag>,
    /// Lengths of a part that is no ring, or a ring's that do not name it, in the order in which they stand.
    pub lengths: Vec<Length>,
    pub polymer: Option<Polymer>,
    pub hardness: Option<Hardness>,
    /// Pieces in a pack.
    pub pack: Option<u32>,
    /// The word that says that the part is no longer sold.
    pub discontinued: Option<String>,
    /// Words that were not understood.
    pub unread: Vec<String>,
}

/// Says how the size that a description writes differs from that of the ring it is taken for; nothing where it does not.
///
/// ```
/// use ringwright::core::supply::size_note;
/// let note = size_note("O-ring 7.66x1.78 NBR70").expect("differs");
/// assert!(note.starts_with("written 7.66 x 1.78 mm"), "{note}");
/// assert_eq!(size_note("O-ring 7.65x1.78 NBR70"), None);
/// ```
pub fn size_note(description: &str) -> Option<String> {
    let read = DescriptionReader::default().read(description);
    let notes: Vec<String> = read.flags.iter().filter_map(SizeFlag::words).collect();
    (!notes.is_empty()).then(|| notes.join("; "))
}

impl SizeFlag {
    fn words(&self) -> Option<String> {
        let size = |written: &NominalSize| {
            format!(
                "{} x {} mm",
                written.id.mm_rounded(),
                written.section.mm_rounded()
            )
        };
        match self {
            Self::LastDigit(written) => Some(format!(
                "written {}, which differs from the listed ring in its last digits",
                size(written)
            )),
            Self::NominalInch(written) => Some(format!(
                "written {}, a nominal inch size in millimetres; the ring sold by it is another",
                size(written)
            )),
            Self::Contradiction => Some(
                "its number and its size name different rings: ask the supplier which it is"
                    .to_owned(),
            ),
            Self::SeveralSizes => None,
        }
    }
}

/// Returns a part number in capitals without spaces and signs, so that two ways to write it meet.
///
/// A leading zero counts: -012, -12 and -112 are different rings.
///
/// ```
/// use ringwright::core::supply::number_key;
/// assert_eq!(number_key("ab 12-7.x"), "AB127X");
/// ```
pub fn number_key(number: &str) -> String {
    let mut key = String::with_capacity(number.len());
    for c in number.chars().filter(|c| c.is_alphanumeric()) {
        if c.is_ascii() {
            key.push(c.to_ascii_uppercase());
        } else {
            key.extend(c.to_uppercase());
        }
    }
    key
}
