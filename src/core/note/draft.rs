//! A part while its fields are being read.

use super::page_ring::PageRing;
use super::part_kind::PartKind;
use super::part_name::{PartName, count_of, stated_kind};
use super::piece::Piece;
use super::reader::Reader;
use super::record::{Entry, Fate, LengthName, PartDimension, SizeWitness, StatedSize};
use super::vocabulary::{self, Context, Keyed};
use super::{field, gland_fields};
use crate::core::elastomer::Polymer;
use crate::core::measurement::{Instruments, Measurand, Reading};
use crate::core::quantity::{
    QuantityError, Span, Typed, parse_hardness, parse_torque, resolve, scan_dimensions, scan_number,
};
use crate::core::sizes::read_designation;

/// A part while its fields are being read, and where its words stand.
#[derive(Debug)]
pub(super) struct Draft {
    pub(super) entry: Entry,
    /// Where the name stands.
    pub(super) name_span: Span,
    /// Whether anything said of the part could not be read.
    pub(super) faulty: bool,
    /// Where each field stands that may be said once.
    seen: Vec<(String, Span)>,
}

impl Draft {
    /// Begins a part from its name and from what a `kind` field says.
    pub(super) fn begin(
        name_field: &Piece,
        kind_field: Option<&Piece>,
        reader: &mut Reader,
    ) -> Self {
        let name = PartName::read(name_field);
        let stated = kind_field.and_then(|value| stated_kind(value, reader));
        let kind = name.settle(name_field, stated, reader);
        let mut draft = Self {
            entry: Entry {
                kind,
                kind_stated: stated.is_some(),
                quantity: name.count.unwrap_or(1),
                name: name.name,
                thread: name.thread,
                ..Entry::default()
            },
            name_span: name_field.span(),
            faulty: false,
            seen: Vec::new(),
        };
        if name.count.is_some() {
            draft.seen.push(("quantity".to_owned(), draft.name_span));
        }
        if draft.entry.thread.is_some() {
            draft.seen.push(("thread".to_owned(), draft.name_span));
        }
        draft
    }

    /// Reads the fields of one line; those behind `gland` belong to the gland.
    pub(super) fn read_fields(&mut self, fields: &[Piece], reader: &mut Reader) {
        let mut in_gland = false;
        for piece in fields {
            if in_gland {
                self.set_in_gland(piece, reader);
                continue;
            }
            reader.context = Context::Part;
            let Some(keyed) = field::resolve(piece, reader) else {
                continue;
            };
            in_gland = keyed.key == "gland";
            self.set(&keyed, reader);
        }
    }

    fn set_in_gland(&mut self, piece: &Piece, reader: &mut Reader) {
        // Where the gland's kind was refused there is no gland, and its fields are not judged.
        if let Some(gland) = &mut self.entry.gland {
            let remark = gland_fields::set(gland, piece, reader);
            self.entry.remarks.extend(remark);
        }
    }

    /// Sets one field of the gland whose key is known already.
    pub(super) fn set_gland_key(&mut self, keyed: &Keyed, reader: &mut Reader) {
        if let Some(gland) = &mut self.entry.gland {
            gland_fields::apply(gland, keyed, reader);
        } else if !self.seen.iter().any(|(key, _)| key == "gland") {
            reader.diagnostics.error(
                keyed.value.span(),
                "this gives a dimension of a gland, but no gland",
                "say which kind it is: piston, rod or face",
            );
        }
    }

    /// Sets one field.
    pub(super) fn set(&mut self, keyed: &Keyed, reader: &mut Reader) {
        reader.context = Context::Part;
        let value = &keyed.value;
        match keyed.key {
            "kind" => {}
            "od" | "id" | "cs" | "width" | "cut" | "mass" | "thick" | "length" | "height"
            | "depth" | "wire" | "edge" | "hole" | "flats" => self.set_measure(keyed, reader),
            "method" => self.set_method(value, reader),
            "diameter" => self.set_diameter(keyed, reader),
            "photo" => self.entry.photos.push(value.text().to_owned()),
            "remark" => self.entry.remarks.push(value.text().to_owned()),
            key if !self.is_first(key, keyed, reader) => {}
            "quantity" => self.set_quantity(value, reader),
            "position" => value.text().clone_into(&mut self.entry.position),
            "fate" => self.set_fate(value, reader),
            "condition" => self.set_condition(value, reader),
            "size" => self.set_size(value, SizeWitness::Size, reader),
            "drawer" => self.set_size(value, SizeWitness::Drawer, reader),
            "polymer" => self.entry.polymer = read_polymer(value, reader),
            "hardness" => self.entry.hardness = reader.quantity(value, parse_hardness),
            "torque" => self.entry.torque = reader.quantity(value, parse_torque),
            "turns" => self.entry.turns = reader.quantity(value, read_turns),
            "gland" => self.set_gland(keyed, reader),
            "scan" if self.entry.kind != PartKind::Ring => {
                self.refuse(
                    keyed,
                    "a scan measures rings",
                    "put it under its ring",
                    reader,
                );
            }
            "scan" => self.entry.scan = PageRing::read(value, reader),
            key => {
                let place = Entry::WORDS.iter().find(|(known, ..)| *known == key);
                if let Some((.., words)) = place {
                    *words(&mut self.entry) = Some(value.text().to_owned());
                }
            }
        }
    }

    /// Tells whether a field is said for the first time, and reports it otherwise.
    fn is_first(&mut self, key: &str, keyed: &Keyed, reader: &mut Reader) -> bool {
        let key = if key == "drawer" { "size" } else { key };
        if self.seen.iter().any(|(seen, _)| seen == key) {
            let plural = if key == "turns" { "are" } else { "is" };
            let remedy = if key.contains(' ') {
                "write repeated readings in one field, as in: od 12.90 12.95 by caliper"
            } else {
                "keep the right one"
            };
            let message = format!(
                "the {} of this part {plural} given twice",
                key.trim_end().replace(' ', " by ")
            );
            reader.diagnostics.error(keyed.key_span, message, remedy);
            return false;
        }
        let span = Span::new(keyed.key_span.start, keyed.value.span().end);
        self.seen.push((key.to_owned(), span));
        true
    }

    /// Returns where a key, or the first reading of a measurand, stands; else where the name stands.
    pub(super) fn span_of(&self, key: &str) -> Span {
        self.seen
            .iter()
            .find(|(seen, _)| seen.split(' ').next() == Some(key))
            .map_or(self.name_span, |(_, span)| *span)
    }

    fn set_quantity(&mut self, value: &Piece, reader: &mut Reader) {
        let remedy = "write a whole number from 1 to 999, such as x2";
        let count = reader.known(value, count_of(value.text()), "is not a count", remedy);
        self.entry.quantity = count.unwrap_or(self.entry.quantity);
    }

    fn set_fate(&mut self, value: &Piece, reader: &mut Reader) {
        let word = vocabulary::whole(Context::Fate, value.text());
        let found = word.and_then(Fate::from_word);
        let what = "does not say what is to become of the part";
        if let Some(fate) = reader.known(value, found, what, "write replace, inspect or keep") {
            self.entry.fate = fate;
        }
    }

    fn set_condition(&mut self, value: &Piece, reader: &mut Reader) {
        let found = vocabulary::condition_of(value.text());
        let remedy = "write new, used or rough, and the rest as a remark";
        let found = reader.known(value, found, "is not a known condition", remedy);
        self.entry.condition = found.map(|condition| Typed::new(condition, value.text()));
    }

    fn set_size(&mut self, value: &Piece, by: SizeWitness, reader: &mut Reader) {
        // A drawer may bear any nickname; a size that a person states must be one.
        let must_be_listed = self.entry.kind == PartKind::Ring && by == SizeWitness::Size;
        if must_be_listed && let Err(error) = read_designation(value.text(), reader.lengths) {
            let span = value.place(error.span(value.text()));
            return reader.diagnostics.told(span, error.to_string());
        }
        self.entry.stated_size = Some(StatedSize {
            text: value.text().to_owned(),
            by,
        });
    }

    fn set_gland(&mut self, keyed: &Keyed, reader: &mut Reader) {
        if !self.entry.kind.is_ring() {
            let remedy = "put the gland under its ring";
            return self.refuse(keyed, "a gland holds a ring", remedy, reader);
        }
        self.entry.gland = gland_fields::begin(&keyed.value, reader);
    }

    fn set_measure(&mut self, keyed: &Keyed, reader: &mut Reader) {
        if self.entry.kind.is_ring() {
            match Measurand::from_word(keyed.key) {
                Some(measurand) => self.set_reading(measurand, keyed, reader),
                None => reader.diagnostics.error(
                    keyed.key_span,
                    format!("{:?} does not apply to a ring", keyed.key),
                    "write od, id, cs, width, cut or mass; the thickness of a ring is its cs",
                ),
            }
            return;
        }
        match LengthName::from_word(keyed.key) {
            Some(name) if self.is_first(keyed.key, keyed, reader) => {
                self.set_dimension(name, &keyed.value, reader);
            }
            Some(_) => {}
            None => {
                let why = format!("{:?} applies to rings only", keyed.key);
                let remedy =
                    "write od, id, thick, width, length, height, depth, wire, edge, hole or flats";
                self.refuse(keyed, &why, remedy, reader);
            }
        }
    }

    /// Refuses a field that parts of this kind do not have.
    fn refuse(&self, keyed: &Keyed, why: &str, remedy: &str, reader: &mut Reader) {
        let message = format!("{why}, and this part is a {}", self.entry.kind);
        reader.diagnostics.error(keyed.key_span, message, remedy);
    }

    /// Takes an instrument that stands as a field of its own: it belongs to the readings before it that lack one.
    fn set_method(&mut self, value: &Piece, reader: &mut Reader) {
        let text = value.text();
        let instrument = text.strip_prefix("by ").unwrap_or(text);
        let word = vocabulary::whole(Context::Method, instrument).unwrap_or(instrument);
        let suits = |reading: &&mut Reading| {
            let row = Instruments::shipped().find(word, reading.measurand);
            row.is_ok()
        };
        let readings = self.entry.readings.iter_mut().filter(suits);
        let readings = readings.map(|reading| (&mut reading.method, &mut reading.typed));
        let lengths = self.entry.dimensions.iter_mut();
        let lengths = lengths.map(|length| (&mut length.method, &mut length.typed));
        let mut found = false;
        for (method, typed) in readings.chain(lengths).filter(|(m, _)| m.is_empty()) {
            found = true;
            word.clone_into(method);
            // What was typed may end in the "by" that a line break parted from the instrument.
            let values = typed.strip_suffix(" by").unwrap_or(typed);
            *typed = format!("{values} by {word}");
        }
        if !found {
            reader.diagnostics.error(
                value.span(),
                format!("{text:?} names an instrument, and no reading before it lacks one that it could be"),
                "put it behind its reading, as: od 12.90 by caliper; or put free words behind: remark",
            );
        }
    }

    /// Takes a diameter that says no more than its sign: that of a disc is its outside.
    fn set_diameter(&mut self, keyed: &Keyed, reader: &mut Reader) {
        let one_only = matches!(
            self.entry.kind,
            PartKind::Filter | PartKind::Seat | PartKind::Diaphragm | PartKind::Flap
        );
        if one_only {
            let od = Keyed {
                key: "od",
                ..keyed.clone()
            };
            return self.set_measure(&od, reader);
        }
        reader.diagnostics.error(
            keyed.value.span(),
            format!("{:?} does not say which diameter it is", keyed.value.text()),
            "write od or id before it",
        );
    }

    fn set_reading(&mut self, measurand: Measurand, keyed: &Keyed, reader: &mut Reader) {
        let lengths = reader.lengths;
        let (values, method) = split_method(&keyed.value);
        let word = method.as_ref().map_or("", Piece::text);
        let word = vocabulary::whole(Context::Method, word)
            .unwrap_or(word)
            .to_lowercase();
        if let Err(error) = Instruments::shipped().find(&word, measurand) {
            if !reader.misses_semicolon(&keyed.value) {
                let span = method.map_or(keyed.key_span, |m| m.span());
                reader.diagnostics.told(span, error.to_string());
            }
            return;
        }
        let twin = format!("{} {word}", measurand.word());
        if !self.is_first(&twin, keyed, reader) {
            return;
        }
        let read = reader.quantity(&values, |text| Reading::parse(measurand, text, lengths));
        if let Some(mut reading) = read {
            reading.method = word;
            keyed.value.text().clone_into(&mut reading.typed);
            self.entry.readings.push(reading);
        }
    }

    fn set_dimension(&mut self, name: LengthName, value: &Piece, reader: &mut Reader) {
        let lengths = reader.lengths;
        let (values, method) = split_method(value);
        let read = reader.quantity(&values, |text| {
            let raw = scan_dimensions(text)?;
            let dimensions = resolve(&raw, text, lengths)?;
            let several = raw.len() > 1;
            match dimensions.iter().position(|d| several && d.has_tolerance()) {
                None => Ok(dimensions),
                Some(at) => Err(QuantityError::stray(
                    text,
                    raw[at].span,
                    "write one length with its tolerance, or several readings without",
                )),
            }
        });
        let Some(values) = read else { return };
        let word = method.as_ref().map_or("", Piece::text);
        self.entry.dimensions.push(PartDimension {
            name,
            values,
            method: vocabulary::whole(Context::Method, word)
                .unwrap_or(word)
                .to_lowercase(),
            typed: value.text().to_owned(),
        });
    }
}

fn split_method(value: &Piece) -> (Piece, Option<Piece>) {
    if let Some((values, method)) = value.split_at_word("by") {
        return (values, Some(method));
    }
    // "12.90 12.95 caliper", "1.75 drop gauge": the instrument of two words before that of one.
    let text = value.text();
    let spaces: Vec<usize> = text.match_indices(' ').map(|(at, _)| at).collect();
    let behind = spaces.iter().rev().take(2).rev();
    let named = |at: &&usize| vocabulary::whole(Context::Method, &text[**at..]).is_some();
    behind.copied().find(|at| named(&at)).map_or_else(
        || (value.clone(), None),
        |at| (value.part(0..at), Some(value.part(at..text.len()))),
    )
}

fn read_polymer(value: &Piece, reader: &mut Reader) -> Option<Typed<Polymer>> {
    let remedy =
        "write letters such as NBR, FKM or EPDM; a colour tells no polymer and goes behind: colour";
    let found = Polymer::from_word(value.text());
    let found = reader.known(value, found, "is not a known polymer", remedy);
    found.map(|polymer| Typed::new(polymer, value.text()))
}

/// Reads turns such as `3`, `2 1/2`, `2.5 turns`.
fn read_turns(text: &str) -> Result<Typed<f64>, QuantityError> {
    let found = scan_number(text, 0)?;
    let rest = found.as_ref().map_or(text, |(_, end)| text[*end..].trim());
    match found {
        Some((number, _)) if matches!(rest, "" | "turn" | "turns") && number.numerator >= 0 => {
            Ok(Typed::new(number.to_f64(), text))
        }
        _ => Err(QuantityError::stray(
            text,
            Span::new(0, text.len()),
            "write a number of turns, such as 2 1/2",
        )),
    }
}

/// Free words of a record: their key, and where they are kept.
pub(super) type WordsPlace<R> = (
    &'static str,
    fn(&R) -> &Option<String>,
    fn(&mut R) -> &mut Option<String>,
);

impl Entry {
    /// Lists where free words are kept, in the order in which they are printed.
    pub(super) const WORDS: [WordsPlace<Self>; 9] = [
        ("material", |e| &e.material, |e| &mut e.material),
        ("tool", |e| &e.tool, |e| &mut e.tool),
        ("thread", |e| &e.thread, |e| &mut e.thread),
        ("exposed", |e| &e.exposed, |e| &mut e.exposed),
        ("orientation", |e| &e.orientation, |e| &mut e.orientation),
        ("side", |e| &e.side, |e| &mut e.side),
        ("face", |e| &e.face, |e| &mut e.face),
        ("colour", |e| &e.colour, |e| &mut e.colour),
        ("marking", |e| &e.marking, |e| &mut e.marking),
    ];

    /// Lists what is said of the part behind a key, each time that it is said.
    pub(super) fn texts(&self, key: &str) -> Vec<String> {
        let filled = |text: &str| Some(text.to_owned()).filter(|text| !text.is_empty());
        let size = |by: SizeWitness| self.stated_size.as_ref().filter(|size| size.by == by);
        let one = match key {
            "photo" => return self.photos.clone(),
            "remark" => return self.remarks.clone(),
            "quantity" => (self.quantity != 1).then(|| self.quantity.to_string()),
            "kind" => self.kind_stated.then(|| self.kind.word().to_owned()),
            "position" => filled(&self.position),
            "fate" => filled(self.fate.word()),
            "condition" => self.condition.as_ref().map(|c| c.text.clone()),
            "size" => size(SizeWitness::Size).map(|size| size.text.clone()),
            "drawer" => size(SizeWitness::Drawer).map(|size| size.text.clone()),
            "polymer" => self.polymer.as_ref().map(|p| p.text.clone()),
            "hardness" => self.hardness.as_ref().map(|h| h.text.clone()),
            "torque" => self.torque.as_ref().map(|t| t.text.clone()),
            "turns" => self.turns.as_ref().map(|t| t.text.clone()),
            "gland" => self.gland.as_ref().map(|g| g.kind.word().to_owned()),
            "scan" => self.scan.as_ref().map(ToString::to_string),
            key => match Self::WORDS.iter().find(|(known, ..)| *known == key) {
                Some((_, words, _)) => words(self).clone(),
                None => return self.measures(key),
            },
        };
        one.into_iter().collect()
    }

    /// Lists what is said of the part behind keys, each with its key before it.
    pub fn said(&self, keys: &[&str]) -> Vec<String> {
        let each = keys.iter().map(|key| (key, self.texts(key)));
        each.flat_map(|(key, texts)| texts.into_iter().map(move |text| format!("{key} {text}")))
            .collect()
    }

    /// Lists what was measured, as typed: `od 16.0 by caliper`.
    pub fn measured(&self) -> Vec<String> {
        let readings = self.readings.iter();
        let readings = readings.map(|r| format!("{} {}", r.measurand.word(), r.typed));
        let lengths = self.dimensions.iter();
        let lengths = lengths.map(|length| format!("{} {}", length.name.word(), length.typed));
        readings.chain(lengths).collect()
    }

    fn measures(&self, key: &str) -> Vec<String> {
        let readings = self.readings.iter();
        let readings = readings.filter(|reading| reading.measurand.word() == key);
        let lengths = self
            .dimensions
            .iter()
            .filter(|length| length.name.word() == key);
        let typed = readings.map(|reading| &reading.typed);
        typed
            .chain(lengths.map(|length| &length.typed))
            .cloned()
            .collect()
    }
}
