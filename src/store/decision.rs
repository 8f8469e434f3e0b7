//! What persons decided for places of models.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use crate::core::book::{Decision, TakenBack};

impl BookReader<'_> {
    /// Lists every decision, those that were taken back too, oldest first.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn decisions(&self) -> Result<Vec<Decision>, StoreError> {
        self.records(
            "SELECT model_key AS model, section, position, ring, polymer, hardness, part, person, why, decided_at,
                    iif(taken_back_at IS NULL, NULL, json_object('person', taken_back_by, 'why', taken_back_why,
                        'at', taken_back_at)) AS 'taken_back{}'
             FROM decision ORDER BY id",
            &[],
        )
    }
}

impl BookWriter<'_> {
    /// Keeps a decision.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn add_decision(&self, decision: &Decision) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO decision (model_key, section, position, ring, polymer, hardness, part, person, why, decided_at)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            &[
                &decision.model_key,
                &decision.section,
                &decision.position,
                &decision.ring,
                &decision.polymer,
                &decision.hardness,
                &decision.part,
                &decision.person,
                &decision.why,
                &decision.decided_at,
            ],
        )
    }

    /// Takes the decisions that stand for a place back; their rows stay.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn take_decision_back(
        &self,
        stands: &Decision,
        back: &TakenBack,
    ) -> Result<(), StoreError> {
        self.change(
            "UPDATE decision SET taken_back_by = ?4, taken_back_why = ?5, taken_back_at = ?6
             WHERE model_key = ?1 AND section = ?2 AND position = ?3 AND taken_back_at IS NULL",
            &[
                &stands.model_key,
                &stands.section,
                &stands.position,
                &back.person,
                &back.why,
                &back.at,
            ],
        )
    }
}
