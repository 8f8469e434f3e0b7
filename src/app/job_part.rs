//! A part that goes into a unit, beside what the parts list of its model has there.

use super::find_model::{Found, find_model};
use super::parts_list::{PartsQuestion, report_of};
use super::unit_records::unit_records;
use crate::core::book::{PartLine, name_key};
use crate::core::interchange::PartSpec;
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
    let Found::Yes(stored) = find_model(book, model)? else {
        return Ok(None);
    };
    let units = unit_records(book, stored.id)?;
    let report = report_of(stored.name, &units, &PartsQuestion::of_one(model));
    let Some(line) = only_line(&report.list.lines, part) else {
        let ring = matches!(fitted.first(), Some(PartSpec::Ring(_)));
        return Ok(ring.then(|| {
            BesideList::NoPlace(format!(
                "The parts list has no one place that {part:?} names, so that {spec} was held against nothing: name part and place \
                 as `ringwright parts {model:?}` has them"
            ))
        }));
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
        let own = name_key(&format!("{} {}", line.part, line.position));
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
