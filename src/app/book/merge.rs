//! Takes the book of another shop into this one, and shows what contradicts.

use super::export::{ExchangeError, SHOP};
use super::other_note::{take_note, unit_keys};
use crate::core::book::name_key;
use crate::core::exchange::{
    AsideReason, BookForm, BookItem, Inspection, Origin, Refusal, SetAside, Standing, judge,
    supersedes,
};
use crate::core::quantity::{Date, day_of_moment};
use crate::store::{Book, BookPlace, BookWriter, StoreError};
use serde::Serialize;
use std::collections::{BTreeMap, HashMap, HashSet};
use std::io::Read;
use std::path::Path;

/// The largest file that is read, in MiB: read whole it takes about five times as much memory.
const MOST_MIB: u64 = 512;

/// Says what became of another shop's book.
#[derive(Debug, Clone, Serialize)]
pub struct MergeReport {
    pub file: String,
    /// The shop that wrote it.
    pub shop: String,
    /// When it was written.
    pub written_at: String,
    /// What was taken, by kind.
    pub taken: BTreeMap<&'static str, usize>,
    /// What the book held already, by kind.
    pub same: BTreeMap<&'static str, usize>,
    /// What was set aside now.
    pub set_aside: Vec<AsideLine>,
    /// Offers in whose descriptions the other shop had read something else than is read here.
    pub read_otherwise: Vec<ReadOtherwise>,
}

/// Names an offer whose description says something else here than the other shop read in it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ReadOtherwise {
    pub supplier: String,
    /// Its line in the list.
    pub line: u64,
    /// The supplier's number.
    pub number: String,
    pub description: String,
}

/// One thing that was set aside.
#[derive(Debug, Clone, Serialize)]
pub struct AsideLine {
    pub what: &'static str,
    /// Which one.
    pub key: String,
    /// Why.
    pub reason: AsideReason,
    /// What of a refused item is not believed.
    pub refusal: Option<Refusal>,
    /// The shop that said it.
    pub shop: String,
    /// When it was merged.
    pub merged_at: String,
    /// What the book says, and what the other shop says, where they differ first.
    pub differs: Option<(String, String)>,
    /// The item, whole.
    pub item: BookItem,
}

/// Merges a file into the book: all of it in one transaction, or nothing.
///
/// # Errors
/// Says why the file is no exported book or the book cannot be written; a job record whose seals do not hold is named.
pub fn book_merge(
    place: &BookPlace,
    file: &Path,
    merged_at: &str,
) -> Result<MergeReport, ExchangeError> {
    let form = read_form(file)?;
    let today =
        day_of_moment(merged_at).ok_or_else(|| ExchangeError::NoMoment(merged_at.to_owned()))?;
    let mut book = Book::open_to_write(place)?;
    let report = MergeReport {
        file: file.display().to_string(),
        shop: form.shop.clone(),
        written_at: form.written_at.clone(),
        taken: BTreeMap::new(),
        same: BTreeMap::new(),
        set_aside: Vec::new(),
        read_otherwise: Vec::new(),
    };
    book.write(|book| Merge::open(book, report, merged_at, today)?.run(form))
        .map_err(|error: StoreError| {
            if error.is_refused_value() {
                ExchangeError::Refused {
                    file: file.display().to_string(),
                    reason: error,
                }
            } else {
                error.into()
            }
        })
}

fn read_form(file: &Path) -> Result<BookForm, ExchangeError> {
    let shown = || file.display().to_string();
    let unreadable = |error: std::io::Error| ExchangeError::Unreadable {
        file: shown(),
        reason: error.to_string(),
    };
    let mut bytes = Vec::new();
    let open = crate::app::file::open(file).map_err(unreadable)?;
    let most = MOST_MIB << 20;
    open.take(most + 1)
        .read_to_end(&mut bytes)
        .map_err(unreadable)?;
    if bytes.len() as u64 > most {
        return Err(ExchangeError::TooLarge {
            file: shown(),
            most: MOST_MIB,
        });
    }
    BookForm::read(&bytes).map_err(|reason| ExchangeError::Form {
        file: shown(),
        reason,
    })
}

/// What the book holds, by kind and key.
type Own = HashMap<(&'static str, String), Vec<BookItem>>;

/// A merge under way.
struct Merge<'b> {
    book: &'b BookWriter<'b>,
    own: Own,
    /// Units of which the book has a note of its own.
    own_units: HashSet<(String, String)>,
    inspection: Inspection,
    merged_at: String,
    /// Whose book it is, as its things are marked.
    shop: String,
    taken: HashSet<(&'static str, String)>,
    report: MergeReport,
}

impl<'b> Merge<'b> {
    fn open(
        book: &'b BookWriter<'b>,
        report: MergeReport,
        merged_at: &str,
        today: Date,
    ) -> Result<Self, StoreError> {
        let mut own: Own = HashMap::new();
        for item in book.items()? {
            own.entry((item.what(), item.key())).or_default().push(item);
        }
        // What is kept of other shops' records counts too: an older state of one says nothing new.
        for aside in book.set_aside()? {
            if aside.reason == AsideReason::Theirs {
                let key = (aside.item.what(), aside.item.key());
                own.entry(key).or_default().push(aside.item);
            }
        }
        let ours = book.setting(SHOP)?.map(|name| name_key(&name));
        let shop = if ours == Some(name_key(&report.shop)) {
            format!("{} (another book of that name)", report.shop)
        } else {
            report.shop.clone()
        };
        Ok(Self {
            book,
            own,
            own_units: book.own_units()?,
            inspection: Inspection::on(today),
            merged_at: merged_at.to_owned(),
            shop,
            taken: HashSet::new(),
            report,
        })
    }

    fn run(mut self, form: BookForm) -> Result<MergeReport, StoreError> {
        let mut items = form.items;
        // A supplier before its lists; a present note before those that it replaced.
        items.sort_by_key(order);
        for item in items {
            self.item(item)?;
        }
        for aside in form.set_aside {
            if self.standing(&aside.item) != Standing::Same {
                let shop = format!("{} (by way of {})", aside.shop, self.shop);
                self.put_aside(SetAside {
                    shop,
                    merged_at: self.merged_at.clone(),
                    ..aside
                })?;
            }
        }
        // Whoever handed it on says where it came from only of what came with it.
        for origin in &form.origins {
            let came = |(what, key): &(&str, String)| *what == origin.what && *key == origin.key;
            if self.taken.iter().any(came) {
                self.book.keep_origin(origin)?;
            }
        }
        Ok(self.report)
    }

    fn standing(&self, item: &BookItem) -> Standing {
        let there = self.own.get(&(item.what(), item.key()));
        let there: Vec<&BookItem> = there.into_iter().flatten().collect();
        judge(&there, item)
    }

    fn item(&mut self, item: BookItem) -> Result<(), StoreError> {
        let standing = self.standing(&item);
        if standing == Standing::Same {
            *self.report.same.entry(item.what()).or_default() += 1;
            return Ok(());
        }
        let (reason, refusal) = match self.inspection.check(&item) {
            Err(refusal) => (AsideReason::Refused, Some(refusal)),
            Ok(()) => match standing {
                Standing::Theirs => (AsideReason::Theirs, None),
                Standing::Conflict => (AsideReason::Conflict, None),
                Standing::New | Standing::Same if self.is_of_our_unit(&item) => {
                    (AsideReason::OurUnit, None)
                }
                Standing::New | Standing::Same => {
                    if self.take(&item)? {
                        return self.taken(item);
                    }
                    (AsideReason::Unreadable, None)
                }
            },
        };
        self.put_aside(SetAside {
            reason,
            refusal,
            shop: self.shop.clone(),
            merged_at: self.merged_at.clone(),
            item,
        })
    }

    /// A present note on a unit of which the book has one of its own; what was replaced over there changes nothing here.
    fn is_of_our_unit(&self, item: &BookItem) -> bool {
        matches!(item, BookItem::Note(note)
            if note.replaced_at.is_none() && self.own_units.contains(&unit_keys(note)))
    }

    fn taken(&mut self, item: BookItem) -> Result<(), StoreError> {
        let key = (item.what(), item.key());
        self.book.keep_origin(&Origin {
            what: key.0.to_owned(),
            key: key.1.clone(),
            shop: self.shop.clone(),
            merged_at: self.merged_at.clone(),
        })?;
        *self.report.taken.entry(key.0).or_default() += 1;
        self.taken.insert(key.clone());
        self.own.entry(key).or_default().push(item);
        Ok(())
    }

    /// Takes an item into the book; returns whether this program could read it.
    fn take(&mut self, item: &BookItem) -> Result<bool, StoreError> {
        let (book, shop) = (self.book, self.shop.as_str());
        match item {
            BookItem::Note(note) => return Ok(take_note(book, note, shop)?.is_some()),
            BookItem::Supplier(supplier) => book.take_supplier(supplier, shop)?,
            BookItem::PriceList(list) => {
                let offers = book.take_price_list(list, shop)?.into_iter();
                let otherwise = offers.map(|offer| ReadOtherwise {
                    supplier: list.supplier.clone(),
                    line: offer.line,
                    number: offer.number,
                    description: offer.description,
                });
                self.report.read_otherwise.extend(otherwise);
            }
            BookItem::FormerList(list) => book.take_former_list(list, shop)?,
            BookItem::Statement(statement) => book.keep_statement(statement, Some(shop))?,
            BookItem::Nickname(nickname) => book.keep_nickname(nickname, Some(shop))?,
            // These are never new: they stay the other shop's.
            BookItem::Job(_)
            | BookItem::Decision(_)
            | BookItem::Lot(_)
            | BookItem::Gauge(_)
            | BookItem::KnownRing(_)
            | BookItem::Setting(_) => return Ok(false),
        }
        Ok(true)
    }

    fn put_aside(&mut self, aside: SetAside) -> Result<(), StoreError> {
        let key = (aside.item.what(), aside.item.key());
        if !self.book.keep_aside(&aside)? {
            *self.report.same.entry(key.0).or_default() += 1;
            return Ok(());
        }
        let there = self.own.entry(key).or_default();
        if aside.reason == AsideReason::Theirs {
            for earlier in there.iter().filter(|item| supersedes(&aside.item, item)) {
                self.book.forget_aside(earlier)?;
            }
            there.push(aside.item.clone());
        }
        self.report.set_aside.push(AsideLine::of(aside, there));
        Ok(())
    }
}

fn order(item: &BookItem) -> u8 {
    match item {
        BookItem::Supplier(_) => 0,
        BookItem::Note(note) if note.replaced_at.is_some() => 2,
        _ => 1,
    }
}

impl AsideLine {
    pub(in crate::app) fn of(aside: SetAside, there: &[BookItem]) -> Self {
        let differs = match aside.reason {
            AsideReason::Conflict => there
                .last()
                .and_then(|own| first_difference(own, &aside.item)),
            AsideReason::Theirs
            | AsideReason::Unreadable
            | AsideReason::OurUnit
            | AsideReason::Refused => None,
        };
        Self {
            what: aside.item.what(),
            key: aside.item.key(),
            reason: aside.reason,
            refusal: aside.refusal,
            shop: aside.shop,
            merged_at: aside.merged_at,
            differs,
            item: aside.item,
        }
    }
}

/// Finds the first line in which two items differ: of a note's text, of anything else's JSON.
fn first_difference(own: &BookItem, theirs: &BookItem) -> Option<(String, String)> {
    let text = |item: &BookItem| match item {
        BookItem::Note(note) => note.text.clone(),
        other => serde_json::to_string_pretty(other).unwrap_or_default(),
    };
    let (own, theirs) = (text(own), text(theirs));
    let (mut a, mut b) = (own.lines(), theirs.lines());
    loop {
        match (a.next(), b.next()) {
            (None, None) => return None,
            (x, y) if x == y => {}
            (x, y) => {
                let words =
                    |line: Option<&str>| line.map_or("(nothing more)", str::trim).to_owned();
                return Some((words(x), words(y)));
            }
        }
    }
}
