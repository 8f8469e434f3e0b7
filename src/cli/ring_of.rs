//! `ring --of`: a ring named with what the book knows of its model.

use super::{CliError, Result, Settings};
use crate::app::ring::identify::{RingAnswer, RingNamer};
use crate::app::ring::model_rings::ModelRings;
use crate::app::ring::question::RingQuestion;
use crate::core::note::{Entry, PartKind, SizeWitness, StatedSize};
use crate::core::quantity::Typed;
use crate::store::StoreError;

/// The model of a ring, and where in it the ring sat.
pub(super) struct OfModel<'a> {
    pub(super) model: &'a str,
    /// Section and position, as `body, at piston stem`; of itself where nothing was said.
    pub(super) at: Option<&'a str>,
    pub(super) stated: Option<&'a str>,
}

impl OfModel<'_> {
    /// Names the ring among those of its model.
    pub(super) fn name(
        &self,
        namer: &RingNamer,
        question: &RingQuestion,
        settings: &Settings,
    ) -> Result<RingAnswer> {
        let mut rings = ModelRings::of_model(&settings.book()?, self.model)?;
        if let Some(at) = self.at
            && !rings.has_place(&self.entry(question))
        {
            let what = "place of a ring in this model";
            return Err(StoreError::not_found(what, at, rings.places()).into());
        }
        rings.add_ring(self.entry(question));
        let answer = match rings.added_ring(namer) {
            Some(ring) => namer.name_in(question, &ring),
            None => namer.name(question),
        };
        answer.map_err(CliError::input)
    }

    fn entry(&self, question: &RingQuestion) -> Entry {
        let (section, position) = self
            .at
            .unwrap_or("")
            .split_once(',')
            .unwrap_or(("", self.at.unwrap_or("")));
        Entry {
            order: 1,
            section: section.trim().to_owned(),
            position: position.trim().to_owned(),
            kind: PartKind::Ring,
            name: "o-ring".to_owned(),
            quantity: 1,
            condition: Some(Typed::new(question.condition, question.condition.word())),
            readings: question.readings.clone(),
            polymer: question
                .polymer
                .map(|polymer| Typed::new(polymer, polymer.letters())),
            gland: question.gland.clone(),
            stated_size: self.stated.map(|text| StatedSize {
                text: text.to_owned(),
                by: SizeWitness::Drawer,
            }),
            ..Entry::default()
        }
    }
}
