//! Parts lists, made of what was read while nobody is kept from the book, and kept beside it.
//!
//! A command reads what lists are made from (`RecordedModel`, `Statements`) inside `Book::read`, leaves the book, and
//! has them made here; nothing else makes a list. [`ListMaker`] has no book, only the place of one, so it cannot hold a
//! lock, and `tests/it/kept_list.rs` writes beside each such command while it computes. Only the last try of a `job
//! close` that notes overtake thrice works its list out with the lock.
//!
//! A list is kept under the SHA-256 of all it is computed from: the source of `core`, the shipped tables and
//! `Cargo.lock` (`RINGWRIGHT_RULES_VERSION`, made by `scripts/build_tables.rs`, so that a mended rule counts without a
//! new version number), every field of the units' records with whose word they are, the threshold, the gas and the
//! prior. Left out is what is put on afterwards and costs nothing: how many units are built, for whom, the cautions,
//! and the statements, which are told on every list anew, so that one more of them does not have the lists of the whole
//! book computed again. A list is kept only where it reads back equal to what was computed.

use super::parts_list::{PartsQuestion, PartsReport};
use super::statements::Statements;
use super::unit_records::RecordedModel;
use crate::core::book::{ModelName, PartsList, UnitRecord, Workshop};
use crate::core::gland::GlandSpec;
use crate::core::identification::{Candidates, Prior, RegimeOdds};
use crate::core::measurement::Instruments;
use crate::core::sizes::SizeTable;
use crate::store::{BookPlace, KeptLists, ListDigest};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fmt::{Debug, Write};
use std::rc::Rc;
use std::sync::Arc;

/// Makes the parts lists of one command.
///
/// It takes what was read before and never opens the book: whoever makes a list holds no lock of it. What was computed from the
/// same units by the same rules is taken from beside the book and not computed again.
#[derive(Debug)]
pub(in crate::app) struct ListMaker {
    kept: KeptLists,
    /// The candidates by each prior that was asked for.
    candidates: Vec<(Prior, Rc<Candidates>)>,
}

/// A list with what its machine output leaves out.
#[derive(Debug, Serialize, Deserialize)]
struct KeptList {
    list: PartsList,
    /// The glands of each line.
    glands: Vec<Vec<GlandSpec>>,
}

impl ListMaker {
    /// Makes the lists of the book at a place.
    pub(in crate::app) fn beside(place: &BookPlace) -> Self {
        Self {
            kept: KeptLists::beside(place),
            candidates: Vec::new(),
        }
    }

    /// Returns the candidates with a prior, made once.
    fn candidates(&mut self, prior: &Prior) -> Rc<Candidates> {
        if let Some((_, known)) = self.candidates.iter().find(|(known, _)| known == prior) {
            return Rc::clone(known);
        }
        let made = Rc::new(Candidates::new(SizeTable::shipped(), prior));
        self.candidates.push((prior.clone(), Rc::clone(&made)));
        made
    }

    /// Makes the parts list of a model with what was tried there and failed.
    ///
    /// What was said of parts is told on each list anew: a statement changes every answer at once and makes no list be computed again.
    pub(in crate::app) fn report(
        &mut self,
        model: &RecordedModel,
        said: &Statements,
        question: &PartsQuestion,
    ) -> PartsReport {
        let computed = self.list(model, question);
        let mut list = computed.for_units(question.build);
        said.tell(&mut list);
        PartsReport::of(list, &model.units, question)
    }

    /// Returns the list for one unit, computed once.
    fn list(&mut self, model: &RecordedModel, question: &PartsQuestion) -> PartsList {
        let question = &PartsQuestion {
            prior: question.prior.clone().with_sold(Arc::clone(&model.sold)),
            ..question.clone()
        };
        let prior = UnitRecord::prior_for(&model.units, &question.prior);
        let others = model.others.regimes(&mut self.kept);
        let maker = if others.is_empty() {
            RegimeOdds::default()
        } else {
            self.candidates(&prior).by_the_maker(&others)
        };
        let digest = digest_of(&model.units, &maker, question);
        let kept = self.kept.find(&digest);
        if let Some(list) = kept.and_then(|text| KeptList::read(&text, &model.name)) {
            return list;
        }
        let list = computed(model, question, &self.candidates(&prior), maker);
        if let Some(text) = KeptList::written(&list) {
            self.kept.keep(&digest, &text);
        }
        list
    }
}

impl KeptList {
    /// Writes a list; `None` where it would not read back as the very same, so that what is kept never differs from what was
    /// computed.
    fn written(list: &PartsList) -> Option<Vec<u8>> {
        let glands = list.lines.iter().map(|line| line.glands.clone());
        let kept = Self {
            glands: glands.collect(),
            list: list.clone(),
        };
        let text = serde_json::to_vec(&kept).ok()?;
        let again = Self::read(&text, &list.model)?;
        (again == *list).then_some(text)
    }

    fn read(text: &[u8], model: &ModelName) -> Option<PartsList> {
        let Self { mut list, glands } = serde_json::from_slice(text).ok()?;
        list.model = model.clone();
        for (line, glands) in list.lines.iter_mut().zip(glands) {
            line.glands = glands;
        }
        Some(list)
    }
}

fn computed(
    model: &RecordedModel,
    question: &PartsQuestion,
    candidates: &Candidates,
    maker: RegimeOdds,
) -> PartsList {
    let workshop = Workshop {
        candidates,
        maker,
        instruments: Instruments::shipped(),
        threshold: question.threshold.clone(),
        gas: question.gas.clone(),
    };
    PartsList::of(model.name.clone(), &model.units, 1, &workshop)
}

/// Forms the digest of everything that a list for one unit is computed from: the rules and tables of this build of the program, the
/// units with every word of their records, what the other models of the maker say, and the question.
///
/// The text of each is its derived `Debug` form, because it holds every field of every part, one that is added later too, and
/// every number to the last bit. That the form may change with the compiler only makes a list be computed once more.
fn digest_of(units: &[UnitRecord], maker: &RegimeOdds, question: &PartsQuestion) -> ListDigest {
    let mut digest = Digested(Sha256::new());
    digest.take(&env!("RINGWRIGHT_RULES_VERSION"));
    digest.take(&units);
    digest.take(maker);
    digest.take(&(&question.threshold, &question.gas, &question.prior));
    digest.0.finalize().into()
}

/// Feeds what is written to a digest.
struct Digested(Sha256);

impl Digested {
    fn take(&mut self, what: &impl Debug) {
        // A digest takes everything.
        let _ = writeln!(self, "{what:?}");
    }
}

impl Write for Digested {
    fn write_str(&mut self, text: &str) -> std::fmt::Result {
        self.0.update(text.as_bytes());
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::super::maker::OtherModels;
    use super::*;
    use crate::core::gas::{GasStatement, OxygenThreshold};
    use crate::core::provenance::Whose;
    use proptest::prelude::*;

    fn unit(serial: &str, parts: &str, whose: Whose) -> UnitRecord {
        UnitRecord {
            whose,
            ..UnitRecord::noted(serial, parts)
        }
    }

    fn ring(od: f64) -> String {
        format!(
            "o-ring ; at filter seat ; replace ; used ; od {od:.2} by caliper ; cs 1.72 by flat"
        )
    }

    fn model(units: Vec<UnitRecord>) -> RecordedModel {
        RecordedModel {
            name: ModelName {
                maker: Some("Fellwater".to_owned()),
                name: "Tarn".to_owned(),
            },
            units,
            others: OtherModels::default(),
            sold: Arc::default(),
        }
    }

    const ALONE: [f64; 16] = [0.0; 16];

    /// Computes a list anew, the maker's other models not asked.
    fn computed(model: &RecordedModel, question: &PartsQuestion) -> PartsList {
        let candidates = Candidates::new(SizeTable::shipped(), &question.prior);
        super::computed(model, question, &candidates, ALONE)
    }

    fn of_one() -> PartsQuestion {
        PartsQuestion::of_one("Tarn")
    }

    fn gas(words: &str) -> GasStatement {
        GasStatement {
            words: Some(words.to_owned()),
            oxygen: None,
        }
    }

    #[test]
    fn whatever_a_list_hangs_on_is_in_its_digest_and_nothing_else() {
        let units = [unit("1", &ring(12.8), Whose::Ours)];
        let first = digest_of(&units, &ALONE, &of_one());
        assert_eq!(first, digest_of(&units.clone(), &ALONE, &of_one()));
        let mut header = units.clone();
        header[0].header.variant = Some("export".to_owned());
        let mut unread = units.clone();
        unread[0].unread_lines = 1;
        let shops = vec!["Pier".to_owned()];
        for other in [
            vec![unit("1", &ring(12.9), Whose::Ours)],
            vec![unit("2", &ring(12.8), Whose::Ours)],
            vec![unit("1", &ring(12.8), Whose::Accepted(shops.clone()))],
            vec![unit("1", &ring(12.8), Whose::Theirs(shops))],
            [units.to_vec(), units.to_vec()].concat(),
            header.to_vec(),
            unread.to_vec(),
        ] {
            assert_ne!(first, digest_of(&other, &ALONE, &of_one()), "{other:?}");
        }
        let strict = OxygenThreshold {
            share: 0.21,
            ..OxygenThreshold::default()
        };
        let prior = Prior::default().with_words("jis-p=4").expect("weights");
        for other in [
            PartsQuestion {
                gas: Some(gas("nitrox 32")),
                ..of_one()
            },
            PartsQuestion {
                threshold: strict,
                ..of_one()
            },
            PartsQuestion { prior, ..of_one() },
        ] {
            assert_ne!(first, digest_of(&units, &ALONE, &other), "{other:?}");
        }
        let mut heard = ALONE;
        heard[0] = 0.7;
        assert_ne!(first, digest_of(&units, &heard, &of_one()));
        // The same list serves any number of units.
        let five = PartsQuestion {
            build: 5,
            ..of_one()
        };
        assert_eq!(first, digest_of(&units, &ALONE, &five));
    }

    #[test]
    fn a_list_for_five_units_is_the_list_for_one_with_five_times_the_parts() {
        let model = model(vec![unit("1", &ring(12.8), Whose::Ours)]);
        let one = computed(&model, &of_one());
        let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
        let workshop = Workshop {
            candidates: &candidates,
            maker: ALONE,
            instruments: Instruments::shipped(),
            threshold: OxygenThreshold::default(),
            gas: None,
        };
        let five = PartsList::of(model.name.clone(), &model.units, 5, &workshop);
        assert_ne!(one, five);
        assert_eq!(one.for_units(5), five);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(12))]
        #[test]
        fn a_list_from_beside_the_book_is_the_one_that_was_computed(
            rings in proptest::collection::vec((5.0..40.0_f64, 0..3_u8, 1.0..3.0_f64), 1..3),
            enriched: bool,
        ) {
            let folder = tempfile::tempdir().expect("a folder");
            let place = BookPlace::named(folder.path().join("shop.book"));
            let units = rings.iter().enumerate().map(|(at, (od, whose, depth))| {
                let shops = vec!["Pier".to_owned()];
                let whose = match whose {
                    0 => Whose::Ours,
                    1 => Whose::Accepted(shops),
                    _ => Whose::Theirs(shops),
                };
                let gland = format!("  gland face ; outer {:.2} ; depth {depth:.2} ; width 2.4 ; static ; pressure 200 bar from inside", od + 0.3);
                let disc = format!("filter disc ; at inlet ; replace ; od {od:.2} ; thick {depth:.2}");
                unit(&at.to_string(), &format!("{}\n{gland}\n{disc}", ring(*od)), whose)
            });
            let model = model(units.collect());
            let question = PartsQuestion {
                gas: enriched.then(|| gas("nitrox 32")),
                ..of_one()
            };
            let list = computed(&model, &question);
            prop_assert!(KeptList::written(&list).is_some(), "it reads back as it was: {list:?}");
            let first = ListMaker::beside(&place).list(&model, &question);
            prop_assert_eq!(&first, &list);
            let digest = digest_of(&model.units, &ALONE, &question);
            let text = KeptLists::beside(&place).find(&digest).expect("it was kept");
            prop_assert_eq!(KeptList::read(&text, &model.name).expect("it reads"), list);
        }
    }
}
