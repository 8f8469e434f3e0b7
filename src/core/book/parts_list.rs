//! The parts list of a model, from all its recorded units.

use super::elsewhere::{Formed, beside};
use super::findings;
use super::gather::{Gathered, Member, gather};
use super::model_units::ModelUnits;
use super::name::ModelName;
use super::part_line::{PartAction, PartLine};
use super::plain_part::plain_findings;
use super::ring_part::ring_findings;
use super::ring_places::{RingPlace, ring_places};
use super::unit_record::UnitRecord;
use crate::core::gas::{GasStatement, OxygenThreshold};
use crate::core::gear::GearKind;
use crate::core::identification::{Candidates, Identifier, RegimeOdds};
use crate::core::measurement::Instruments;
use crate::core::note::PartKind;
use crate::core::quantity::Date;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// The parts list of a model.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartsList {
    /// The model; whoever reads a list again knows it and puts it there.
    #[serde(serialize_with = "as_words", skip_deserializing)]
    pub model: ModelName,
    /// How many units are to be built.
    pub build: u32,
    /// The recorded units that it is made from.
    pub units: Vec<PartsUnit>,
    /// The oxygen threshold that was used.
    pub oxygen_threshold: String,
    /// The parts in the order in which they come off.
    pub lines: Vec<PartLine>,
    /// Points that concern the list as a whole.
    pub warnings: Vec<String>,
    /// Pairs of lines, by number, that may be one place under two names.
    #[serde(default)]
    pub near: Vec<[usize; 2]>,
}

/// One recorded unit as the list names it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PartsUnit {
    pub serial: String,
    /// What kind of gear it is, where its note says so.
    pub gear: Option<GearKind>,
    pub variant: Option<String>,
    /// The day of its newest note.
    pub date: Option<Date>,
    /// Its gas as written.
    pub gas: Option<String>,
    /// Its supply pressure as written.
    pub supply: Option<String>,
    /// Its rating as written.
    pub rated: Option<String>,
    /// How many parts are recorded.
    pub parts: usize,
    /// Other shops whose notes speak for it.
    pub from_shops: Vec<String>,
    /// Whether it counts as our own: it is, or its notes were accepted here.
    pub counts_as_ours: bool,
}

fn as_words<S: serde::Serializer>(name: &ModelName, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(name)
}

impl PartsList {
    /// Makes the parts list of a model from its units, for a number of units to be built.
    ///
    /// Our own units decide; what those of other shops would change stands beside the line, and what ours leave open may rest on
    /// them. Where none is ours, the list is theirs.
    pub fn of(model: ModelName, units: &[UnitRecord], build: u32, workshop: &Workshop<'_>) -> Self {
        let (sorted, ours) = UnitRecord::ours_first(units);
        // Where none of the units is ours there is nothing of ours to stand.
        let speaking = if ours == 0 {
            sorted.as_slice()
        } else {
            &sorted[..ours]
        };
        let view = ModelUnits {
            units: speaking,
            threshold: &workshop.threshold,
            gas: workshop.gas.as_ref(),
        };
        let own = form(view, build, workshop);
        let mut warnings = unit_warnings(&view);
        let near_pairs = near_places(&own.gathered);
        warnings.extend(order_warnings(&own.gathered, &view));
        let words = |pair: &[usize; 2]| near_words(pair.map(|at| &own.gathered[at]), &view);
        warnings.extend(near_pairs.iter().map(words));
        // Lines of one place are named by the first of them; ours keep their numbers beside those of others.
        let number = |at: usize| {
            let place = own.lines[at].place();
            let first = own.lines.iter().position(|line| line.place() == place);
            first.unwrap_or(at) + 1
        };
        let near = near_pairs.iter().map(|pair| pair.map(number)).collect();
        let mut lines = if speaking.len() == sorted.len() {
            own.lines
        } else {
            let whole = ModelUnits {
                units: &sorted,
                ..view
            };
            beside(&own, &form(whole, build, workshop), &sorted)
        };
        warnings.extend(shared_cautions(&mut lines));
        Self {
            model,
            build,
            units: sorted.iter().map(parts_unit).collect(),
            oxygen_threshold: workshop.threshold.to_string(),
            lines,
            warnings,
            near,
        }
    }

    /// Returns the same list for another number of units to be built.
    #[must_use]
    pub fn for_units(mut self, build: u32) -> Self {
        self.build = build;
        for line in &mut self.lines {
            line.quantity_total = line.quantity.saturating_mul(build);
        }
        self
    }

    /// Returns the lines with one action, in their order.
    pub fn lines_to(&self, action: PartAction) -> impl Iterator<Item = &PartLine> {
        self.lines.iter().filter(move |line| line.action == action)
    }
}

/// Forms the lines of the units as they come.
fn form<'u>(units: ModelUnits<'u>, build: u32, workshop: &Workshop<'_>) -> Formed<'u> {
    let gathered = gather(units.units);
    let mut identifier = Identifier::new(workshop.candidates);
    let rings = ring_places(
        &gathered,
        &mut identifier,
        workshop.instruments,
        workshop.maker,
    );
    let lines = gathered
        .iter()
        .zip(&rings)
        .enumerate()
        .map(|(at, (part, ring))| PartLine {
            number: at + 1,
            ..line(part, ring.as_ref(), &units, build)
        })
        .collect();
    Formed { gathered, lines }
}

fn parts_unit(unit: &UnitRecord) -> PartsUnit {
    let header = &unit.header;
    PartsUnit {
        serial: unit.serial.clone(),
        gear: header.gear,
        variant: header.variant.clone(),
        date: header.date,
        gas: header.gas.clone(),
        supply: header.supply.as_ref().map(|p| p.text.clone()),
        rated: header.rated.as_ref().map(|p| p.text.clone()),
        parts: unit.parts.len(),
        from_shops: unit.whose.shops().to_vec(),
        counts_as_ours: unit.whose.is_ours(),
    }
}

fn line(
    part: &Gathered<'_>,
    ring: Option<&RingPlace<'_>>,
    units: &ModelUnits<'_>,
    build: u32,
) -> PartLine {
    let mut line = match ring {
        Some(place) => ring_findings(part, place, units),
        None => plain_findings(part, units),
    };
    let (quantity, counts) = findings::quantity(part, units);
    let (action, less) = findings::action(part, units);
    line.conflicts.extend(counts);
    line.conflicts.extend(less);
    if action != PartAction::Keep {
        line.conflicts.extend(findings::missing(part, units));
    }
    line.cautions.extend(kept_soft(part, action));
    let entry = &part.members[0].entry;
    let glands = part.members.iter().filter_map(|m| m.entry.gland.clone());
    PartLine {
        section: entry.section.clone(),
        position: entry.position.clone(),
        part: entry.name.clone(),
        kind: part.kind,
        action,
        quantity,
        quantity_total: quantity.saturating_mul(build),
        units_recorded: part.members.len(),
        rests_on: units.shops_of(part),
        glands: glands.collect(),
        ..line
    }
}

/// Takes the cautions that several lines share off the lines, to be said once.
fn shared_cautions(lines: &mut [PartLine]) -> Vec<String> {
    let mut shared: Vec<String> = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        for caution in &line.cautions {
            let again = lines[at + 1..].iter().any(|l| l.cautions.contains(caution));
            if again && !shared.contains(caution) {
                shared.push(caution.clone());
            }
        }
    }
    for line in lines {
        line.cautions.retain(|caution| !shared.contains(caution));
    }
    shared
}

/// A ring, seat or diaphragm that goes back in was disturbed by being taken out.
fn kept_soft(part: &Gathered<'_>, action: PartAction) -> Option<String> {
    (action == PartAction::Keep && part.kind.is_seal()).then(|| {
        "a soft part that was disturbed may not seal again: replacing it is the usual practice"
            .to_owned()
    })
}

fn unit_warnings(view: &ModelUnits<'_>) -> Vec<String> {
    let mut warnings = Vec::new();
    for unit in view.units {
        let header = &unit.header;
        if let (Some(rated), Some(supply)) = (&header.rated, &header.supply)
            && rated.value.bar() < supply.value.bar()
        {
            warnings.push(format!(
                "unit {}: rated {} but used at {}: do not pressurise it above its rating",
                unit.serial, rated.text, supply.text
            ));
        }
        if unit.unread_lines > 0 {
            warnings.push(format!(
                "unit {}: {} of its note could not be read and were left out",
                unit.serial, unit.unread_lines
            ));
        }
    }
    warnings.extend(kinds_differ(view));
    warnings.extend(gas_warnings(view));
    warnings
}

/// Says for which gas the list chooses where that is not plain, and once of a gas that is not settled.
fn gas_warnings(view: &ModelUnits<'_>) -> Vec<String> {
    let mut warnings = Vec::new();
    if let Some(gas) = view.gas {
        warnings.push(format!(
            "made for use with {}, whatever the notes of the units say",
            gas.words()
        ));
        warnings.extend(gas.judge(view.threshold).unsettled_words());
    } else {
        let words = |unit: &usize| view.service(*unit).unsettled_words();
        let open = (0..view.units.len()).filter(|unit| words(unit).is_some());
        let open: Vec<usize> = open.collect();
        warnings.extend(open.first().and_then(words).map(|words| {
            let named = view.named(&open);
            format!("{named}: {words}")
        }));
    }
    if view.gases_differ() {
        warnings.push(
            "the units are used with different gases: materials are chosen for the most demanding one"
                .to_owned(),
        );
    }
    warnings
}

/// Units of two kinds of gear share no parts, limits or tests: one of the notes is wrong, or the model is two.
fn kinds_differ(view: &ModelUnits<'_>) -> Option<String> {
    let stated = |unit: &usize| view.units[*unit].header.gear;
    let kinds: BTreeSet<GearKind> = (0..view.units.len()).filter_map(|u| stated(&u)).collect();
    let named = |kind: &GearKind| {
        let units: Vec<usize> = (0..view.units.len())
            .filter(|unit| stated(unit) == Some(*kind))
            .collect();
        format!("{}: {kind}", view.named(&units))
    };
    (kinds.len() > 1).then(|| {
        let told: Vec<String> = kinds.iter().map(named).collect();
        format!(
            "the units are of different kinds of gear ({}): mend the note that is wrong, or give each kind a model of its own",
            told.join("; ")
        )
    })
}

/// Names parts that only their order tells apart.
fn order_warnings(gathered: &[Gathered<'_>], view: &ModelUnits<'_>) -> Vec<String> {
    let mut warnings = Vec::new();
    let mut ordered: Vec<(String, PartKind)> = Vec::new();
    for part in gathered.iter().filter(|part| part.by_order) {
        let section = part.members[0].entry.section.clone();
        if view.units.len() > 1 && !ordered.contains(&(section.clone(), part.kind)) {
            warnings.push(format!(
                "section {section:?} holds several parts of the kind {} without position: they are matched over the units by their order; write where each sits, as `; at filter seat`",
                part.kind
            ));
            ordered.push((section, part.kind));
        }
    }
    warnings
}

/// Finds pairs of positions that may be one ([`may_share_place`](crate::core::note::Entry::may_share_place)), and that no unit has
/// both of.
fn near_places(gathered: &[Gathered<'_>]) -> Vec<[usize; 2]> {
    let near = |a: &Gathered<'_>, b: &Gathered<'_>| {
        let apart = |m: &Member<'_>| b.members.iter().all(|n| m.unit != n.unit);
        let entry = |part: &Gathered<'_>| part.members[0].entry.clone();
        entry(a).may_share_place(&entry(b)) && a.members.iter().all(apart)
    };
    let pairs = (0..gathered.len()).flat_map(|a| (a + 1..gathered.len()).map(move |b| [a, b]));
    pairs
        .filter(|pair| near(&gathered[pair[0]], &gathered[pair[1]]))
        .collect()
}

fn near_words(pair: [&Gathered<'_>; 2], view: &ModelUnits<'_>) -> String {
    let of = |part: &Gathered<'_>| {
        let units: Vec<_> = part.members.iter().map(|member| member.unit).collect();
        format!(
            "{:?} ({})",
            part.members[0].entry.position,
            view.named(&units)
        )
    };
    format!(
        "{} and {} in section {:?} may be one place: `ringwright note join` makes them one, or leave them",
        of(pair[0]),
        of(pair[1]),
        pair[0].members[0].entry.section
    )
}

/// What a parts list is made with.
#[derive(Debug, Clone)]
pub struct Workshop<'w> {
    /// Listed rings with their prior.
    pub candidates: &'w Candidates,
    /// What the other models of the maker say together of the families that he used.
    pub maker: RegimeOdds,
    pub instruments: &'w Instruments,
    /// From which share of oxygen on a gas is enriched.
    pub threshold: OxygenThreshold,
    /// The gas that the units will be used with; that of their notes where `None`.
    pub gas: Option<GasStatement>,
}
