//! Finds a model, or a unit, by a name that may be only part of it.

use crate::core::book::{ModelName, name_key, near_names};
use crate::store::{Book, BookPlace, BookReader, NotFound, StoreError, StoredModel, StoredUnit};

/// Takes what is not in the book for nothing.
pub(in crate::app) fn if_there<T>(found: Result<T, StoreError>) -> Result<Option<T>, StoreError> {
    match found {
        Err(StoreError::NotFound(_)) => Ok(None),
        found => found.map(Some),
    }
}

/// Finds the model of a name.
///
/// The whole name wins; else the one model whose name ends with the asked words (the maker left out), else the one whose
/// name holds them all. A model of which only other shops say something is found where none of ours is, so that no merged book takes
/// a name that was ours.
pub(in crate::app) fn find_model(
    book: &BookReader<'_>,
    asked: &str,
) -> Result<StoredModel, StoreError> {
    let whole = ModelName {
        maker: None,
        name: asked.trim().to_owned(),
    };
    let models = book.models()?;
    let theirs = book.models_of_others()?;
    let asked_key = name_key(asked);
    let mut ambiguous = false;
    for others in [false, true] {
        let named = models
            .iter()
            .filter(|model| theirs.contains(&model.id) == others);
        let named: Vec<&StoredModel> = named.collect();
        let fit = |fits: &dyn Fn(&str) -> bool| -> Vec<&StoredModel> {
            let fitting = named.iter().filter(|model| fits(&model.name.key()));
            fitting.copied().collect()
        };
        let exact = fit(&|key| key == whole.key());
        let ends = fit(&|key| key.ends_with(&format!(" {asked_key}")));
        let holds = fit(&|key| holds_words(key, &asked_key));
        for fitting in [&exact, &ends, &holds] {
            if let [one] = fitting.as_slice() {
                return Ok((*one).clone());
            }
        }
        ambiguous |= holds.len() > 1;
        if ambiguous {
            break;
        }
    }
    let names: Vec<String> = models.iter().map(|model| model.name.to_string()).collect();
    let near = near_names(asked, names.iter().map(String::as_str));
    Err(StoreError::NotFound(NotFound {
        what: "model",
        asked: asked.trim().to_owned(),
        near: if near.is_empty() { names } else { near },
        ambiguous,
    }))
}

/// Reads the model of a name, or every model where none is asked for.
pub(in crate::app) fn models_asked(
    book: &BookReader<'_>,
    asked: Option<&str>,
) -> Result<Vec<StoredModel>, StoreError> {
    match asked {
        None => book.models(),
        Some(name) => Ok(vec![find_model(book, name)?]),
    }
}

/// Names the model of the note of ours that was added last.
///
/// # Errors
/// The book cannot be read.
pub fn last_model(place: &BookPlace) -> Result<Option<String>, StoreError> {
    Book::open_to_read(place)?.read(|book| {
        let last = book.last_model()?;
        Ok(last.map(|model| model.name.to_string()))
    })
}

/// A unit with its model.
#[derive(Debug, Clone)]
pub(in crate::app) struct FoundUnit {
    pub(in crate::app) model: StoredModel,
    pub(in crate::app) unit: StoredUnit,
}

/// Finds a unit by its serial number: of the model, or of whichever model has it alone.
pub(in crate::app) fn find_unit(
    book: &BookReader<'_>,
    model: Option<&str>,
    serial: &str,
) -> Result<FoundUnit, StoreError> {
    let models = models_asked(book, model)?;
    let mut found = Vec::new();
    for model in &models {
        if let Some(unit) = book.unit(model.id, serial)? {
            let model = model.clone();
            found.push(FoundUnit { model, unit });
        }
    }
    if let [one] = found.as_slice() {
        return Ok(one.clone());
    }
    let mut near = Vec::new();
    for one in &found {
        near.push(format!("{} {}", one.model.name, one.unit.serial));
    }
    if found.is_empty() {
        for model in &models {
            near.extend(book.units(model.id)?.into_iter().map(|unit| unit.serial));
        }
    }
    Err(StoreError::NotFound(NotFound {
        what: "unit",
        asked: serial.to_owned(),
        near,
        ambiguous: !found.is_empty(),
    }))
}

fn holds_words(name: &str, asked: &str) -> bool {
    let words: Vec<&str> = name.split(' ').collect();
    !asked.is_empty() && asked.split(' ').all(|word| words.contains(&word))
}
