//! Fills a new book with the demo shop.

use crate::app::note::add::{AddOptions, NoteAddError, NotesAdded, prepare, store_all};
use crate::app::note::check::{NoteForm, NoteText};
use crate::app::supply::price_list::{ImportError, ImportQuestion, store_list};
use crate::core::confidence::Confidence;
use crate::core::interchange::{Grade, Nickname, Statement};
use crate::core::quantity::{Currency, Money};
use crate::core::supply::ListTerms;
use crate::store::{Book, BookPlace, BookWriter, StoreError, Terms};
use std::path::PathBuf;

macro_rules! demo_notes {
    ($($name:literal),+ $(,)?) => {
        [$(($name, include_str!(concat!("../../../data/demo/notes/", $name))),)+]
    };
}

/// The teardown notes of the demo shop, an invented club's store room with invented models.
pub const DEMO_NOTES: [(&str, &str); 9] = demo_notes![
    "FT-000311.note",
    "FT-000478.note",
    "FT-001026.note",
    "FT-001530.note",
    "FT2-004417.note",
    "FT2-004623.note",
    "FT2-005102.note",
    "FB-000087.note",
    "FB-000214.note",
];

/// An invented supplier: its name, its list, carriage and minimum in US cents.
type DemoSupplier = (&'static str, &'static str, &'static str, i64, i64);

/// The invented suppliers of the demo shop.
const DEMO_SUPPLIERS: [DemoSupplier; 3] = [
    (
        "Fenwright Seals",
        "fenwright_seals.csv",
        include_str!("../../../data/demo/prices/fenwright_seals.csv"),
        650,
        1500,
    ),
    (
        "Aldmoor Counter",
        "aldmoor_counter.csv",
        include_str!("../../../data/demo/prices/aldmoor_counter.csv"),
        400,
        0,
    ),
    (
        "Lowmere Spares",
        "lowmere_spares.csv",
        include_str!("../../../data/demo/prices/lowmere_spares.csv"),
        500,
        500,
    ),
];

fn store_prices(book: &BookWriter<'_>, now: &str) -> Result<(), ImportError> {
    let currency = Currency::Usd;
    for (supplier, file, text, carriage, minimum) in DEMO_SUPPLIERS {
        let question = ImportQuestion {
            file: PathBuf::from(file),
            supplier: supplier.to_owned(),
            mapping: None,
            terms: ListTerms {
                currency,
                tax_included: false,
            },
            price_date: "2026-03-01".to_owned(),
            imported_at: now.to_owned(),
            rejects: None,
            preview: false,
            replace_newer: false,
        };
        store_list(book, &question, text)?;
        let id = book.supplier_or_new(supplier)?;
        let sum = |minor| Some(Money { minor, currency });
        let terms = Terms {
            carriage: sum(carriage),
            minimum: sum(minimum),
            free_above: None,
        };
        book.set_terms(id, currency, terms)?;
    }
    Ok(())
}

/// What the shop found out about parts in the place of others.
fn statements(said_at: &str) -> [Statement; 2] {
    let said = |(part, stand_in): (&str, &str), grade, at: &str, evidence: &str| Statement {
        part: part.to_owned(),
        stand_in: stand_in.to_owned(),
        grade,
        at: at.to_owned(),
        person: "M. Okafor".to_owned(),
        evidence: evidence.to_owned(),
        said_at: said_at.to_owned(),
    };
    [
        said(
            ("AS568-011", "ISO 3601-1 7.5x1.8"),
            Grade::Failed,
            "Tarn body, at piston stem",
            "pressure rose 12 psi in five minutes; taken out again",
        ),
        said(
            (
                "filter disc ; od 12.7 mm ; thick 3.2 mm",
                "filter disc ; od 12.3 mm ; thick 3.2 mm",
            ),
            Grade::FitsWithWork,
            "Tarn inlet, under clip",
            "centred with a brass sleeve",
        ),
    ]
}

/// Fills a new book with the demo shop, in one transaction.
///
/// # Errors
/// Refuses a book that holds notes already.
pub fn fill_demo(place: &BookPlace, added_at: &str) -> Result<NotesAdded, NoteAddError> {
    let sources: Vec<NoteText> = DEMO_NOTES
        .iter()
        .map(|(name, text)| NoteText::new(*name, text.as_bytes(), NoteForm::Text))
        .collect();
    let options = AddOptions {
        added_at: added_at.to_owned(),
        ..AddOptions::default()
    };
    let ready = prepare(place, &sources, &options)?;
    let mut book = Book::open_to_write(place)?;
    let notes = book.write(|book| {
        if book.note_count()? > 0 {
            return Err(NoteAddError::Store(StoreError::NotEmpty {
                path: place.path().to_owned(),
            }));
        }
        store_prices(book, added_at).map_err(|error| match error {
            ImportError::Store(error) => NoteAddError::Store(error),
            other => NoteAddError::Prices(other.to_string()),
        })?;
        for statement in statements(added_at) {
            book.add_statement(&statement)?;
        }
        book.add_nickname(&Nickname {
            name: "drawer 7".to_owned(),
            part: "AS568-025".to_owned(),
            confidence: Confidence::Memory,
            person: "M. Okafor".to_owned(),
            source: "label on the drawer".to_owned(),
            said_at: added_at.to_owned(),
        })?;
        store_all(book, ready, &options)
    })?;
    Ok(NotesAdded {
        book: place.path().display().to_string(),
        notes,
    })
}
