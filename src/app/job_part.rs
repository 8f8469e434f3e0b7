//! The parts of a record beside the parts list of its model: what went in where, and what nothing was said of.

use super::find_model::{Found, find_model};
use super::parts_list::{PartsQuestion, report_of};
use super::unit_records::unit_records;
use crate::core::book::{PartAction, PartLine, name_key};
use crate::core::interchange::PartSpec;
use crate::core::job::{JobEntry, JobRecord};
use crate::store::{BookReader, StoreError};

/// Words that tell nothing of where a part sits.
const LINKS: [&str; 8] = ["at", "in", "of", "on", "over", "the", "under", "with"];

/// Says how a part that was recorded as fitted stands beside the parts list.
#[derive(Debug)]
pub(super) enum BesideList {
    /// It is another one than the list has: in what.
    Unlike(String),
    /// The list has no such place: nothing was compared.
    NoPlace(String),
}

impl BesideList {
    /// The caution that is said at that step.
    pub(super) fn caution(self) -> String {
        match self {
            Self::Unlike(words) => format!(
                "{words}. A ring of another size can leak or blow out, a softer one can be pressed into the gap, another polymer can \
                 swell or burn: look again. Where it was a slip of the pen, or is meant, correct the entry; without that nothing \
                 is released"
            ),
            Self::NoPlace(words) => words,
        }
    }
}

/// Holds a part that was recorded as fitted against the parts list of the model; `None` where they agree, or where nothing can be
/// compared.
///
/// # Errors
/// Fails where the book cannot be read.
pub(super) fn beside_list(
    book: &BookReader<'_>,
    (model, part, spec): (&str, &str, &str),
) -> Result<Option<BesideList>, StoreError> {
    let Ok(fitted) = PartSpec::read(spec, None) else {
        return Ok(None);
    };
    let Some(lines) = lines_of(book, model)? else {
        return Ok(None);
    };
    let Some(line) = only_line(&lines, part) else {
        let ring = matches!(fitted.first(), Some(PartSpec::Ring(_)));
        return Ok(ring.then(|| no_place(model, part, &format!("{spec} was held against nothing"))));
    };
    let Some(listed) = PartSpec::of_line(line) else {
        return Ok(None);
    };
    let is_listed = |fitted: &&PartSpec| {
        let alternates = line.alternates.iter().flat_map(|one| &one.codes);
        let mut codes = alternates.filter_map(|code| PartSpec::read(code, None).ok());
        fitted.is_same(&listed) || codes.any(|specs| specs.iter().any(|spec| fitted.is_same(spec)))
    };
    let doubt = if line.size.decided {
        ""
    } else {
        " as the likeliest, not decided"
    };
    let Some(like) = fitted.iter().find(is_listed) else {
        return Ok(Some(BesideList::Unlike(format!(
            "the parts list has {listed}{doubt} for {part}; recorded was {spec}"
        ))));
    };
    Ok(material_differs(&listed, like).map(|how| {
        BesideList::Unlike(format!(
            "the parts list has {listed} for {part}; recorded was {spec}, which {how}"
        ))
    }))
}

/// Says where words name no one place of the list whose part stays; `None` where they do.
///
/// # Errors
/// Fails where the book cannot be read.
pub(super) fn kept_beside_list(
    book: &BookReader<'_>,
    (model, part): (&str, &str),
) -> Result<Option<BesideList>, StoreError> {
    let Some(lines) = lines_of(book, model)? else {
        return Ok(None);
    };
    let named = only_line(&lines, part).is_some();
    Ok((!named).then(|| no_place(model, part, "it counts for no part of the list")))
}

fn no_place(model: &str, part: &str, so: &str) -> BesideList {
    BesideList::NoPlace(format!(
        "The parts list has no one place that {part:?} names, so that {so}: name part and place as `ringwright parts {model:?}` has \
         them"
    ))
}

/// Lists the places whose part the list replaces and of which the record says neither what went in nor why the old part stays;
/// each as the list names it.
///
/// # Errors
/// Fails where the book cannot be read.
pub(super) fn unrecorded(
    book: &BookReader<'_>,
    record: &JobRecord,
) -> Result<Vec<String>, StoreError> {
    let Some(lines) = lines_of(book, &record.model)? else {
        return Ok(Vec::new());
    };
    let said: Vec<usize> = record
        .said()
        .filter_map(|entry| match entry {
            JobEntry::Part { part, .. } | JobEntry::Kept { part, .. } => only_line(&lines, part),
            _ => None,
        })
        .map(|line| line.number)
        .collect();
    let open = lines
        .iter()
        .filter(|line| line.action == PartAction::Replace && !said.contains(&line.number));
    Ok(open.map(place_of).collect())
}

/// Names a place of the list as a record's words may name it.
fn place_of(line: &PartLine) -> String {
    format!("{} {}", line.part, line.position).trim().to_owned()
}

/// The lines of the parts list of a model; `None` where the book does not have it.
fn lines_of(book: &BookReader<'_>, model: &str) -> Result<Option<Vec<PartLine>>, StoreError> {
    let Found::Yes(stored) = find_model(book, model)? else {
        return Ok(None);
    };
    let units = unit_records(book, stored.id)?;
    let report = report_of(stored.name, &units, &PartsQuestion::of_one(model));
    Ok(Some(report.list.lines))
}

/// Says in what the material of a ring is another one than is listed.
fn material_differs(listed: &PartSpec, fitted: &PartSpec) -> Option<String> {
    let (PartSpec::Ring(listed), PartSpec::Ring(fitted)) = (listed, fitted) else {
        return None;
    };
    match (listed.polymer, fitted.polymer) {
        (Some(_), None) => return Some("names no polymer".to_owned()),
        (Some(wanted), Some(found)) if wanted != found => return Some(format!("is {found}")),
        _ => {}
    }
    match (listed.hardness, fitted.hardness) {
        (Some(_), None) => Some("names no hardness".to_owned()),
        (Some(wanted), Some(found)) if wanted.scale != found.scale => {
            Some("is on another scale of hardness".to_owned())
        }
        (Some(wanted), Some(found)) if found.value < wanted.value => Some("is softer".to_owned()),
        (Some(wanted), Some(found)) if found.value > wanted.value => Some("is harder".to_owned()),
        _ => None,
    }
}

/// Finds the line that a record's words name: all its own words stand in them, and of no other line as many do.
fn only_line<'l>(lines: &'l [PartLine], part: &str) -> Option<&'l PartLine> {
    let key = name_key(part);
    let said: Vec<&str> = key.split(' ').collect();
    let met = |line: &PartLine| {
        let own = name_key(&place_of(line));
        let words: Vec<&str> = own
            .split(' ')
            .filter(|word| !LINKS.contains(word))
            .collect();
        let all = words.iter().all(|word| said.contains(word));
        all.then_some(words.len())
    };
    let most = lines.iter().filter_map(met).max()?;
    let mut best = lines.iter().filter(|line| met(line) == Some(most));
    best.next().filter(|_| best.next().is_none())
}
