//! One row of a price list made into an offer, or the reason why it is none.

use super::column::{Column, PriceColumn, Priced};
use super::date_damage::date_like;
use super::fault::{PassedOver, Reject, RowFault};
use super::head::{begins_total, is_on_request, priced_in_cell, quantity_from, sales_unit};
use super::layout::{Layout, ListTerms};
use super::price_text::{ExactPrice, PriceError, is_price};
use crate::core::note::PartKind;
use crate::core::quantity::{Currency, Hardness, Length};
use crate::core::sizes::read_designation;
use crate::core::supply::described::{Described, NamedRing};
use crate::core::supply::description::DescriptionReader;
use serde::Serialize;
use std::borrow::Cow;

/// Holds one row of a table as it was read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TableRow {
    /// Its line, from 1.
    pub line: u64,
    /// Its cells.
    pub cells: Vec<String>,
    /// Whether it is hidden in a workbook.
    pub hidden: bool,
}

/// Holds the price of a pack from a number of packs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct OfferPrice {
    /// From how many packs on.
    pub from_packs: u32,
    /// The price of one pack in minor units.
    pub minor: i64,
}

/// Holds one offer as it was read.
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
    /// It is an offer.
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
    layout: Layout,
    prices: Vec<(PriceColumn, usize)>,
    terms: ListTerms,
    descriptions: DescriptionReader,
    /// What the heading above says of the rows below it.
    heading: Described,
    /// The offer before, which may go on.
    before: Option<Before>,
}

/// The longest number and description that are kept, in bytes; longer ones are no part of a price list.
pub const MOST_LETTERS: usize = 2000;

/// What of an offer is needed for a row that goes on with it.
#[derive(Debug)]
struct Before {
    number: String,
    pack: u32,
    sold: Sold,
}

/// How a row is counted and priced.
#[derive(Debug, Clone, Copy)]
struct Sold {
    priced: Priced,
    pack: u32,
}

/// The cells of one row by what they hold.
#[derive(Clone, Copy)]
struct Cells<'r> {
    row: &'r TableRow,
    layout: &'r Layout,
}

impl<'r> Cells<'r> {
    fn at(self, place: usize) -> &'r str {
        self.row.cells.get(place - 1).map_or("", |cell| cell.trim())
    }

    /// The text of a column; `None` where the list has none or the cell is empty.
    fn get(self, column: Column) -> Option<&'r str> {
        let text = self.at(self.layout.map.place(column)?);
        (!text.is_empty()).then_some(text)
    }

    /// The texts of all columns of a kind, joined.
    fn joined(self, column: Column) -> Cow<'r, str> {
        let texts = self.layout.map.all(column).map(|place| self.at(place));
        let mut texts = texts.filter(|text| !text.is_empty());
        let first = texts.next().unwrap_or("");
        texts.fold(Cow::Borrowed(first), |all, text| {
            Cow::Owned(format!("{all} {text}"))
        })
    }

    fn refuse(self, column: Column, fault: RowFault) -> Reject {
        Reject {
            line: self.row.line,
            column: self.layout.map.place(column),
            fault,
        }
    }

    fn millimetres(self, metric: Column) -> Option<Length> {
        let number = |text: &str, ends: &[&str]| -> Option<f64> {
            let text = text.to_lowercase().replace(',', ".");
            let bare = ends
                .iter()
                .fold(text.as_str(), |text, end| text.trim_end_matches(end));
            bare.trim().parse().ok()
        };
        let metric_length = self.get(metric).and_then(|text| number(text, &["mm"]));
        metric_length.and_then(Length::from_mm).or_else(|| {
            let inches = number(self.get(metric.in_inches())?, &["\"", "in", "inch"])?;
            Length::from_mm(inches * 25.4)
        })
    }
}

impl RowReader {
    /// Makes a reader for a list that lies so.
    pub fn new(layout: Layout, terms: ListTerms) -> Self {
        Self {
            prices: layout.map.prices(),
            layout,
            terms,
            descriptions: DescriptionReader::default(),
            heading: Described::default(),
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
        let mut filled = row
            .cells
            .iter()
            .map(|cell| cell.trim())
            .filter(|cell| !cell.is_empty());
        let Some(first) = filled.next() else {
            return Some(PassedOver::Blank);
        };
        if begins_total(first) {
            return Some(PassedOver::Total);
        }
        if self.layout.is_heads(row) {
            return Some(PassedOver::Heads);
        }
        if filled.next().is_some() || first.len() > MOST_LETTERS {
            return None;
        }
        // A lone number of a list that has descriptions is a row whose other cells are missing.
        let numbers = self.layout.map.place(Column::Number)
            == row
                .cells
                .iter()
                .position(|c| !c.trim().is_empty())
                .map(|at| at + 1);
        let described = self.layout.map.place(Column::Description).is_some();
        if numbers && described && first.bytes().any(|b| b.is_ascii_digit()) && !first.contains(' ')
        {
            return None;
        }
        self.heading = self.descriptions.read(first);
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
        let only_size = cells.layout.map.place(Column::Number).is_none();
        let number = cells
            .get(if only_size {
                Column::Size
            } else {
                Column::Number
            })
            .unwrap_or("");
        let sized =
            cells.millimetres(Column::Id).is_some() && cells.millimetres(Column::Section).is_some();
        if number.is_empty() && description.is_empty() && self.continues(cells) {
            return self.more_of_before(cells);
        }
        if begins_total(if number.is_empty() {
            &description
        } else {
            number
        }) || (number.is_empty() && description.is_empty() && size.is_empty() && !sized)
        {
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
        self.check_currency(cells)?;
        let (described, material_unread) = self.described(cells, &description, &size)?;
        if let Some(word) = &described.discontinued {
            return Err(cells.refuse_row(RowFault::Discontinued(word.clone())));
        }
        let sold = self.sold(cells, &described)?;
        let from = self.from_quantity(cells)?;
        if from > 1
            && self
                .before
                .as_ref()
                .is_some_and(|before| before.number == number && !number.is_empty())
        {
            return self.more_of_before(cells);
        }
        let (pack, prices) = self.prices(cells, &sold, from)?;
        let (number, restored) = undamaged(number, &described).map_err(|fault| {
            cells.refuse(
                if only_size {
                    Column::Size
                } else {
                    Column::Number
                },
                fault,
            )
        })?;
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
            && column.value != text.value
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

    /// Reads how many pieces a pack has and what the price is for.
    fn sold(&mut self, cells: Cells<'_>, described: &Described) -> Result<Sold, Reject> {
        let head = self
            .prices
            .first()
            .map_or(Priced::Pack, |(price, _)| price.priced);
        let by_unit = match cells.get(Column::Unit) {
            Some(text) => Some(self.unit(text).ok_or_else(|| {
                cells.refuse(Column::Unit, RowFault::PackUnclear(text.to_owned()))
            })?),
            None => None,
        };
        let priced = match (cells.get(Column::PriceUnit), by_unit) {
            (Some(text), _) => {
                let count = self.count(text).ok_or_else(|| {
                    cells.refuse(Column::PriceUnit, RowFault::PackUnclear(text.to_owned()))
                })?;
                Priced::Pieces(count)
            }
            (None, Some((Priced::Pieces(count), _))) => Priced::Pieces(count),
            (None, _) => head,
        };
        let by_column = match cells.get(Column::Pack) {
            Some(text) => Some(self.count(text).ok_or_else(|| {
                cells.refuse(Column::Pack, RowFault::PackUnclear(text.to_owned()))
            })?),
            None => by_unit.and_then(|(_, count)| count),
        };
        if let (Some(column), Some(text)) = (by_column, described.pack)
            && column != text
        {
            return Err(cells.refuse(
                Column::Pack,
                RowFault::TwoPacks {
                    column,
                    description: text,
                },
            ));
        }
        let pack = by_column.or(described.pack);
        let each = matches!(by_unit, Some((Priced::Pieces(1), _)));
        let of_packs = matches!(by_unit, Some((Priced::Pack, None)));
        if (pack.is_none() && of_packs)
            || (each
                && cells.get(Column::Pack).is_none()
                && described.pack.is_some_and(|pack| pack > 1))
        {
            let text = cells.get(Column::Unit).unwrap_or("").to_owned();
            return Err(cells.refuse(Column::Unit, RowFault::PackUnclear(text)));
        }
        let smallest = cells
            .get(Column::Smallest)
            .and_then(|text| self.count(text));
        let pack = pack.or(smallest).unwrap_or(match priced {
            Priced::Pieces(count) if cells.get(Column::PriceUnit).is_none() => count,
            _ => 1,
        });
        Ok(Sold { priced, pack })
    }

    /// Reads a number of pieces: "10", "10 pcs", "pack of 10", "10er Pack".
    fn count(&mut self, text: &str) -> Option<u32> {
        let bare = text.strip_suffix(".0").unwrap_or(text);
        let plain = bare.parse().ok();
        plain
            .or_else(|| self.descriptions.read(text).pack)
            .filter(|count| is_pack(*count))
    }

    /// Reads in what a row is counted: what its price is for, and how many pieces are sold at once where that is said.
    fn unit(&mut self, text: &str) -> Option<(Priced, Option<u32>)> {
        match sales_unit(text) {
            Some((Priced::Pieces(count), _)) => {
                Some((Priced::Pieces(count), (count > 1).then_some(count)))
            }
            Some((Priced::Pack, count)) => Some((Priced::Pack, count)),
            None => self.count(text).map(|count| (Priced::Pack, Some(count))),
        }
    }

    fn from_quantity(&mut self, cells: Cells<'_>) -> Result<u32, Reject> {
        let Some(text) = cells.get(Column::FromQuantity) else {
            return Ok(1);
        };
        let said = quantity_from(text).or_else(|| self.count(text));
        said.ok_or_else(|| cells.refuse(Column::FromQuantity, RowFault::Quantity(text.to_owned())))
    }

    /// Reads the prices of a pack; where the fewest that are sold are several packs, these become the pack.
    fn prices(
        &self,
        cells: Cells<'_>,
        sold: &Sold,
        from_row: u32,
    ) -> Result<(u32, Vec<OfferPrice>), Reject> {
        let off = match cells.get(Column::Discount) {
            None => 0.0,
            Some(text) => percent(text).ok_or_else(|| {
                cells.refuse(Column::Discount, RowFault::Discount(text.to_owned()))
            })?,
        };
        let mut prices: Vec<OfferPrice> = Vec::new();
        let mut fault = None;
        for (column, place) in &self.prices {
            let text = cells.at(*place);
            let refuse = |fault| Reject {
                line: cells.row.line,
                column: Some(*place),
                fault,
            };
            if text.is_empty() {
                fault = fault.or_else(|| Some(refuse(RowFault::Price(PriceError::Empty))));
                continue;
            }
            let (amount, own) = priced_in_cell(text);
            let exact = ExactPrice::parse(amount, self.terms.currency).map_err(|error| {
                refuse(match error {
                    _ if is_on_request(text) => RowFault::OnRequest(text.to_owned()),
                    error => RowFault::Price(error),
                })
            })?;
            let priced = own.unwrap_or(sold.priced);
            let (minor, from_packs) = match priced {
                Priced::Pack => (exact.of(1, 1, off), column.from),
                Priced::Pieces(count) => (
                    exact.of(sold.pack, count, off),
                    column.from.div_ceil(sold.pack.max(1)),
                ),
            };
            let minor = minor.map_err(|error| refuse(RowFault::Price(error)))?;
            // Two quantities that are the same number of packs: the later price holds from there on too.
            prices.retain(|known| known.from_packs != from_packs);
            prices.push(OfferPrice { from_packs, minor });
        }
        let fewest = prices.first().map_or(1, |price| price.from_packs);
        if prices.is_empty() {
            return Err(
                fault.unwrap_or_else(|| cells.refuse_row(RowFault::Price(PriceError::Empty)))
            );
        }
        let fewest = fewest.max(match sold.priced {
            Priced::Pack => from_row,
            Priced::Pieces(_) => from_row.div_ceil(sold.pack.max(1)),
        });
        for price in &mut prices {
            price.minor = price.minor.saturating_mul(i64::from(fewest));
            price.from_packs = price.from_packs.div_ceil(fewest);
        }
        // Of two prices from the same number of packs on, the one from more pieces on holds there too.
        prices.dedup_by(|later, before| {
            let same = later.from_packs == before.from_packs;
            if same {
                before.minor = later.minor;
            }
            same
        });
        let pack = sold.pack.saturating_mul(fewest);
        let text = |fault| cells.refuse_row(fault);
        if !is_pack(pack) {
            return Err(text(RowFault::Quantity(pack.to_string())));
        }
        match prices.iter().find(|price| !is_price(price.minor)) {
            Some(price) => Err(text(RowFault::Price(PriceError::OutOfRange(
                price.minor.to_string(),
            )))),
            None => Ok((pack, prices)),
        }
    }

    /// Tells whether a row without a name gives a price of the offer before it from more pieces on.
    fn continues(&self, cells: Cells<'_>) -> bool {
        self.before.is_some() && self.from_quantity_said(cells).is_some_and(|from| from > 1)
    }

    fn from_quantity_said(&self, cells: Cells<'_>) -> Option<u32> {
        cells.get(Column::FromQuantity).and_then(quantity_from)
    }

    /// Reads a row that gives a price of the offer before it from more pieces on.
    fn more_of_before(&mut self, cells: Cells<'_>) -> Result<RowRead, Reject> {
        let from = self.from_quantity(cells)?;
        let Some(before) = &self.before else {
            return Err(cells.refuse_row(RowFault::Nameless));
        };
        let (_, prices) = self.prices(cells, &before.sold, 1)?;
        let packs = before.pack / before.sold.pack.max(1);
        let from_packs = match before.sold.priced {
            Priced::Pack => from.div_ceil(packs.max(1)),
            Priced::Pieces(_) => from.div_ceil(before.pack.max(1)),
        };
        let minor = prices.first().map_or(0, |price| price.minor);
        let minor = minor.saturating_mul(i64::from(packs.max(1)));
        if !is_price(minor) {
            return Err(
                cells.refuse_row(RowFault::Price(PriceError::OutOfRange(minor.to_string())))
            );
        }
        Ok(RowRead::GoesOn(OfferPrice {
            from_packs: from_packs.max(1),
            minor,
        }))
    }
}

impl Cells<'_> {
    fn refuse_row(self, fault: RowFault) -> Reject {
        Reject {
            line: self.row.line,
            column: None,
            fault,
        }
    }
}

fn two_materials(column: &str, description: &str) -> RowFault {
    RowFault::TwoMaterials {
        column: column.to_owned(),
        description: description.to_owned(),
    }
}

/// Reads the columns of dimensions; where they name another ring than the description, both are kept.
fn read_dimensions(cells: Cells<'_>, described: &mut Described) {
    let (id, od) = (cells.millimetres(Column::Id), cells.millimetres(Column::Od));
    let section = cells.millimetres(Column::Section).or_else(|| {
        let wall = (od?.nm() - id?.nm()) / 2;
        (wall > 0).then(|| Length::from_nm(wall))
    });
    if described.kind.is_some_and(|kind| kind != PartKind::Ring) {
        if described.lengths.is_empty() {
            described
                .lengths
                .extend([od, id, section].into_iter().flatten());
        }
        return;
    }
    let id = id.or_else(|| Some(Length::from_nm(od?.nm() - 2 * section?.nm())));
    let (Some(id), Some(section)) = (id, section) else {
        return;
    };
    let text = format!("{} x {} mm", id.mm(), section.mm());
    for reading in read_designation(&text, None).unwrap_or_default() {
        let ring = NamedRing::of(&reading.size);
        if !described.rings.iter().any(|known| known.is_same(&ring)) {
            described.rings.push(ring);
        }
        described.kind = Some(PartKind::Ring);
    }
}

/// Writes the size of a row that has nothing but figures.
fn dimensions(described: &Described) -> String {
    let ring = described.rings.first();
    ring.map_or_else(String::new, |ring| {
        format!("{} x {} mm", ring.id.mm(), ring.section.mm())
    })
}

/// Reads a discount as a share of one: "20", "20 %", "-20%", and 0.2 where a workbook keeps percent so.
fn percent(text: &str) -> Option<f64> {
    let bare = text.replace(',', ".");
    let bare = bare
        .trim()
        .trim_start_matches('-')
        .trim_end_matches('%')
        .trim();
    let value: f64 = bare.parse().ok()?;
    let share = if value < 1.0 && !text.contains('%') {
        value
    } else {
        value / 100.0
    };
    (0.0..1.0).contains(&share).then_some(share)
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
