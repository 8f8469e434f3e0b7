//! The parts of a unit before its release: places, polymers, cleaning, lubricant.

use super::Review;
use crate::core::book::PartAction;
use crate::core::elastomer::{LubricantClass, LubricantVerdict, Polymer, Rating, judge_lubricant};
use crate::core::job::entry::FittedPart;
use crate::core::job::lack::Lack;
use crate::core::job::place::{Fit, PartPlace};
use crate::core::job::state::{PlaceState, PlaceWork};

impl Review<'_> {
    pub(super) fn parts(&self, lacks: &mut Vec<Lack>) {
        let places = &self.question.places.places;
        if self.question.noted.is_none() {
            lacks.push(Lack::NoOwnNote);
        }
        if places.is_empty() {
            lacks.push(Lack::NoPartsList);
        }
        let open = places.iter().filter(|place| {
            place.action == PartAction::Replace && self.state.place(place.number).is_none()
        });
        let open: Vec<String> = open.map(|place| place.name.clone()).collect();
        if !open.is_empty() {
            lacks.push(Lack::PlaceNotRecorded(open));
        }
        for filled in &self.state.places {
            match self.listed(filled) {
                Some(listed) => self.place(listed, filled, lacks),
                None if places.is_empty() => {}
                None => lacks.push(Lack::UnknownPlace {
                    entry: filled.now.entry,
                    part: filled.name.clone(),
                }),
            }
        }
    }

    fn listed(&self, filled: &PlaceState) -> Option<&PartPlace> {
        let mut places = self.question.places.places.iter();
        places.find(|place| Some(place.number) == filled.line)
    }

    fn place(&self, listed: &PartPlace, filled: &PlaceState, lacks: &mut Vec<Lack>) {
        let (entry, place) = (filled.now.entry, || listed.name.clone());
        let fitted = match &filled.now.what {
            PlaceWork::Fitted(fitted) => fitted,
            PlaceWork::Kept(_) => {
                if self.asks_oxygen_care() && listed.kind.is_seal() {
                    lacks.push(Lack::OldSoftPart {
                        entry,
                        place: place(),
                    });
                }
                return;
            }
        };
        let meant = fitted.deviation.is_some();
        lacks.extend(as_listed(listed, entry, fitted).filter(|_| !meant));
        if fitted.count != listed.quantity && !meant {
            lacks.push(Lack::Count {
                entry,
                place: place(),
                listed: listed.quantity,
                recorded: fitted.count,
            });
        }
        let judged = listed.polymer_of(fitted);
        let judged = judged.map(|polymer| polymer.in_gas(&self.state.gas.service));
        let unfit = judged.filter(|judged| judged.rating == Some(Rating::Unsuitable));
        lacks.extend(unfit.map(|judged| Lack::Polymer {
            entry,
            place: place(),
            polymer: judged.polymer,
            reason: judged.reason,
        }));
        if self.asks_oxygen_care() && !fitted.oxygen_clean {
            lacks.push(Lack::PartNotOxygenClean {
                entry,
                place: place(),
            });
        }
    }

    pub(super) fn cleaning_and_lubricant(&self, lacks: &mut Vec<Lack>) {
        let cleaning = &self.state.cleaning;
        if cleaning.is_empty() {
            lacks.push(Lack::NoCleaning);
        }
        if self.asks_oxygen_care() && !cleaning.last().is_some_and(|said| said.what.for_oxygen) {
            lacks.push(Lack::NotOxygenClean);
        }
        if self.state.lubricants.is_empty() {
            lacks.push(Lack::NoLubricant);
        }
        let polymers = self.polymers();
        for used in &self.state.lubricants {
            let name = &used.what.name;
            let judged = judge_lubricant(name, &self.state.gas.service, &polymers);
            // Fitted dry is no harm to anybody; another lubricant that is better avoided is.
            let fits = match judged.verdict {
                Some(LubricantVerdict::Suits) => true,
                Some(LubricantVerdict::Avoid) => judged.class == Some(LubricantClass::Dry),
                Some(LubricantVerdict::Never) => false,
                // Where no rule is at hand somebody may decide, and says why; never for gas with more oxygen.
                None => used.what.deviation.is_some() && !self.asks_oxygen_care(),
            };
            if !fits {
                lacks.push(Lack::Lubricant {
                    entry: used.entry,
                    name: name.clone(),
                    reason: judged.reason,
                });
            }
        }
    }

    /// The polymers that are in the unit now, as far as the record names them.
    fn polymers(&self) -> Vec<Polymer> {
        let fitted = self.state.places.iter().filter_map(|filled| {
            let listed = self.listed(filled)?;
            match &filled.now.what {
                PlaceWork::Fitted(fitted) => listed.polymer_of(fitted),
                PlaceWork::Kept(_) => None,
            }
        });
        fitted.collect()
    }
}

/// What of a fitted part is not as listed.
fn as_listed(listed: &PartPlace, entry: u32, fitted: &FittedPart) -> Option<Lack> {
    let place = listed.name.clone();
    match listed.compare(fitted) {
        Fit::AsListed | Fit::Nothing => None,
        Fit::NotDecided { listed } => Some(Lack::NotDecided {
            entry,
            place,
            listed,
        }),
        Fit::Unlike {
            listed,
            decided,
            how,
        } => Some(Lack::NotAsListed {
            entry,
            place,
            listed,
            decided,
            spec: fitted.spec.clone(),
            how,
        }),
    }
}
