//! One row of a price list made into an offer, or the reason why it is none.

use super::cells::{Cells, TableRow, dimensions, read_dimensions};
use super::column::{Column, PriceColumn};
use super::date_damage::date_like;
use super::fault::{PassedOver, Reject, RowFault};
use super::head::denies;
use super::layout::{Layout, ListTerms};
use super::row_price::Before;
use super::row_word::{RowRole, begins};
use crate::core::note::PartKind;
use crate::core::quantity::{Currency, Hardness};
use crate::core::sizes::read_designation;
use crate::core::supply::described::{Described, NamedRing};
use crate::core::supply::description::DescriptionReader;
use serde::Serialize;
use std::borrow::Cow;

/// The price of a pack from a number of packs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct OfferPrice {
    /// From how many packs on.
    pub from_packs: u32,
    /// The price of one pack in minor units.
    pub minor: i64,
}

/// One offer as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct OfferRow {
    /// Its line in the list.
    pub line: u64,
    /// The supplier's number; empty where the list has none.
    pub number: String,
    /// The description as written.
    pub description: String,
    /// What the description says.
    pub described: Described,
    /// Pieces in a pack.
    pub pack: u32,
    /// Prices of a pack, the first from one pack on, rising.
    pub prices: Vec<OfferPrice>,
    /// Whether the number was a spreadsheet's date, restored because the description names the same ring.
    pub restored: bool,
    /// What the column of the material says, where that was not understood.
    pub material_unread: Option<String>,
}

/// Says what became of a row.
#[derive(Debug, Clone, PartialEq)]
pub enum RowRead {
    Offer(Box<OfferRow>),
    /// It is the price of the offer before it, from more packs on.
    GoesOn(OfferPrice),
    /// It is no row of the list.
    PassedOver(PassedOver),
    /// It should be an offer and is none.
    Refused(Reject),
}

/// Reads the rows of one list.
#[derive(Debug)]
pub struct RowReader {
    pub(super) layout: Layout,
    pub(super) prices: Vec<(PriceColumn, usize)>,
    pub(super) terms: ListTerms,
    pub(super) descriptions: DescriptionReader,
    /// What the heading above says of the rows below it.
    heading: Described,
    /// What a line of text said that keeps the rows below it from being read.
    stopped: Option<String>,
    /// The offer before, which may go on.
    pub(super) before: Option<Before>,
}

/// The longest number and description that are kept, in bytes; longer ones are no part of a price list.
pub const MOST_LETTERS: usize = 2000;

/// A line with more words than this that are not understood is a note, and no heading.
const MOST_UNREAD: usize = 1;

impl RowReader {
    /// Makes a reader for a list that lies so.
    pub fn new(layout: Layout, terms: ListTerms) -> Self {
        Self {
            prices: layout.map.prices(),
            layout,
            terms,
            descriptions: DescriptionReader::default(),
            heading: Described::default(),
            stopped: None,
            before: None,
        }
    }

    /// Takes a title above the heads for a heading, where it says that all rows are rings of one material.
    pub fn read_title(&mut self, row: &TableRow) {
        let said = self.descriptions.read(&row.cells.join(" "));
        let material = said.polymer.is_some() || said.hardness.is_some();
        if said.kind == Some(PartKind::Ring) && material {
            self.heading = said;
        }
    }

    /// Reads one row.
    pub fn read(&mut self, row: &TableRow) -> RowRead {
        if row.hidden {
            return RowRead::PassedOver(PassedOver::Hidden);
        }
        match self.offer(row) {
            Ok(read) => read,
            Err(reject) => match self.no_row(row) {
                Some(why) => RowRead::PassedOver(why),
                None => RowRead::Refused(reject),
            },
        }
    }

    /// Says why a row that is no offer is no row of the list at all; a heading is kept for the rows below.
    fn no_row(&mut self, row: &TableRow) -> Option<PassedOver> {
        let mut filled = row.filled();
        let Some((at, first)) = filled.next() else {
            return Some(PassedOver::Blank);
        };
        if begins(first, RowRole::Total) {
            return Some(PassedOver::Total);
        }
        if self.layout.is_heads(row) {
            return Some(PassedOver::Heads);
        }
        if let Some(begun) = self.layout.begun_by(row, self.terms) {
            match begun {
                Ok(layout) => {
                    self.prices = layout.map.prices();
                    self.layout = layout;
                    self.stopped = None;
                }
                Err(error) => self.stopped = Some(error.to_string()),
            }
            self.before = None;
            return Some(PassedOver::Heads);
        }
        if filled.next().is_some() || first.len() > MOST_LETTERS {
            return None;
        }
        // A lone number of a list that has descriptions is a row whose other cells are missing.
        let numbers = self.layout.map.place(Column::Number) == Some(at + 1);
        let described = self.layout.map.place(Column::Description).is_some();
        if numbers && described && first.bytes().any(|b| b.is_ascii_digit()) && !first.contains(' ')
        {
            return None;
        }
        if let Err(error) = self.layout.agrees(first, self.terms) {
            self.stopped = Some(error.to_string());
        }
        let said = self.descriptions.read(first);
        self.heading = if said.polymer.is_some() && is_note(first, &said) {
            // Nobody can tell what the rows below a note that names a material are made of.
            Described::default()
        } else {
            said
        };
        Some(PassedOver::Text)
    }

    fn offer(&mut self, row: &TableRow) -> Result<RowRead, Reject> {
        let layout = std::mem::take(&mut self.layout);
        let read = self.offer_of(Cells {
            row,
            layout: &layout,
        });
        self.layout = layout;
        read
    }

    fn offer_of(&mut self, cells: Cells<'_>) -> Result<RowRead, Reject> {
        let description = cells.joined(Column::Description);
        let size = cells.joined(Column::Size);
        // Where a list has only dash numbers, these are what is ordered by.
        let number_in = match cells.layout.map.place(Column::Number) {
            Some(_) => Column::Number,
            None => Column::Size,
        };
        let number = cells.get(number_in).unwrap_or("");
        let sized = cells.length(Column::Id).is_some() && cells.length(Column::Section).is_some();
        if number.is_empty() && description.is_empty() && self.continues(cells) {
            return self.more_of_before(cells);
        }
        let first = if number.is_empty() {
            &description
        } else {
            number
        };
        let nameless = first.is_empty() && size.is_empty() && !sized;
        if nameless || begins(first, RowRole::Total) {
            return Err(cells.refuse_row(RowFault::Nameless));
        }
        for (column, text) in [
            (Column::Number, number),
            (Column::Description, &description),
        ] {
            if text.len() > MOST_LETTERS {
                return Err(cells.refuse(column, RowFault::TooLong(MOST_LETTERS)));
            }
        }
        if let Some(why) = &self.stopped {
            return Err(cells.refuse_row(RowFault::BelowText(why.clone())));
        }
        if begins(&description, RowRole::Charge) || begins(number, RowRole::Charge) {
            return Err(cells.refuse_row(RowFault::Charge));
        }
        self.check_currency(cells)?;
        let (described, material_unread) = self.described(cells, &description, &size)?;
        let ring = described.kind.is_none_or(|kind| kind == PartKind::Ring);
        if ring && cells.lengths_contradict() {
            return Err(cells.refuse_row(RowFault::Dimensions));
        }
        if let Some(word) = &described.discontinued {
            return Err(cells.refuse_row(RowFault::Discontinued(word.clone())));
        }
        let sold = self.sold(cells, &described)?;
        let from = self.quantity_of(cells)?;
        if from > 1
            && self
                .before
                .as_ref()
                .is_some_and(|before| before.number == number && !number.is_empty())
        {
            return self.more_of_before(cells);
        }
        let (pack, prices) = self.prices(cells, &sold, from)?;
        let (number, restored) =
            undamaged(number, &described).map_err(|fault| cells.refuse(number_in, fault))?;
        let description = match (description.is_empty(), size.is_empty()) {
            (false, _) => description.into_owned(),
            (true, false) => size.into_owned(),
            (true, true) if number.is_empty() => dimensions(&described),
            (true, true) => String::new(),
        };
        self.before = Some(Before {
            number: number.clone(),
            pack,
            sold,
        });
        Ok(RowRead::Offer(Box::new(OfferRow {
            line: cells.row.line,
            number,
            description,
            described,
            pack,
            prices,
            restored,
            material_unread,
        })))
    }

    fn check_currency(&self, cells: Cells<'_>) -> Result<(), Reject> {
        match cells.get(Column::Currency) {
            Some(word) if Currency::from_word(word) != Some(self.terms.currency) => Err(cells
                .refuse(
                    Column::Currency,
                    RowFault::other_currency(word, self.terms.currency),
                )),
            _ => Ok(()),
        }
    }

    /// Reads what the row says of the part: its description and size, the columns of dimensions and material, the heading above.
    fn described(
        &mut self,
        cells: Cells<'_>,
        description: &str,
        size: &str,
    ) -> Result<(Described, Option<String>), Reject> {
        let text = match (description.is_empty(), size.is_empty()) {
            (false, true) => Cow::Borrowed(description),
            (true, true) => Cow::Borrowed(cells.get(Column::Number).unwrap_or("")),
            _ => Cow::Owned(format!("{description} {size}").trim().to_owned()),
        };
        let mut described = self.descriptions.read(&text);
        let (material, unread) = self.material(cells);
        let heading = &self.heading;
        let ring = heading.kind == Some(PartKind::Ring);
        let dressed = material.polymer.is_some() || material.hardness.is_some() || ring;
        if described.kind.is_none()
            && dressed
            && heading.kind.is_none_or(|kind| kind == PartKind::Ring)
        {
            // A size without a word for ring is one where the heading or the material says what is sold.
            let ring_word = self.descriptions.read(&format!("O-RING {text}"));
            if !ring_word.rings.is_empty() || ring {
                described = ring_word;
            }
        }
        described.kind = described.kind.or(heading.kind);
        read_dimensions(cells, &mut described);
        if let (Some(column), Some(text)) = (material.polymer, described.polymer)
            && column != text
        {
            return Err(cells.refuse(
                Column::Material,
                two_materials(column.letters(), text.letters()),
            ));
        }
        if let (Some(column), Some(text)) = (material.hardness, described.hardness)
            && (column.value - text.value).abs() > 0.5
        {
            return Err(cells.refuse(
                Column::Hardness,
                two_materials(&column.to_string(), &text.to_string()),
            ));
        }
        described.polymer = described.polymer.or(material.polymer).or(heading.polymer);
        described.hardness = described
            .hardness
            .or(material.hardness)
            .or(heading.hardness);
        if described.discontinued.is_none()
            && let Some(status) = cells.get(Column::Status)
        {
            described.discontinued = self.descriptions.read(status).discontinued;
        }
        Ok((described, unread))
    }

    /// Reads the columns of material and hardness; what the first says and is not understood is given back.
    fn material(&mut self, cells: Cells<'_>) -> (Described, Option<String>) {
        let mut said = Described::default();
        let mut unread = None;
        if let Some(text) = cells.get(Column::Material) {
            said = self.descriptions.read(text);
            if said.polymer.is_none() {
                unread = Some(text.to_owned());
            }
        }
        if let Some(text) = cells.get(Column::Hardness) {
            let plain = text.parse().ok().and_then(Hardness::shore_a);
            said.hardness = plain
                .or_else(|| self.descriptions.read(&format!("O-RING {text}")).hardness)
                .or(said.hardness);
        }
        (said, unread)
    }
}

/// Tells whether a line that names a material is a note, and no heading: it denies something, or it begins with a word that is not
/// understood and has more such words.
fn is_note(line: &str, said: &Described) -> bool {
    let begins = line
        .split_whitespace()
        .next()
        .unwrap_or_default()
        .to_lowercase();
    let unread = said.unread.first().map(|word| word.to_lowercase());
    let strange = unread.is_some_and(|word| begins.starts_with(&word));
    denies(line) || (strange && said.unread.len() > MOST_UNREAD)
}

fn two_materials(column: &str, description: &str) -> RowFault {
    RowFault::TwoMaterials {
        column: column.to_owned(),
        description: description.to_owned(),
    }
}

/// Tells whether so many pieces are a pack that is sold, or so many packs an order.
pub fn is_pack(count: u32) -> bool {
    (1..=1_000_000).contains(&count)
}

/// Restores a number that became a date, where the description names one ring and one former number names the same.
fn undamaged(number: &str, described: &Described) -> Result<(String, bool), RowFault> {
    let former = date_like(number);
    if former.is_empty() {
        return Ok((number.to_owned(), false));
    }
    if let [ring] = described.rings.as_slice() {
        let same = |text: &&String| {
            let read = read_designation(text, None).unwrap_or_default();
            matches!(read.as_slice(), [one] if NamedRing::of(&one.size) == *ring)
        };
        if let Some(found) = former.iter().find(same) {
            return Ok((found.clone(), true));
        }
    }
    Err(RowFault::DateDamaged {
        number: number.to_owned(),
        former: former.join(" or "),
    })
}
