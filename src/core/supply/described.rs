//! What a supplier's description says.

use crate::core::elastomer::Polymer;
use crate::core::note::PartKind;
use crate::core::quantity::{Hardness, Length};
use crate::core::sizes::{Designated, SizeTable};

/// Names a ring by its dimensions and, where it is listed, by its first code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedRing {
    /// First code of the listed ring.
    pub code: Option<String>,
    /// Inside diameter.
    pub id: Length,
    /// Cross-section.
    pub section: Length,
}

impl NamedRing {
    /// Names what a designation means; dimensions that are those of a listed ring to the hundredth become that ring.
    pub fn of(size: &Designated) -> Self {
        let table = SizeTable::shipped();
        let listed = match size {
            Designated::Listed(id) => Some(*id),
            Designated::Dimensions { same, .. } => same.first().copied(),
        };
        match (listed, size) {
            (Some(id), _) => {
                let first = table
                    .ring_of(id)
                    .and_then(|ring| ring.sizes().first().copied())
                    .unwrap_or(id);
                let ring = table.size(first);
                Self {
                    code: Some(ring.code()),
                    id: ring.id.nominal,
                    section: ring.section.nominal,
                }
            }
            (None, Designated::Dimensions { id, section, .. }) => Self {
                code: None,
                id: id.nominal,
                section: section.nominal,
            },
            (None, Designated::Listed(id)) => {
                let ring = table.size(*id);
                Self {
                    code: Some(ring.code()),
                    id: ring.id.nominal,
                    section: ring.section.nominal,
                }
            }
        }
    }
}

impl NamedRing {
    /// Tells whether two names are of one ring: lists round to the tenth at worst.
    pub fn is_same(&self, other: &Self) -> bool {
        const ROUNDED_NM: i64 = 50_000;
        let near = |x: Length, y: Length| (x.nm() - y.nm()).abs() <= ROUNDED_NM;
        near(self.id, other.id) && near(self.section, other.section)
    }
}

/// Holds what a description says; what it does not say is `None`, never a guess.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Described {
    /// The kind of part, where a word names it.
    pub kind: Option<PartKind>,
    /// The ring sizes that the text can mean: none where it names none, several where it is ambiguous.
    pub rings: Vec<NamedRing>,
    /// Lengths of a part that is no ring, in the order in which they stand.
    pub lengths: Vec<Length>,
    /// The polymer.
    pub polymer: Option<Polymer>,
    /// The hardness.
    pub hardness: Option<Hardness>,
    /// Pieces in a pack.
    pub pack: Option<u32>,
    /// The word that says that the part is no longer sold.
    pub discontinued: Option<String>,
    /// Words that were not understood.
    pub unread: Vec<String>,
}
