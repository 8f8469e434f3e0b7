//! What kind of part a text names.

use super::item::{Items, What};
use super::lexicon::Role;
use crate::core::note::PartKind;

/// What the words say of the kind.
#[derive(Debug, Default)]
pub(super) struct Kinds {
    pub(super) kind: Option<PartKind>,
    /// A word says that it is no ring of round section, or not one ring of one size.
    pub(super) not_a_ring: bool,
    /// A word names seals of many shapes.
    pub(super) perhaps_ring: bool,
    /// A word says where the part lies: numbers with a dash may be places.
    pub(super) place: bool,
    /// The word that says that the part is no longer sold.
    pub(super) discontinued: Option<String>,
}

impl Kinds {
    pub(super) fn read(items: &mut Items<'_>) -> Self {
        let mut said = Self::default();
        // Behind "for" stands what the part belongs to.
        let mut belongs = false;
        for at in 0..items.list.len() {
            let What::Word(meaning) = items.list[at].what else {
                continue;
            };
            match meaning.role {
                // "VALVE O-RING": the last of two names is the part.
                Role::Ring
                    if at > 0
                        && items.role(at - 1) == Some(Role::Part)
                        && !said.not_a_ring
                        && said.kind != Some(PartKind::BackupRing) =>
                {
                    said.kind = Some(PartKind::Ring);
                }
                Role::Ring => said.set(PartKind::Ring),
                Role::RingIfFirst
                    if at == 0
                        || said.perhaps_ring
                        || matches!(items.list[at - 1].what, What::Sign(_)) =>
                {
                    said.set(PartKind::Ring);
                }
                Role::RingIfSized => said.perhaps_ring = true,
                Role::Part if !belongs => said.set(meaning.kind.unwrap_or_default()),
                Role::NotARing if !belongs => said.not_a_ring = true,
                Role::SoldByLength => said.not_a_ring = true,
                Role::Place => said.place = true,
                Role::Discontinued => {
                    said.discontinued
                        .get_or_insert_with(|| items.list[at].text.to_owned());
                }
                Role::For => belongs = true,
                _ => continue,
            }
            if !matches!(meaning.role, Role::For) {
                items.list[at].taken = true;
            }
        }
        said
    }

    fn set(&mut self, kind: PartKind) {
        match self.kind {
            None => self.kind = Some(kind),
            Some(known) if known != kind => {
                // "O-RING FOR YOKE": the first word names the part; two soft parts under one number are no single part.
                self.not_a_ring |= kind.is_soft() && known.is_soft();
            }
            Some(_) => {}
        }
    }

    /// Tells whether the words leave it open that the part is a ring.
    pub(super) fn may_be_ring(&self) -> bool {
        !self.not_a_ring && self.kind.is_none_or(|kind| kind == PartKind::Ring)
    }
}
