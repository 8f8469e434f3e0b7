//! What people said: decisions for places of models, parts in the place of others, names of parts.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::record::Word;
use crate::core::book::{Decision, Says, name_key};
use crate::core::interchange::{Nickname, Statement};
use crate::core::provenance::Sourced;
use rusqlite::named_params;

impl BookReader<'_> {
    /// Lists every decision, those that were taken back too, oldest first.
    pub fn decisions(&self) -> Result<Vec<Decision>, StoreError> {
        self.records(
            "SELECT model_key AS model, section, position, ring, polymer, hardness, part, person, why, decided_at,
                    iif(taken_back_at IS NULL, NULL, json_object('person', taken_back_by, 'why', taken_back_why,
                        'at', taken_back_at)) AS 'taken_back{}'
             FROM decision ORDER BY id",
            &[],
        )
    }

    /// Lists every statement, oldest first; none is ever taken away.
    pub fn statements(&self) -> Result<Vec<Sourced<Statement>>, StoreError> {
        self.records(
            "SELECT part, stand_in, grade, place AS at, person, evidence, said_at, shop AS from_shop
             FROM statement ORDER BY said_at, id",
            &[],
        )
    }

    /// Lists what a name means, however it is spelt; our own word before that of other shops, then the surest first.
    pub fn meanings(&self, name: &str) -> Result<Vec<Sourced<Nickname>>, StoreError> {
        let mut found: Vec<Sourced<Nickname>> = self.records(
            "SELECT name, part, confidence, person, source, said_at, shop AS from_shop FROM nickname
             WHERE key = ?1 ORDER BY id",
            &[&name_key(name)],
        )?;
        found.sort_by_key(|one| (one.from_shop.is_some(), std::cmp::Reverse(one.confidence)));
        Ok(found)
    }
}

impl BookWriter<'_> {
    /// Keeps a decision.
    pub fn add_decision(&self, decision: &Decision) -> Result<(), StoreError> {
        self.insert(
            "decision",
            named_params! {
                ":model_key": decision.model_key,
                ":section": decision.section,
                ":position": decision.position,
                ":ring": decision.ring,
                ":polymer": decision.polymer,
                ":hardness": decision.hardness,
                ":part": decision.part,
                ":person": decision.person,
                ":why": decision.why,
                ":decided_at": decision.decided_at,
            },
        )
    }

    /// Takes the decisions that stand for a place back; their rows stay.
    pub fn take_decision_back(&self, stands: &Decision, back: &Says) -> Result<(), StoreError> {
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

    /// Keeps a statement that was made here.
    pub fn add_statement(&self, statement: &Statement) -> Result<(), StoreError> {
        self.keep_statement(statement, None)
    }

    /// Keeps a statement with the other shop that made it.
    pub fn keep_statement(
        &self,
        statement: &Statement,
        shop: Option<&str>,
    ) -> Result<(), StoreError> {
        self.insert(
            "statement",
            named_params! {
                ":part": statement.part,
                ":stand_in": statement.stand_in,
                ":grade": Word(statement.grade),
                ":place": statement.at,
                ":person": statement.person,
                ":evidence": statement.evidence,
                ":said_at": statement.said_at,
                ":shop": shop,
            },
        )
    }

    /// Keeps a name that was given here; one that is kept already for the same part by the same person is kept once.
    pub fn add_nickname(&self, nickname: &Nickname) -> Result<(), StoreError> {
        self.keep_nickname(nickname, None)
    }

    /// Keeps a name with the other shop that gave it.
    pub fn keep_nickname(&self, nickname: &Nickname, shop: Option<&str>) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO nickname (name, key, part, confidence, person, source, said_at, shop)
             SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8
             WHERE NOT EXISTS (SELECT 1 FROM nickname WHERE key = ?2 AND part = ?3 AND person = ?5 AND source = ?6)",
            &[
                &nickname.name,
                &name_key(&nickname.name),
                &nickname.part,
                &Word(nickname.confidence),
                &nickname.person,
                &nickname.source,
                &nickname.said_at,
                &shop,
            ],
        )
    }
}
