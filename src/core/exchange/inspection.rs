//! Values of another book, held against what typing them would take.

use super::item::BookItem;
use super::note_item::{CandidateItem, NamedItem, NoteItem};
use super::refusal::{Refusal, ValueFault as Fault};
use super::supply_item::{FormerListItem, OfferItem, PriceListItem, SupplierItem};
use crate::core::book::{Decision, only_ring};
use crate::core::interchange::{Nickname, PartSpec, Statement};
use crate::core::quantity::{Currency, Date, Length, Money, day_of_moment, parse_date};
use crate::core::sizes::SizeTable;
use crate::core::supply::{ColumnMap, MOST_LETTERS, is_pack, is_price, number_key};
use std::collections::HashSet;

/// Items of other books against what typing takes: the same constructors, and nothing dated later than the day of the merge.
#[derive(Debug, Clone, Copy)]
pub struct Inspection {
    latest: Date,
}

type Checked = Result<(), Refusal>;

/// The largest note that is read, in bytes, as of a note in a file.
const MOST_NOTE: usize = 16 << 20;
/// The thickest and widest ring that a size can be of, in nanometres: 10 m.
const MOST_RING_NM: i64 = 10_000_000_000;
/// A misfit beyond this is none.
const MOST_SIGMA: f64 = 1e6;
/// What rounding adds to odds that make up one.
const ROUNDING: f64 = 1e-6;

impl Inspection {
    /// Makes an inspection for the day of a merge; the day after counts as that day, because somewhere it is.
    pub fn on(day: Date) -> Self {
        Self {
            latest: day.tomorrow().unwrap_or(day),
        }
    }

    /// An item against what typing takes. A job record has its seals, and of a lot, a known ring and a setting nothing is ever
    /// taken: they pass.
    ///
    /// # Errors
    /// Names the first value that is not believed.
    pub fn check(self, item: &BookItem) -> Result<(), Refusal> {
        match item {
            BookItem::Note(note) => self.note(note),
            BookItem::Gauge(gauge) => gauge.fault(self.latest).map_or(Ok(()), |fault| {
                let field = format!("gauge {}", gauge.name);
                Err(Refusal::new(field, &fault, Fault::Gauge))
            }),
            BookItem::Supplier(supplier) => terms(supplier),
            BookItem::PriceList(list) => self.price_list(list),
            BookItem::FormerList(list) => self.former_list(list),
            BookItem::Statement(statement) => self.statement(statement),
            BookItem::Nickname(nickname) => self.nickname(nickname),
            BookItem::Decision(decision) => self.decision(decision),
            BookItem::KnownRing(_) | BookItem::Setting(_) | BookItem::Job(_) | BookItem::Lot(_) => {
                Ok(())
            }
        }
    }

    fn note(self, note: &NoteItem) -> Checked {
        text("model", &note.model)?;
        text("unit", &note.unit)?;
        let length = note.text.len();
        must(length <= MOST_NOTE, "text", &length, Fault::TooLong)?;
        if !note.date.is_empty() {
            let day = day("date", &note.date)?;
            must(day <= self.latest, "date", &note.date, Fault::YetToCome)?;
        }
        self.moment("added_at", &note.added_at)?;
        if let Some(moment) = &note.replaced_at {
            self.moment("replaced_at", moment)?;
        }
        let unread = note.unread_lines;
        let can_be = unread as usize <= note.text.lines().count();
        must(can_be, "unread_lines", &unread, Fault::Count)?;
        let mut seen = HashSet::new();
        for (at, named) in note.named.iter().enumerate() {
            let under = |fault: Refusal| fault.under(&format!("named[{at}]"));
            self.named(named).map_err(under)?;
            let removal = named.removal;
            must(seen.insert(removal), "removal", &removal, Fault::Twice).map_err(under)?;
        }
        Ok(())
    }

    fn named(self, named: &NamedItem) -> Checked {
        self.moment("made_at", &named.made_at)?;
        text("made_by", &named.made_by)?;
        must(named.removal > 0, "removal", &named.removal, Fault::Count)?;
        odds("unlisted_probability", named.unlisted_probability)?;
        let mut sum = named.unlisted_probability;
        for (at, candidate) in named.candidates.iter().enumerate() {
            size(candidate).map_err(|fault| fault.under(&format!("candidates[{at}]")))?;
            sum += candidate.probability;
        }
        must(sum <= 1.0 + ROUNDING, "candidates", &sum, Fault::Odds)
    }

    fn price_list(self, list: &PriceListItem) -> Checked {
        text("supplier", &list.supplier)?;
        text("file", &list.file)?;
        self.moment("imported_at", &list.imported_at)?;
        rules(&list.price_date, &list.currency, &list.tax)?;
        for (at, offer) in list.offers.iter().enumerate() {
            one_offer(offer).map_err(|fault| fault.under(&format!("offers[{at}]")))?;
        }
        count("rejected", i64::try_from(list.rejected).unwrap_or(-1))
    }

    fn former_list(self, list: &FormerListItem) -> Checked {
        text("supplier", &list.supplier)?;
        text("file", &list.file)?;
        self.moment("imported_at", &list.imported_at)?;
        self.moment("replaced_at", &list.replaced_at)?;
        rules(&list.price_date, &list.currency, &list.tax)?;
        let (read, accepted, rejected) = list.rows;
        for rows in [read, accepted, rejected] {
            count("rows", rows)?;
        }
        let adds_up = accepted.checked_add(rejected) == Some(read);
        must(adds_up, "rows", &read, Fault::Count)?;
        let mut seen = HashSet::new();
        for (at, price) in list.prices.iter().enumerate() {
            let under = |fault: Refusal| fault.under(&format!("prices[{at}]"));
            count("line", price.line).map_err(under)?;
            words("description", &price.description).map_err(under)?;
            let plain = number_key(&price.key) == price.key;
            must(plain, "key", &price.key, Fault::Control).map_err(under)?;
            let new = seen.insert((&price.key, price.line));
            must(new, "line", &price.line, Fault::Twice).map_err(under)?;
            let pack = u32::try_from(price.pack).unwrap_or(0);
            must(is_pack(pack), "pack", &pack, Fault::Pack).map_err(under)?;
            let breaks = price.breaks.as_deref().unwrap_or_default();
            let further = further_prices(breaks);
            let further =
                further.ok_or_else(|| under(Refusal::new("breaks", breaks, Fault::Breaks)))?;
            let prices: Vec<(u32, i64)> =
                std::iter::once((1, price.price)).chain(further).collect();
            rising(&prices).map_err(under)?;
        }
        Ok(())
    }

    fn statement(self, said: &Statement) -> Checked {
        self.moment("said_at", &said.said_at)?;
        text("person", &said.person)?;
        text("evidence", &said.evidence)?;
        words("at", &said.at)?;
        let part = one_part("part", &said.part)?;
        let stand_in = one_part("stand_in", &said.stand_in)?;
        let another = part.to_string() != stand_in.to_string();
        must(another, "stand_in", &said.stand_in, Fault::Itself)
    }

    fn nickname(self, said: &Nickname) -> Checked {
        self.moment("said_at", &said.said_at)?;
        text("person", &said.person)?;
        text("source", &said.source)?;
        text("name", &said.name)?;
        must(
            !Nickname::is_code(&said.name),
            "name",
            &said.name,
            Fault::Code,
        )?;
        one_part("part", &said.part).map(drop)
    }

    fn decision(self, said: &Decision) -> Checked {
        self.moment("decided_at", &said.decided_at)?;
        text("person", &said.person)?;
        text("why", &said.why)?;
        text("model", &said.model_key)?;
        words("section", &said.section)?;
        words("position", &said.position)?;
        must(
            only_ring(&said.ring).is_some(),
            "ring",
            &said.ring,
            Fault::Part,
        )?;
        for (field, found) in [
            ("polymer", &said.polymer),
            ("hardness", &said.hardness),
            ("part", &said.part),
        ] {
            words(field, found.as_deref().unwrap_or_default())?;
        }
        let Some(back) = &said.taken_back else {
            return Ok(());
        };
        text("taken_back/person", &back.person)?;
        text("taken_back/why", &back.why)?;
        self.moment("taken_back/at", &back.at)
    }

    fn moment(self, field: &str, found: &str) -> Checked {
        let day = day_of_moment(found).ok_or_else(|| Refusal::new(field, found, Fault::Moment))?;
        must(day <= self.latest, field, found, Fault::YetToCome)
    }
}

/// Refuses what was found in a field, with the fault, where it is not as it must be.
fn must(holds: bool, field: &str, found: &(impl ToString + ?Sized), fault: Fault) -> Checked {
    if holds {
        return Ok(());
    }
    Err(Refusal::new(field, found, fault))
}

/// Words that may be empty against what typing takes: one line of them, of no more letters than a price list has in a cell.
fn words(field: &str, found: &str) -> Checked {
    must(found.len() <= MOST_LETTERS, field, found, Fault::TooLong)?;
    let plain = !found.chars().any(char::is_control);
    must(plain, field, found, Fault::Control)
}

/// Words that must be there against what typing takes.
pub(super) fn text(field: &str, found: &str) -> Checked {
    must(!found.trim().is_empty(), field, found, Fault::Empty)?;
    words(field, found)
}

fn day(field: &str, found: &str) -> Result<Date, Refusal> {
    parse_date(found)
        .map(|day| day.value)
        .map_err(|_| Refusal::new(field, found, Fault::Day))
}

fn count(field: &str, found: i64) -> Checked {
    let can_be = (0..=i64::from(u32::MAX)).contains(&found);
    must(can_be, field, &found, Fault::Count)
}

fn odds(field: &str, found: f64) -> Checked {
    must((0.0..=1.0).contains(&found), field, &found, Fault::Odds)
}

/// A size with its odds: a listed code must be that of the size.
fn size(candidate: &CandidateItem) -> Checked {
    odds("probability", candidate.probability)?;
    let misfit = candidate.misfit_sigma;
    must(
        misfit.abs() <= MOST_SIGMA,
        "misfit_sigma",
        &misfit,
        Fault::Count,
    )?;
    for (field, nm) in [
        ("id_nm", candidate.id_nm),
        ("section_nm", candidate.section_nm),
    ] {
        must((1..=MOST_RING_NM).contains(&nm), field, &nm, Fault::Size)?;
    }
    let table = SizeTable::shipped();
    let (id, section) = (
        Length::from_nm(candidate.id_nm),
        Length::from_nm(candidate.section_nm),
    );
    for code in &candidate.codes {
        text("codes", code)?;
        let other = table.find_code(code).is_some_and(|found| {
            let size = table.size(found);
            (size.id.nominal, size.section.nominal) != (id, section)
        });
        // One ring under several codes may be listed a hundredth apart: the first is the one that is named.
        let named = Some(code) == candidate.codes.first();
        must(!(other && named), "codes", code, Fault::OtherSize)?;
    }
    Ok(())
}

fn terms(supplier: &SupplierItem) -> Checked {
    text("name", &supplier.name)?;
    if let Some(mapping) = &supplier.mapping {
        must(
            ColumnMap::parse(mapping).is_ok(),
            "mapping",
            mapping,
            Fault::Mapping,
        )?;
    }
    let letters = supplier.terms_currency.as_deref();
    let currency = letters.map(kept_currency).transpose()?;
    let amounts = [
        ("carriage", supplier.carriage),
        ("minimum", supplier.minimum),
        ("free_above", supplier.free_above),
    ];
    for (field, minor) in amounts {
        let Some(minor) = minor else { continue };
        let Some(currency) = currency else {
            return Err(Refusal::new("terms_currency", "", Fault::Empty));
        };
        must(
            Money::amount(minor, currency).is_some(),
            field,
            &minor,
            Fault::Amount,
        )?;
    }
    Ok(())
}

/// A currency in the letters in which the book keeps it.
fn kept_currency(letters: &str) -> Result<Currency, Refusal> {
    Currency::from_word(letters)
        .filter(|known| known.letters() == letters)
        .ok_or_else(|| Refusal::new("currency", letters, Fault::Currency))
}

fn rules(price_date: &str, currency: &str, tax: &str) -> Checked {
    day("price_date", price_date)?;
    kept_currency(currency)?;
    must(
        matches!(tax, "included" | "excluded"),
        "tax",
        tax,
        Fault::Tax,
    )
}

/// What the other shop read in a description is not looked at: it is read again here.
fn one_offer(offer: &OfferItem) -> Checked {
    count("line", i64::try_from(offer.line).unwrap_or(-1))?;
    words("number", &offer.number)?;
    words("description", &offer.description)?;
    if offer.number.trim().is_empty() {
        text("description", &offer.description)?;
    }
    must(is_pack(offer.pack), "pack", &offer.pack, Fault::Pack)?;
    rising(&offer.prices)
}

fn rising(prices: &[(u32, i64)]) -> Checked {
    for (_, minor) in prices {
        must(is_price(*minor), "prices", minor, Fault::Price)?;
    }
    let begins = prices.first().is_some_and(|(from, _)| *from == 1);
    let rises = prices.windows(2).all(|pair| pair[0].0 < pair[1].0);
    let sold = prices.iter().all(|(from, _)| is_pack(*from));
    let found = prices.last().map_or(0, |(from, _)| *from);
    must(begins && rises && sold, "prices", &found, Fault::Breaks)
}

/// Reads further prices as "from packs:price"; `None` where one is none.
fn further_prices(text: &str) -> Option<Vec<(u32, i64)>> {
    let one = |part: &str| {
        let (from, price) = part.split_once(':')?;
        Some((from.parse().ok()?, price.parse().ok()?))
    };
    text.split_whitespace().map(one).collect()
}

fn one_part(field: &str, found: &str) -> Result<PartSpec, Refusal> {
    text(field, found)?;
    let mut specs = PartSpec::read(found, None).unwrap_or_default();
    match (specs.pop(), specs.is_empty()) {
        (Some(spec), true) => Ok(spec),
        _ => Err(Refusal::new(field, found, Fault::Part)),
    }
}
