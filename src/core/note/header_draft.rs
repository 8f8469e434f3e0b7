//! The header of a note while its lines are being read.

use super::draft::WordsPlace;
use super::piece::Piece;
use super::reader::Reader;
use super::record::Header;
use super::vocabulary::Keyed;
use crate::core::gear::GearKind;
use crate::core::quantity::{
    LengthUnit, QuantityError, Span, Typed, parse_date, parse_pressure, scan_number,
};

/// The header while its lines are being read, and where its words stand.
#[derive(Debug, Default)]
pub(super) struct HeaderDraft {
    pub(super) header: Header,
    seen: Vec<(&'static str, Span)>,
}

impl HeaderDraft {
    /// Sets one line of the header.
    pub(super) fn set(&mut self, keyed: &Keyed, reader: &mut Reader) {
        let value = &keyed.value;
        reader.diagnostics.says_lengths |= keyed.key == "lengths";
        let key = keyed.key;
        let lacking = match value.text() {
            "" => Some((keyed.key_span, format!("nothing follows {key:?}"))),
            "?" => Some((value.span(), format!("{key:?} is still to be filled in"))),
            _ => None,
        };
        if let Some((span, message)) = lacking {
            self.seen.push((key, span));
            let remedy = "write what it is, or take the line out";
            return reader.diagnostics.error(span, message, remedy);
        }
        let words = value.text().to_owned();
        match keyed.key {
            "found" => self.header.as_found.push(words),
            "photo" => self.header.photos.push(words),
            "remark" => self.header.remarks.push(words),
            _ if !self.is_first(keyed, reader) => {}
            "model" => self.header.model = words,
            "unit" => self.header.unit = words,
            "gear" => self.set_gear(value, reader),
            "date" => self.header.date = reader.quantity(value, parse_date).map(|d| d.value),
            "oxygen" => self.header.oxygen = reader.quantity(value, read_share),
            "supply" => self.header.supply = reader.quantity(value, parse_pressure),
            "rated" => self.header.rated = reader.quantity(value, parse_pressure),
            "lengths" => self.set_lengths(value, reader),
            key => {
                let place = Header::WORDS.iter().find(|(known, ..)| *known == key);
                if let Some((.., kept)) = place {
                    *kept(&mut self.header) = Some(words);
                }
            }
        }
    }

    /// Returns where a key's value stands, if the key was written.
    pub(super) fn span_of(&self, key: &str) -> Option<Span> {
        self.seen
            .iter()
            .find(|(k, _)| *k == key)
            .map(|(_, span)| *span)
    }

    /// Notes that a line was meant to say something, so that it is not missed as well.
    pub(super) fn meant(&mut self, key: &'static str, span: Span) {
        self.seen.push((key, span));
    }

    fn is_first(&mut self, keyed: &Keyed, reader: &mut Reader) -> bool {
        let is_first = self.span_of(keyed.key).is_none();
        if !is_first {
            reader.diagnostics.error(
                keyed.key_span,
                format!("{:?} is given twice in the header", keyed.key),
                "keep the right one; one note is about one unit",
            );
        }
        self.seen.push((keyed.key, keyed.value.span()));
        is_first
    }

    fn set_gear(&mut self, value: &Piece, reader: &mut Reader) {
        match GearKind::from_words(value.text()) {
            Ok(kind) => self.header.gear = Some(kind),
            Err(fault) => reader.diagnostics.told(value.span(), fault.to_string()),
        }
    }

    fn set_lengths(&mut self, value: &Piece, reader: &mut Reader) {
        let unit = LengthUnit::from_word(value.text());
        let unit = unit.filter(|u| matches!(u, LengthUnit::Mm | LengthUnit::In));
        let what = "is not a unit that bare lengths can have";
        self.header.lengths = reader.known(value, unit, what, "write: lengths mm, or: lengths in");
        reader.lengths = self.header.lengths;
    }
}

/// Reads a share such as `32 %`.
fn read_share(text: &str) -> Result<Typed<f64>, QuantityError> {
    const PERCENT: f64 = 100.0;
    let whole = Span::new(0, text.len());
    match scan_number(text, 0)? {
        Some((number, end)) if matches!(text[end..].trim(), "%" | "percent") => {
            let share = number.to_f64() / PERCENT;
            if (0.0..=1.0).contains(&share) {
                return Ok(Typed::new(share, text));
            }
            Err(QuantityError::out_of_range(text, whole, "0 to 100 %"))
        }
        _ => Err(QuantityError::stray(
            text,
            whole,
            "write a share of oxygen as 32 %",
        )),
    }
}

impl Header {
    /// Lists every key, in the order in which they are printed.
    pub(super) const ORDER: [&'static str; 19] = [
        "maker",
        "model",
        "unit",
        "gear",
        "variant",
        "made",
        "date",
        "by",
        "owner",
        "purpose",
        "gas",
        "oxygen",
        "supply",
        "rated",
        "connection",
        "lengths",
        "found",
        "photo",
        "remark",
    ];

    /// Lists where free words are kept.
    const WORDS: [WordsPlace<Self>; 8] = [
        ("maker", |h| &h.maker, |h| &mut h.maker),
        ("variant", |h| &h.variant, |h| &mut h.variant),
        ("made", |h| &h.made, |h| &mut h.made),
        ("by", |h| &h.by, |h| &mut h.by),
        ("owner", |h| &h.owner, |h| &mut h.owner),
        ("purpose", |h| &h.purpose, |h| &mut h.purpose),
        ("gas", |h| &h.gas, |h| &mut h.gas),
        ("connection", |h| &h.connection, |h| &mut h.connection),
    ];

    /// Lists what is said of the unit behind a key, each time that it is said.
    pub(super) fn texts(&self, key: &str) -> Vec<String> {
        let filled = |text: &str| Some(text.to_owned()).filter(|text| !text.is_empty());
        let one = match key {
            "found" => return self.as_found.clone(),
            "photo" => return self.photos.clone(),
            "remark" => return self.remarks.clone(),
            "model" => filled(&self.model),
            "unit" => filled(&self.unit),
            "gear" => self.gear.map(|kind| kind.word().to_owned()),
            "date" => self.date.map(|date| date.to_string()),
            "oxygen" => self.oxygen.as_ref().map(|o| o.text.clone()),
            "supply" => self.supply.as_ref().map(|p| p.text.clone()),
            "rated" => self.rated.as_ref().map(|p| p.text.clone()),
            "lengths" => self.lengths.map(|unit| unit.symbol().to_owned()),
            key => {
                let place = Self::WORDS.iter().find(|(known, ..)| *known == key);
                place.and_then(|(_, words, _)| words(self).clone())
            }
        };
        one.into_iter().collect()
    }
}
