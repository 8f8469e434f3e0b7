//! The name of a model.

use super::name_key::name_key;
use serde::{Deserialize, Serialize};

/// Holds the maker and the name of a model, as they were first written.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct ModelName {
    /// The maker, where it was named apart.
    pub maker: Option<String>,
    /// The name; it may begin with the maker.
    pub name: String,
}

impl ModelName {
    /// Returns the words by which two spellings of one model meet.
    ///
    /// A maker that the name repeats is counted once, so that "Tarn 2" of the maker Fellwater and "Fellwater Tarn 2" are
    /// one model.
    ///
    /// ```
    /// use ringwright::core::book::ModelName;
    /// let apart = ModelName { maker: Some("Fellwater".into()), name: "Tarn 2".into() };
    /// let whole = ModelName { maker: None, name: "Fellwater Tarn-2".into() };
    /// assert_eq!(apart.key(), whole.key());
    /// ```
    pub fn key(&self) -> String {
        name_key(&self.to_string())
    }
}

impl std::fmt::Display for ModelName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.maker {
            Some(maker) if !begins_with(&self.name, maker) => write!(f, "{maker} {}", self.name),
            _ => f.write_str(&self.name),
        }
    }
}

fn begins_with(name: &str, maker: &str) -> bool {
    let (name, maker) = (name_key(name), name_key(maker));
    name == maker || name.starts_with(&format!("{maker} "))
}
