//! Finds offers by number, words or dimensions, and where the models of the book use such a part.

use crate::app::model::list_maker::ListMaker;
use crate::app::model::part_find::{FoundPart, PartQuestion, find_parts};
use crate::app::model::statements::Statements;
use crate::app::model::unit_records::recorded_models;
use crate::core::caution::Caution;
use crate::core::quantity::Length;
use crate::core::sizes::{NominalSize, read_designation};
use crate::core::supply::{NamedRing, size_note};
use crate::store::{Book, BookPlace, BookReader, FormerPrice, RingWindow, StoreError, StoredOffer};
use serde::Serialize;

/// Says what is looked for.
#[derive(Debug, Clone)]
pub struct FindQuestion {
    /// A number, words or a ring code; empty where only dimensions are given.
    pub words: String,
    /// A window on both dimensions.
    pub window: Option<RingWindow>,
    /// The most offers that are listed, and the most parts.
    pub most: u32,
}

/// Says how an offer was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FoundBy {
    /// Its number is the one asked for.
    Number,
    /// Its number begins so.
    NumberBegins,
    /// It is the ring that the code names.
    Size,
    /// It holds every word.
    Words,
    /// Its number differs by typing errors.
    TypingErrors,
    /// Its dimensions lie in the window.
    Window,
    /// It stands in the list that was asked for.
    List,
}

/// One offer with how it was found.
#[derive(Debug, Clone, Serialize)]
pub struct FoundOffer {
    pub by: FoundBy,
    /// Typing errors between the number and the one asked for.
    pub errors: usize,
    /// How the size that it writes differs from that of the ring it is taken for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size_note: Option<String>,
    /// The offer.
    #[serde(flatten)]
    pub offer: StoredOffer,
}

impl FoundOffer {
    fn of(by: FoundBy, errors: usize, offer: StoredOffer) -> Self {
        Self {
            by,
            errors,
            size_note: size_note(&offer.description).filter(|_| offer.meanings > 0),
            offer,
        }
    }
}

/// What was found.
#[derive(Debug, Clone, Serialize)]
pub struct FindReport {
    pub asked: String,
    /// The offers, best first.
    pub offers: Vec<FoundOffer>,
    /// What the number cost before.
    pub former_prices: Vec<FormerPrice>,
    /// Where such a part is used in the models of the book, the surest first.
    pub parts: Vec<FoundPart>,
    /// What stands on every answer of this kind.
    pub cautions: Vec<Caution>,
}

/// A code names its ring; offers that write its dimensions round them to the hundredth.
const SAME_NM: i64 = 20_000;

/// Finds offers, and where such a part is used.
pub fn find_offers(place: &BookPlace, question: &FindQuestion) -> Result<FindReport, StoreError> {
    let words = question.words.trim();
    let (mut report, rings, models, said) = Book::open_to_read(place)?.read(|book| {
        Ok::<_, StoreError>((
            find(book, question)?,
            known_windows(book, words)?,
            recorded_models(book)?,
            Statements::read(book)?,
        ))
    })?;
    let asked = PartQuestion {
        words,
        window: question.window,
        rings: &rings,
        most: question.most as usize,
    };
    report.parts = find_parts(&models, &said, &mut ListMaker::beside(place), &asked);
    Ok(report)
}

/// Lists the offers of a supplier's list in force, as they were read; `None` where the book has no such supplier.
pub fn list_offers(place: &BookPlace, supplier: &str) -> Result<Option<FindReport>, StoreError> {
    Book::open_to_read(place)?.read(|book| {
        let Some(known) = book.supplier(supplier)? else {
            return Ok(None);
        };
        let listed = |offer| FoundOffer::of(FoundBy::List, 0, offer);
        let offers = book.offers_of_supplier(&known.name)?;
        Ok(Some(FindReport {
            asked: known.name,
            offers: offers.into_iter().map(listed).collect(),
            former_prices: Vec::new(),
            parts: Vec::new(),
            cautions: vec![Caution::Offered],
        }))
    })
}

/// Finds offers inside one reading of the book; parts of models are not looked at, because their lists are made first.
pub fn find(book: &BookReader<'_>, question: &FindQuestion) -> Result<FindReport, StoreError> {
    let mut found = Found {
        offers: Vec::new(),
        most: question.most as usize,
    };
    let words = question.words.trim();
    if let Some(window) = question.window {
        found.add(
            FoundBy::Window,
            book.offers_in_window(window, question.most)?,
        );
        let lower: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
        found.offers.retain(|one| {
            let text = format!("{} {}", one.offer.number, one.offer.description).to_lowercase();
            lower.iter().all(|word| text.contains(word))
        });
    } else if !words.is_empty() {
        found.add(
            FoundBy::Number,
            book.offers_with_number(words, question.most)?,
        );
        let windows = known_windows(book, words)?;
        if windows.is_empty() && !found.offers.is_empty() {
            // Whoever types a whole number that is no ring code means that number.
            found.most = found.offers.len();
        }
        for window in windows {
            if found.wants_more() {
                found.add(FoundBy::Size, book.offers_in_window(window, question.most)?);
            }
        }
        if found.wants_more() {
            found.add(
                FoundBy::NumberBegins,
                book.offers_beginning(words, question.most)?,
            );
        }
        if found.wants_more() {
            let words: Vec<&str> = words.split_whitespace().collect();
            found.add(FoundBy::Words, book.offers_holding(&words, question.most)?);
        }
        if found.offers.is_empty() {
            for (errors, offer) in book.offers_mistyped(words, question.most as usize)? {
                let mistyped = FoundOffer::of(FoundBy::TypingErrors, errors, offer);
                found.offers.push(mistyped);
            }
        }
    }
    let former_prices = if words.is_empty() {
        Vec::new()
    } else {
        book.former_prices(words)?
    };
    Ok(FindReport {
        asked: question.words.clone(),
        offers: found.offers,
        former_prices,
        parts: Vec::new(),
        cautions: vec![Caution::Offered],
    })
}

struct Found {
    offers: Vec<FoundOffer>,
    most: usize,
}

impl Found {
    fn wants_more(&self) -> bool {
        self.offers.len() < self.most
    }

    fn add(&mut self, by: FoundBy, offers: Vec<StoredOffer>) {
        for offer in offers {
            if self.wants_more() && self.offers.iter().all(|known| known.offer.id != offer.id) {
                self.offers.push(FoundOffer::of(by, 0, offer));
            }
        }
    }
}

/// The windows of the rings that a text can name, by itself or as a name that people use for them; a text that names none has
/// none.
fn known_windows(book: &BookReader<'_>, text: &str) -> Result<Vec<RingWindow>, StoreError> {
    let mut names = vec![text.to_owned()];
    names.extend(
        book.meanings(text)?
            .into_iter()
            .map(|known| known.said.part),
    );
    let readings = names
        .iter()
        .flat_map(|name| read_designation(name, None).unwrap_or_default());
    Ok(readings
        .map(|reading| window_of(NamedRing::of(&reading.size).size))
        .collect())
}

/// The window in which offers of a ring lie.
pub(super) fn window_of(ring: NominalSize) -> RingWindow {
    let slack = Length::from_nm(SAME_NM);
    RingWindow {
        id: (ring.id - slack, ring.id + slack),
        section: (ring.section - slack, ring.section + slack),
    }
}

/// Finds offers for many questions in one reading of the book, and says how long each took.
pub fn find_many(
    place: &BookPlace,
    questions: &[FindQuestion],
    each: &mut dyn FnMut(&FindReport, std::time::Duration),
) -> Result<(), StoreError> {
    let mut book = Book::open_to_read(place)?;
    book.read(|book| {
        for question in questions {
            let begun = std::time::Instant::now();
            let report = find(book, question)?;
            each(&report, begun.elapsed());
        }
        Ok(())
    })
}
