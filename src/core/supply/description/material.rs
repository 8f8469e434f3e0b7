//! Polymer and hardness: "NBR 70", "N70", "70 Shore A", "caoutchouc fluoré 80°".

use super::figure::Label;
use super::item::{Items, What};
use super::lexicon::{Meaning, Role};
use crate::core::elastomer::Polymer;
use crate::core::quantity::{Hardness, HardnessScale};

/// The hardness values that compounds are sold in.
const SOLD: [&str; 12] = [
    "30", "40", "45", "50", "55", "60", "65", "70", "75", "80", "85", "90",
];
/// Beside the name of a scale, any hardness of rubber or soft plastic is one.
const ON_A_SCALE: std::ops::RangeInclusive<f64> = 20.0..=98.0;
/// Signs that may stand between a material and its hardness.
const BETWEEN: [char; 5] = ['-', '/', ':', '=', '|'];

/// Gathers the materials that a text names.
#[derive(Debug, Default)]
pub(super) struct Materials {
    pub(super) polymers: Vec<Polymer>,
    pub(super) hardnesses: Vec<Hardness>,
    /// A ring of two materials: the one inside is not that of the ring.
    pub(super) jacket: bool,
    /// A material was named, even one of which nothing is known here.
    pub(super) named: bool,
    /// A material was named that is no polymer of rings.
    pub(super) foreign: bool,
}

/// Tells whether a text is a hardness that compounds are sold in.
pub(super) fn is_sold(text: &str) -> bool {
    SOLD.contains(&text)
}

impl Materials {
    /// Reads every word of material and every hardness that is placed by a word beside it.
    pub(super) fn read(&mut self, items: &mut Items<'_>) {
        for at in 0..items.list.len() {
            match items.list[at].what {
                What::Word(meaning) => self.word(items, at, meaning),
                _ if items.list[at].taken => {}
                What::Letters => self.letter(items, at),
                _ => {}
            }
        }
        for at in 0..items.list.len() {
            self.scaled(items, at);
        }
        for at in 0..items.list.len() {
            self.beside(items, at);
        }
        if self.hardnesses.is_empty() && !self.polymers.is_empty() {
            self.behind_size(items);
        }
    }

    /// "FKM-24x3-75": the last field of a designation without white space.
    fn behind_size(&mut self, items: &mut Items<'_>) {
        let place = (3..items.list.len()).find(|at| {
            let fields = items.list[*at].is_number()
                && is_sold(items.list[*at].text)
                && items.list[at - 1].is_sign('-')
                && !items.is_dimension(*at);
            fields
                && items.list[at - 2].is_number()
                && items.is_dimension(at - 2)
                && (at - 1..=*at).all(|p| items.is_glued(p))
                && !items.is_glued(at + 1)
        });
        if let Some(at) = place.filter(|at| !items.list[*at].taken) {
            self.push(items, at, HardnessScale::ShoreA);
        }
    }

    fn word(&mut self, items: &mut Items<'_>, at: usize, meaning: Meaning) {
        match meaning.role {
            Role::Material => {
                self.polymers.extend(meaning.polymer);
                self.named = true;
                self.foreign |= meaning.polymer.is_none();
                items.take(at..at + 1);
            }
            Role::MaterialInJacket => {
                self.jacket = true;
                items.take(at..at + 1);
            }
            Role::JisClass => {}
            // A number of a part or of a material says what it is made of.
            _ => {
                self.polymers.extend(meaning.polymer);
                self.hardnesses
                    .extend(meaning.hardness.and_then(Hardness::shore_a));
            }
        }
    }

    /// "N70", "70N": a letter of the trade glued to a hardness.
    fn letter(&mut self, items: &mut Items<'_>, at: usize) {
        let letter = items.list[at].text;
        let sold = |place: Option<usize>| {
            place.filter(|p| items.is(*p, |i| i.is_number() && !i.taken && is_sold(i.text)))
        };
        let behind = sold(items.is_glued(at + 1).then_some(at + 1))
            .filter(|p| !items.is_glued(p + 1) || !items.list[p + 1].is_times());
        let before = sold(at.checked_sub(1).filter(|_| items.is_glued(at)));
        let Some(number) = behind.or(before) else {
            return;
        };
        let polymer = Polymer::from_word(letter);
        if polymer.is_none() && !(letter == "D" && before.is_some()) {
            return;
        }
        // "70D" in a list of rings is a durometer reading of rubber, which is Shore A; no rubber ring is 70 Shore D.
        self.polymers.extend(polymer);
        self.named |= polymer.is_some();
        items.take(at..at + 1);
        self.push(items, number, HardnessScale::ShoreA);
    }

    fn push(&mut self, items: &mut Items<'_>, at: usize, scale: HardnessScale) {
        let value = items.list[at].text.parse().ok();
        self.hardnesses
            .extend(value.and_then(|value| Hardness::new(value, scale)));
        items.list[at].taken = true;
    }

    /// "70 Shore A", "shore 70", "80° Shore", "70 +/- 5 IRHD", "60°" glued.
    fn scaled(&mut self, items: &mut Items<'_>, at: usize) {
        let item = &items.list[at];
        let two =
            item.is_number() && !item.taken && item.text.len() == 2 && !items.is_dimension(at);
        let on_scale = item
            .text
            .parse()
            .is_ok_and(|value: f64| ON_A_SCALE.contains(&value));
        if !(two && on_scale) {
            return;
        }
        let sold = is_sold(item.text);
        let mut end = at + 1;
        if items.is(end, |i| matches!(i.what, What::Sign('±' | '+'))) {
            let number = (end..end + 4).find(|p| items.is(*p, super::item::Item::is_number));
            end = number.map_or(end, |n| n + 1);
        }
        let degree = items.is(end, |i| i.is_sign('°') || i.role() == Some(Role::Degree));
        end += usize::from(degree);
        end = items.skip(end, &['-']);
        let mut scale = None;
        while let Some(What::Word(meaning)) = items.get(end).map(|i| i.what)
            && let Some(found) = meaning.scale()
        {
            // "Shore A" in two words; a lone letter is a scale behind a number alone.
            scale = Some(found);
            end += 1;
        }
        if scale.is_none() && degree && sold && !is_temperature(items, end) {
            scale = Some(HardnessScale::ShoreA);
        }
        if let Some(scale) = scale {
            items.take(at + 1..end);
            self.push(items, at, scale);
            return;
        }
        let mut place = at;
        while place > 0 && matches!(items.list[place - 1].what, What::Sign('=' | ':' | '.')) {
            place -= 1;
        }
        if let Some(What::Word(meaning)) = items.before(place).map(|i| i.what)
            && let Some(scale) = meaning.scale()
        {
            items.take(place - 1..place);
            self.push(items, at, scale);
        }
    }

    /// "NBR 70", "70 NBR", "FKM/90": a hardness that stands beside a polymer and counts nothing else.
    fn beside(&mut self, items: &mut Items<'_>, at: usize) {
        let item = &items.list[at];
        if !item.is_number()
            || item.taken
            || item.no_size
            || !is_sold(item.text)
            || items.is_dimension(at)
        {
            return;
        }
        let material = |place: Option<usize>| {
            place.and_then(|p| items.get(p)).is_some_and(|i| {
                i.taken && (i.role() == Some(Role::Material) || i.what == What::Letters)
            })
        };
        // "NBR -30 °C": a number with its sign; "ID 45 silicone": a named dimension.
        let signed = items.before(at).is_some_and(|i| {
            matches!(i.what, What::Sign('-' | '+')) && i.spaced && items.is_glued(at)
        });
        let place = (0..at)
            .rev()
            .find(|p| !matches!(items.list[*p].what, What::Sign('=' | ':' | '.' | 'Ø')));
        let named = [place, Some(at + 1)].into_iter().flatten().any(|p| {
            items
                .role(p)
                .is_some_and(|role| Label::of(role).is_some() || role == Role::Diameter)
        });
        if signed || named {
            return;
        }
        let between =
            |i: &super::item::Item<'_>| matches!(i.what, What::Sign(s) if BETWEEN.contains(&s));
        let before = at.checked_sub(1).and_then(|p| {
            if between(&items.list[p]) {
                p.checked_sub(1)
            } else {
                Some(p)
            }
        });
        let behind = items
            .get(at + 1)
            .map(|i| if between(i) { at + 2 } else { at + 1 });
        let unit = matches!(
            items.role(at + 1),
            Some(Role::UnitMm | Role::UnitIn | Role::OtherUnit | Role::OtherLength | Role::Pieces)
        );
        if !unit && (material(before) || material(behind)) {
            self.push(items, at, HardnessScale::ShoreA);
        }
    }

    /// The one polymer of the ring.
    pub(super) fn polymer(&self) -> Option<Polymer> {
        only(&self.polymers).filter(|_| !self.jacket)
    }

    pub(super) fn hardness(&self) -> Option<Hardness> {
        only(&self.hardnesses)
    }
}

fn is_temperature(items: &Items<'_>, at: usize) -> bool {
    items.is(at, |i| matches!(i.text, "C" | "F") && !i.spaced)
}

/// A text that says two different things of one kind says neither.
pub(super) fn only<T: PartialEq + Copy>(found: &[T]) -> Option<T> {
    let first = *found.first()?;
    found.iter().all(|one| *one == first).then_some(first)
}
