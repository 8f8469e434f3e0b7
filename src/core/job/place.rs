//! The places of a unit as its parts list has them, and a fitted part held against what is listed there.

use super::entry::FittedPart;
use crate::core::book::{PartAction, PartLine, name_key, near_names, place_words};
use crate::core::elastomer::Polymer;
use crate::core::gland::Verdict;
use crate::core::interchange::{PartSpec, PlainSpec, RingSpec};
use crate::core::note::PartKind;
use serde::Serialize;

/// One place of the parts list.
#[derive(Debug, Clone, PartialEq)]
pub struct PartPlace {
    /// Its line in the list.
    pub number: usize,
    /// Part and position, as a record names the place: "o-ring on piston head".
    pub name: String,
    /// What the part is called in the list.
    pub part: String,
    pub kind: PartKind,
    /// What is done with it.
    pub action: PartAction,
    /// How many the unit has there.
    pub quantity: u32,
    /// What is listed; `None` where nothing is known of its size.
    pub listed: Option<PartSpec>,
    /// What serves as well, by the list.
    pub alternates: Vec<PartSpec>,
    /// Whether the list is sure of the size.
    pub decided: bool,
}

/// The places of a unit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlaceList {
    /// In the order in which the parts come off.
    pub places: Vec<PartPlace>,
}

/// Says that words name no one place of the list.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{asked:?} names no one place of the parts list; {} {}. Write a line number, or a name in full",
    if *.is_near { "near it are" } else { "it has" },
    .names.join(", ")
)]
pub struct NoPlace {
    pub asked: String,
    /// Names that come near, else all, each with its line number.
    pub names: Vec<String>,
    /// Whether the names come near.
    pub is_near: bool,
}

impl PlaceList {
    /// Makes the places from the lines of a parts list.
    pub fn of_lines(lines: &[PartLine]) -> Self {
        let bare = |line: &PartLine| format!("{} {}", line.part, line.position).trim().to_owned();
        let twice = |line: &PartLine| {
            let key = name_key(&bare(line));
            lines.iter().filter(|l| name_key(&bare(l)) == key).count() > 1
        };
        let place = |line: &PartLine| PartPlace {
            number: line.number,
            name: if twice(line) {
                format!("{}: {}", line.section, bare(line))
            } else {
                bare(line)
            },
            part: line.part.clone(),
            kind: line.kind,
            action: line.action,
            quantity: line.quantity,
            listed: PartSpec::of_line(line),
            alternates: line
                .alternates
                .iter()
                .filter(|other| other.verdict != Some(Verdict::Reject))
                .filter_map(|other| other.codes.first())
                .filter_map(|code| PartSpec::read(code, None).ok()?.into_iter().next())
                .collect(),
            decided: line.size.decided,
        };
        Self {
            places: lines.iter().map(place).collect(),
        }
    }

    /// Finds the place that words name: its line number, or words that hold all its own and more of them than of any other.
    ///
    /// # Errors
    /// No place or several are named; the error lists what there is.
    pub fn find(&self, words: &str) -> Result<&PartPlace, NoPlace> {
        let number = words.trim().trim_start_matches("line").trim();
        if let Ok(number) = number.trim_start_matches('#').parse::<usize>() {
            let found = self.places.iter().find(|place| place.number == number);
            return found.ok_or_else(|| self.none(words));
        }
        let key = name_key(words);
        if let Some(exact) = self.places.iter().find(|p| name_key(&p.name) == key) {
            return Ok(exact);
        }
        let said: Vec<&str> = key.split(' ').collect();
        let met = |place: &PartPlace| {
            let own = place_words(&place.name);
            let all = own.iter().all(|word| said.contains(&word.as_str()));
            all.then_some(own.len())
        };
        let most = self.places.iter().filter_map(met).max();
        let mut best = self
            .places
            .iter()
            .filter(|place| most.is_some() && met(place) == most);
        match (best.next(), best.next()) {
            (Some(one), None) => Ok(one),
            _ => Err(self.none(words)),
        }
    }

    fn none(&self, asked: &str) -> NoPlace {
        let near = near_names(asked, self.places.iter().map(|place| place.name.as_str()));
        let is_near = !near.is_empty();
        let named = |place: &&PartPlace| !is_near || near.contains(&place.name);
        let names = self.places.iter().filter(named);
        NoPlace {
            asked: asked.to_owned(),
            names: names.map(|p| format!("{} {}", p.number, p.name)).collect(),
            is_near,
        }
    }
}

/// Says how a fitted part stands beside what is listed for its place.
#[derive(Debug, Clone, PartialEq)]
pub enum Fit {
    /// It is the listed part, or one that serves as well by the list.
    AsListed,
    /// The list knows no size for that place: nothing was compared.
    Nothing,
    /// It is the likeliest part of a place where the list is not sure.
    NotDecided {
        /// What is listed as the likeliest.
        listed: String,
    },
    /// It is another one.
    Unlike {
        listed: String,
        /// Whether the list is sure of it.
        decided: bool,
        how: Difference,
    },
}

/// Says in what a fitted part is another one than the listed one; in words, after "recorded was …, which".
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, thiserror::Error)]
#[serde(rename_all = "kebab-case")]
pub enum Difference {
    #[error("names no part that can be compared: write it as the list does")]
    Unread,
    #[error("is another size")]
    Size,
    #[error("names no polymer")]
    NoPolymer,
    #[error("is {0}")]
    Polymer(Polymer),
    #[error("names no hardness")]
    NoHardness,
    #[error("is on another scale of hardness")]
    OtherScale,
    #[error("is softer")]
    Softer,
    #[error("is harder")]
    Harder,
    #[error("is of another material")]
    Material,
}

impl PartPlace {
    /// Reads what words say of a part in this place: a part in its own words, or the lengths alone.
    pub fn read(&self, spec: &str) -> Vec<PartSpec> {
        let alone = PartSpec::read(spec, None).unwrap_or_default();
        let is_ring = matches!(self.listed, Some(PartSpec::Ring(_)));
        let plain = |spec: &PartSpec| matches!(spec, PartSpec::Plain(_));
        if is_ring || alone.iter().any(plain) {
            return alone;
        }
        // A part that is no ring may be written by its lengths alone, as the list has them.
        PartSpec::read(&format!("{} ; {spec}", self.part), None).unwrap_or_default()
    }

    /// Returns the polymer of a fitted ring, where its words name one.
    pub fn polymer_of(&self, fitted: &FittedPart) -> Option<Polymer> {
        self.read(&fitted.spec).iter().find_map(|spec| match spec {
            PartSpec::Ring(ring) => ring.polymer,
            PartSpec::Plain(plain) => plain.material.as_deref().and_then(Polymer::from_word),
        })
    }

    /// A fitted part against what is listed here.
    pub fn compare(&self, fitted: &FittedPart) -> Fit {
        let Some(listed) = &self.listed else {
            return Fit::Nothing;
        };
        let unlike = |how: Difference| Fit::Unlike {
            listed: listed.to_string(),
            decided: self.decided,
            how,
        };
        let read = self.read(&fitted.spec);
        if read.is_empty() {
            return unlike(Difference::Unread);
        }
        let serves = |spec: &&PartSpec| {
            spec.is_same(listed) || self.alternates.iter().any(|other| spec.is_same(other))
        };
        let Some(like) = read.iter().find(serves) else {
            return unlike(Difference::Size);
        };
        let differs = match (listed, like) {
            (PartSpec::Ring(listed), PartSpec::Ring(like)) => ring_differs(listed, like),
            (PartSpec::Plain(listed), PartSpec::Plain(like)) => plain_differs(listed, like),
            _ => Some(Difference::Size),
        };
        match differs {
            Some(how) => unlike(how),
            None if self.decided => Fit::AsListed,
            None => Fit::NotDecided {
                listed: listed.to_string(),
            },
        }
    }
}

fn ring_differs(listed: &RingSpec, fitted: &RingSpec) -> Option<Difference> {
    match (listed.polymer, fitted.polymer) {
        (Some(_), None) => return Some(Difference::NoPolymer),
        (Some(wanted), Some(found)) if wanted != found => return Some(Difference::Polymer(found)),
        _ => {}
    }
    match (listed.hardness, fitted.hardness) {
        (Some(_), None) => Some(Difference::NoHardness),
        (Some(wanted), Some(found)) if wanted.scale != found.scale => Some(Difference::OtherScale),
        (Some(wanted), Some(found)) if found.value < wanted.value => Some(Difference::Softer),
        (Some(wanted), Some(found)) if found.value > wanted.value => Some(Difference::Harder),
        _ => None,
    }
}

fn plain_differs(listed: &PlainSpec, fitted: &PlainSpec) -> Option<Difference> {
    match (&listed.material, &fitted.material) {
        (Some(wanted), Some(found)) if name_key(wanted) != name_key(found) => {
            Some(Difference::Material)
        }
        _ => None,
    }
}
