//! What deserves a second look in a note whose lines are all readable.

use super::diagnostic::Diagnostics;
use super::draft::Draft;
use super::header_draft::HeaderDraft;
use super::part_kind::PartKind;
use super::record::{Entry, Fate, Header};
use crate::core::elastomer::{ElastomerChoice, SealDuty};
use crate::core::gas::{Doubt, GasService, OxygenThreshold};
use crate::core::gland::{GlandDimension, GlandKind, GlandSpec, geometry};
use crate::core::identification::{Prior, countries};
use crate::core::measurement::{Measurand, Reading};
use crate::core::quantity::Span;

/// Apparatus of this trade is not older than this year.
const FIRST_YEAR: i16 = 1940;
/// Sections outside this range in millimetres are not met in this trade, and hint at a wrong unit.
const SECTIONS_MM: std::ops::RangeInclusive<f64> = 0.5..=12.0;
/// Diameters outside this range in millimetres are not met in this trade, and hint at a wrong unit.
const DIAMETERS_MM: std::ops::RangeInclusive<f64> = 0.8..=400.0;

/// Reviews what is said of the whole unit.
pub(super) fn header(draft: &HeaderDraft, text: &str, out: &mut Diagnostics) {
    let top = first_line(text);
    if draft.span_of("model").is_none() {
        out.error(
            top,
            "this note names no model",
            "say it, as in: model Fellwater Tarn",
        );
    }
    if draft.span_of("unit").is_none() {
        out.error(
            top,
            "this note names no unit",
            "give the serial number, as in: unit FT2-004417; where it has none, any name that tells it from its siblings",
        );
    }
    let header = &draft.header;
    match (header.date, draft.span_of("date")) {
        (None, None) => out.warning(
            top,
            "this note has no date",
            "say it, as in: date 2026-03-14",
        ),
        (Some(date), Some(span)) if date.parts().0 < FIRST_YEAR => {
            out.warning(
                span,
                format!("{date} is long before this gear was made"),
                "check the year",
            );
        }
        _ => {}
    }
    if let (Some(made), Some(span)) = (&header.made, draft.span_of("made"))
        && Prior::made_words(made).is_none()
    {
        out.warning(
            span,
            format!(
                "{made:?} does not say where and when it was made, so that nothing follows from it"
            ),
            format!(
                "write country and year, as in: made us 1962; countries: {}",
                countries().join(", ")
            ),
        );
    }
    review_pressures(draft, out);
    review_gas(draft, top, out);
}

fn review_pressures(draft: &HeaderDraft, out: &mut Diagnostics) {
    let (Some(supply), Some(rated)) = (&draft.header.supply, &draft.header.rated) else {
        return;
    };
    if rated.value.bar() < supply.value.bar() {
        let span = draft.span_of("rated").unwrap_or(Span::new(0, 0));
        out.danger(
            span,
            format!("the unit is rated {}, below its supply of {}", rated.text, supply.text),
            "do not connect it to that supply; a licensed person decides, by the code that applies to you",
        );
    }
}

/// Reviews what is said of the gas; a note that says nothing of it is not warned about here.
fn review_gas(draft: &HeaderDraft, top: Span, out: &mut Diagnostics) {
    let header = &draft.header;
    if header.gas.is_none() && header.oxygen.is_none() {
        return;
    }
    let threshold = OxygenThreshold::default();
    let place = |key: &str| draft.span_of(key).unwrap_or(top);
    match header.gas_statement().judge(&threshold) {
        GasService::Air | GasService::Other { .. } => {}
        GasService::Enriched { share: None } => {
            if draft.span_of("oxygen").is_none() {
                out.danger(
                    place("gas"),
                    "the share of oxygen in this gas is not stated",
                    "say it, as in: oxygen 32 %",
                );
            }
        }
        GasService::Enriched { share: Some(_) } => {
            let stated = header.oxygen.as_ref().filter(|o| o.value > threshold.share);
            let (words, key) = match (stated, &header.gas) {
                (Some(share), _) => (format!("{} oxygen", share.text), "oxygen"),
                (None, gas) => (gas.clone().unwrap_or_default(), "gas"),
            };
            out.danger(
                place(key),
                format!(
                    "{words} is above {threshold}, from where this program treats a gas as oxygen-enriched"
                ),
                "materials, cleaning and lubricant must be those for oxygen, by the code that applies to you",
            );
        }
        GasService::Unsettled { doubts, .. } => unsettled(draft, &doubts, place("gas"), out),
    }
}

/// Warns of a gas that is not settled, where the first doubt lies.
fn unsettled(draft: &HeaderDraft, doubts: &[Doubt], gas: Span, out: &mut Diagnostics) {
    let Some(first) = doubts.first() else {
        return;
    };
    let words = draft.header.gas.as_deref().unwrap_or_default();
    // Where the words were written with escapes, places in them are not places in the note.
    let plain = gas.end - gas.start == words.len();
    let inside = first.span().filter(|_| plain);
    let why: Vec<String> = doubts.iter().map(ToString::to_string).collect();
    out.danger(
        inside.map_or(gas, |span| span.shifted(gas.start)),
        format!(
            "the gas is not settled: {}; it is treated as oxygen-enriched",
            why.join("; ")
        ),
        first.remedy(),
    );
}

/// Reviews the parts of a unit that is used as its header says.
pub(super) fn parts(drafts: &[Draft], unit: &Header, text: &str, out: &mut Diagnostics) {
    if drafts.is_empty() && out.errors() == 0 {
        out.warning(
            first_line(text),
            "this note has no parts",
            "write one line a part, in the order in which they came off",
        );
    }
    let mut places = std::collections::HashMap::new();
    for draft in drafts {
        let entry = &draft.entry;
        // Hard parts without a position are told apart by their names.
        let name = if entry.kind.is_soft() || !entry.position.is_empty() {
            String::new()
        } else {
            entry.own_name().to_lowercase()
        };
        if let Some(line) = places.insert((entry.place(), name), entry.line) {
            out.warning(
                draft.name_span,
                format!(
                    "another {} of the same place stands on line {line}",
                    entry.kind
                ),
                "say where each sat (at …); alike parts of one place go on one line as x2",
            );
        }
        if !draft.faulty {
            review_part(draft, out);
            review_material(draft, unit, out);
        }
    }
}

fn review_part(draft: &Draft, out: &mut Diagnostics) {
    let entry = &draft.entry;
    if entry.kind.is_soft() && entry.fate == Fate::Unstated {
        out.warning(
            draft.name_span,
            format!("the note does not say what becomes of this {}", entry.kind),
            "write replace, inspect or keep",
        );
    }
    if entry.kind != PartKind::Ring {
        return;
    }
    if entry.stated_size.is_none() && entry.name.contains(|c: char| c.is_ascii_digit()) {
        out.warning(
            draft.name_span,
            "a size inside a name is not read",
            "write it as a field of its own: size 2-012",
        );
    }
    review_measured(draft, out);
    for reading in &entry.readings {
        review_reading(reading, draft.span_of(reading.measurand.word()), out);
    }
    review_section(entry, draft.span_of("od"), out);
    if let Some(gland) = &entry.gland {
        review_gland(gland, draft.span_of("gland"), out);
    }
}

/// A material that the gas attacks, or that burns in it, was found in the unit.
fn review_material(draft: &Draft, unit: &Header, out: &mut Diagnostics) {
    let Some(polymer) = &draft.entry.polymer else {
        return;
    };
    let duty = SealDuty {
        gas: unit.gas.clone(),
        oxygen: unit.oxygen.as_ref().map(|share| share.value),
        ..SealDuty::default()
    };
    let threshold = OxygenThreshold::default();
    let choice = ElastomerChoice::of(&duty, &threshold);
    for against in choice.contradictions(&duty, &threshold, Some(polymer.value), None) {
        out.danger(
            draft.name_span,
            against,
            "do not use the unit with this gas as it is; `ringwright material` says what to order instead",
        );
    }
}

fn review_measured(draft: &Draft, out: &mut Diagnostics) {
    let entry = &draft.entry;
    // A page shows both diameters.
    let scanned = entry.scan.is_some();
    let has = |measurand| entry.readings_of(measurand).next().is_some();
    if entry.readings.is_empty() && !scanned {
        if entry.fate == Fate::Keep {
            return;
        }
        let stated = if entry.stated_size.is_some() {
            ", and a stated size is hearsay"
        } else {
            ""
        };
        out.warning(
            draft.name_span,
            format!("nothing is measured on this ring{stated}"),
            "write od and cs; without them it cannot be named",
        );
    } else if !(scanned || has(Measurand::Cs) || has(Measurand::Od) && has(Measurand::Id)) {
        out.warning(
            draft.name_span,
            "the section of this ring is not measured",
            "write cs, best with the whole ring flat between two faces: cs 1.75 by flat",
        );
    }
}

fn review_reading(reading: &Reading, span: Span, out: &mut Diagnostics) {
    let name = reading.measurand.name();
    let mean = reading.mean();
    let range = match reading.measurand {
        Measurand::Cs | Measurand::Width => SECTIONS_MM,
        Measurand::Id | Measurand::Od => DIAMETERS_MM,
        Measurand::CutLength | Measurand::Mass | Measurand::Stack => return,
    };
    if !range.contains(&mean) {
        out.warning(
            span,
            format!("the {name} {:?} comes to {mean:.3} mm", reading.typed),
            "check the number and its unit",
        );
    }
    if reading.lie_far_apart() {
        out.warning(
            span,
            format!(
                "the readings of the {name} lie far apart: {:?}",
                reading.typed
            ),
            "measure again; one of them may be a slip",
        );
    }
}

/// A ring's outside diameter is its inside diameter and two sections; readings that break this by more than a section
/// cannot all be right.
fn review_section(entry: &Entry, span: Span, out: &mut Diagnostics) {
    let mean = |measurand| entry.readings_of(measurand).next().map(Reading::mean);
    let (id, od, cs) = (
        mean(Measurand::Id),
        mean(Measurand::Od),
        mean(Measurand::Cs),
    );
    let broken = match (id, od, cs) {
        (Some(id), Some(od), Some(cs)) => (od - id - 2.0 * cs).abs() > cs,
        (Some(id), Some(od), None) => od <= id,
        (None, Some(od), Some(cs)) => od <= 2.0 * cs,
        _ => false,
    };
    if broken {
        out.warning(
            span,
            "these readings cannot be of one ring: od is id and twice the cs",
            "measure again, or check which number belongs to which key",
        );
    }
}

fn review_gland(gland: &GlandSpec, span: Span, out: &mut Diagnostics) {
    let has = |dimension: &GlandDimension| gland.dimension(*dimension).is_some();
    let facts = gland.kind.facts();
    let (needed, others) = facts.dimensions.split_at(facts.needed);
    let mut missing: Vec<&str> = needed
        .iter()
        .filter(|d| !has(d))
        .map(|d| d.word())
        .collect();
    if gland.kind == GlandKind::Face && !others.iter().any(has) {
        missing.push("outer or inner");
    }
    if !missing.is_empty() {
        out.warning(
            span,
            format!(
                "the {} gland of this ring lacks {}",
                gland.kind.word(),
                missing.join(", ")
            ),
            "measure it while the unit is open; squeeze and fill cannot be worked out without it",
        );
    } else if let Err(error) = geometry(gland) {
        out.warning(
            span,
            error.to_string(),
            "measure again while the unit is open",
        );
    }
}

/// The first line that says something; faults of the whole note are shown there.
fn first_line(text: &str) -> Span {
    let text = text.trim_end();
    let start = text.len()
        - text
            .trim_start_matches(|c: char| c.is_whitespace() || c == '\u{feff}')
            .len();
    let end = text[start..]
        .find(['\n', '\r'])
        .map_or(text.len(), |n| start + n);
    Span::new(start, end)
}
