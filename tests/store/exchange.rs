//! Books that travel: exported, merged, merged again, merged the other way round.

use proptest::prelude::*;
use ringwright::app::book::export::{ExchangeError, ExportQuestion, book_export};
use ringwright::app::book::merge::{MergeReport, book_merge};
use ringwright::app::note::add::{AddOptions, add_notes};
use ringwright::app::note::check::{NoteForm, NoteText};
use ringwright::core::book::{MeasuredName, StockKey, StockLot};
use ringwright::core::confidence::Confidence;
use ringwright::core::exchange::{AsideReason, BookForm, BookItem, supersedes};
use ringwright::core::interchange::{Grade, Nickname, Statement};
use ringwright::core::job::{JobEntry, Opening};
use ringwright::core::quantity::{Currency, Date, Money};
use ringwright::core::stage::Gauge;
use ringwright::core::supply::{Described, OfferPrice, OfferRow};
use ringwright::store::{
    Book, BookPlace, BookWriter, NewJob, NewPriceList, NoteForm as Form, StoreError, Terms,
};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// What a shop does; small numbers, so that two shops often speak of the same thing.
#[derive(Debug, Clone)]
enum Act {
    Note { unit: u8, day: u8, od: u8 },
    Gauge { name: u8, offset: u8 },
    Setting { key: u8, value: u8 },
    Terms { supplier: u8, carriage: u8 },
    Prices { supplier: u8, price: u8, day: u8 },
    Lot { bin: u8, taken: u8 },
    Job { unit: u8, steps: u8 },
    Said { part: u8, grade: u8, by: u8 },
    Called { name: u8, part: u8, sure: u8 },
}

fn act() -> impl Strategy<Value = Act> {
    let small = || 0_u8..3;
    prop_oneof![
        (small(), small(), small()).prop_map(|(unit, day, od)| Act::Note { unit, day, od }),
        (small(), small()).prop_map(|(name, offset)| Act::Gauge { name, offset }),
        (small(), small()).prop_map(|(key, value)| Act::Setting { key, value }),
        (small(), small()).prop_map(|(supplier, carriage)| Act::Terms { supplier, carriage }),
        (small(), small(), small()).prop_map(|(supplier, price, day)| Act::Prices {
            supplier,
            price,
            day
        }),
        (small(), small()).prop_map(|(bin, taken)| Act::Lot { bin, taken }),
        (small(), small()).prop_map(|(unit, steps)| Act::Job { unit, steps }),
        (small(), small(), small()).prop_map(|(part, grade, by)| Act::Said { part, grade, by }),
        (small(), small(), small()).prop_map(|(name, part, sure)| Act::Called { name, part, sure }),
    ]
}

fn add_note(place: &BookPlace, (unit, day, od): (u8, u8, u8)) {
    let note = format!(
        "model Fellwater Tarn\nunit T-{unit}\ndate 2026-03-1{day}\nlengths mm\n\n[inlet]\n\
         o-ring ; at seat ; replace ; used ; od 12.8{od} by caliper ; cs 1.72 by flat\n"
    );
    let options = AddOptions {
        replace: true,
        added_at: format!("2026-03-2{od}T10:00:00Z"),
        ..AddOptions::default()
    };
    let source = NoteText::new("a.note", note.as_bytes(), NoteForm::Text);
    add_notes(place, &[source], &options).expect("a sound note");
}

fn offer(price: u8) -> OfferRow {
    OfferRow {
        line: 2,
        number: "AC 1".to_owned(),
        description: "O-ring 9.25 x 1.78".to_owned(),
        described: Described::default(),
        pack: 10,
        prices: vec![OfferPrice {
            from_packs: 1,
            minor: 100 + i64::from(price),
        }],
        restored: false,
        material_unread: None,
    }
}

fn lot(bin: u8) -> StockLot {
    StockLot {
        bin: format!("A{bin}"),
        part: "clip 20".to_owned(),
        key: StockKey::Named(MeasuredName::of("clip 20")),
        polymer: None,
        hardness: None,
        lot: None,
        cured: None,
        supplier: None,
        on_hand: 9,
    }
}

fn add_job(book: &BookWriter<'_>, (unit, steps): (u8, u8), at: &str) -> Result<(), StoreError> {
    let name = ringwright::core::book::ModelName {
        maker: None,
        name: "Tarn".to_owned(),
    };
    let model = book.model_or_new(&name)?;
    let serial = format!("T-{unit}");
    let row = book.unit_or_new(model, &serial)?;
    let job = book.add_job(&NewJob {
        unit: row,
        model: "Tarn",
        serial: &serial,
        opened_at: &format!("2026-03-2{unit}T10:00:00Z"),
    })?;
    for step in 0..=steps {
        let entry = JobEntry::Open(Opening {
            purpose: format!("step {step}"),
            gear: None,
            gas: "air".to_owned(),
            oxygen_pct: None,
            threshold_pct: 23.5,
            threshold_name: "default".to_owned(),
            supply: None,
        });
        book.add_job_entry(job, "A", at, &entry)?;
    }
    Ok(())
}

fn do_act(place: &BookPlace, act: &Act) {
    let at = "2026-03-20T10:00:00Z";
    if let Act::Note { unit, day, od } = *act {
        return add_note(place, (unit, day, od));
    }
    let mut book = Book::open_to_write(place).expect("a book");
    book.write(|book| {
        match *act {
            Act::Note { .. } => {}
            Act::Gauge { name, offset } => book.set_gauge(&Gauge {
                name: format!("gauge {name}"),
                offset_bar: f64::from(offset) / 3.0,
                sd_bar: 0.1,
                checked: Date::new(2026, 1, 1).expect("a day"),
                against: "master".to_owned(),
            })?,
            Act::Setting { key, value } => {
                book.set_setting(&format!("k{key}"), &format!("v{value}"))?;
            }
            Act::Terms { supplier, carriage } => {
                let id = book.supplier_or_new(&format!("Supplier {supplier}"))?;
                let currency = Currency::from_word("EUR").expect("known");
                let sum = |minor| Money { minor, currency };
                let terms = Terms {
                    carriage: Some(sum(i64::from(carriage))),
                    minimum: None,
                    free_above: (carriage % 2 == 0).then_some(sum(i64::from(carriage) * 10)),
                };
                book.set_terms(id, currency, terms)?;
            }
            Act::Prices {
                supplier,
                price,
                day,
            } => {
                let supplier = book.supplier_or_new(&format!("Supplier {supplier}"))?;
                let mut list = book.begin_price_list(&NewPriceList {
                    supplier,
                    file: "prices.csv",
                    imported_at: &format!("2026-03-2{day}T10:00:0{price}Z"),
                    price_date: "2026-03-01",
                    currency: "EUR",
                    tax: "excluded",
                    rows_expected: 1,
                    from_shop: None,
                })?;
                list.write(&offer(price))?;
                list.finish(0)?;
            }
            Act::Lot { bin, taken } => {
                let held = book.stock_lots()?;
                let there = held.iter().find(|l| l.lot.bin == format!("A{bin}"));
                let id = match there {
                    Some(there) => there.id,
                    None => book.add_stock_lot(&lot(bin), at)?,
                };
                if taken > 0 && there.is_none_or(|l| l.lot.on_hand > 3) {
                    book.move_stock(id, -i64::from(taken), "T-1", at)?;
                }
            }
            Act::Said { part, grade, by } => book.add_statement(&Statement {
                part: format!("AS568-01{part}"),
                stand_in: "P10A".to_owned(),
                grade: Grade::ALL[usize::from(grade)],
                at: String::new(),
                person: format!("person {by}"),
                evidence: "tried".to_owned(),
                said_at: at.to_owned(),
            })?,
            Act::Called { name, part, sure } => book.add_nickname(&Nickname {
                name: format!("drawer {name}"),
                part: format!("AS568-01{part}"),
                confidence: if sure == 0 {
                    Confidence::Memory
                } else {
                    Confidence::Measured
                },
                person: "A".to_owned(),
                source: "label".to_owned(),
                said_at: at.to_owned(),
            })?,
            Act::Job { unit, steps } => add_job(book, (unit, steps), at)?,
        }
        Ok::<_, StoreError>(())
    })
    .expect("writes");
}

struct Shop {
    _folder: tempfile::TempDir,
    place: BookPlace,
    root: PathBuf,
}

impl Shop {
    fn new(acts: &[Act]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let root = folder.path().to_owned();
        let shop = Self {
            place: BookPlace::named(root.join("shop.book")),
            root,
            _folder: folder,
        };
        for act in acts {
            do_act(&shop.place, act);
        }
        shop
    }

    fn export(&self, shop: &str) -> PathBuf {
        let file = self.root.join(format!(
            "{shop}-{}.json",
            std::fs::read_dir(&self.root).expect("lists").count()
        ));
        let question = ExportQuestion {
            shop: Some(shop.to_owned()),
            prices: true,
            written_at: "2026-04-01T10:00:00Z".to_owned(),
        };
        book_export(&self.place, &file, &question).expect("exports");
        file
    }

    fn merge(&self, file: &Path) -> MergeReport {
        book_merge(&self.place, file, "2026-04-02T10:00:00Z").expect("merges")
    }

    /// Everything that the book holds, in force or set aside, without earlier states of later ones.
    fn content(&self) -> BTreeSet<(&'static str, String, String)> {
        let mut book = Book::open_to_read(&self.place).expect("a book");
        let (items, aside) = book
            .read(|book| Ok::<_, StoreError>((book.items()?, book.set_aside()?)))
            .expect("reads");
        let all: Vec<BookItem> = items
            .into_iter()
            .chain(aside.into_iter().map(|a| a.item))
            .collect();
        let mine = |item: &&BookItem| !matches!(item, BookItem::Setting(s) if s.key == "shop");
        let earlier = |item: &BookItem| {
            let same = |other: &BookItem| other.what() == item.what() && other.key() == item.key();
            all.iter().any(|other| {
                same(other) && other.content() != item.content() && supersedes(other, item)
            })
        };
        all.iter()
            .filter(mine)
            .filter(|item| !earlier(item))
            .map(|item| (item.what(), item.key(), item.content()))
            .collect()
    }
}

fn read_form(file: &Path) -> BookForm {
    BookForm::read(&std::fs::read(file).expect("reads")).expect("a form")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn merging_is_commutative_idempotent_and_loses_nothing(
        ours in prop::collection::vec(act(), 1..10),
        theirs in prop::collection::vec(act(), 1..10),
        third in prop::collection::vec(act(), 1..6),
    ) {
        let (a, b, c) = (Shop::new(&ours), Shop::new(&theirs), Shop::new(&third));
        let (of_a, of_b, of_c) = (a.export("a"), b.export("b"), c.export("c"));
        let (alone_a, alone_b) = (a.content(), b.content());
        a.merge(&of_b);
        b.merge(&of_a);
        prop_assert_eq!(a.content(), b.content(), "either way round");
        let lost = |alone: &BTreeSet<(&'static str, String, String)>| {
            let now = a.content();
            let kept_by_key = |what: &str, key: &str| now.iter().any(|(w, k, _)| *w == what && k == key);
            alone.iter().find(|item| {
                // A supplier of whom nothing was said, and earlier states of one record, live on in what says more.
                let lives_on = matches!(item.0, "supplier" | "job" | "lot") && kept_by_key(item.0, &item.1);
                !now.contains(*item) && !lives_on
            }).cloned()
        };
        prop_assert_eq!(lost(&alone_a), None);
        prop_assert_eq!(lost(&alone_b), None);
        // Again changes nothing, not even the file's items.
        let before = read_form(&a.export("a"));
        let again = a.merge(&of_b);
        prop_assert!(again.taken.is_empty() && again.set_aside.is_empty(), "{:?}", again);
        prop_assert_eq!(before.items, read_form(&a.export("a")).items);
        // And in any grouping: (a + b) + c is c + (b + a).
        let both = b.export("b");
        a.merge(&of_c);
        c.merge(&both);
        prop_assert_eq!(a.content(), c.content());
        // A merged book is sound.
        let report = ringwright::app::book::care::book_check(&a.place).expect("reads");
        prop_assert!(report.is_sound(), "{:?}", report);
    }
}

#[test]
fn a_note_travels_whole_with_what_was_said_of_its_rings() {
    let (from, to) = (Shop::new(&[]), Shop::new(&[]));
    add_note(&from.place, (1, 1, 0));
    add_note(&from.place, (1, 1, 2));
    let file = from.export("Lake store room");
    let report = to.merge(&file);
    assert_eq!(
        report.taken["note"], 2,
        "the present one and the one it replaced"
    );
    assert_eq!(from.content(), to.content());
    let (sent, got) = (read_form(&file), read_form(&to.export("Hill")));
    assert_eq!(sent.items, got.items, "byte for byte, with odds and days");
    assert_eq!(got.origins.len(), 1);
    assert_eq!(got.origins[0].shop, "Lake store room");
    let mut book = Book::open_to_read(&to.place).expect("a book");
    let form = book
        .read(|book| {
            let model = book.models()?.remove(0);
            let unit = book.units(model.id)?.remove(0);
            Ok::<_, StoreError>(book.present_notes(unit.id)?.remove(0).form)
        })
        .expect("reads");
    assert_eq!(form, Form::Text);
}

#[test]
fn what_contradicts_is_set_aside_and_shown_where_it_differs() {
    let (ours, theirs) = (Shop::new(&[]), Shop::new(&[]));
    add_note(&ours.place, (1, 1, 0));
    add_note(&theirs.place, (1, 1, 2));
    let report = ours.merge(&theirs.export("Hill"));
    assert_eq!(report.set_aside.len(), 1);
    let line = &report.set_aside[0];
    assert_eq!(line.reason, AsideReason::Conflict);
    let (here, there) = line.differs.as_ref().expect("they differ");
    assert!(
        here.contains("od 12.80") && there.contains("od 12.82"),
        "{here} / {there}"
    );
}

#[test]
fn a_record_that_was_changed_on_the_way_is_refused_and_nothing_is_merged() {
    let (from, to) = (Shop::new(&[Act::Job { unit: 1, steps: 1 }]), Shop::new(&[]));
    add_note(&from.place, (1, 1, 0));
    let file = from.export("Hill");
    let text = std::fs::read_to_string(&file).expect("reads");
    std::fs::write(&file, text.replace("step 1", "step 9")).expect("writes");
    let error = book_merge(&to.place, &file, "2026-04-02").expect_err("broken seal");
    assert!(matches!(error, ExchangeError::Form { .. }), "{error}");
    assert!(error.to_string().contains("entry 2"), "{error}");
    assert!(!to.place.path().exists(), "nothing was made");
}
