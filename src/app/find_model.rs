//! Finds a model, or a unit, by a name that may be only part of it.

use crate::core::book::{ModelName, name_key, near_names};
use crate::store::{BookReader, StoreError, StoredModel};
use serde::Serialize;

/// Says what was found under a name.
#[derive(Debug, Clone)]
pub enum Found<T> {
    /// It is there.
    Yes(T),
    /// It is not there; what comes near is.
    No(NotFound),
}

/// Says that nothing of a name is in the book, and what comes near.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NotFound {
    /// What was looked for: a model, a unit, a note.
    pub what: &'static str,
    /// The name that was asked for.
    pub asked: String,
    /// Names in the book that come near, nearest first.
    pub near: Vec<String>,
    /// Whether several names fit, so that the asked one must be written in full.
    pub ambiguous: bool,
}

/// Finds the model of a name.
///
/// The whole name wins; else the one model whose name ends with the asked words (the maker left out), else the one whose
/// name holds them all.
///
/// # Errors
/// Fails where the book cannot be read.
pub(super) fn find_model(
    book: &BookReader<'_>,
    asked: &str,
) -> Result<Found<StoredModel>, StoreError> {
    let whole = ModelName {
        maker: None,
        name: asked.trim().to_owned(),
    };
    if let Some(model) = book.model(&whole)? {
        return Ok(Found::Yes(model));
    }
    let models = book.models()?;
    let asked_key = name_key(asked);
    let ends: Vec<&StoredModel> = models
        .iter()
        .filter(|model| model.name.key().ends_with(&format!(" {asked_key}")))
        .collect();
    let holds: Vec<&StoredModel> = models
        .iter()
        .filter(|model| holds_words(&model.name.key(), &asked_key))
        .collect();
    for fitting in [&ends, &holds] {
        if let [one] = fitting.as_slice() {
            return Ok(Found::Yes((*one).clone()));
        }
    }
    let names: Vec<String> = models.iter().map(|model| model.name.to_string()).collect();
    let near = near_names(asked, names.iter().map(String::as_str));
    Ok(Found::No(NotFound {
        what: "model",
        asked: asked.trim().to_owned(),
        near: if near.is_empty() { names } else { near },
        ambiguous: holds.len() > 1,
    }))
}

fn holds_words(name: &str, asked: &str) -> bool {
    let words: Vec<&str> = name.split(' ').collect();
    !asked.is_empty() && asked.split(' ').all(|word| words.contains(&word))
}
