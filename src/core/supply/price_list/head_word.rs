//! The words of a head, and what each says of a price (`data/supply/price_words.csv`).

use crate::core::data_table::shipped_rows;
use crate::core::quantity::Currency;
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::LazyLock;
use unicode_normalization::UnicodeNormalization as _;
use unicode_normalization::char::is_combining_mark;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum PriceRole {
    Price,
    Net,
    List,
    Old,
    New,
    /// It says that the price is that of one piece.
    Each,
    /// It counts pieces.
    Piece,
    Pack,
    Per,
    From,
    With,
    Without,
    Tax,
    TaxIncluded,
    TaxExcluded,
    Hundred,
    Thousand,
    /// It denies: "not included".
    Not,
    /// A price that is not net: the list's, or one with tax.
    Gross,
    /// A hundredth of the currency, which prices are not read in.
    Minor,
    Millimetre,
    Inch,
    Filler,
}

#[derive(Deserialize)]
struct PriceWordRow {
    word: String,
    role: PriceRole,
}

/// The roles of each word; a compound ("Nettopreis") has several.
pub(super) static PRICE_WORDS: LazyLock<HashMap<String, Vec<PriceRole>>> = LazyLock::new(|| {
    let rows: Vec<PriceWordRow> = shipped_rows!("supply/price_words.csv");
    let mut words: HashMap<String, Vec<PriceRole>> = HashMap::new();
    for row in rows {
        words.entry(folded(&row.word)).or_default().push(row.role);
    }
    words
});

/// Writes a text in small letters without accents: "Prix unitaire à l'unité" and "PRIX UNITAIRE A L'UNITE" are one.
pub(super) fn folded(text: &str) -> String {
    if text.is_ascii() {
        return text.to_ascii_lowercase();
    }
    let plain = text.nfkd().filter(|c| !is_combining_mark(*c));
    let plain = plain.collect::<String>().to_lowercase();
    [
        ("ß", "ss"),
        ("ø", "o"),
        ("⌀", "o"),
        ("æ", "ae"),
        ("œ", "oe"),
    ]
    .iter()
    .fold(plain, |text, (letter, letters)| {
        text.replace(letter, letters)
    })
}

/// One word of a head.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct HeadWord {
    pub(super) text: String,
    pub(super) roles: &'static [PriceRole],
    pub(super) currency: Option<Currency>,
    /// A number, and whether its signs say "from so many on": "10+", "10-49", "≥10".
    pub(super) number: Option<(u32, bool)>,
}

pub(super) fn words(head: &str) -> Vec<HeadWord> {
    let mut plain = folded(head);
    for (sign, word) in [
        ("/", " / "),
        ("€", " € "),
        ("£", " £ "),
        ("$", " $ "),
        ("≥", " >"),
    ] {
        plain = plain.replace(sign, word);
    }
    plain = without_shares(&plain);
    let keep = |c: char| c.is_alphanumeric() || "+-–#%/€£$>=\"".contains(c);
    let mut words = Vec::new();
    for text in plain.split(|c| !keep(c)).filter(|word| !word.is_empty()) {
        let number = quantity(text);
        if number.is_some() || text == "/" || is_whole(text) {
            push(&mut words, text, number);
        } else {
            for piece in text
                .split(['-', '–', '+', '='])
                .filter(|piece| !piece.is_empty())
            {
                push(&mut words, piece, quantity(piece));
            }
        }
    }
    words
}

/// A word without a sign inside stays whole.
fn is_whole(text: &str) -> bool {
    !text.contains(['-', '–', '+', '='])
}

fn push(words: &mut Vec<HeadWord>, text: &str, number: Option<(u32, bool)>) {
    words.push(HeadWord {
        text: text.to_owned(),
        roles: PRICE_WORDS.get(text).map_or(&[], Vec::as_slice),
        currency: Currency::from_word(text),
        number,
    });
}

/// Takes rates of tax and discount out, "19 %", which are no quantities.
fn without_shares(text: &str) -> String {
    let mut kept = text.to_owned();
    let mut from = 0;
    while let Some(at) = kept[from..].find('%').map(|at| at + from) {
        let before = kept[..at].trim_end();
        let number =
            before.trim_end_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','));
        if number.len() < before.len() {
            let begin = number.len();
            kept.replace_range(begin..=at, "");
            from = begin;
        } else {
            from = at + 1;
        }
    }
    kept
}

/// Reads "10", "10+", "10-49", "10-", ">10", ">=10", "10er"; the flag says that a sign names it a beginning.
fn quantity(text: &str) -> Option<(u32, bool)> {
    let trimmed = text.trim_start_matches(['>', '=']);
    let digits: String = trimmed.chars().take_while(char::is_ascii_digit).collect();
    let number: u32 = digits.parse().ok().filter(|n| *n >= 1)?;
    let rest = &trimmed[digits.len()..];
    let begins = trimmed.len() < text.len();
    let range = |rest: &str| {
        let last = rest.trim_start_matches(['-', '–']);
        last.len() < rest.len() && last.bytes().all(|b| b.is_ascii_digit())
    };
    match rest {
        "" | "er" | "x" => Some((number, begins)),
        "+" => Some((number, true)),
        _ if range(rest) => Some((number, true)),
        // "100st", "10pcs".
        _ if PRICE_WORDS
            .get(rest)
            .is_some_and(|roles| roles.contains(&PriceRole::Piece)) =>
        {
            Some((number, begins))
        }
        _ => None,
    }
}

impl HeadWord {
    pub(super) fn is(&self, role: PriceRole) -> bool {
        self.roles.contains(&role)
    }

    pub(super) fn is_any(&self, roles: &[PriceRole]) -> bool {
        roles.iter().any(|role| self.is(*role))
    }

    /// Tells whether it says something by its roles, or is a currency or a stroke; a number may say anything.
    pub(super) fn is_known(&self) -> bool {
        !self.roles.is_empty() || self.is_apart()
    }

    /// Tells whether it is a currency or a stroke, which stand beside what a column is called.
    pub(super) fn is_apart(&self) -> bool {
        self.currency.is_some() || self.text == "/"
    }
}
