//! A unit as the book holds it.

use crate::core::identification::Prior;
use crate::core::note::{Entry, Header};
use crate::core::provenance::Whose;
use std::borrow::Cow;
use std::sync::Arc;

/// One unit of a model: what its newest note says, with older notes filling in what that one leaves out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct UnitRecord {
    pub serial: String,
    /// What the newest note says of the unit.
    pub header: Header,
    /// Its parts in the order in which they came off.
    pub parts: Vec<Entry>,
    /// Lines of its notes that could not be read and were left out.
    pub unread_lines: u32,
    pub whose: Whose,
}

impl UnitRecord {
    /// Lists the other shops whose notes speak for any of some units.
    pub fn shops_of<'u>(units: impl IntoIterator<Item = &'u Self>) -> Vec<String> {
        let mut shops: Vec<String> = units
            .into_iter()
            .flat_map(|unit| unit.whose.shops())
            .cloned()
            .collect();
        shops.sort();
        shops.dedup();
        shops
    }

    /// Puts our units first, and says how many they are.
    pub(super) fn ours_first(units: &[Self]) -> (Vec<Self>, usize) {
        let mut sorted = units.to_vec();
        sorted.sort_by_key(|unit| !unit.whose.is_ours());
        let ours = sorted.partition_point(|unit| unit.whose.is_ours());
        (sorted, ours)
    }

    /// Returns how common each family of sizes is taken to be for units: as was asked for, else as where and when they were made,
    /// by the first of ours that says so; those of other shops are heard where none is ours.
    pub fn prior_for<'p>(units: &[Self], asked: &'p Prior) -> Cow<'p, Prior> {
        let any_ours = units.iter().any(|unit| unit.whose.is_ours());
        let heard = units
            .iter()
            .filter(|unit| unit.whose.is_ours() || !any_ours);
        let mut told = heard
            .filter_map(|unit| unit.header.made.as_deref())
            .filter_map(Prior::made_words);
        match told.next() {
            Some((prior, _)) if asked.is_usual() => {
                Cow::Owned(prior.with_sold(Arc::clone(asked.sold())))
            }
            _ => Cow::Borrowed(asked),
        }
    }
}

#[cfg(test)]
impl UnitRecord {
    /// Reads a unit from the lines of its parts, in millimetres; nothing in them is doubtful.
    pub(crate) fn noted(serial: &str, parts: &str) -> Self {
        let text = format!(
            "model Tarn\nunit {serial}\ndate 2026-03-14\ngas air\nsupply 200 bar\nlengths mm\n[inlet]\n{parts}\n"
        );
        let reading = crate::core::note::read_note(&text);
        assert!(reading.diagnostics.is_empty(), "{:?}", reading.diagnostics);
        Self {
            serial: serial.to_owned(),
            header: reading.note.header,
            parts: reading.note.entries,
            ..Self::default()
        }
    }
}
