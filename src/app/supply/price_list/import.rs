//! Reads a supplier's price list into the book, in place of the former one.

use super::reading::{ListTable, RowSource, tables_of, tables_of_text};
use super::rejects_file::RejectsFile;
use super::table::{PriceFile, PriceTableError};
use crate::core::note::PartKind;
use crate::core::quantity::Currency;
use crate::core::supply::{
    ColumnMap, ColumnMapError, LayoutError, LeftOut, ListTerms, OfferRow, PassedOver, tax_word,
};
use crate::store::{Book, BookPlace, BookWriter, NewPriceList, StoreError};
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::PathBuf;

/// Says which list is to be read, and how.
#[derive(Debug, Clone)]
pub struct ImportQuestion {
    pub file: PathBuf,
    pub supplier: String,
    /// Which column holds what; `None`: as saved for lists of the supplier with these heads, else as the heads say.
    pub mapping: Option<String>,
    pub terms: ListTerms,
    /// The day from which the prices hold, ISO 8601.
    pub price_date: String,
    /// When it is read, ISO 8601.
    pub imported_at: String,
    /// Where rejected rows go; `None`: beside the list.
    pub rejects: Option<PathBuf>,
    /// Whether only the mapping is to be shown.
    pub preview: bool,
    /// Whether the list takes the place of one with newer prices.
    pub replace_newer: bool,
}

/// Says why a list cannot be read.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ImportError {
    /// The file is no table.
    #[error("{0}")]
    Table(#[from] PriceTableError),
    /// The mapping cannot be used.
    #[error("{0}")]
    Mapping(#[from] ColumnMapError),
    /// The heads contradict what was stated of the list.
    #[error("{0}")]
    Layout(#[from] LayoutError),
    /// The list in the book is newer.
    #[error(
        "the list of {supplier} in the book has prices of {kept}, this one of {given}: nothing was changed; to put it in place all the same add --replace-newer"
    )]
    Older {
        supplier: String,
        /// The day of the prices in the book.
        kept: String,
        /// The day of the prices in the file.
        given: String,
    },
    /// The book cannot be written.
    #[error("{0}")]
    Store(#[from] StoreError),
    /// The file holds nothing.
    #[error("{0} holds no rows")]
    Empty(String),
    /// The file of rejected rows cannot be written.
    #[error("{path} cannot be written: {source}; nothing was changed")]
    Rejects {
        path: String,
        source: std::io::Error,
    },
    /// The file of rejected rows cannot take its name.
    #[error(
        "the list is in the book, but {path} cannot be written: {source}; the rejected rows are in {part}"
    )]
    RejectsUnnamed {
        path: String,
        /// Where the rows are.
        part: String,
        source: std::io::Error,
    },
    /// No sheet has the heads of a price list.
    #[error(
        "{file}: no row names a price beside a number or a description: say which column holds what with --mapping, as number=1,description=2,price=3"
    )]
    NoHeads { file: String },
    /// No row could be read.
    #[error(
        "none of the {0} rows could be read as an offer, the former list stays; first reason: line {1}, {2}"
    )]
    NothingRead(u64, u64, String),
    /// The file cannot be read any further.
    #[error("{path} cannot be read after row {after}: {source}; the former list stays")]
    Broken {
        path: String,
        /// Rows read before.
        after: u64,
        source: std::io::Error,
    },
}

/// One column as it is shown.
#[derive(Debug, Clone, Serialize)]
pub struct ColumnShown {
    /// What it holds.
    pub column: String,
    /// Its place, from 1.
    pub place: usize,
    /// Its head in the file.
    pub head: String,
    /// A cell of it.
    pub example: String,
}

/// Counts what the descriptions said.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct DescribedCounts {
    /// Rings with one size.
    pub rings: u64,
    /// Rings whose description can mean several sizes.
    pub ambiguous: u64,
    /// Rings whose size was not read.
    pub rings_unread: u64,
    pub other_parts: u64,
    /// Descriptions that name no known kind of part.
    pub unknown: u64,
    /// Numbers that were a spreadsheet's dates and could be restored.
    pub numbers_restored: u64,
}

/// Says how the columns of a list were told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MappingFrom {
    /// By --mapping.
    Given,
    /// By a mapping that was given for a list with the same heads.
    Saved,
    /// By the heads, or by the rows where there are none.
    Proposed,
}

/// How one table of a list was read.
#[derive(Debug, Clone, Serialize)]
pub struct TableRead {
    /// The sheet, in a workbook.
    pub sheet: Option<String>,
    /// The lines of the heads, first and last; `None` where it has none.
    pub heads_on: Option<(u64, u64)>,
    /// The mapping as it is written with --mapping.
    pub mapping: String,
    /// The mapped columns.
    pub columns: Vec<ColumnShown>,
    /// The columns that were left out, each with the reason.
    pub left_out: Vec<LeftOut>,
    /// Hidden columns, as letters.
    pub hidden_columns: Vec<String>,
    /// Hidden lines, first and last of each stretch.
    pub hidden_lines: Vec<(u32, u32)>,
}

/// What became of a list.
#[derive(Debug, Clone, Serialize)]
pub struct ImportReport {
    pub supplier: String,
    pub file: String,
    /// Where the mapping comes from.
    pub mapping_from: MappingFrom,
    /// The mapping of the first table as it is written with --mapping.
    pub mapping: String,
    /// The mapped columns of the first table.
    pub columns: Vec<ColumnShown>,
    /// Every table that was read.
    pub tables: Vec<TableRead>,
    /// Sheets that can be seen and hold no price list.
    pub other_sheets: Vec<String>,
    /// Hidden sheets; they are not read.
    pub hidden_sheets: Vec<String>,
    /// Whether only the mapping was shown.
    pub preview: bool,
    /// Currency of the prices.
    pub currency: Currency,
    /// Whether tax is in the prices.
    pub tax_included: bool,
    /// The day from which the prices hold.
    pub price_date: String,
    /// Rows read; accepted and rejected together.
    pub rows_read: u64,
    /// Rows that became offers, or prices of one from more packs on.
    pub accepted: u64,
    /// Rows that did not.
    pub rejected: u64,
    /// Lines that are no rows of the list, by what they are.
    pub passed_over: BTreeMap<PassedOver, u64>,
    /// Words of the column of materials that were not understood, with how many rows have them.
    pub materials_unread: BTreeMap<String, u64>,
    /// The file of rejected rows, where there are any.
    pub rejects_file: Option<String>,
    /// What the descriptions said.
    pub described: DescribedCounts,
}

/// Says how far a run has come.
#[derive(Debug, Clone, Copy)]
pub struct ImportProgress {
    /// Rows read.
    pub rows: u64,
    /// Bytes of the file gone through.
    pub bytes: u64,
}

/// Reads a supplier's price list into the book, in one transaction.
///
/// # Errors
/// Says what is wrong with the file, the mapping or the book; the supplier's former list stays then.
pub fn import_offers(
    place: &BookPlace,
    question: &ImportQuestion,
    progress: &mut dyn FnMut(ImportProgress),
) -> Result<ImportReport, ImportError> {
    let file = PriceFile::open(&question.file)?;
    let known = known_list(place, &question.supplier)?;
    if let Some(kept) = known
        .price_date
        .filter(|kept| *kept > question.price_date && !question.replace_newer)
    {
        return Err(ImportError::Older {
            supplier: question.supplier.trim().to_owned(),
            kept,
            given: question.price_date.clone(),
        });
    }
    let (tables, mapping_from, other_sheets) = tables_of(&file, question, known.mapping.as_ref())?;
    let mut report = empty_report(question, &tables, mapping_from);
    report.other_sheets = other_sheets;
    report.hidden_sheets = file.hidden_sheets();
    if question.preview {
        return Ok(report);
    }
    let mut rejects = RejectsFile::new(question);
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        let list = ListWork {
            book,
            question,
            size: file.size,
        };
        list.run(tables, &mut report, &mut rejects, progress)?;
        rejects.sync()
    })?;
    report.rejects_file = rejects.keep()?;
    Ok(report)
}

/// Stores a list that is given as text, inside a transaction that is open already.
///
/// # Errors
/// Says what is wrong with the list or the book.
pub fn store_list(
    book: &BookWriter<'_>,
    question: &ImportQuestion,
    text: &'static str,
) -> Result<ImportReport, ImportError> {
    let tables = tables_of_text(text, question)?;
    let mut report = empty_report(question, &tables, MappingFrom::Proposed);
    let mut rejects = RejectsFile::new(question);
    let list = ListWork {
        book,
        question,
        size: text.len() as u64,
    };
    list.run(tables, &mut report, &mut rejects, &mut |_| {})?;
    Ok(report)
}

fn empty_report(
    question: &ImportQuestion,
    tables: &[ListTable],
    mapping_from: MappingFrom,
) -> ImportReport {
    let tables: Vec<TableRead> = tables.iter().map(ListTable::read).collect();
    let first = tables.first();
    ImportReport {
        supplier: question.supplier.trim().to_owned(),
        file: question.file.display().to_string(),
        mapping_from,
        mapping: first.map(|table| table.mapping.clone()).unwrap_or_default(),
        columns: first.map(|table| table.columns.clone()).unwrap_or_default(),
        tables,
        other_sheets: Vec::new(),
        hidden_sheets: Vec::new(),
        preview: question.preview,
        currency: question.terms.currency,
        tax_included: question.terms.tax_included,
        price_date: question.price_date.clone(),
        rows_read: 0,
        accepted: 0,
        rejected: 0,
        passed_over: BTreeMap::new(),
        materials_unread: BTreeMap::new(),
        rejects_file: None,
        described: DescribedCounts::default(),
    }
}

/// What the book knows of a supplier's lists.
#[derive(Default)]
struct KnownList {
    /// The mapping that was given last, with the heads that it was given for.
    mapping: Option<SavedMapping>,
    /// The day of the prices in the book.
    price_date: Option<String>,
}

/// A mapping that is kept for lists with the same heads.
pub(super) struct SavedMapping {
    pub(super) map: ColumnMap,
    pub(super) heads: String,
}

fn known_list(place: &BookPlace, name: &str) -> Result<KnownList, StoreError> {
    let known = Book::read_at(place, |book| {
        let Some(supplier) = book.supplier(name)? else {
            return Ok::<_, StoreError>(KnownList::default());
        };
        let lists = book.price_lists()?;
        let ours = lists
            .into_iter()
            .find(|list| list.supplier == supplier.name && list.from_shop.is_none());
        // How another shop's lists lie in their columns says nothing of ours.
        let own = supplier.from_shop.is_none();
        let mapping = supplier
            .mapping
            .filter(|_| own)
            .and_then(|text| ColumnMap::parse(&text).ok());
        Ok(KnownList {
            mapping: mapping
                .zip(supplier.mapping_heads)
                .map(|(map, heads)| SavedMapping { map, heads }),
            price_date: ours.map(|list| list.price_date),
        })
    })?;
    Ok(known.unwrap_or_default())
}

/// About so many bytes of a file are one row.
const BYTES_A_ROW: u64 = 60;
/// So many words of materials are named at most.
const MOST_UNREAD: usize = 50;

/// What a list is written with.
struct ListWork<'w> {
    book: &'w BookWriter<'w>,
    question: &'w ImportQuestion,
    size: u64,
}

impl ListWork<'_> {
    /// Reads on one thread and writes on this one: reading descriptions takes about as long as storing them.
    fn run(
        &self,
        tables: Vec<ListTable>,
        report: &mut ImportReport,
        rejects: &mut RejectsFile,
        progress: &mut dyn FnMut(ImportProgress),
    ) -> Result<(), ImportError> {
        let question = self.question;
        let supplier = self.book.supplier_or_new(&question.supplier)?;
        if let Some(first) = tables.first() {
            self.book
                .set_mapping(supplier, &report.mapping, &first.heads_key())?;
        }
        let several = tables.len() > 1;
        let file = question.file.display().to_string();
        let mut writer = self.book.begin_price_list(&NewPriceList {
            supplier,
            file: &file,
            imported_at: &question.imported_at,
            price_date: &question.price_date,
            currency: question.terms.currency.letters(),
            tax: tax_word(question.terms.tax_included),
            rows_expected: self.size / BYTES_A_ROW,
            from_shop: None,
        })?;
        std::thread::scope(|scope| {
            let batches = RowSource::new(tables, question.terms).spawn(scope);
            for batch in batches {
                let batch = batch.map_err(|source| ImportError::Broken {
                    path: file.clone(),
                    after: report.rows_read,
                    source,
                })?;
                for offer in batch.offers {
                    report.rows_read += 1 + offer.more_rows;
                    report.accepted += 1 + offer.more_rows;
                    report.count(&offer.row);
                    writer.write(&offer.row)?;
                }
                for (reject, cells) in batch.rejects {
                    report.rows_read += 1;
                    report.rejected += 1;
                    rejects.write(batch.sheet.as_deref().filter(|_| several), &reject, &cells)?;
                }
                for why in batch.passed_over {
                    *report.passed_over.entry(why).or_default() += 1;
                }
                progress(ImportProgress {
                    rows: report.rows_read,
                    bytes: batch.bytes,
                });
            }
            Ok::<(), ImportError>(())
        })?;
        if report.accepted == 0 {
            let (line, reason) = rejects
                .first
                .take()
                .unwrap_or((0, "the list is empty".to_owned()));
            return Err(ImportError::NothingRead(report.rows_read, line, reason));
        }
        Ok(writer.finish(report.rejected)?)
    }
}

impl ImportReport {
    fn count(&mut self, offer: &OfferRow) {
        if let Some(text) = &offer.material_unread
            && (self.materials_unread.len() < MOST_UNREAD
                || self.materials_unread.contains_key(text))
        {
            *self.materials_unread.entry(text.clone()).or_default() += 1;
        }
        let described = &offer.described;
        let counts = &mut self.described;
        counts.numbers_restored += u64::from(offer.restored);
        let counter = match (described.kind, described.rings.len()) {
            (None, _) => &mut counts.unknown,
            (Some(PartKind::Ring), 0) => &mut counts.rings_unread,
            (Some(PartKind::Ring), 1) => &mut counts.rings,
            (Some(PartKind::Ring), _) => &mut counts.ambiguous,
            _ => &mut counts.other_parts,
        };
        *counter += 1;
    }
}
