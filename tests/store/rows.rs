//! What goes into a book comes out of it.

use super::sample::{add, add_named, book_with_a_note, note, place};
use ringwright::core::book::ModelName;
use ringwright::core::exchange::{BookItem, CandidateItem, NamedItem};
use ringwright::store::{Book, BookPlace, BookReader, StoreError};

fn present_note(place: &BookPlace, serial: &str) -> ringwright::core::note::Note {
    let mut book = Book::open_to_read(place).expect("opens");
    book.read(|book| {
        let model = book.models()?.remove(0);
        let unit = book.unit(model.id, serial)?.expect("the unit");
        let stored = book.notes(unit.id)?.remove(0);
        assert_eq!(stored.original, "as handed in");
        assert_eq!(stored.canonical, "as printed");
        Ok(stored.note)
    })
    .unwrap_or_else(|error: StoreError| panic!("{error}"))
}

#[test]
fn a_note_comes_back_as_it_went_in() {
    let (_folder, place) = book_with_a_note();
    assert_eq!(present_note(&place, "ft2 004417"), note("FT2-004417"));
}

#[test]
fn a_note_without_a_day_comes_back_without_one() {
    let (_folder, place) = place();
    let mut bare = note("1");
    bare.header.date = None;
    bare.header.oxygen = None;
    bare.header.supply = None;
    add(&place, &bare);
    assert_eq!(present_note(&place, "1"), bare);
}

#[test]
fn a_replaced_note_stays_as_history() {
    let (_folder, place) = book_with_a_note();
    let mut changed = note("FT2-004417");
    changed.header.gas = Some("nitrox 32".into());
    add(&place, &changed);
    assert_eq!(present_note(&place, "FT2-004417"), changed);
    let mut book = Book::open_to_read(&place).expect("opens");
    book.read(|book| {
        let model = book.models()?.remove(0);
        let unit = book.units(model.id)?.remove(0);
        assert_eq!(book.notes(unit.id)?.len(), 1);
        let history = book.replaced_notes(unit.id)?;
        assert_eq!(history.len(), 1);
        assert!(history[0].replaced_at.is_some());
        assert_eq!(history[0].note, note("FT2-004417"));
        Ok::<_, StoreError>(())
    })
    .expect("reads");
}

#[test]
fn spellings_of_one_model_meet() {
    let (_folder, place) = place();
    let mut book = Book::open_to_write(&place).expect("opens");
    let name = |maker: Option<&str>, name: &str| ModelName {
        maker: maker.map(str::to_owned),
        name: name.to_owned(),
    };
    book.write(|book| {
        let first = book.model_or_new(&name(None, "Fellwater Tarn 2"))?;
        assert_eq!(
            first,
            book.model_or_new(&name(Some("Fellwater"), "TARN-2"))?
        );
        assert_ne!(first, book.model_or_new(&name(None, "Fellwater Tarn"))?);
        Ok::<_, StoreError>(())
    })
    .expect("writes");
}

/// Lists what the book keeps of the rings of its only note.
pub(crate) fn named(place: &BookPlace) -> Vec<NamedItem> {
    let mut book = Book::open_to_read(place).expect("opens");
    let items = |book: &BookReader<'_>| book.items();
    let items = book.read(items).unwrap_or_else(|error| panic!("{error}"));
    let items = items.into_iter();
    let mut notes = items.filter_map(|item| match item {
        BookItem::Note(note) => Some(note.named),
        _ => None,
    });
    notes.next().expect("a note")
}

#[test]
fn an_identification_comes_back_with_its_alternatives() {
    let (_folder, place) = place();
    let made = NamedItem {
        removal: 1,
        made_at: "2026-03-15T10:00:00Z".into(),
        made_by: "ringwright 0.1.0".into(),
        unlisted_probability: 0.06,
        candidates: vec![
            CandidateItem {
                codes: vec!["AS568-012".into(), "ISO 3601-1 012".into()],
                id_nm: 9_245_600,
                section_nm: 1_778_000,
                probability: 0.83,
                misfit_sigma: 0.4,
            },
            CandidateItem {
                codes: vec!["JIS B 2401 P9".into()],
                id_nm: 8_800_000,
                section_nm: 1_900_000,
                probability: 0.11,
                misfit_sigma: 1.7,
            },
        ],
    };
    add_named(&place, &note("FT2-004417"), std::slice::from_ref(&made));
    assert_eq!(named(&place), [made]);
}

#[test]
fn a_write_that_fails_leaves_nothing_behind() {
    let (_folder, place) = book_with_a_note();
    let mut book = Book::open_to_write(&place).expect("opens");
    let failed: Result<(), StoreError> = book.write(|book| {
        book.model_or_new(&ModelName {
            maker: None,
            name: "Halloran Mark 9".into(),
        })?;
        book.set_setting("oxygen", "40 %")?;
        Err(StoreError::NotEmpty {
            path: place.path().to_owned(),
        })
    });
    assert!(failed.is_err());
    book.read(|book| {
        assert_eq!(book.models()?.len(), 1);
        assert_eq!(book.setting("oxygen")?, None);
        Ok::<_, StoreError>(())
    })
    .expect("reads");
}

#[test]
fn a_setting_is_kept_and_changed() {
    let (_folder, place) = place();
    let mut book = Book::open_to_write(&place).expect("opens");
    for value in ["23.5 %", "40 %"] {
        book.write(|book| book.set_setting("oxygen", value))
            .expect("writes");
        let kept = book.read(|book| book.setting("oxygen")).expect("reads");
        assert_eq!(kept.as_deref(), Some(value));
    }
}

#[test]
fn a_word_that_is_not_of_the_list_is_named() {
    let (_folder, place) = book_with_a_note();
    let raw = rusqlite::Connection::open(place.path()).expect("opens");
    raw.execute(
        "UPDATE note SET body = json_set(body, '$.entries[0].kind', 'widget')",
        [],
    )
    .expect("writes");
    drop(raw);
    let mut book = Book::open_to_read(&place).expect("opens");
    let error = book
        .read(|book| {
            let model = book.models()?.remove(0);
            let unit = book.units(model.id)?.remove(0);
            book.notes(unit.id)
        })
        .expect_err("no such kind");
    assert!(matches!(error, StoreError::BadRow { .. }), "{error}");
    assert!(error.to_string().contains("widget"), "{error}");
}
