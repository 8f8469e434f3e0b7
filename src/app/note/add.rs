//! Adds teardown notes to the book, and names the rings in them.

use super::check::{NoteCheck, NoteText, check_note, check_reading};
use crate::app::ring::identify::RingNamer;
use crate::app::ring::model_rings::ModelRings;
use crate::app::ring::naming::{RingNamed, name_ring};
use crate::app::ring::sold_here::sold_here;
use crate::app::scan::{NotePageError, NotePages};
use crate::core::book::{ModelName, name_key};
use crate::core::exchange::NamedItem;
use crate::core::identification::Prior;
use crate::core::note::{Diagnostic, Note, PartKind, Severity, print};
use crate::core::quantity::Date;
use crate::core::scan::Pitch;
use crate::store::{
    Book, BookPlace, BookReader, BookWriter, NewNote, NoteForm, RingPicture, StoreError,
    StoredNote, UnitId,
};
use serde::Serialize;

/// Says how notes are to be added.
#[derive(Debug, Clone, Default)]
pub struct AddOptions {
    /// Whether the parts that can be read are stored where others cannot.
    pub partial: bool,
    /// Whether a note takes the place of another one for the same unit and day.
    pub replace: bool,
    /// The moment, ISO 8601.
    pub added_at: String,
    /// The last day that a teardown can have happened on.
    pub latest: Option<Date>,
    /// The size of a point of the pages on which rings lay, where it was typed.
    pub pitch: Option<Pitch>,
}

/// What became of each note.
#[derive(Debug, Clone, Serialize)]
pub struct NotesAdded {
    pub book: String,
    /// One report a note, in the order in which they were given.
    pub notes: Vec<NoteAdded>,
}

/// What became of one note.
#[derive(Debug, Clone, Serialize)]
pub struct NoteAdded {
    /// The file's name.
    pub place: String,
    pub outcome: AddOutcome,
    pub model: String,
    pub unit: String,
    /// The day of the teardown.
    pub date: Option<Date>,
    /// Parts that were stored.
    pub parts: usize,
    /// Parts and lines that could not be read and were left out.
    pub left_out: usize,
    /// Rings with the size they were named.
    pub rings: Vec<RingNamed>,
    /// What the note says that can hurt somebody.
    pub dangers: Vec<Diagnostic>,
    /// Other points of the note that look wrong, as `note check` shows them.
    pub doubts: Vec<Diagnostic>,
    /// Points to see.
    pub warnings: Vec<String>,
}

/// Says what was done with a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum AddOutcome {
    /// It is new in the book.
    Added,
    /// It took the place of another one, which is kept as history.
    Replaced,
    /// The very same note was there; nothing was changed.
    #[serde(rename = "already there")]
    AlreadyThere,
}

impl AddOutcome {
    /// Returns the words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Added => "added",
            Self::Replaced => "replaced the former note, which is kept as history",
            Self::AlreadyThere => "already there, nothing changed",
        }
    }
}

/// Says why notes were not added; nothing of any of them is stored then.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum NoteAddError {
    /// A price list of the demo shop cannot be read.
    #[error("a price list cannot be read: {0}")]
    Prices(String),
    /// A note holds errors.
    #[error("nothing was stored")]
    Unsound(Box<Unsound>),
    /// Another note stands in the book for the same unit and day.
    #[error("{place}: the book holds another note of unit {unit} for {day}, added {added_at}: add this one with --replace to put it in the other's place (which is kept as history), or give it its own date; nothing was stored", day = date.map_or_else(|| "no date".to_owned(), |d| d.to_string()))]
    Different {
        /// The file's name.
        place: String,
        unit: String,
        date: Option<Date>,
        /// When the other note was added.
        added_at: String,
    },
    /// A ring cannot be measured from the page that its note names.
    #[error("{place}: {source}; nothing was stored")]
    Page {
        /// The note's file.
        place: String,
        source: NotePageError,
    },
    /// The book cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// A note that is not sound, with what is wrong in it.
#[derive(Debug, Clone)]
pub struct Unsound {
    pub source: NoteText,
    /// What is wrong in it.
    pub check: NoteCheck,
    /// Whether the parts that can be read could be stored.
    pub has_sound_parts: bool,
}

/// A note that is ready to be stored.
pub(in crate::app) struct Ready<'n> {
    source: &'n NoteText,
    check: NoteCheck,
    note: Note,
    canonical: String,
    /// Parts and lines that could not be read.
    left_out: usize,
    rings: Vec<RingNamed>,
    /// What the book is to keep of the names.
    kept: Vec<NamedItem>,
    pictures: Vec<RingPicture>,
    /// Points to see of its scanned rings.
    warnings: Vec<String>,
}

/// Adds notes to the book in one transaction; the rings in them are named first.
///
/// # Errors
/// Nothing is stored where a note is not sound (unless the options say that the sound parts are enough), where another
/// note stands for the same unit and day (unless they say that it is replaced), or where the book cannot be written.
pub fn add_notes(
    place: &BookPlace,
    sources: &[NoteText],
    options: &AddOptions,
) -> Result<NotesAdded, NoteAddError> {
    let ready = prepare(place, sources, options)?;
    let mut book = Book::open_to_write(place)?;
    let notes = book.write(|book| store_all(book, ready, options))?;
    Ok(NotesAdded {
        book: place.path().display().to_string(),
        notes,
    })
}

/// Reads notes and names their rings, before the book is written to: with what the book knows of their models, and with each other.
pub(in crate::app) fn prepare<'n>(
    place: &BookPlace,
    sources: &'n [NoteText],
    options: &AddOptions,
) -> Result<Vec<Ready<'n>>, NoteAddError> {
    let mut pages = NotePages::new(place, options.pitch);
    let mut ready: Vec<Ready<'n>> = sources
        .iter()
        .map(|source| make_ready(source, options, &mut pages))
        .collect::<Result<_, _>>()?;
    let mut models: Vec<(ModelName, ModelRings)> = known_models(place, &ready)?;
    for one in &ready {
        let name = model_name(&one.note);
        if let Some((_, rings)) = models
            .iter_mut()
            .find(|(known, _)| known.key() == name.key())
        {
            rings.add(&one.note);
        }
    }
    let namer = RingNamer::new(&Prior::default().with_sold(sold_here(place)?));
    for (name, rings) in models {
        let weighed = rings.weighed(&namer);
        for one in ready
            .iter_mut()
            .filter(|one| model_name(&one.note).key() == name.key())
        {
            let rings = one.note.entries.iter();
            for entry in rings.filter(|entry| entry.kind == PartKind::Ring) {
                let of_model = weighed.of(&one.note.header.unit, entry);
                let (named, kept) = name_ring(entry, of_model, &namer, &options.added_at);
                one.rings.push(named);
                one.kept.extend(kept);
            }
        }
    }
    Ok(ready)
}

/// Names the model that a note is of, as the book keeps it.
pub(in crate::app) fn model_name(note: &Note) -> ModelName {
    ModelName {
        maker: note.header.maker.clone(),
        name: note.header.model.trim().to_owned(),
    }
}

/// Reads what the book knows of the models of notes; nothing where there is no book yet.
fn known_models(
    place: &BookPlace,
    ready: &[Ready<'_>],
) -> Result<Vec<(ModelName, ModelRings)>, StoreError> {
    let mut names: Vec<ModelName> = Vec::new();
    for one in ready {
        let name = model_name(&one.note);
        if !names.iter().any(|known| known.key() == name.key()) {
            names.push(name);
        }
    }
    let known = Book::read_at(place, |book| {
        let each = names.iter().map(|name| ModelRings::known(book, name));
        each.collect::<Result<Vec<_>, StoreError>>()
    })?;
    let known = known.unwrap_or_else(|| vec![ModelRings::default(); names.len()]);
    let heard = known
        .into_iter()
        .map(|rings| rings.hearing_the_maker(place));
    Ok(names.into_iter().zip(heard).collect())
}

/// Stores notes that are ready, inside one transaction.
pub(in crate::app) fn store_all(
    book: &BookWriter<'_>,
    ready: Vec<Ready<'_>>,
    options: &AddOptions,
) -> Result<Vec<NoteAdded>, NoteAddError> {
    ready
        .into_iter()
        .map(|one| store_one(book, one, options))
        .collect()
}

fn make_ready<'n>(
    source: &'n NoteText,
    options: &AddOptions,
    pages: &mut NotePages<'_>,
) -> Result<Ready<'n>, NoteAddError> {
    let reading = source.read();
    let mut check = check_reading(source, reading.clone(), options.latest);
    let header = &reading.note.header;
    let named = !header.model.trim().is_empty() && !header.unit.trim().is_empty();
    let mut note = if check.sound {
        reading.note.clone()
    } else {
        reading.sound_parts()
    };
    let has_sound_parts = named && !note.entries.is_empty();
    let storable = check.sound || (options.partial && has_sound_parts);
    if !storable {
        return Err(NoteAddError::Unsound(Box::new(Unsound {
            source: source.clone(),
            check,
            has_sound_parts,
        })));
    }
    let scanned = pages.read_into(&mut note, &source.folder);
    let scanned = scanned.map_err(|error| NoteAddError::Page {
        place: source.place.clone(),
        source: error,
    })?;
    let doubtful = scanned.doubtful.iter().map(|ring| {
        format!(
            "{ring} is measured with doubt: `ringwright ring scan {}` says why; take its diameters by hand",
            ring.page
        )
    });
    let canonical = print(&note);
    if !scanned.pictures.is_empty() {
        // What a page showed is looked at beside what was read by hand.
        let whole = NoteText::new(source.place.clone(), canonical.as_bytes(), NoteForm::Text);
        let whole = check_note(&whole, options.latest);
        (check.warnings, check.diagnostics) = (whole.warnings, whole.diagnostics);
    }
    Ok(Ready {
        source,
        left_out: check.errors.max(reading.faulty.len()),
        check,
        canonical,
        note,
        rings: Vec::new(),
        kept: Vec::new(),
        pictures: scanned.pictures,
        warnings: doubtful.collect(),
    })
}

fn store_one(
    book: &BookWriter<'_>,
    ready: Ready<'_>,
    options: &AddOptions,
) -> Result<NoteAdded, NoteAddError> {
    let header = &ready.note.header;
    let name = model_name(&ready.note);
    let newcomer = newcomer(book, &name, header.unit.trim())?;
    let mut warnings: Vec<String> = newcomer.into_iter().collect();
    warnings.extend_from_slice(&ready.warnings);
    let model = book.model_or_new(&name)?;
    let unit = book.unit_or_new(model, header.unit.trim())?;
    let former = book.note_of_day(unit, header.date)?;
    let outcome = match &former {
        None => AddOutcome::Added,
        Some(there) if there.canonical == ready.canonical => AddOutcome::AlreadyThere,
        Some(_) if options.replace => AddOutcome::Replaced,
        Some(there) => {
            return Err(NoteAddError::Different {
                place: ready.source.place.clone(),
                unit: header.unit.clone(),
                date: header.date,
                added_at: there.added_at.clone(),
            });
        }
    };
    if outcome != AddOutcome::AlreadyThere {
        write_note(book, unit, former.as_ref(), &ready, options)?;
    }
    if header.date.is_none() {
        warnings.push(
            "the note has no date: a later note of this unit without one will ask to replace it"
                .to_owned(),
        );
    }
    let (dangers, doubts) = ready
        .check
        .diagnostics
        .into_iter()
        .filter(|one| one.severity != Severity::Error)
        .partition(|one| one.severity == Severity::Danger);
    Ok(NoteAdded {
        place: ready.source.place.clone(),
        outcome,
        model: name.to_string(),
        unit: header.unit.clone(),
        date: header.date,
        parts: ready.note.entries.len(),
        left_out: ready.left_out,
        rings: ready.rings,
        dangers,
        doubts,
        warnings,
    })
}

/// Two names of models differ by a slip of the pen when a letter or two of three times as many are changed; names that
/// differ in their numbers alone ("Tarn" and "Tarn 2") are two models.
fn looks_misspelt(known: &ModelName, new: &ModelName) -> bool {
    const MOST_CHANGED: usize = 2;
    const LETTERS_FOR_ONE: usize = 3;
    let letters = |name: &ModelName| -> String {
        let key = name_key(&name.name);
        key.chars().filter(|c| !c.is_ascii_digit()).collect()
    };
    let (a, b) = (letters(known), letters(new));
    let changed = strsim::osa_distance(a.trim(), b.trim());
    changed > 0 && changed <= MOST_CHANGED && changed * LETTERS_FOR_ONE <= b.chars().count()
}

/// Serial numbers that differ by so many letters may be one, written wrong.
const MOST_LETTERS: usize = 1;

/// Says what is new to the book and near to something in it, which may be a slip of the pen.
fn newcomer(
    book: &BookReader<'_>,
    name: &ModelName,
    serial: &str,
) -> Result<Option<String>, StoreError> {
    let Some(model) = book.model(name)? else {
        let models = book.models()?;
        let own = name_key(&name.to_string());
        let makerless = |known: &ModelName| {
            let key = name_key(&known.to_string());
            known.maker.is_none() != name.maker.is_none()
                && (key.ends_with(&format!(" {own}")) || own.ends_with(&format!(" {key}")))
        };
        if let Some(known) = models.iter().find(|known| makerless(&known.name)) {
            return Ok(Some(format!(
                "{:?} is a new model in this book, beside {:?}: the maker is in one name alone. If it is that one, correct the note's \
                 `maker` line and add it again; until then the two have separate parts lists",
                name.to_string(),
                known.name.to_string()
            )));
        }
        let twin = models
            .iter()
            .find(|known| looks_misspelt(&known.name, name));
        return Ok(twin.map(|known| {
            format!(
                "{:?} is a new model in this book and differs by a letter or two from {:?}: if it is that one, correct the note and add it again",
                name.to_string(),
                known.name.to_string()
            )
        }));
    };
    if book.unit(model.id, serial)?.is_some() {
        return Ok(None);
    }
    let units = book.units(model.id)?;
    let twin = units
        .iter()
        .find(|unit| strsim::osa_distance(&unit.serial, serial) <= MOST_LETTERS);
    Ok(twin.map(|unit| {
        format!(
            "unit {serial:?} is new in this book; {:?} differs by one letter: is it another unit?",
            unit.serial
        )
    }))
}

fn write_note(
    book: &BookWriter<'_>,
    unit: UnitId,
    former: Option<&StoredNote>,
    ready: &Ready<'_>,
    options: &AddOptions,
) -> Result<(), StoreError> {
    let new = NewNote {
        note: &ready.note,
        form: ready.source.form,
        original: &ready.source.text,
        canonical: &ready.canonical,
        named: &ready.kept,
        unread_lines: u32::try_from(ready.left_out).unwrap_or(u32::MAX),
        added_at: &options.added_at,
        replaced_at: None,
        from_shop: None,
    };
    let note = book.add_note(unit, &new, former.map(|former| former.id))?;
    // A note that was printed and added again has its readings, and its pictures stay those of the former one.
    if let Some(former) = former {
        for picture in book.ring_pictures(former.id)? {
            let mut parts = former.note.entries.iter();
            let shown = parts.find(|part| part.order == picture.removal);
            let page = shown.and_then(|part| part.scan.as_ref());
            let mut parts = ready.note.entries.iter();
            if let Some(part) = parts.find(|part| page.is_some() && part.scan.as_ref() == page) {
                let removal = part.order;
                book.set_ring_picture(note, &RingPicture { removal, ..picture })?;
            }
        }
    }
    for picture in &ready.pictures {
        book.set_ring_picture(note, picture)?;
    }
    Ok(())
}
