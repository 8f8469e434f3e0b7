//! Sample notes and books for the tests.

use ringwright::core::book::ModelName;
use ringwright::core::elastomer::Polymer;
use ringwright::core::exchange::NamedItem;
use ringwright::core::gear::GearKind;
use ringwright::core::gland::{Duty, GlandDimension, GlandKind, GlandSpec, PressureSide};
use ringwright::core::measurement::{Condition, Measurand, Reading};
use ringwright::core::note::{
    Entry, Fate, Header, LengthName, Note, PartDimension, PartKind, SizeWitness, StatedSize,
};
use ringwright::core::quantity::{
    Date, LengthUnit, Typed, parse_angle, parse_dimension, parse_hardness, parse_pressure,
    parse_torque,
};
use ringwright::store::{Book, BookPlace, NewNote, NoteForm, NoteId, StoreError};
use std::path::PathBuf;
use tempfile::TempDir;

/// Makes an empty folder and the place of a book in it.
pub(crate) fn place() -> (TempDir, BookPlace) {
    let folder = TempDir::new().expect("a folder");
    let place = BookPlace::named(folder.path().join("shop.book"));
    (folder, place)
}

/// Makes a folder with a book that holds one note.
pub(crate) fn book_with_a_note() -> (TempDir, BookPlace) {
    let (folder, place) = place();
    add(&place, &note("FT2-004417"));
    (folder, place)
}

/// Adds a note to the book at a place.
pub(crate) fn add(place: &BookPlace, note: &Note) -> NoteId {
    add_named(place, note, &[])
}

/// Adds a note to the book at a place with what is said of its rings.
pub(crate) fn add_named(place: &BookPlace, note: &Note, named: &[NamedItem]) -> NoteId {
    let mut book = Book::open_to_write(place).expect("opens");
    let new = NewNote {
        note,
        form: NoteForm::Text,
        original: "as handed in",
        canonical: "as printed",
        named,
        unread_lines: 0,
        added_at: "2026-03-15T10:00:00Z",
        replaced_at: None,
        from_shop: None,
    };
    book.write(|book| {
        let name = ModelName {
            maker: None,
            name: note.header.model.clone(),
        };
        let model = book.model_or_new(&name)?;
        let unit = book.unit_or_new(model, &note.header.unit)?;
        let former = book.note_of_day(unit, note.header.date)?;
        book.add_note(unit, &new, former.map(|n| n.id))
    })
    .unwrap_or_else(|error: StoreError| panic!("{error}"))
}

/// Makes a note in which every field holds something.
pub(crate) fn note(unit: &str) -> Note {
    let words = |words: &[&str]| words.iter().map(|w| (*w).to_owned()).collect::<Vec<_>>();
    Note {
        header: Header {
            maker: Some("Fellwater".into()),
            model: "Fellwater Tarn 2".into(),
            unit: unit.into(),
            gear: Some(GearKind::FirstStage),
            variant: Some("long bonnet".into()),
            made: Some("us 1962".to_owned()),
            date: Date::new(2026, 3, 14),
            gas: Some("air".into()),
            oxygen: Some(Typed::new(0.21, "21 %")),
            supply: parse_pressure("200 bar").ok(),
            rated: parse_pressure("2500 psig").ok(),
            lengths: Some(LengthUnit::Mm),
            by: Some("R. Howe".into()),
            owner: Some("lake rescue".into()),
            purpose: Some("breathing".into()),
            connection: Some("yoke".into()),
            as_found: words(&["creeps 3 psi in 5 min", "hiss at yoke"]),
            photos: words(&["IMG_0012.jpg"]),
            remarks: words(&["Größe ½; \u{202e}odd"]),
            comments: words(&["first try"]),
        },
        entries: vec![ring_entry(), filter_entry()],
        closing_comments: words(&["bagged"]),
    }
}

fn ring_entry() -> Entry {
    let reading = |measurand, text| Reading::parse(measurand, text, None).expect("reads");
    let dimension = |name, text| (name, parse_dimension(text, None).expect("reads"));
    Entry {
        order: 1,
        section: "inlet".into(),
        position: "at filter seat".into(),
        kind: PartKind::Ring,
        kind_stated: true,
        name: "o-ring".into(),
        quantity: 2,
        fate: Fate::Replace,
        condition: Some(Typed::new(Condition::Rough, "flattened")),
        readings: vec![
            reading(Measurand::Od, "16.0 15.9 16.0 mm by caliper"),
            reading(Measurand::Cs, "1/16 in by flat"),
            reading(Measurand::Mass, "0.12 g"),
        ],
        stated_size: Some(StatedSize {
            text: "-012".into(),
            by: SizeWitness::Drawer,
        }),
        polymer: Some(Typed::new(Polymer::Nbr, "Buna-N")),
        hardness: parse_hardness("70 Shore A").ok(),
        gland: Some(GlandSpec {
            kind: GlandKind::Face,
            dimensions: vec![
                dimension(GlandDimension::Outer, "16.2+0.05/-0 mm"),
                dimension(GlandDimension::Depth, "1.35 mm"),
                dimension(GlandDimension::Width, "3/32 in"),
            ],
            duty: Some(Duty::Static),
            pressure: parse_pressure("200 bar abs").ok(),
            from: Some(PressureSide::Inside),
            angle: parse_angle("5 deg").ok(),
            back_ups: 1,
        }),
        colour: Some("green".into()),
        remarks: vec!["tight".into(), "brittle".into()],
        line: 9,
        ..Entry::default()
    }
}

fn filter_entry() -> Entry {
    let length = |name, text: &str| PartDimension {
        name,
        values: vec![parse_dimension(text, None).expect("reads").value],
        method: "caliper".into(),
        typed: text.into(),
    };
    Entry {
        order: 2,
        section: "inlet".into(),
        kind: PartKind::Filter,
        name: "filter disc".into(),
        quantity: 1,
        fate: Fate::Inspect,
        dimensions: vec![
            length(LengthName::Od, "14.9±0.1 mm"),
            length(LengthName::Thick, "2.8 mm"),
        ],
        material: Some("sintered bronze".into()),
        tool: Some("pin spanner 4 mm".into()),
        torque: parse_torque("25 N m").ok(),
        turns: Some(Typed::new(2.5, "2 1/2")),
        thread: Some("7/16-20 UNF".into()),
        exposed: Some("3 threads".into()),
        orientation: Some("cone up".into()),
        side: Some("supply".into()),
        face: Some("rough face down".into()),
        marking: Some("F7".into()),
        photos: vec!["IMG_0013.jpg".into()],
        comments: vec!["see photo".into()],
        line: 11,
        ..Entry::default()
    }
}

/// Lists every byte of a folder's files by name, to compare before and after.
pub(crate) fn contents(folder: &TempDir) -> Vec<(PathBuf, Vec<u8>)> {
    let mut files: Vec<(PathBuf, Vec<u8>)> = std::fs::read_dir(folder.path())
        .expect("a folder")
        .map(|file| {
            let path = file.expect("a file").path();
            let bytes = std::fs::read(&path).expect("reads");
            (path, bytes)
        })
        .collect();
    files.sort();
    files
}
