//! Lists of free words that belong to a note or to an entry: remarks, comments, names of photographs.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use rusqlite::ToSql;

/// Names the two tables of words.
#[derive(Debug, Clone, Copy)]
pub(super) enum WordsOf {
    Note,
    Entry,
}

impl WordsOf {
    fn insert(self) -> &'static str {
        match self {
            Self::Note => {
                "INSERT INTO note_words (note_id, topic, place, words) VALUES (?1, ?2, ?3, ?4)"
            }
            Self::Entry => {
                "INSERT INTO entry_words (entry_id, topic, place, words) VALUES (?1, ?2, ?3, ?4)"
            }
        }
    }

    fn select(self) -> &'static str {
        match self {
            Self::Note => {
                "SELECT words FROM note_words WHERE note_id = ?1 AND topic = ?2 ORDER BY place"
            }
            Self::Entry => {
                "SELECT words FROM entry_words WHERE entry_id = ?1 AND topic = ?2 ORDER BY place"
            }
        }
    }
}

impl BookReader<'_> {
    pub(super) fn words(
        &self,
        of: WordsOf,
        id: &dyn ToSql,
        topic: &str,
    ) -> Result<Vec<String>, StoreError> {
        self.list(of.select(), &[id, &topic], |row| row.get(0))
    }
}

impl BookWriter<'_> {
    pub(super) fn add_words(
        &self,
        of: WordsOf,
        id: &dyn ToSql,
        topic: &str,
        words: &[String],
    ) -> Result<(), StoreError> {
        for (place, words) in (1_u32..).zip(words) {
            self.change(of.insert(), &[id, &topic, &place, words])?;
        }
        Ok(())
    }
}
