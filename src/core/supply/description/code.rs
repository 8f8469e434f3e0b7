//! Codes: a family with its number ("AS568-012", "MS28775-210"), dash numbers ("2-110", "#210"), JIS and BS 4518 codes.

use super::item::{Item, Items, What};
use super::lexicon::Role;
use super::material::Materials;
use crate::core::quantity::{Hardness, Length};
use crate::core::sizes::{number_series, read_designation};
use crate::core::supply::described::NamedRing;
use std::collections::HashMap;
use std::sync::LazyLock;

/// A ring is squeezed between rod and bore: its two sections are more than the gap, and less than half as much again.
const SQUEEZED: std::ops::RangeInclusive<f64> = 1.05..=1.45;

/// Remembers what codes mean, because lists repeat them.
#[derive(Debug, Default)]
pub(super) struct KnownCodes {
    rings: HashMap<String, Vec<NamedRing>>,
}

/// Codes that are remembered at most, so that memory stays bounded.
const MOST_REMEMBERED: usize = 50_000;

impl KnownCodes {
    fn rings(&mut self, code: &str) -> Vec<NamedRing> {
        if let Some(known) = self.rings.get(code) {
            return known.clone();
        }
        let mut rings: Vec<NamedRing> = Vec::new();
        for reading in read_designation(code, None).unwrap_or_default() {
            let ring = NamedRing::of(&reading.size);
            if !rings.contains(&ring) {
                rings.push(ring);
            }
        }
        if self.rings.len() >= MOST_REMEMBERED {
            self.rings.clear();
        }
        self.rings.insert(code.to_owned(), rings.clone());
        rings
    }
}

/// The prefixes of series by the letters with which they begin, the longest first.
static PREFIXES: LazyLock<HashMap<&'static str, Vec<&'static str>>> = LazyLock::new(|| {
    let mut by_letters: HashMap<&'static str, Vec<&'static str>> = HashMap::new();
    for prefix in number_series()
        .iter()
        .filter_map(|row| row.prefix.as_deref())
    {
        let letters = &prefix[..prefix.bytes().take_while(u8::is_ascii_alphabetic).count()];
        let list = by_letters.entry(letters).or_default();
        if !letters.is_empty() && !list.contains(&prefix) {
            list.push(prefix);
        }
    }
    for list in by_letters.values_mut() {
        list.sort_by_key(|prefix| std::cmp::Reverse(prefix.len()));
    }
    by_letters
});

/// Gathers the rings that a text names by codes.
#[derive(Debug)]
pub(super) struct Codes<'k> {
    known: &'k mut KnownCodes,
    /// Codes that name themselves: with their family, or with a dash.
    pub(super) plain: Vec<NamedRing>,
    /// Codes that are some only in a list of rings: "012", "P10A".
    pub(super) bare: Vec<NamedRing>,
    /// Lengths of a code that do not name its ring.
    pub(super) lengths: Vec<Length>,
    /// A series that implies the material names the part, whatever word stands beside it.
    pub(super) names_ring: bool,
    /// The name of a family stands in the text, with or without a number that it has.
    pub(super) family: bool,
    /// A JIS code stands in the text, so that the words of its material classes are some.
    jis: bool,
}

impl<'k> Codes<'k> {
    pub(super) fn new(known: &'k mut KnownCodes) -> Self {
        Self {
            known,
            plain: Vec::new(),
            bare: Vec::new(),
            lengths: Vec::new(),
            names_ring: false,
            family: false,
            jis: false,
        }
    }

    /// Reads the codes that begin with the name of their family.
    pub(super) fn read_families(&mut self, items: &mut Items<'_>, materials: &mut Materials) {
        let mut at = 0;
        while at < items.list.len() {
            let end = if items.list[at].taken {
                None
            } else {
                self.bs4518(items, at)
                    .or_else(|| self.series(items, at, materials))
                    .or_else(|| self.jis(items, at))
                    .or_else(|| self.rod_and_bore(items, at))
            };
            if let Some(end) = end {
                items.take(at..end);
            }
            at = end.unwrap_or(at + 1);
        }
        self.read_jis_classes(items, materials);
    }

    /// A series with its number: the ring, and what the series says of the material even where it has no such number.
    fn series(&mut self, items: &Items<'_>, at: usize, materials: &mut Materials) -> Option<usize> {
        let prefixes = PREFIXES.get(items.list[at].text)?;
        let (prefix, mut end) = prefixes
            .iter()
            .find_map(|prefix| Some((*prefix, behind(items, at, prefix)?)))?;
        let row = number_series()
            .iter()
            .find(|row| row.prefix.as_deref() == Some(prefix))?;
        let revision = |p: usize| {
            items.is_glued(p) && items.is(p, |i| matches!(i.text, "A" | "B" | "C" | "D" | "E"))
        };
        end += usize::from(revision(end));
        let place = skip_label(items, end);
        let number = items
            .get(place)
            .filter(|i| i.is_number() && i.text.len() <= 3 && is_digits(i.text));
        let number = number.filter(|_| !items.is(place + 1, Item::is_times));
        if number.is_some() || row.polymer.is_some() {
            materials.polymers.extend(row.polymer);
            materials
                .hardnesses
                .extend(row.hardness_shore_a.and_then(Hardness::shore_a));
        }
        self.family |= prefix != "BS" || number.is_some();
        let Some(number) = number else {
            return (prefix != "BS").then_some(end);
        };
        let rings = self.known.rings(&format!("{prefix}-{}", number.text));
        self.names_ring |= row.polymer.is_some() && !rings.is_empty();
        self.plain.extend(rings);
        Some(place + 1 + usize::from(revision(place + 1)))
    }

    fn bs4518(&mut self, items: &Items<'_>, at: usize) -> Option<usize> {
        let place = items.skip(behind(items, at, "BS4518")?, &['-', ':']);
        let [first, dash, last] = items.list.get(place..place + 3)? else {
            return None;
        };
        let code = first.is_number() && dash.is_sign('-') && last.is_number();
        if code {
            self.plain.extend(
                self.known
                    .rings(&format!("BS 4518 {}-{}", first.text, last.text)),
            );
        }
        code.then_some(place + 3)
    }

    /// "JIS B 2401 P10A", "P-12", "G30": the letter and its number stand together, save behind the name of the family.
    fn jis(&mut self, items: &Items<'_>, at: usize) -> Option<usize> {
        let named = ["JISB2401", "B2401", "JIS"]
            .iter()
            .find_map(|name| behind(items, at, name));
        let mut place = items.skip(named.unwrap_or(at), &['-', ':']);
        while named.is_some() && items.role(place) == Some(Role::JisClass) {
            place = items.skip(place + 1, &['-']);
        }
        self.jis |= named.is_some();
        let letter = items
            .get(place)
            .map(|i| i.text)
            .filter(|t| matches!(*t, "P" | "G" | "V"))?;
        if named.is_none()
            && (letter == "V"
                || items.is_glued(at)
                    && items.before(at).is_some_and(|i| {
                        !matches!(i.what, What::Sign('(' | '[' | ':' | ',' | '/'))
                    }))
        {
            return None;
        }
        let number = items.skip(place + 1, &['-']);
        let apart = (place + 1..=number).any(|p| !items.is_glued(p));
        let text = items
            .get(number)
            .filter(|i| i.is_number() && !i.text.contains('/') && (!apart || named.is_some()))?
            .text;
        if items.is(number + 1, |i| {
            i.is_times() || matches!(i.role(), Some(Role::OtherUnit | Role::UnitMm))
        }) {
            return None;
        }
        let wide = items.is_glued(number + 1) && items.is(number + 1, |i| i.text == "A");
        let code = format!(
            "JIS B 2401 {letter}{}{}",
            text.replace(',', "."),
            if wide { "A" } else { "" }
        );
        let rings = self.known.rings(&code);
        if rings.is_empty() {
            return None;
        }
        self.jis = true;
        let list = if named.is_some() {
            &mut self.plain
        } else {
            &mut self.bare
        };
        list.extend(rings);
        Some(number + 1 + usize::from(wide))
    }

    /// GOST 9833: rod, bore and ten sections, "020-025-30"; its inside diameters are in no source, so that only the section is told.
    fn rod_and_bore(&mut self, items: &Items<'_>, at: usize) -> Option<usize> {
        let [rod, one, bore, two, section] = items.list.get(at..at + 5)? else {
            return None;
        };
        let shape = [(rod, 3), (bore, 3), (section, 2)]
            .iter()
            .all(|(i, length)| i.is_number() && i.text.len() == *length && is_digits(i.text));
        if !shape || !one.is_sign('-') || !two.is_sign('-') {
            return None;
        }
        let value = |item: &Item<'_>| item.text.parse::<f64>().ok();
        let (gap, section) = (value(bore)? - value(rod)?, value(section)? / 10.0);
        if !SQUEEZED.contains(&(2.0 * section / gap)) {
            return None;
        }
        self.lengths.extend(Length::from_mm(section));
        let mut end = at + 5;
        while items.is(end, |i| i.is_sign('-'))
            && items.is(end + 1, Item::is_number)
            && items.is_glued(end + 1)
        {
            end += 2;
        }
        Some(end)
    }

    fn read_jis_classes(&mut self, items: &mut Items<'_>, materials: &mut Materials) {
        for at in 0..items.list.len() {
            if let What::Word(meaning) = items.list[at].what
                && meaning.role == Role::JisClass
                && (self.jis || items.list[at].text.contains('種'))
            {
                materials.polymers.extend(meaning.polymer);
                materials
                    .hardnesses
                    .extend(meaning.hardness.and_then(Hardness::shore_a));
                items.list[at].taken = true;
            }
        }
    }

    /// Reads numbers with a dash, "-012", "2-110", "#012", and numbers behind a word for them, "dash 011", "size 014".
    pub(super) fn read_dashed(&mut self, items: &mut Items<'_>) {
        for at in 0..items.list.len() {
            if items.list[at].taken || items.list[at].no_size {
                continue;
            }
            let Some(number) = dashed(items, at) else {
                continue;
            };
            let rings = self.known.rings(items.list[number].text);
            if !rings.is_empty() {
                items.take(at..number + 1);
                self.plain.extend(rings);
            }
        }
    }

    /// Reads three bare digits, which are a size only in a list of rings.
    pub(super) fn read_bare(&mut self, items: &mut Items<'_>) {
        for at in 0..items.list.len() {
            if is_bare(items, at) {
                let rings = self.known.rings(items.list[at].text);
                if !rings.is_empty() {
                    items.list[at].taken = true;
                    self.bare.extend(rings);
                }
            }
        }
    }
}

fn is_digits(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_digit())
}

/// The place behind a name that begins here, however it is parted: "AS 568", "AS-568", "M83248/1".
fn behind(items: &Items<'_>, at: usize, name: &str) -> Option<usize> {
    let (mut rest, mut place) = (name, at);
    while !rest.is_empty() {
        let item = items.get(place)?;
        match rest.strip_prefix(item.text) {
            Some(left) => rest = left,
            None if place > at && item.is_sign('-') => {}
            None => return None,
        }
        place += 1;
    }
    Some(place)
}

/// The place of the number behind a name or a word for a size.
fn skip_label(items: &Items<'_>, at: usize) -> usize {
    let mut place = at;
    while items.role(place) == Some(Role::SizeLabel)
        || items.is(place, |i| {
            matches!(i.what, What::Sign('-' | ':' | '#' | '.'))
        })
    {
        place += 1;
    }
    place
}

/// "P", "G", "JISP": the letter of a metric family, so that a number behind it is no dash number.
fn is_family_letter(item: &Item<'_>) -> bool {
    let letter = item.text.strip_prefix("JIS").unwrap_or(item.text);
    !item.taken && matches!(letter, "P" | "G" | "V" | "S")
}

/// The place of the number of a dash number that begins here.
fn dashed(items: &Items<'_>, at: usize) -> Option<usize> {
    if items.before(at).is_some_and(is_family_letter) {
        return None;
    }
    let item = &items.list[at];
    let free = |p: usize| {
        p == 0
            || !items.is_glued(p)
            || items.list[p - 1].taken
            || !matches!(
                items.list[p - 1].what,
                What::Number | What::Letters | What::Sign('-' | '.' | '±')
            )
    };
    let number = match item.what {
        What::Sign('-') if free(at) => Some(at + 1).filter(|n| items.is_glued(*n)),
        What::Sign('#') => Some(at + 1),
        What::Word(meaning) if meaning.role == Role::SizeLabel => Some(skip_label(items, at)),
        What::Number if matches!(item.text, "2" | "3" | "568") && free(at) => {
            let glued =
                items.get(at + 1)?.is_sign('-') && items.is_glued(at + 1) && items.is_glued(at + 2);
            glued.then_some(at + 2)
        }
        _ => None,
    }?;
    is_dash_number(items, number).then_some(number)
}

/// Three digits behind which no further digits or dimensions hang.
fn is_dash_number(items: &Items<'_>, at: usize) -> bool {
    let three = |i: &Item<'_>| {
        i.is_number() && !i.taken && !i.no_size && i.text.len() == 3 && is_digits(i.text)
    };
    if !items.is(at, three) {
        return false;
    }
    let behind = items.get(at + 1);
    let hangs = behind.is_some_and(|i| {
        i.is_times()
            || matches!(i.what, What::Sign('±' | '°'))
            || !i.spaced
                && !i.taken
                && (matches!(i.what, What::Letters | What::Number)
                    || matches!(i.what, What::Word(_)) && i.text.len() == 1
                    || matches!(i.what, What::Sign('-' | '/'))
                        && items.is(at + 2, |n| n.is_number() && !n.spaced && !n.taken))
            || !i.taken
                && matches!(
                    i.role(),
                    Some(
                        Role::UnitMm
                            | Role::UnitIn
                            | Role::OtherUnit
                            | Role::OtherLength
                            | Role::Inside
                            | Role::Outside
                    )
                )
    });
    !hangs
}

/// Tells whether three digits are free to be a size: no word, sign or number beside them makes them something else.
fn is_bare(items: &Items<'_>, at: usize) -> bool {
    if items.list[at].taken || !is_dash_number(items, at) {
        return false;
    }
    let other = |item: &Item<'_>, glued: bool| match item.what {
        What::Number => !item.taken && item.text.len() != 3,
        What::Sign(sign) => {
            glued
                && !matches!(
                    sign,
                    '(' | ')' | '[' | ']' | ',' | ';' | '|' | '/' | '-' | '"'
                )
                || matches!(sign, '±' | '+' | 'Ø' | 'X' | '*' | '.' | '=')
        }
        What::Word(meaning) => matches!(
            meaning.role,
            Role::NotASize
                | Role::For
                | Role::Inside
                | Role::Outside
                | Role::Section
                | Role::Cord
                | Role::Standard
                | Role::RingIfFirst
                | Role::Pack
                | Role::Of
        ),
        What::Letters => glued || item.text.chars().count() == 1,
    };
    let before = at.checked_sub(1).map(|p| {
        // A dash between is passed over.
        let dash = items.list[p].is_sign('-') && p > 0;
        (p - usize::from(dash), items.is_glued(at) && !dash)
    });
    let number_behind = items.is(at + 1, |i| {
        i.is_number() && !i.taken && i.text.len() != 3 || i.role() == Some(Role::Of)
    });
    let excluded = before.is_some_and(|(p, glued)| {
        let item = &items.list[p];
        let free = !item.taken || item.role() == Some(Role::RingIfFirst);
        free && (is_family_letter(item) || other(item, glued))
    });
    !excluded && !number_behind
}
