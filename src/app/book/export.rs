//! Writes the whole book as one file that another book can take in.

use crate::app::file::{OutFileError, write_file};
use crate::core::exchange::{BookForm, BookItem, FORM, VERSION};
use crate::store::{Book, BookPlace, BookReader, StoreError};
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::Path;

/// Says how a book is exported.
#[derive(Debug, Clone)]
pub struct ExportQuestion {
    /// Who writes it; `None` takes the name that was given last.
    pub shop: Option<String>,
    /// Whether price lists and former prices go with it.
    pub prices: bool,
    /// The moment, ISO 8601.
    pub written_at: String,
}

/// Says what was written.
#[derive(Debug, Clone, Serialize)]
pub struct ExportReport {
    pub file: String,
    pub shop: String,
    /// How many things of each kind.
    pub counts: BTreeMap<&'static str, usize>,
    /// Bytes of the file.
    pub bytes: usize,
}

/// Says why a book was not exported or merged.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ExchangeError {
    /// The book cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The file cannot be written.
    #[error(transparent)]
    Out(#[from] OutFileError),
    /// The file is there already.
    #[error("{0} is there already and is never overwritten: name a new file")]
    Exists(String),
    /// Nobody was named.
    #[error(
        "say who writes this book, as --shop \"Lake store room\": the other shop must see whose word it is; the name is kept"
    )]
    NoShop,
    /// The file cannot be read.
    #[error("{file} cannot be read ({reason}): check the name and the rights")]
    Unreadable {
        file: String,
        /// Why.
        reason: String,
    },
    /// The file is too large.
    #[error(
        "{file} is larger than {most} MiB: have it exported with --no-prices, and import the price lists instead"
    )]
    TooLarge {
        file: String,
        /// The most that is read.
        most: u64,
    },
    /// The book refuses something that the file holds.
    #[error(
        "{file} holds something that no book can hold ({reason}): have it exported again; nothing was taken"
    )]
    Refused {
        file: String,
        /// What the book says.
        reason: StoreError,
    },
    /// The moment of the merge is none.
    #[error("{0:?} is not a moment, as 2026-03-14T10:00:00Z: set the clock of this computer")]
    NoMoment(String),
    /// The file is no exported book.
    #[error("{file}: {reason}")]
    Form {
        file: String,
        /// Why.
        reason: crate::core::exchange::FormError,
    },
}

/// The setting that keeps the shop's name.
pub(super) const SHOP: &str = "shop";

/// Writes the book to a new file.
///
/// # Errors
/// Refuses to overwrite; says why the book cannot be read or the file not be written.
pub fn book_export(
    place: &BookPlace,
    file: &Path,
    question: &ExportQuestion,
) -> Result<ExportReport, ExchangeError> {
    let shown = file.display().to_string();
    if file.symlink_metadata().is_ok() {
        return Err(ExchangeError::Exists(shown));
    }
    let given = question
        .shop
        .as_deref()
        .map(str::trim)
        .filter(|shop| !shop.is_empty());
    if let Some(shop) = given {
        let mut book = Book::open_to_write(place)?;
        book.write(|book| book.set_setting(SHOP, shop))?;
    }
    let mut book = Book::open_to_read(place)?;
    let form = book.read(|book| form_of(book, question))?;
    // A form of words and numbers always becomes JSON.
    let mut bytes = serde_json::to_vec_pretty(&form).unwrap_or_default();
    bytes.push(b'\n');
    write_file(file, &bytes)?;
    let mut counts = BTreeMap::new();
    for item in &form.items {
        *counts.entry(item.what()).or_default() += 1;
    }
    Ok(ExportReport {
        file: shown,
        shop: form.shop,
        counts,
        bytes: bytes.len(),
    })
}

fn form_of(book: &BookReader<'_>, question: &ExportQuestion) -> Result<BookForm, ExchangeError> {
    let shop = book.setting(SHOP)?.ok_or(ExchangeError::NoShop)?;
    let travels = |item: &BookItem| match item {
        BookItem::PriceList(_) | BookItem::FormerList(_) => question.prices,
        // Whose book it is stands in the head; the other shop keeps its own name.
        BookItem::Setting(setting) => setting.key != SHOP,
        _ => true,
    };
    Ok(BookForm {
        form: FORM.to_owned(),
        version: VERSION,
        shop,
        written_at: question.written_at.clone(),
        items: book.items()?.into_iter().filter(travels).collect(),
        set_aside: book
            .set_aside()?
            .into_iter()
            .filter(|aside| travels(&aside.item))
            .collect(),
        origins: book.origins()?,
    })
}
