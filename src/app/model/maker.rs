//! The other models of a maker, as far as they speak for one of his.

use super::unit_records::all_unit_records;
use crate::core::book::{ModelName, UnitRecord, gather, name_key, regimes_seen};
use crate::core::identification::{Candidates, Identifier, Prior, RegimeOdds, SoldSize};
use crate::core::measurement::Instruments;
use crate::core::sizes::SizeTable;
use crate::store::{BookReader, KeptLists, ListDigest, ModelId, StoreError, StoredModel};
use sha2::{Digest, Sha256};
use std::collections::HashMap;
use std::sync::Arc;

/// The most other models that are heard, by their names: what a dozen do not settle, more of them do not.
const MOST: usize = 12;

/// Our own units of each other model of the maker, in the order of their names.
#[derive(Debug, Clone, PartialEq, Default)]
pub(in crate::app) struct OtherModels(Vec<Arc<[UnitRecord]>>);

/// Reads the other models of makers; each model is read once.
#[derive(Debug)]
pub(in crate::app) struct MakerShelf<'b> {
    pub(super) book: &'b BookReader<'b>,
    /// The ring sizes that are sold here and in no list.
    pub(super) sold: Arc<[SoldSize]>,
    models: Vec<StoredModel>,
    read: HashMap<ModelId, Option<Arc<[UnitRecord]>>>,
}

impl<'b> MakerShelf<'b> {
    /// Opens the shelf of a book.
    pub(in crate::app) fn open(book: &'b BookReader<'b>) -> Result<Self, StoreError> {
        let mut models = book.models()?;
        models.sort_by_cached_key(|model| model.name.key());
        Ok(Self {
            book,
            sold: book.sold_sizes()?,
            models,
            read: HashMap::new(),
        })
    }

    /// Reads the other models of the maker of one; none where no maker is named apart. What other shops recorded is not heard.
    pub(in crate::app) fn beside(&mut self, name: &ModelName) -> Result<OtherModels, StoreError> {
        let maker = |name: &ModelName| name.maker.as_deref().map(name_key);
        let mut others = Vec::new();
        let Some(own) = maker(name) else {
            return Ok(OtherModels::default());
        };
        for model in &self.models {
            if others.len() == MOST {
                break;
            }
            if maker(&model.name).as_ref() != Some(&own) || model.name.key() == name.key() {
                continue;
            }
            let known = self.read.get(&model.id).cloned();
            let units = if let Some(units) = known {
                units
            } else {
                let mut units = all_unit_records(self.book, model.id)?;
                units.retain(|unit| unit.whose.is_ours());
                let units = (!units.is_empty()).then(|| Arc::from(units));
                self.read.insert(model.id, units.clone());
                units
            };
            others.extend(units);
        }
        Ok(OtherModels(others))
    }
}

impl OtherModels {
    /// Says what each makes of the families that its maker used; what was worked out before is taken from beside the book.
    pub(in crate::app) fn regimes(&self, kept: &mut KeptLists) -> Vec<RegimeOdds> {
        let each = self.0.iter();
        each.map(|units| {
            let digest = digest_of(units);
            let known = kept.find(&digest);
            if let Some(odds) = known.and_then(|text| serde_json::from_slice(&text).ok()) {
                return odds;
            }
            let odds = seen(units);
            if let Ok(text) = serde_json::to_vec(&odds) {
                kept.keep(&digest, &text);
            }
            odds
        })
        .collect()
    }
}

/// Weighs one model alone, by where and when it was made.
fn seen(units: &[UnitRecord]) -> RegimeOdds {
    let plain = Prior::default();
    let prior = UnitRecord::prior_for(units, &plain);
    let candidates = Candidates::new(SizeTable::shipped(), &prior);
    let mut identifier = Identifier::new(&candidates);
    regimes_seen(&gather(units), &mut identifier, Instruments::shipped())
}

fn digest_of(units: &[UnitRecord]) -> ListDigest {
    let rules = env!("RINGWRIGHT_RULES_VERSION");
    Sha256::digest(format!("regimes {rules} {units:?}")).into()
}
