//! What was tried at a place and failed there, told on the line of the parts list.

use super::part_spec::PartSpec;
use super::statement::{Grade, Statement};
use crate::core::book::{Failed, FailedReach, PartLine, PartsList, place_words};
use crate::core::note::PartKind;
use crate::core::provenance::Sourced;

/// Tells on each line of a list what was tried and failed there; `models` names every model of the book.
///
/// A failure is told on the line whose place it was said of, whatever is listed there now; one that was said of no place, or of
/// one that cannot be found, on every line that lists the part whose place was taken. What failed is no alternate there. Where
/// the listed part itself failed at this place, the line is not decided, and the list says so on top. What another shop says is
/// told with its name, and changes nothing of the list.
pub fn tell_failures(
    list: &mut PartsList,
    models: &[String],
    said: &[(Sourced<Statement>, PartSpec, PartSpec)],
) {
    let own = own_model(list, models);
    let failures = said.iter().filter(|(one, ..)| one.grade == Grade::Failed);
    for (statement, part, stand_in) in failures {
        let at = At::read(&statement.at, &own, models);
        let best = at.best(&list.lines, part);
        for line in &mut list.lines {
            if !is_of_kind(line, part) {
                continue;
            }
            let listed = PartSpec::of_line(line);
            let lists = |other: &PartSpec| listed.as_ref().is_some_and(|own| own.may_be(other));
            let reach = match (&at, at.score(line)) {
                (At::Elsewhere, _) => None,
                (At::Nowhere, _) => Some(FailedReach::General),
                (At::Place(_), score) if best.is_some() => {
                    (score == best).then_some(FailedReach::Here)
                }
                (At::Place(_) | At::Unclear, _) => Some(FailedReach::Unclear),
            };
            if let Some(reach) = reach.filter(|r| *r == FailedReach::Here || lists(part)) {
                let is_listed = reach == FailedReach::Here && lists(stand_in);
                if statement.from_shop.is_none() {
                    line.alternates
                        .retain(|other| !PartSpec::of_alternate(other).is_same(stand_in));
                }
                line.failed.push(failed(statement, reach, is_listed));
            }
        }
    }
    undecide(list);
}

fn failed(statement: &Sourced<Statement>, reach: FailedReach, is_listed: bool) -> Failed {
    Failed {
        part: statement.stand_in.clone(),
        in_place_of: statement.part.clone(),
        at: statement.at.clone(),
        reach,
        is_listed,
        person: statement.person.clone(),
        said_at: statement.said_at.clone(),
        evidence: statement.evidence.clone(),
        from_shop: statement.from_shop.clone(),
    }
}

/// A line whose own part failed at its place must not be ordered from the list.
fn undecide(list: &mut PartsList) {
    let mut warnings = Vec::new();
    for line in &mut list.lines {
        line.failed
            .sort_by_key(|one| (!one.is_listed, one.from_shop.is_some()));
        let Some(own) = line.failed_itself().filter(|own| own.from_shop.is_none()) else {
            continue;
        };
        let place = [line.section.as_str(), &line.part, &line.position];
        let place: Vec<&str> = place.into_iter().filter(|word| !word.is_empty()).collect();
        warnings.push(format!(
            "line {}, {}: {}",
            line.number,
            place.join(" "),
            own.words()
        ));
        line.size.decided = false;
        line.size.how_sure = format!(
            "NOT DECIDED: the part that is listed failed here; {}",
            line.size.how_sure
        );
    }
    list.warnings.splice(0..0, warnings);
}

/// What the words of a statement say of where it was.
enum At {
    /// Nothing.
    Nowhere,
    /// Another model.
    Elsewhere,
    /// This model, and these words of a place in it.
    Place(Vec<String>),
    /// No model of the book: the place may be any.
    Unclear,
}

impl At {
    fn read(text: &str, own: &str, models: &[String]) -> Self {
        let said = place_words(text);
        if said.is_empty() {
            return Self::Nowhere;
        }
        // "Tarn 2" is not "Tarn": of the names that stand in the words the longest counts.
        let named = models
            .iter()
            .map(|model| (model, place_words(model)))
            .filter_map(|(model, name)| Some((model, place_of(&said, &name)?, name.len())))
            .max_by_key(|(_, _, length)| *length);
        match named {
            None => Self::Unclear,
            Some((model, ..)) if model != own => Self::Elsewhere,
            Some((_, from, length)) => {
                let rest = said.iter().enumerate();
                let rest = rest.filter(|(at, _)| !(from..from + length).contains(at));
                Self::Place(rest.map(|(_, word)| word.clone()).collect())
            }
        }
    }

    /// How many words of a line's place stand in what was said; `None` where its position does not, or it has none.
    fn score(&self, line: &PartLine) -> Option<usize> {
        let Self::Place(said) = self else {
            return None;
        };
        let position = place_words(&line.position);
        let whole = !position.is_empty() && position.iter().all(|word| said.contains(word));
        let section = place_words(&line.section);
        let section = section.iter().filter(|word| said.contains(word)).count();
        whole.then_some(position.len() + section)
    }

    fn best(&self, lines: &[PartLine], part: &PartSpec) -> Option<usize> {
        let of_kind = lines.iter().filter(|line| is_of_kind(line, part));
        of_kind.filter_map(|line| self.score(line)).max()
    }
}

fn is_of_kind(line: &PartLine, part: &PartSpec) -> bool {
    match part {
        PartSpec::Ring(_) => line.kind == PartKind::Ring,
        PartSpec::Plain(plain) => line.kind == plain.kind,
    }
}

/// Where a name stands in words.
fn place_of(said: &[String], name: &[String]) -> Option<usize> {
    if name.is_empty() {
        return None;
    }
    said.windows(name.len()).position(|part| part == name)
}

/// The model of a list by its name in the book; a list of some of its units names these behind it.
fn own_model(list: &PartsList, models: &[String]) -> String {
    let shown = place_words(&list.model.name);
    let own = models
        .iter()
        .filter(|model| shown.starts_with(&place_words(model)))
        .max_by_key(|model| place_words(model).len());
    own.cloned().unwrap_or_else(|| list.model.name.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_name_the_model_with_the_longest_name_in_them_and_the_rest_is_the_place() {
        let models = ["Tarn", "Tarn 2", "Beck"].map(str::to_owned);
        let read = |text, own| match At::read(text, own, &models) {
            At::Nowhere => "nowhere".to_owned(),
            At::Elsewhere => "elsewhere".to_owned(),
            At::Unclear => "unclear".to_owned(),
            At::Place(words) => words.join(" "),
        };
        assert_eq!(
            read("Tarn body, at piston stem", "Tarn"),
            "body piston stem"
        );
        assert_eq!(read("Tarn body, at piston stem", "Tarn 2"), "elsewhere");
        assert_eq!(read("TARN-2 inlet", "Tarn 2"), "inlet");
        assert_eq!(read("Tarn 2 inlet", "Tarn"), "elsewhere");
        assert_eq!(read("Tarn", "Tarn"), "");
        assert_eq!(read("at piston stem", "Tarn"), "unclear");
        assert_eq!(read(" ", "Tarn"), "nowhere");
    }
}
