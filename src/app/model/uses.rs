//! Where a part is used, and what takes its place.

use super::list_maker::ListMaker;
use super::parts_list::PartsQuestion;
use super::statements::Statements;
use super::unit_records::{RecordedModel, recorded_models};
use crate::core::book::{PartLine, name_key};
use crate::core::caution::Caution;
use crate::core::interchange::{
    Nickname, PartSpec, SpecError, StandIn, Statement, UsedAt, lacking_lengths, substitutes,
};
use crate::core::provenance::Sourced;
use crate::core::quantity::LengthUnit;
use crate::store::{Book, BookPlace, BookReader, StoreError};
use serde::Serialize;

/// What is known of a part.
#[derive(Debug, Clone, Serialize)]
pub struct UsesReport {
    pub typed: String,
    /// One for each part that it can mean.
    pub parts: Vec<PartUses>,
    /// Statements of the book that cannot be compared, because a part in them cannot be read; each may concern this part.
    pub unread: Vec<Sourced<Statement>>,
    /// What stands on every answer of this kind.
    pub cautions: Vec<Caution>,
}

/// What is known of one part.
#[derive(Debug, Clone, Serialize)]
pub struct PartUses {
    pub part: String,
    /// How the name came to mean it, where it is a name that people use.
    pub known_as: Option<Sourced<Nickname>>,
    pub used: Vec<UsedAt>,
    /// What takes its place, failures first.
    pub stand_ins: Vec<StandIn>,
    /// What it was put in the place of.
    pub stands_in_for: Vec<Sourced<Statement>>,
    /// Lengths that its kind is asked for by and that are not given.
    pub lacking: Vec<&'static str>,
}

/// Says why a part cannot be looked up or a statement not be kept.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum UsesError {
    /// The text names no part.
    #[error(transparent)]
    Spec(#[from] SpecError),
    /// The text names several parts.
    #[error("{text:?} can mean {meanings}: write the one that is meant")]
    Several { text: String, meanings: String },
    /// A nickname is the code of a ring already.
    #[error(
        "{name:?} is the whole code of a ring: a name that people use must not be one, or nobody could write that ring any more"
    )]
    NicknameIsACode { name: String },
    /// A part cannot take its own place.
    #[error("{0} is the part itself: name the other one")]
    Itself(String),
    /// The book cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// Looks a part up: by what it is, or by a name that people use.
///
/// # Errors
/// The text names no part, or the book cannot be read.
pub fn uses(
    place: &BookPlace,
    text: &str,
    declared: Option<LengthUnit>,
) -> Result<UsesReport, UsesError> {
    let (specs, statements, models) = Book::open_to_read(place)?.read(|book| {
        let specs = meanings(book, text, declared)?;
        Ok::<_, UsesError>((specs, Statements::read(book)?, recorded_models(book)?))
    })?;
    let lines = all_lines(&models, &statements, &mut ListMaker::beside(place));
    let parts = specs
        .into_iter()
        .map(|(spec, known_as)| part_uses(&spec, known_as, &lines, &statements));
    Ok(UsesReport {
        typed: text.to_owned(),
        parts: parts.collect(),
        unread: statements.unread.clone(),
        cautions: vec![Caution::StandIn],
    })
}

/// A part that a text can mean, with the name that people use for it, where it is one.
type Meaning = (PartSpec, Option<Sourced<Nickname>>);

fn part_uses(
    spec: &PartSpec,
    known_as: Option<Sourced<Nickname>>,
    lines: &[(UsedAt, PartSpec)],
    statements: &Statements,
) -> PartUses {
    let used = lines.iter().filter(|(_, theirs)| theirs.is_same(spec));
    let used: Vec<UsedAt> = used.map(|(at, _)| at.clone()).collect();
    let said = &statements.said;
    let for_others = said
        .iter()
        .filter(|(_, part, stand_in)| stand_in.is_same(spec) && !part.is_same(spec));
    PartUses {
        part: spec.to_string(),
        known_as,
        stand_ins: substitutes(spec, &used, said),
        stands_in_for: for_others
            .map(|(statement, _, _)| statement.clone())
            .collect(),
        lacking: match spec {
            PartSpec::Plain(plain) => lacking_lengths(plain),
            PartSpec::Ring(_) => Vec::new(),
        },
        used,
    }
}

/// Returns every part that a text can mean: what it says by itself, and what people use it for.
fn meanings(
    book: &BookReader<'_>,
    text: &str,
    declared: Option<LengthUnit>,
) -> Result<Vec<Meaning>, UsesError> {
    let plain = PartSpec::read(text, declared);
    let mut found: Vec<Meaning> = Vec::new();
    for nickname in book.meanings(text)? {
        for spec in PartSpec::read(&nickname.part, None)? {
            found.push((spec, Some(nickname.clone())));
        }
    }
    match plain {
        Ok(specs) => {
            for spec in specs {
                if !found.iter().any(|(known, _)| known.is_same(&spec)) {
                    found.push((spec, None));
                }
            }
        }
        Err(error) if found.is_empty() => return Err(error.into()),
        Err(_) => {}
    }
    Ok(found)
}

/// Lists every line of every model's parts list of whose size something is known.
fn all_lines(
    models: &[RecordedModel],
    said: &Statements,
    lists: &mut ListMaker,
) -> Vec<(UsedAt, PartSpec)> {
    let mut lines = Vec::new();
    let one_maker = models
        .windows(2)
        .all(|pair| pair[0].name.maker == pair[1].name.maker);
    for model in models {
        let question = PartsQuestion::of_one(model.name.to_string());
        let report = lists.report(model, said, &question);
        for line in report.list.lines {
            if let Some(spec) = PartSpec::of_line(&line) {
                // The maker's name says nothing where all are of one maker.
                let shown = if one_maker {
                    model.name.name.clone()
                } else {
                    model.name.to_string()
                };
                lines.push((used_at(shown, &spec, line), spec));
            }
        }
    }
    lines
}

fn used_at(model: String, spec: &PartSpec, line: PartLine) -> UsedAt {
    let place = [line.section.as_str(), line.position.as_str()];
    let place: Vec<&str> = place.into_iter().filter(|word| !word.is_empty()).collect();
    UsedAt {
        model,
        place: place.join(", "),
        part: line.part.clone(),
        spec: spec.to_string(),
        decided: line.size.decided,
        quantity: line.quantity,
        units: line.units_recorded,
        verdict: line.gland.as_ref().and_then(|gland| gland.verdict),
        rests_on: line.rests_on.clone(),
        line,
    }
}

/// Keeps a statement as it was typed.
///
/// # Errors
/// One of the texts names no part or several, both name the same part, or the book cannot be written.
pub fn say(
    place: &BookPlace,
    new: &Statement,
    declared: Option<LengthUnit>,
) -> Result<UsesReport, UsesError> {
    let mut book = Book::open_to_write(place)?;
    let part = book.write(|book| {
        let part = only_part(book, &new.part, declared)?;
        let stand_in = only_part(book, &new.stand_in, declared)?;
        // Another polymer in the same size is another part; the very same words are not.
        if part.to_string() == stand_in.to_string() {
            return Err(UsesError::Itself(part.to_string()));
        }
        book.add_statement(&Statement {
            part: part.to_string(),
            stand_in: stand_in.to_string(),
            at: new.at.trim().to_owned(),
            person: new.person.trim().to_owned(),
            evidence: new.evidence.trim().to_owned(),
            ..new.clone()
        })?;
        Ok(part.to_string())
    })?;
    uses(place, &part, None)
}

/// Keeps a name that people use for a part.
///
/// # Errors
/// The text names no part or several, or the book cannot be written.
pub fn call(
    place: &BookPlace,
    new: &Nickname,
    declared: Option<LengthUnit>,
) -> Result<UsesReport, UsesError> {
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        let part = only_part(book, &new.part, declared)?;
        // A maker's old number may be another family's bare number, and then means both; a whole code means one ring.
        if Nickname::is_code(&new.name) {
            return Err(UsesError::NicknameIsACode {
                name: new.name.trim().to_owned(),
            });
        }
        book.add_nickname(&Nickname {
            name: new.name.trim().to_owned(),
            part: part.to_string(),
            ..new.clone()
        })?;
        Ok::<_, UsesError>(())
    })?;
    uses(place, &new.name, None)
}

fn only_part(
    book: &BookReader<'_>,
    text: &str,
    declared: Option<LengthUnit>,
) -> Result<PartSpec, UsesError> {
    let mut found = meanings(book, text, declared)?;
    if found.len() > 1 {
        let words = found.iter().map(|(spec, _)| spec.to_string());
        return Err(UsesError::Several {
            text: text.to_owned(),
            meanings: words.collect::<Vec<_>>().join(" or "),
        });
    }
    found.pop().map(|(spec, _)| spec).ok_or_else(|| {
        UsesError::Spec(SpecError {
            text: text.to_owned(),
            detail: String::new(),
        })
    })
}

/// Lists what a name means that people use; nothing without a book.
pub fn nickname(place: &BookPlace, name: &str) -> Result<Vec<Sourced<Nickname>>, StoreError> {
    if name_key(name).is_empty() {
        return Ok(Vec::new());
    }
    Ok(Book::read_at(place, |book| book.meanings(name))?.unwrap_or_default())
}
