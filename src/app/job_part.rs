//! A part that goes into a unit, beside what the parts list of its model has there.

use super::find_model::{Found, find_model};
use super::parts_list::{PartsQuestion, report_of};
use super::unit_records::unit_records;
use crate::core::book::{PartLine, name_key};
use crate::core::interchange::PartSpec;
use crate::store::{BookReader, StoreError};

/// Words that tell nothing of where a part sits.
const LINKS: [&str; 8] = ["at", "in", "of", "on", "over", "the", "under", "with"];

/// Says where a part that was recorded as fitted is another one than the parts list of the model has in that place; `None`
/// where they agree, or where nothing can be compared.
///
/// # Errors
/// Fails where the book cannot be read.
pub(super) fn unlike_list(
    book: &BookReader<'_>,
    (model, part, spec): (&str, &str, &str),
) -> Result<Option<String>, StoreError> {
    let Ok(fitted) = PartSpec::read(spec, None) else {
        return Ok(None);
    };
    let Found::Yes(stored) = find_model(book, model)? else {
        return Ok(None);
    };
    let units = unit_records(book, stored.id)?;
    let report = report_of(stored.name, &units, &PartsQuestion::of_one(model));
    let Some(line) = only_line(&report.list.lines, part) else {
        return Ok(None);
    };
    let Some(listed) = PartSpec::of_line(line) else {
        return Ok(None);
    };
    let is_listed = |fitted: &PartSpec| {
        let alternates = line.alternates.iter().flat_map(|one| &one.codes);
        let mut codes = alternates.filter_map(|code| PartSpec::read(code, None).ok());
        fitted.is_same(&listed) || codes.any(|specs| specs.iter().any(|spec| fitted.is_same(spec)))
    };
    if fitted.iter().any(is_listed) {
        return Ok(None);
    }
    let doubt = if line.size.decided {
        ""
    } else {
        " as the likeliest, not decided"
    };
    Ok(Some(format!(
        "The parts list has {listed}{doubt} for {part}; recorded was {spec}. A ring of another size can leak or blow out: look \
         again, and where it was a slip of the pen, correct the entry"
    )))
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
