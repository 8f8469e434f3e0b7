//! Takes the book of another shop into this one, and shows what contradicts.

use super::book_export::ExchangeError;
use super::note_check::{NoteForm as Form, NoteText};
use crate::core::book::{KeptCandidate, KeptIdentification, ModelName};
use crate::core::exchange::{
    AsideReason, BookForm, BookItem, NamedItem, NoteItem, Origin, SetAside, Standing, judge,
    supersedes,
};
use crate::core::note::{Note, print};
use crate::store::{
    Book, BookPlace, BookReader, BookWriter, MadeIdentification, NewNote, NoteForm, StoreError,
};
use serde::Serialize;
use std::collections::{BTreeMap, HashMap};
use std::io::Read;
use std::path::Path;

/// The largest file that is read, in MiB: read whole it takes about five times as much memory.
const MOST_MIB: u64 = 512;

/// Says what became of another shop's book.
#[derive(Debug, Clone, Serialize)]
pub struct MergeReport {
    /// The file.
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
}

/// Holds one thing that was set aside.
#[derive(Debug, Clone, Serialize)]
pub struct AsideLine {
    /// What it is.
    pub what: &'static str,
    /// Which one.
    pub key: String,
    /// Why.
    pub reason: AsideReason,
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
    let mut book = Book::open_to_write(place)?;
    let mut report = MergeReport {
        file: file.display().to_string(),
        shop: form.shop.clone(),
        written_at: form.written_at.clone(),
        taken: BTreeMap::new(),
        same: BTreeMap::new(),
        set_aside: Vec::new(),
    };
    book.write(|book| merge(book, form, (merged_at, &mut report)))?;
    Ok(report)
}

fn read_form(file: &Path) -> Result<BookForm, ExchangeError> {
    let shown = || file.display().to_string();
    let unreadable = |error: std::io::Error| ExchangeError::Unreadable {
        file: shown(),
        reason: error.to_string(),
    };
    let mut bytes = Vec::new();
    let open = std::fs::File::open(file).map_err(unreadable)?;
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

fn merge(
    book: &BookWriter<'_>,
    form: BookForm,
    (merged_at, report): (&str, &mut MergeReport),
) -> Result<(), StoreError> {
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
    let mut items = form.items;
    // A supplier before its lists; a present note before those that it replaced.
    items.sort_by_key(order);
    for item in items {
        let origin = |shop: &str, merged_at: &str| Origin {
            what: item.what().to_owned(),
            key: item.key(),
            shop: shop.to_owned(),
            merged_at: merged_at.to_owned(),
        };
        let there = own.entry((item.what(), item.key())).or_default();
        let standing = judge(&there.iter().collect::<Vec<_>>(), &item);
        let reason = match standing {
            Standing::Same => {
                *report.same.entry(item.what()).or_default() += 1;
                continue;
            }
            Standing::New if take(book, &item)? => {
                book.keep_origin(&origin(&form.shop, merged_at))?;
                *report.taken.entry(item.what()).or_default() += 1;
                there.push(item);
                continue;
            }
            Standing::New => AsideReason::Unreadable,
            Standing::Conflict => AsideReason::Conflict,
            Standing::Theirs => AsideReason::Theirs,
        };
        let aside = SetAside {
            reason,
            shop: form.shop.clone(),
            merged_at: merged_at.to_owned(),
            item,
        };
        put_aside(book, aside, (there, report))?;
    }
    for aside in form.set_aside {
        let there = own
            .entry((aside.item.what(), aside.item.key()))
            .or_default();
        if judge(&there.iter().collect::<Vec<_>>(), &aside.item) != Standing::Same {
            put_aside(book, aside, (there, report))?;
        }
    }
    for origin in &form.origins {
        book.keep_origin(origin)?;
    }
    Ok(())
}

fn put_aside(
    book: &BookWriter<'_>,
    aside: SetAside,
    (there, report): (&mut Vec<BookItem>, &mut MergeReport),
) -> Result<(), StoreError> {
    if book.keep_aside(&aside)? {
        if aside.reason == AsideReason::Theirs {
            for earlier in there.iter().filter(|item| supersedes(&aside.item, item)) {
                book.forget_aside(earlier)?;
            }
            there.push(aside.item.clone());
        }
        report.set_aside.push(AsideLine::of(aside, there));
    } else {
        *report.same.entry(aside.item.what()).or_default() += 1;
    }
    Ok(())
}

fn order(item: &BookItem) -> u8 {
    match item {
        BookItem::Supplier(_) => 0,
        BookItem::Note(note) if note.replaced_at.is_some() => 2,
        _ => 1,
    }
}

/// Takes an item into the book; returns whether this program could read it.
fn take(book: &BookWriter<'_>, item: &BookItem) -> Result<bool, StoreError> {
    match item {
        BookItem::Note(note) => return take_note(book, note),
        BookItem::KnownRing(ring) => book.take_known_ring(ring)?,
        BookItem::Gauge(gauge) => book.set_gauge(gauge)?,
        BookItem::Setting(setting) => book.set_setting(&setting.key, &setting.value)?,
        BookItem::Supplier(supplier) => book.take_supplier(supplier)?,
        BookItem::PriceList(list) => book.take_price_list(list)?,
        BookItem::FormerList(list) => book.take_former_list(list)?,
        BookItem::Statement(statement) => book.add_statement(statement)?,
        BookItem::Nickname(nickname) => book.add_nickname(nickname)?,
        // These are never new: they stay the other shop's.
        BookItem::Job(_) | BookItem::Lot(_) => return Ok(false),
    }
    Ok(true)
}

fn take_note(book: &BookWriter<'_>, item: &NoteItem) -> Result<bool, StoreError> {
    let Some(note) = read(item) else {
        return Ok(false);
    };
    let name = ModelName {
        maker: note.header.maker.clone(),
        name: note.header.model.trim().to_owned(),
    };
    let model = book.model_or_new(&name)?;
    let unit = book.unit_or_new(model, note.header.unit.trim())?;
    let canonical = print(&note);
    let new = NewNote {
        note: &note,
        form: if item.form == "csv" {
            NoteForm::Csv
        } else {
            NoteForm::Text
        },
        original: &item.text,
        canonical: &canonical,
        unread_lines: item.unread_lines,
        added_at: &item.added_at,
    };
    let id = match &item.replaced_at {
        Some(replaced_at) => book.add_former_note(unit, &new, replaced_at)?,
        None => book.add_note(unit, &new, None)?,
    };
    let entries = book.entries(id)?;
    for named in &item.named {
        let entry = entries
            .iter()
            .find(|(_, entry)| entry.order == named.removal);
        if let Some((entry, _)) = entry {
            book.add_identification(*entry, &made(named))?;
        }
    }
    Ok(true)
}

/// Reads a note again; `None` where this program cannot, or reads another unit or day in it than the form says.
fn read(item: &NoteItem) -> Option<Note> {
    let form = match item.form.as_str() {
        "text" => Form::Text,
        "csv" => Form::Csv,
        _ => return None,
    };
    let source = NoteText {
        place: String::new(),
        text: item.text.clone(),
        form,
    };
    let reading = source.read();
    let note = if reading.is_sound() {
        reading.note
    } else if item.unread_lines > 0 {
        reading.sound_parts()
    } else {
        return None;
    };
    let header = &note.header;
    let date = header
        .date
        .map_or_else(String::new, |date| date.to_string());
    let same = header.maker == item.maker
        && header.model == item.model
        && header.unit == item.unit
        && date == item.date;
    (same && !header.model.trim().is_empty() && !header.unit.trim().is_empty()).then_some(note)
}

fn made(named: &NamedItem) -> MadeIdentification {
    let candidates = named.candidates.iter().map(KeptCandidate::from);
    MadeIdentification {
        identification: KeptIdentification {
            candidates: candidates.collect(),
            unlisted_probability: named.unlisted_probability,
        },
        made_at: named.made_at.clone(),
        made_by: named.made_by.clone(),
    }
}

impl AsideLine {
    fn of(aside: SetAside, there: &[BookItem]) -> Self {
        let differs = match aside.reason {
            AsideReason::Conflict => there
                .last()
                .and_then(|own| first_difference(own, &aside.item)),
            AsideReason::Theirs | AsideReason::Unreadable => None,
        };
        Self {
            what: aside.item.what(),
            key: aside.item.key(),
            reason: aside.reason,
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

/// Lists what was set aside when other books were merged.
///
/// # Errors
/// Fails where the book cannot be read.
pub fn set_aside(place: &BookPlace) -> Result<SetAsideReport, StoreError> {
    let mut book = Book::open_to_read(place)?;
    let lines = book.read(|book: &BookReader<'_>| {
        let own = book.items()?;
        let aside = book.set_aside()?.into_iter().map(|aside| {
            let key = (aside.item.what(), aside.item.key());
            let there = own.iter().filter(|item| (item.what(), item.key()) == key);
            AsideLine::of(aside, &there.cloned().collect::<Vec<_>>())
        });
        Ok::<_, StoreError>(aside.collect())
    })?;
    Ok(SetAsideReport { set_aside: lines })
}

/// Holds what was set aside when other books were merged.
#[derive(Debug, Clone, Serialize)]
pub struct SetAsideReport {
    /// The items.
    pub set_aside: Vec<AsideLine>,
}
