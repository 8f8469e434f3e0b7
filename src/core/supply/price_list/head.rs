//! What the head of a column says, in the words of price lists.
//!
//! A head is first looked up whole among the phrases of `data/supply/column_heads.csv`. A head that speaks of a price is then
//! read word by word (`data/supply/price_words.csv`): what the price is for ("je 100 Stk"), from how many on it holds ("ab 10",
//! "10+", "1-9"), whether it is the list's or the net one, the old or the new, with tax or without, in which currency. Any
//! other head is known by the longest phrase in it.

use super::column::{Column, PriceColumn, Priced};
use super::head_word::{HeadWord, PRICE_WORDS, PriceRole, folded, words};
use crate::core::data_table::shipped_rows;
use crate::core::elastomer::Polymer;
use crate::core::quantity::Currency;
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::LazyLock;

/// Says what a head tells of its column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum HeadSays {
    /// It holds something that an offer needs.
    Holds {
        column: Column,
        /// Whether the whole head says so, and not a part of it.
        whole: bool,
    },
    /// It holds a price.
    Price(PriceHead),
    /// It holds nothing that an offer needs: stock, weight, customs number.
    NotNeeded {
        /// Whether the whole head says so.
        whole: bool,
    },
}

/// What a head says of a price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct PriceHead {
    /// What the price is for, where the head says so.
    pub(super) priced: Option<Priced>,
    /// From how many on it holds.
    pub(super) from: u32,
    /// A number stands beside the price and nothing says whether the price is for so many or from so many on.
    pub(super) bare_number: bool,
    /// The number that stands bare beside a word for price.
    pub(super) counted: Option<u32>,
    /// Whether it is the list price or the old one: not what is paid.
    pub(super) not_paid: Option<NotPaid>,
    /// Whether tax is in it.
    pub(super) tax_included: Option<bool>,
    pub(super) currency: Option<Currency>,
    /// It is the gross one: the list's, or one with tax.
    pub(super) gross: bool,
    /// A word says that this is what is paid: net, new.
    pub(super) paid: bool,
}

/// Says why a price is not what is paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NotPaid {
    List,
    Old,
}

#[derive(Deserialize)]
struct PhraseRow {
    head: String,
    /// A column, or "not-needed".
    column: String,
}

/// What a phrase holds; `None` where it is not needed.
type PhraseHolds = Option<Column>;

static PHRASES: LazyLock<HashMap<String, PhraseHolds>> = LazyLock::new(|| {
    let rows: Vec<PhraseRow> = shipped_rows!("supply/column_heads.csv");
    rows.into_iter()
        .map(|row| (folded(&row.head), Column::from_word(&row.column)))
        .collect()
});

/// Reads the head of a column; `None` where it says nothing that is known.
pub(super) fn read_head(head: &str) -> Option<HeadSays> {
    const COUNTED: [PriceRole; 4] = [
        PriceRole::From,
        PriceRole::Pack,
        PriceRole::Piece,
        PriceRole::Filler,
    ];
    const FILLERS: [PriceRole; 3] = [PriceRole::Filler, PriceRole::Millimetre, PriceRole::Inch];
    let words = words(head);
    if words.is_empty() {
        return None;
    }
    let says = |words: &[&str]| PHRASES.get(&words.join(" ")).copied();
    let without = |fillers: &[PriceRole]| -> Vec<&str> {
        let kept = words.iter().filter(|word| !word.is_apart());
        let kept = kept.filter(|word| !word.is_any(fillers));
        kept.map(|word| word.text.as_str()).collect()
    };
    let (named, bare) = (without(&[]), without(&FILLERS));
    let inches = words.iter().any(|word| word.is(PriceRole::Inch));
    let holds = |found: Option<Column>, whole| match found {
        None => HeadSays::NotNeeded { whole },
        Some(Column::Price(column)) => HeadSays::Price(PriceHead::read(&words, Some(column))),
        Some(column) if inches => HeadSays::Holds {
            column: column.in_inches(),
            whole,
        },
        Some(column) => HeadSays::Holds { column, whole },
    };
    if named.is_empty() {
        // A lone sign of a currency heads a column of prices.
        return Some(HeadSays::Price(PriceHead::read(&words, None)));
    }
    if let Some(found) = says(&named).or_else(|| says(&bare)) {
        return Some(holds(found, true));
    }
    if speaks_of_price(&words) {
        // What changes a price and is not understood makes the head one that is not understood.
        return (!is_unclear(&words)).then(|| HeadSays::Price(PriceHead::read(&words, None)));
    }
    if words.iter().all(|word| word.is_any(&COUNTED))
        && words.iter().any(|word| word.is(PriceRole::From))
    {
        return Some(holds(Some(Column::FromQuantity), true));
    }
    longest_phrase(&named).map(|found| holds(found, false))
}

/// Finds the longest phrase in a head; of two as long the one that is not needed, else the later one.
fn longest_phrase(words: &[&str]) -> Option<PhraseHolds> {
    (1..words.len()).rev().find_map(|length| {
        let found: Vec<PhraseHolds> = words
            .windows(length)
            .filter_map(|window| PHRASES.get(&window.join(" ")).copied())
            .collect();
        let not_needed = found.iter().find(|column| column.is_none());
        not_needed.or(found.last()).copied()
    })
}

/// Tells whether something in a head of prices may change what they are, and nobody can tell how: a year or a day, a price in
/// hundredths of the currency, "per M", or a number beside a word that is not known, such as that of a hardness.
fn is_unclear(words: &[HeadWord]) -> bool {
    const YEARS: std::ops::RangeInclusive<u32> = 1980..=2100;
    let numbers = || words.iter().filter_map(|word| word.number);
    let unknown = |word: &HeadWord| !word.is_known() && word.number.is_none();
    let minor = |(at, word): (usize, &HeadWord)| {
        word.is(PriceRole::Minor) && !(word.is(PriceRole::Hundred) && is_per(words, at))
            || word.text == "m" && is_per(words, at)
    };
    words.iter().enumerate().any(minor)
        || numbers().any(|(number, _)| YEARS.contains(&number))
        || (numbers().next().is_some() && words.iter().any(unknown))
        || words
            .iter()
            .any(|word| unknown(word) && Polymer::from_word(&word.text).is_some())
}

/// Tells whether a word says what a price is for, because "per" or a stroke stands before it.
fn is_per(words: &[HeadWord], place: usize) -> bool {
    let before = place.checked_sub(1).map(|before| &words[before]);
    before.is_some_and(|before| before.is(PriceRole::Per) || before.text == "/")
}

/// A head is one of prices where it has a word for price, or is nothing but a number from which one holds.
fn speaks_of_price(words: &[HeadWord]) -> bool {
    let is = |role| words.iter().any(|word| word.is(role));
    let numbers = words.iter().filter_map(|word| word.number);
    let from = is(PriceRole::From) || numbers.clone().any(|(_, from)| from);
    let others = words.iter().any(|word| {
        const BESIDE: [PriceRole; 5] = [
            PriceRole::From,
            PriceRole::Piece,
            PriceRole::Pack,
            PriceRole::Per,
            PriceRole::Filler,
        ];
        !word.is_any(&BESIDE) && word.number.is_none() && !word.is_apart()
    });
    let priced = words.iter().any(|word| word.currency.is_some());
    is(PriceRole::Price)
        || ((from || priced) && numbers.count() == 1 && !others)
        || (priced && (is(PriceRole::Net) || is(PriceRole::List)))
}

impl PriceHead {
    /// Reads what a head says of its price, word by word; `known`: what its phrase said already.
    fn read(words: &[HeadWord], known: Option<PriceColumn>) -> Self {
        let is = |role| words.iter().any(|word| word.is(role));
        // A plain price in the phrases leaves open what it is for.
        let mut priced = known
            .map(|column| column.priced)
            .filter(|priced| *priced != Priced::Pack);
        let mut from = known.map(|column| column.from).filter(|from| *from > 1);
        let mut bare_number = false;
        let mut counted = None;
        for (place, word) in words.iter().enumerate() {
            let per = is_per(words, place);
            let pack_behind = words
                .get(place + 1)
                .is_some_and(|next| next.is(PriceRole::Pack));
            match word.number {
                Some((number, begins)) if begins || Self::begins_at(words, place) => {
                    from = from.or(Some(number));
                }
                Some((1, _)) if per && pack_behind => priced = priced.or(Some(Priced::Pack)),
                // "Prix unitaire par 10": the price of one from ten on.
                Some((number, _)) if per && number > 1 && is(PriceRole::Each) => {
                    from = from.or(Some(number));
                }
                Some((number, _)) if per => priced = Some(Priced::Pieces(number)),
                Some((number, _)) => {
                    counted = counted.or(Some(number).filter(|_| is(PriceRole::Price)));
                    bare_number = from.is_none();
                    from = from.or(Some(number));
                }
                None if word.is(PriceRole::Hundred)
                    && (per || word.text.len() > 1 || word.text == "%") =>
                {
                    priced = Some(Priced::Pieces(100));
                }
                None if word.is(PriceRole::Thousand) => priced = Some(Priced::Pieces(1000)),
                None if word.is(PriceRole::Each) => priced = priced.or(Some(Priced::Pieces(1))),
                None if word.is(PriceRole::Piece) && (per || !Self::counts(words, place)) => {
                    priced = priced.or(Some(Priced::Pieces(1)));
                }
                None if word.is(PriceRole::Pack) => priced = priced.or(Some(Priced::Pack)),
                None => {}
            }
        }
        let with = is(PriceRole::TaxIncluded) || (is(PriceRole::Tax) && is(PriceRole::With));
        let without = is(PriceRole::TaxExcluded) || (is(PriceRole::Tax) && is(PriceRole::Without));
        let denied = is(PriceRole::Not);
        let tax_included = match (with && !denied, without || (with && denied)) {
            (true, false) => Some(true),
            (false, true) => Some(false),
            (true, true) => None,
            _ if is(PriceRole::Tax) && is(PriceRole::Gross) => Some(true),
            _ if is(PriceRole::Tax) && is(PriceRole::Net) => Some(false),
            _ => None,
        };
        let not_paid = match (is(PriceRole::Old), is(PriceRole::List)) {
            (true, _) => Some(NotPaid::Old),
            // "Brutto mit MwSt." is the price with tax, and no list price.
            (_, true) if !is(PriceRole::Tax) => Some(NotPaid::List),
            _ => None,
        };
        Self {
            priced,
            from: from.unwrap_or(1),
            counted,
            bare_number: bare_number && from.is_some_and(|from| from > 1),
            not_paid,
            tax_included,
            currency: words.iter().find_map(|word| word.currency),
            gross: is(PriceRole::Gross) && !is(PriceRole::Tax),
            paid: is(PriceRole::Net) || is(PriceRole::New),
        }
    }

    /// Tells whether "from" stands before a number, perhaps with a word for pieces or price between: "ab Stück 10".
    fn begins_at(words: &[HeadWord], place: usize) -> bool {
        let between = |word: &&HeadWord| {
            word.text == "/" || word.is_any(&[PriceRole::Piece, PriceRole::Filler])
        };
        let before = words[..place].iter().rev().find(|word| !between(word));
        before.is_some_and(|word| word.is(PriceRole::From))
    }

    /// Tells whether a word for pieces only counts the number beside it.
    fn counts(words: &[HeadWord], place: usize) -> bool {
        let number = |at: Option<usize>| {
            at.and_then(|at| words.get(at))
                .is_some_and(|word| word.number.is_some())
        };
        let from = words.iter().any(|word| word.is(PriceRole::From));
        number(place.checked_sub(1)) || number(Some(place + 1)) || from
    }
}

/// Tells whether a cell of a row below the heads belongs to them: a unit, a number from which a price holds, a currency.
pub(super) fn goes_with_heads(cell: &str) -> bool {
    let words = words(cell);
    let known =
        |word: &HeadWord| word.is_known() || word.number.is_some() && !cell.contains(['.', ',']);
    let whole = || {
        matches!(
            read_head(cell),
            Some(
                HeadSays::Price(_)
                    | HeadSays::Holds { whole: true, .. }
                    | HeadSays::NotNeeded { whole: true }
            )
        )
    };
    !words.is_empty() && (words.iter().all(known) || whole())
}

/// Reads a line of text that speaks of prices or tax, as "All prices in USD per 100 pieces"; `None` where it does not.
pub(super) fn said_of_prices(line: &str) -> Option<PriceHead> {
    const SPEAKING: [PriceRole; 4] = [
        PriceRole::Price,
        PriceRole::Tax,
        PriceRole::TaxIncluded,
        PriceRole::TaxExcluded,
    ];
    let words = words(line);
    let speaks = words.iter().any(|word| word.is_any(&SPEAKING));
    let currencies = words.iter().filter(|word| word.currency.is_some()).count();
    let said = PriceHead::read(&words, None);
    speaks.then_some(PriceHead {
        currency: said.currency.filter(|_| currencies == 1),
        ..said
    })
}

/// Tells whether a line denies something, as a note does and no heading.
pub(super) fn denies(line: &str) -> bool {
    words(line).iter().any(|word| word.is(PriceRole::Not))
}

/// Reads from how many on a price holds: "10", "10+", "ab 10".
pub(super) fn quantity_from(cell: &str) -> Option<u32> {
    let words = words(cell);
    let mut numbers = words.iter().filter_map(|word| word.number);
    let (number, _) = numbers.next()?;
    numbers.next().is_none().then_some(number)
}

/// Parts a cell such as "12,50 / 100" or "1.90 per piece" into the price and what it is for.
pub(super) fn priced_in_cell(cell: &str) -> (&str, Option<Priced>) {
    let whole = (cell, None);
    let begin = |word: &str| {
        PRICE_WORDS
            .get(&folded(word))
            .is_some_and(|roles| roles.contains(&PriceRole::Per))
    };
    let slash = cell.find('/');
    let at = slash.or_else(|| {
        let mut words = cell.split_whitespace().skip(1);
        let word = words.find(|word| begin(word))?;
        cell.find(word)
    });
    let Some(at) = at.filter(|at| cell[..*at].bytes().any(|b| b.is_ascii_digit())) else {
        return whole;
    };
    let said = PriceHead::read(
        &words(&format!("/ {}", cell[at..].trim_start_matches('/'))),
        None,
    );
    match said.priced {
        Some(priced) => (cell[..at].trim(), Some(priced)),
        None => whole,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(head: &str) -> String {
        match read_head(head) {
            Some(HeadSays::Holds { column, .. }) => column.to_string(),
            Some(HeadSays::Price(price)) => {
                let column = PriceColumn {
                    priced: price.priced.unwrap_or(Priced::Pack),
                    from: price.from,
                };
                let flags = [
                    price.not_paid.map(|why| format!("{why:?}")),
                    price
                        .tax_included
                        .map(|tax| if tax { "with tax" } else { "without tax" }.to_owned()),
                    price.currency.map(|currency| currency.letters().to_owned()),
                ];
                let flags: Vec<String> = flags.into_iter().flatten().collect();
                [column.to_string()]
                    .into_iter()
                    .chain(flags)
                    .collect::<Vec<_>>()
                    .join(" ")
            }
            Some(HeadSays::NotNeeded { .. }) => "not needed".to_owned(),
            None => "unknown".to_owned(),
        }
    }

    #[test]
    fn heads_are_read_in_the_words_of_five_languages() {
        for (head, says) in [
            ("Part No.", "number"),
            ("Artikel-Nr.", "number"),
            ("Réf.", "number"),
            ("Codice articolo", "number"),
            ("Bezeichnung", "description"),
            ("Désignation", "description"),
            ("VPE", "pack"),
            ("Conf. pz", "pack"),
            ("Price EUR", "price EUR"),
            ("Preis je 100 Stk", "price-per-100"),
            ("Prix les 10", "price-per-10"),
            ("Price/100", "price-per-100"),
            ("€/100", "price-per-100 EUR"),
            ("Stückpreis €", "each EUR"),
            ("Unit price", "each"),
            ("10+", "price-from-10"),
            ("Unit price 10-49", "each-from-10"),
            ("ab 50 Stück", "price-from-50"),
            ("à partir de 25", "price-from-25"),
            ("da 100", "price-from-100"),
            ("desde 10", "price-from-10"),
            ("1+", "price"),
            ("Listenpreis", "price List"),
            ("Nettopreis EUR", "price EUR"),
            ("Prix HT", "price without tax"),
            ("Prix TTC (€)", "price with tax EUR"),
            ("Prezzo IVA inclusa", "price with tax"),
            ("Preis inkl. MwSt.", "price with tax"),
            ("Alter Preis", "price Old"),
            ("Price unit", "price-unit"),
            ("PE", "price-unit"),
            ("UOM", "unit"),
            ("Rabatt %", "discount"),
            ("ID [mm]", "id"),
            ("ID inch", "id-inch"),
            ("Härte Shore A", "hardness"),
            ("Gewicht", "not needed"),
            ("Stock qty", "not needed"),
            ("XZ7", "unknown"),
        ] {
            assert_eq!(column(head), says, "{head}");
        }
    }

    #[test]
    fn no_phrase_is_listed_twice_and_each_names_a_column() {
        let rows: Vec<PhraseRow> = shipped_rows!("supply/column_heads.csv");
        for (at, row) in rows.iter().enumerate() {
            let known = row.column == "not-needed" || Column::from_word(&row.column).is_some();
            assert!(known, "{} {}", row.head, row.column);
            assert!(
                rows[at + 1..].iter().all(|other| other.head != row.head),
                "{}",
                row.head
            );
        }
    }
}
