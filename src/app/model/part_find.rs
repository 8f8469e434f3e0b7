//! Finds where the models of the book use a part, by words or dimensions.

use super::list_maker::ListMaker;
use super::parts_list::PartsQuestion;
use super::statements::Statements;
use super::unit_records::RecordedModel;
use crate::core::book::{PartLine, PartWords, WordsMet};
use crate::core::quantity::{Length, as_optional_mm};
use crate::store::RingWindow;
use serde::Serialize;

/// Says how a part was found, the surest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PartFoundBy {
    /// Its dimensions lie in the window.
    Window,
    /// It is the ring that the code names.
    Size,
    /// Every word is a word of the part, a code of it, or one of its lengths.
    Exact,
    /// A word of it begins so.
    Begins,
    /// The word stands inside one of the part's.
    Inside,
    /// A word of it differs by typing errors.
    TypingErrors,
}

impl PartFoundBy {
    fn of(met: WordsMet) -> (Self, usize) {
        match met {
            WordsMet::Exact => (Self::Exact, 0),
            WordsMet::Begins => (Self::Begins, 0),
            WordsMet::Inside => (Self::Inside, 0),
            WordsMet::TypingErrors(errors) => (Self::TypingErrors, errors),
        }
    }
}

/// One place of a model where such a part is used.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FoundPart {
    pub by: PartFoundBy,
    /// Typing errors between its words and those asked for.
    pub errors: usize,
    pub model: String,
    pub section: String,
    pub position: String,
    pub part: String,
    /// First code of a ring, or the lengths of another part.
    pub size: String,
    /// Inside diameter of the listed ring.
    #[serde(rename = "id_mm", serialize_with = "as_optional_mm")]
    pub ring_id: Option<Length>,
    /// Cross-section of the listed ring.
    #[serde(rename = "cs_mm", serialize_with = "as_optional_mm")]
    pub ring_section: Option<Length>,
    /// Whether the units settle the size; where not, it must not be ordered from this line.
    pub decided: bool,
    /// How many one unit needs.
    pub quantity: u32,
    /// Recorded units that have it.
    pub units: usize,
    /// Other shops whose records the line rests on.
    pub rests_on: Vec<String>,
}

/// Says which parts are looked for.
#[derive(Debug, Clone, Copy)]
pub(in crate::app) struct PartQuestion<'q> {
    /// Words that the part must meet; none where empty.
    pub(in crate::app) words: &'q str,
    /// A window that was asked for.
    pub(in crate::app) window: Option<RingWindow>,
    /// The windows of the rings that the words name as a code.
    pub(in crate::app) rings: &'q [RingWindow],
    /// The most that are listed.
    pub(in crate::app) most: usize,
}

/// Finds the parts of the models, the surest first; those with typing errors only where nothing else is found.
pub(in crate::app) fn find_parts(
    models: &[RecordedModel],
    said: &Statements,
    lists: &mut ListMaker,
    question: &PartQuestion<'_>,
) -> Vec<FoundPart> {
    let mut found = Vec::new();
    for model in models {
        let name = model.name.to_string();
        let report = lists.report(model, said, &PartsQuestion::of_one(name.clone()));
        found.extend(report.list.lines.into_iter().filter_map(|line| {
            let (by, errors) = question.met_by(&name, &line)?;
            Some(found_part(by, errors, name.clone(), line))
        }));
    }
    // The sort keeps the order of models and of removal among those found alike.
    found.sort_by_key(|part| (part.by, part.errors));
    if found.first().is_some_and(|first| first.errors == 0) {
        found.retain(|part| part.errors == 0);
    }
    found.truncate(question.most);
    found
}

impl PartQuestion<'_> {
    fn met_by(&self, model: &str, line: &PartLine) -> Option<(PartFoundBy, usize)> {
        let words = || PartWords::of(model, line).met_by(self.words);
        // A ring's code with another digit is another ring's code, and beside dimensions words only narrow the answer.
        let no_slips = |met: &WordsMet| !matches!(met, WordsMet::TypingErrors(_));
        if let Some(window) = self.window {
            let inside = lies_in(window, line);
            let words_too =
                self.words.trim().is_empty() || words().is_some_and(|met| no_slips(&met));
            return (inside && words_too).then_some((PartFoundBy::Window, 0));
        }
        if self.rings.iter().any(|ring| lies_in(*ring, line)) {
            return Some((PartFoundBy::Size, 0));
        }
        let met = words().filter(|met| self.rings.is_empty() || no_slips(met));
        met.map(PartFoundBy::of)
    }
}

fn lies_in(window: RingWindow, line: &PartLine) -> bool {
    let ring = line.size.nominal();
    ring.is_some_and(|ring| window.holds(ring))
}

fn found_part(by: PartFoundBy, errors: usize, model: String, line: PartLine) -> FoundPart {
    let size = line.size;
    FoundPart {
        by,
        errors,
        model,
        section: line.section,
        position: line.position,
        part: line.part,
        size: size.words().to_owned(),
        ring_id: size.id,
        ring_section: size.section,
        decided: size.decided,
        quantity: line.quantity,
        units: line.units_recorded,
        rests_on: line.rests_on,
    }
}
