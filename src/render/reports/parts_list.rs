//! The page and the sheet of a parts list.

use super::model::UNITS;
use super::parts_short::bought;
use crate::app::model::parts_list::{PartsReport, Reader};
use crate::core::book::{
    Alternate, Conflict, ConflictAbout, Elsewhere, ElsewhereAbout, Failed, PartAction, PartLine,
    SizeBasis,
};
use crate::core::count::counted;
use crate::core::elastomer::Polymer;
use crate::core::note::PartKind;
use crate::core::provenance::{from_words, with_shops};
use crate::render::words::{joined, ring_size};
use crate::render::{
    Cell, Column, Document, Report, Table, in_rows, notice, on_page, percent_of, sheet, table,
};

/// Lines of the screen besides a line a part.
const BESIDE: usize = 12;

pub(in crate::render) const ACTIONS: [(PartAction, &str); 3] = [
    (PartAction::Replace, "Replace, always"),
    (PartAction::OnCondition, "Replace on condition"),
    (PartAction::Keep, "Keep"),
];

impl Report for PartsReport {
    fn lay_out(&self, page: &mut Document) {
        page.rows(sheet(&LINES, &self.list.lines));
        let list = &self.list;
        let build = counted(list.build as usize, "unit", "units");
        page.title(format!("Parts list of {}, for {build}", list.model));
        // A line a part, and twelve others.
        page.fits(bought(list).count() + BESIDE);
        page.in_short(|page| self.short(page));
        page.rest(|page| {
            page.list(list.warnings.iter().cloned());
            for (action, title) in ACTIONS {
                if list.lines_to(action).next().is_some() {
                    page.section(title);
                    page.table(self.lines_table(action));
                }
            }
            self.details(page);
            if self.reader == Reader::Shop {
                page.section("Recorded units");
                page.table(table(&UNITS, &list.units));
            }
            page.text(self.footnote());
        });
        page.cautions(&self.cautions);
        page.next(&format!("order {:?}", list.model.to_string()));
    }
}

/// The columns of a part that is kept, of one that is replaced, and of that for a shop.
const COLUMNS: [Column<PartLine>; 9] = [
    on_page("", |line| line.number.into()),
    on_page("part", |line| place_words(line).into()),
    on_page(">each", |line| line.quantity.into()),
    on_page(">all", |line| line.quantity_total.into()),
    on_page("size", |line| size_words(line).into()),
    on_page("made of", |line| material_words(line).into()),
    on_page("sure", |line| sure_words(line).into()),
    on_page("gland", |line| verdict_word(line).into()),
    on_page("units", |line| units_words(line).into()),
];

/// Says how many of the units that recorded a part agree.
pub(in crate::render) fn units_words(line: &PartLine) -> String {
    format!("{} of {}", line.units_agree.len(), line.units_recorded)
}

impl PartsReport {
    fn lines_table(&self, action: PartAction) -> Table {
        let shop = self.reader == Reader::Shop;
        let shown = match (action, shop) {
            (PartAction::Keep, _) => 5,
            (_, false) => 7,
            (_, true) => COLUMNS.len(),
        };
        table(&COLUMNS[..shown], self.list.lines_to(action))
    }

    /// What stands behind each line, and what that is called: for a shop evidence, reasons, contradictions and alternates; for an
    /// owner what must be known before ordering.
    pub(in crate::render) fn told(&self) -> (&'static str, Vec<(String, Vec<String>)>) {
        let (heading, points): (_, fn(&PartLine) -> Vec<String>) = match self.reader {
            Reader::Shop => ("Line by line", points),
            Reader::Owner => ("Before you order", warnings),
        };
        let told = self.list.lines.iter().map(|line| {
            let lead = format!("{}. {}", line.number, place_words(line));
            (lead, points(line))
        });
        (
            heading,
            told.filter(|(_, points)| !points.is_empty()).collect(),
        )
    }

    fn details(&self, page: &mut Document) {
        let (heading, told) = self.told();
        if !told.is_empty() {
            page.section(heading);
        }
        for (lead, points) in told {
            page.text(lead);
            page.list(points);
        }
    }

    fn footnote(&self) -> String {
        format!(
            "\"all\" is for {} to be built, no spares counted. ± is a standard uncertainty; instrument bias is taken off. \
             Oxygen threshold: {}. Polymer and hardness are chosen from duty, never from colour.",
            if self.list.build == 1 {
                "the one unit".to_owned()
            } else {
                format!("the {} units", self.list.build)
            },
            self.list.oxygen_threshold
        )
    }
}

pub(in crate::render) fn points(line: &PartLine) -> Vec<String> {
    let mut points: Vec<String> = line.failed.iter().map(Failed::words).collect();
    points.extend(other_shops(line));
    let size = &line.size;
    if line.action != PartAction::Keep {
        if size.basis == SizeBasis::Measured {
            points.push(format!("measured: {}", size.measured));
            points.push(if size.decided {
                format!("fit: {}", size.how_sure)
            } else {
                size.how_sure.clone()
            });
        } else if !size.decided {
            points.push(size.how_sure.clone());
        }
        points.extend(decision_points(line));
        if size.codes.len() > 1 {
            points.push(format!("the same ring: {}", size.codes[1..].join(", ")));
        }
        if line.material.material_source.is_some() {
            points.push(format!("material: {}", line.material.reason));
        }
    }
    if let Some(gland) = &line.gland {
        if let Some(verdict) = gland.verdict {
            let words = joined([verdict.word(), &gland.words], ", ");
            points.push(format!("gland: {words}"));
        }
        points.extend(
            gland
                .unchecked
                .iter()
                .map(|lack| format!("gland not checked, {lack}")),
        );
    }
    if !line.alternates.is_empty() {
        let alternates: Vec<String> = line.alternates.iter().map(alternate_words).collect();
        points.push(format!("alternates: {}", alternates.join("; ")));
    }
    points.extend(conflict_words(line.conflicts.iter()));
    points.extend(line.cautions.iter().map(|c| format!("caution: {c}")));
    points
}

/// Says on which other shops' records a line rests, and what their units would make of it where ours stands.
fn other_shops(line: &PartLine) -> Vec<String> {
    let rests = (!line.rests_on.is_empty()).then(|| {
        format!(
            "OTHER SHOP: this rests on records {}, not your own: check the part before you order or fit by it",
            from_words(&line.rests_on)
        )
    });
    let elsewhere = line.elsewhere.iter().map(elsewhere_words);
    rests.into_iter().chain(elsewhere).collect()
}

pub(super) fn elsewhere_words(one: &Elsewhere) -> String {
    let about = match one.about {
        ElsewhereAbout::Size => "size",
        ElsewhereAbout::Material => "material",
        ElsewhereAbout::Quantity => "count",
    };
    let word = |text: &'_ str| if text.is_empty() { "nothing" } else { text }.to_owned();
    let unit = one.units.first().cloned().unwrap_or_default();
    format!(
        "OTHER SHOP: units {} ({}) would change the {about} to {}; yours says {}. Whether they count is your \
            decision: `ringwright book set-aside --accept \"{unit}\" --by NAME`",
        one.units.join(", "),
        from_words(&one.shops),
        word(&one.theirs),
        word(&one.ours)
    )
}

/// What an owner must know of a line as well: whether the own unit may need another part, and what speaks against it.
pub(in crate::render) fn warnings(line: &PartLine) -> Vec<String> {
    if line.action == PartAction::Keep {
        return Vec::new();
    }
    let mut points: Vec<String> = line.failed.iter().map(Failed::words).collect();
    points.extend(other_shops(line));
    points.extend(decision_points(line));
    if !line.size.decided && line.kind == PartKind::Ring {
        points.push(line.size.how_sure.clone());
    }
    points.extend(conflict_words(
        line.conflicts
            .iter()
            .filter(|c| touches_size(c) || c.about == ConflictAbout::Foreign),
    ));
    points.extend(line.cautions.iter().map(|c| format!("caution: {c}")));
    points
}

fn touches_size(conflict: &Conflict) -> bool {
    conflict.about.touches_size()
}

fn conflict_words<'c>(
    conflicts: impl Iterator<Item = &'c Conflict>,
) -> impl Iterator<Item = String> {
    conflicts.map(|conflict| match conflict.about {
        ConflictAbout::Foreign => format!("WRONG RING: {}", conflict.words),
        _ => format!("CONFLICT: {}", conflict.words),
    })
}

fn size_words(line: &PartLine) -> String {
    let size = &line.size;
    match (size.id, size.section) {
        (Some(id), Some(section)) => {
            let code = size.codes.first().cloned().unwrap_or_default();
            format!("{code}, {}", ring_size(id, section))
        }
        _ => size.measured.clone(),
    }
}

/// Says where a part sits and what it is called: "cap: o-ring at cap joint".
pub(in crate::render) fn place_words(line: &PartLine) -> String {
    let part = [line.part.as_str(), line.position.as_str()].join(" ");
    joined([line.section.as_str(), part.trim()], ": ")
}

/// Says how sure a size is in a few words, and whether something speaks against it; the whole stands behind the line.
pub(in crate::render) fn sure_words(line: &PartLine) -> String {
    sure_with_mark(line, ", but see below")
}

/// Says how sure a size is, and marks it where something speaks against it.
pub(super) fn sure_with_mark(line: &PartLine, mark: &str) -> String {
    let size = &line.size;
    let words = match (size.basis, size.decided, size.does_job) {
        (SizeBasis::Unknown, ..) if line.kind != PartKind::Ring => "not measured".to_owned(),
        (_, false, _) => "NOT DECIDED".to_owned(),
        (SizeBasis::Measured, true, Some(chance)) => percent_of(chance),
        (SizeBasis::Stated, ..) => "stated".to_owned(),
        (SizeBasis::Decided, ..) => decided_words(line),
        (SizeBasis::Measured | SizeBasis::Lengths | SizeBasis::Unknown, ..) => {
            "measured".to_owned()
        }
    };
    let words = with_shops(&words, &line.rests_on);
    let disputed = size.decided && line.conflicts.iter().any(touches_size);
    if disputed || !line.elsewhere.is_empty() {
        format!("{words}{mark}")
    } else {
        words
    }
}

/// Says who decided in a few words, and whether the evidence speaks against it.
fn decided_words(line: &PartLine) -> String {
    let decided = line.decided_by.as_ref();
    let person = decided.map_or("a person", |one| one.person.as_str());
    if decided.is_some_and(|one| !one.against.is_empty()) {
        format!("decided by {person}, but see below")
    } else {
        format!("decided by {person}")
    }
}

/// Tells a decision with what the evidence says of the place, and against it.
fn decision_points(line: &PartLine) -> Vec<String> {
    let Some(decided) = &line.decided_by else {
        return Vec::new();
    };
    let part = decided
        .part
        .as_ref()
        .map_or_else(String::new, |part| format!(" (part {part})"));
    let mut points = vec![format!("{}{part}", line.size.how_sure)];
    points.extend(
        decided
            .against
            .iter()
            .map(|words| format!("AGAINST IT: {words}")),
    );
    if !decided.evidence.is_empty() {
        points.push(format!("without the decision: {}", decided.evidence));
    }
    points
}

pub(in crate::render) fn material_words(line: &PartLine) -> String {
    let material = &line.material;
    if let Some(words) = &material.material {
        return words.clone();
    }
    if material.material_source.is_none() {
        return String::new();
    }
    let polymer = material
        .polymer
        .map_or_else(|| "polymer ?".to_owned(), |p| p.to_string());
    let hardness = material
        .hardness
        .map_or_else(|| "hardness ?".to_owned(), |h| h.to_string());
    format!("{polymer} {hardness}")
}

pub(in crate::render) fn verdict_word(line: &PartLine) -> &'static str {
    match &line.gland {
        None => "",
        Some(gland) => gland.verdict.map_or("not checked", |v| v.word()),
    }
}

fn alternate_words(alternate: &Alternate) -> String {
    let mut words = format!(
        "{} ({})",
        alternate.codes.first().cloned().unwrap_or_default(),
        ring_size(alternate.size.id, alternate.size.section)
    );
    if let Some(chance) = alternate.does_job {
        words = format!("{words}, does the job {}", percent_of(chance));
    }
    if let Some(probability) = alternate.probability {
        words = format!("{words}, exactly this size {}", percent_of(probability));
    }
    match alternate.verdict {
        Some(verdict) => format!("{words}, gland {}", verdict.word()),
        None => format!("{words}, not checked in a gland"),
    }
}

const LINES: [Column<PartLine>; 33] = [
    in_rows("number", |line| line.number.into()),
    in_rows("section", |line| (&line.section).into()),
    in_rows("position", |line| (&line.position).into()),
    in_rows("part", |line| (&line.part).into()),
    in_rows("kind", |line| line.kind.word().into()),
    in_rows("action", |line| line.action.word().into()),
    in_rows("quantity", |line| line.quantity.into()),
    in_rows("quantity_total", |line| line.quantity_total.into()),
    in_rows("decided", |line| line.size.decided.into()),
    in_rows("size_codes", |line| (&line.size.codes).into()),
    in_rows("id_mm", |line| line.size.id.into()),
    in_rows("cs_mm", |line| line.size.section.into()),
    in_rows("measured", |line| (&line.size.measured).into()),
    in_rows("probability", |line| {
        Cell::rounded(line.size.probability, 4)
    }),
    in_rows("does_job", |line| Cell::rounded(line.size.does_job, 4)),
    in_rows("how_sure", |line| (&line.size.how_sure).into()),
    in_rows("polymer", |line| {
        line.material.polymer.map(Polymer::letters).into()
    }),
    in_rows("hardness", |line| {
        line.material.hardness.map(|h| h.to_string()).into()
    }),
    in_rows("material", |line| line.material.material.as_ref().into()),
    in_rows("reason", |line| (&line.material.reason).into()),
    in_rows("material_source", |line| {
        line.material.material_source.as_ref().into()
    }),
    in_rows("material_confidence", |line| {
        line.material.material_confidence.into()
    }),
    in_rows("gland_verdict", |line| verdict_word(line).into()),
    in_rows("gland", |line| {
        line.gland.as_ref().map(|gland| &gland.words).into()
    }),
    in_rows("glands_checked", |line| {
        line.gland.as_ref().map(|gland| gland.checked).into()
    }),
    in_rows("alternates", |line| {
        let words: Vec<String> = line.alternates.iter().map(alternate_words).collect();
        (&words).into()
    }),
    in_rows("units_recorded", |line| line.units_recorded.into()),
    in_rows("units_agree", |line| (&line.units_agree).into()),
    in_rows("conflicts", |line| {
        let words: Vec<String> = line.conflicts.iter().map(|c| c.words.clone()).collect();
        (&words).into()
    }),
    in_rows("cautions", |line| (&line.cautions).into()),
    in_rows("rests_on", |line| (&line.rests_on).into()),
    in_rows("other_shops_say", |line| {
        let words: Vec<String> = line.elsewhere.iter().map(elsewhere_words).collect();
        (&words).into()
    }),
    in_rows("notice", |line| {
        notice(line.failed.iter().map(Failed::words))
    }),
];
