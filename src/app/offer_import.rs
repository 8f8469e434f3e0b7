//! Reads a supplier's price list into the book, in place of the former one.

use super::price_table::{PriceTable, PriceTableError};
use super::rejects_file::RejectsFile;
use crate::core::note::PartKind;
use crate::core::quantity::Currency;
use crate::core::supply::{
    Column, ColumnMap, ColumnMapError, OfferRow, PriceTerms, Reject, RowReader, TableRow,
    parse_price,
};
use crate::store::{Book, BookPlace, BookWriter, NewPriceList, StoreError};
use serde::Serialize;
use std::path::PathBuf;
use std::sync::mpsc::sync_channel;

/// Says which list is to be read, and how.
#[derive(Debug, Clone)]
pub struct ImportQuestion {
    /// The file.
    pub file: PathBuf,
    /// The supplier.
    pub supplier: String,
    /// Which column holds what; `None`: as saved for the supplier, else as proposed.
    pub mapping: Option<String>,
    /// The currency of the prices.
    pub currency: Currency,
    /// Whether tax is in the prices.
    pub tax_included: bool,
    /// The day from which the prices hold, ISO 8601.
    pub price_date: String,
    /// When it is read, ISO 8601.
    pub imported_at: String,
    /// Where rejected rows go; `None`: beside the list.
    pub rejects: Option<PathBuf>,
    /// Whether only the mapping is to be shown.
    pub preview: bool,
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
    /// The book cannot be written.
    #[error("{0}")]
    Store(#[from] StoreError),
    /// The file holds nothing.
    #[error("{0} holds no rows")]
    Empty(String),
    /// The file of rejected rows cannot be written.
    #[error("{path} cannot be written: {source}; nothing was changed")]
    Rejects {
        /// The file.
        path: String,
        /// What the system says.
        source: std::io::Error,
    },
    /// The file of rejected rows cannot take its name.
    #[error(
        "the list is in the book, but {path} cannot be written: {source}; the rejected rows are in {part}"
    )]
    RejectsUnnamed {
        /// The file.
        path: String,
        /// Where the rows are.
        part: String,
        /// What the system says.
        source: std::io::Error,
    },
    /// No row could be read.
    #[error(
        "none of the {0} rows could be read as an offer, the former list stays; first reason: line {1}, {2}"
    )]
    NothingRead(u64, u64, String),
    /// The file cannot be read any further.
    #[error("{path} cannot be read after row {after}: {source}; the former list stays")]
    Broken {
        /// The file.
        path: String,
        /// Rows read before.
        after: u64,
        /// What the system says.
        source: std::io::Error,
    },
}

/// Holds one column as it is shown.
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
    /// Other parts.
    pub other_parts: u64,
    /// Descriptions that name no known kind of part.
    pub unknown: u64,
    /// Numbers that were a spreadsheet's dates and could be restored.
    pub numbers_restored: u64,
}

/// Holds what became of a list.
#[derive(Debug, Clone, Serialize)]
pub struct ImportReport {
    /// The supplier.
    pub supplier: String,
    /// The file.
    pub file: String,
    /// Where the mapping comes from: given, saved or proposed.
    pub mapping_from: &'static str,
    /// The mapping as it is written with --mapping.
    pub mapping: String,
    /// The mapped columns.
    pub columns: Vec<ColumnShown>,
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
    /// Rows that became offers.
    pub accepted: u64,
    /// Rows that did not.
    pub rejected: u64,
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
    /// Bytes of the file.
    pub size: u64,
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
    let file = question.file.display().to_string();
    let mut table = PriceTable::open(&question.file)?;
    let first = first_rows(&mut table, &file)?;
    let saved = saved_mapping(place, &question.supplier)?;
    let (map, mapping_from) = mapping(question, saved.as_deref(), &first)?;
    let mut report = empty_report(question, &map, mapping_from, &first);
    if question.preview {
        return Ok(report);
    }
    let header = usize::from(has_heads(&map, &first[0]));
    let rows = first.into_iter().skip(header).collect();
    let mut rejects = RejectsFile::new(question);
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        let source = RowSource {
            table,
            first: rows,
            reader: RowReader::new(
                map,
                PriceTerms {
                    currency: question.currency,
                },
            ),
        };
        let list = ListWork {
            book,
            question,
            file: &file,
        };
        list.run(source, (&mut report, &mut rejects), progress)?;
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
    let file = question.file.display().to_string();
    let mut table = PriceTable::of_text(text);
    let first = first_rows(&mut table, &file)?;
    let (map, mapping_from) = mapping(question, None, &first)?;
    let mut report = empty_report(question, &map, mapping_from, &first);
    let header = usize::from(has_heads(&map, &first[0]));
    let terms = PriceTerms {
        currency: question.currency,
    };
    let source = RowSource {
        table,
        first: first.into_iter().skip(header).collect(),
        reader: RowReader::new(map, terms),
    };
    let mut rejects = RejectsFile::new(question);
    let list = ListWork {
        book,
        question,
        file: &file,
    };
    list.run(source, (&mut report, &mut rejects), &mut |_| {})?;
    Ok(report)
}

fn empty_report(
    question: &ImportQuestion,
    map: &ColumnMap,
    mapping_from: &'static str,
    first: &[TableRow],
) -> ImportReport {
    ImportReport {
        supplier: question.supplier.trim().to_owned(),
        file: question.file.display().to_string(),
        mapping_from,
        mapping: map.to_string(),
        columns: shown(map, first),
        preview: question.preview,
        currency: question.currency,
        tax_included: question.tax_included,
        price_date: question.price_date.clone(),
        rows_read: 0,
        accepted: 0,
        rejected: 0,
        rejects_file: None,
        described: DescribedCounts::default(),
    }
}

/// Rows from which a mapping is proposed.
const SAMPLE: usize = 50;

fn first_rows(table: &mut PriceTable, file: &str) -> Result<Vec<TableRow>, ImportError> {
    let mut first = Vec::new();
    let mut row = TableRow::default();
    while first.len() < SAMPLE {
        let more = table
            .next_row(&mut row)
            .map_err(|source| broken(file, first.len() as u64, source))?;
        if !more {
            break;
        }
        // Empty lines above the heads belong to no row of the list.
        if !first.is_empty() || row.cells.iter().any(|cell| !cell.trim().is_empty()) {
            first.push(row.clone());
        }
    }
    if first.is_empty() {
        return Err(ImportError::Empty(file.to_owned()));
    }
    Ok(first)
}

fn broken(path: &str, after: u64, source: std::io::Error) -> ImportError {
    ImportError::Broken {
        path: path.to_owned(),
        after,
        source,
    }
}

fn saved_mapping(place: &BookPlace, supplier: &str) -> Result<Option<String>, StoreError> {
    let mut book = match Book::open_to_read(place) {
        Ok(book) => book,
        Err(StoreError::NoBook { .. }) => return Ok(None),
        Err(error) => return Err(error),
    };
    let known = book.read(|book| book.supplier(supplier))?;
    // How another shop's lists lie in their columns says nothing of ours.
    let ours = known.filter(|supplier| supplier.from_shop.is_none());
    Ok(ours.and_then(|supplier| supplier.mapping))
}

fn mapping(
    question: &ImportQuestion,
    saved: Option<&str>,
    first: &[TableRow],
) -> Result<(ColumnMap, &'static str), ColumnMapError> {
    if let Some(text) = &question.mapping {
        return Ok((ColumnMap::parse(text)?, "given"));
    }
    let columns = first.iter().map(|row| row.cells.len()).max().unwrap_or(0);
    if let Some(map) = saved.and_then(|text| ColumnMap::parse(text).ok())
        && map.columns().all(|(_, place)| place <= columns)
    {
        return Ok((map, "saved"));
    }
    let sample: Vec<Vec<String>> = first.iter().skip(1).map(|row| row.cells.clone()).collect();
    let map = ColumnMap::propose(&first[0].cells, &sample);
    Ok((map.complete()?, "proposed"))
}

/// A first row whose price is a price is no row of heads.
fn has_heads(map: &ColumnMap, first: &TableRow) -> bool {
    let place = map.place(Column::Price).or_else(|| map.place(Column::Each));
    let cell = place.and_then(|place| first.cells.get(place - 1));
    cell.is_none_or(|cell| parse_price(cell, Currency::Eur, 1).is_err())
}

fn shown(map: &ColumnMap, first: &[TableRow]) -> Vec<ColumnShown> {
    let cell = |row: usize, place: usize| {
        let cells = first.get(row).map(|row| row.cells.as_slice());
        cells
            .and_then(|c| c.get(place - 1))
            .cloned()
            .unwrap_or_default()
    };
    map.columns()
        .map(|(column, place)| ColumnShown {
            column: column.to_string(),
            place,
            head: cell(0, place),
            example: cell(1, place),
        })
        .collect()
}

/// Holds where the rows come from.
struct RowSource {
    table: PriceTable,
    first: Vec<TableRow>,
    reader: RowReader,
}

/// Rows that go from the reader to the writer at once, and batches that may wait.
const BATCH: usize = 512;
const BATCHES_WAITING: usize = 8;
/// A batch of larger rows is given on earlier, so that memory stays bounded.
const BATCH_BYTES: u64 = 1 << 20;

/// One row as read: an offer, or why not with the row.
type RowRead = Result<OfferRow, (Reject, Vec<String>)>;
type Batch = Result<(Vec<RowRead>, u64), std::io::Error>;

impl RowSource {
    /// Reads all rows and gives them on in batches; `give` returns false when nobody takes them any more.
    fn read_all(mut self, give: &mut dyn FnMut(Batch) -> bool) {
        let mut batch = Vec::with_capacity(BATCH);
        for row in &self.first {
            batch.push(
                self.reader
                    .read(row)
                    .map_err(|reject| (reject, row.cells.clone())),
            );
        }
        let mut row = TableRow::default();
        let mut bytes = 0;
        loop {
            match self.table.next_row(&mut row) {
                Ok(true) => batch.push(self.reader.read(&row).map_err(|r| (r, row.cells.clone()))),
                Ok(false) => break,
                Err(error) => {
                    give(Err(error));
                    return;
                }
            }
            bytes += row.cells.iter().map(|cell| cell.len() as u64).sum::<u64>();
            if batch.len() >= BATCH || bytes >= BATCH_BYTES {
                bytes = 0;
                if !give(Ok((std::mem::take(&mut batch), self.table.bytes()))) {
                    return;
                }
            }
        }
        give(Ok((batch, self.table.bytes())));
    }
}

/// About so many bytes of a file are one row.
const BYTES_A_ROW: u64 = 60;

/// Holds what a list is written with.
struct ListWork<'w> {
    book: &'w BookWriter<'w>,
    question: &'w ImportQuestion,
    file: &'w str,
}

impl ListWork<'_> {
    /// Reads on one thread and writes on this one: reading descriptions takes about as long as storing them.
    fn run(
        &self,
        source: RowSource,
        (report, rejects): (&mut ImportReport, &mut RejectsFile),
        progress: &mut dyn FnMut(ImportProgress),
    ) -> Result<(), ImportError> {
        let question = self.question;
        let size = source.table.size;
        let supplier = self.book.supplier_or_new(&question.supplier)?;
        self.book.set_mapping(supplier, &report.mapping)?;
        let mut writer = self.book.begin_price_list(&NewPriceList {
            supplier,
            file: self.file,
            imported_at: &question.imported_at,
            price_date: &question.price_date,
            currency: question.currency.letters(),
            tax: if question.tax_included {
                "included"
            } else {
                "excluded"
            },
            rows_expected: size / BYTES_A_ROW,
            from_shop: None,
        })?;
        std::thread::scope(|scope| {
            let (send, receive) = sync_channel::<Batch>(BATCHES_WAITING);
            scope.spawn(move || source.read_all(&mut |batch| send.send(batch).is_ok()));
            for batch in receive {
                let (rows, bytes) = batch.map_err(|e| broken(self.file, report.rows_read, e))?;
                for row in rows {
                    report.rows_read += 1;
                    match row {
                        Ok(offer) => {
                            report.accepted += 1;
                            count(&mut report.described, &offer);
                            writer.write(&offer)?;
                        }
                        Err((reject, cells)) => {
                            report.rejected += 1;
                            rejects.write(&reject, &cells)?;
                        }
                    }
                }
                progress(ImportProgress {
                    rows: report.rows_read,
                    bytes,
                    size,
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

fn count(counts: &mut DescribedCounts, offer: &OfferRow) {
    let described = &offer.described;
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
