//! The tables of a price list, and their rows read on a thread of their own.

use super::import::{
    ColumnShown, ImportError, ImportQuestion, MappingFrom, SavedMapping, TableRead,
};
use super::table::{PriceFile, PriceTable};
use crate::core::supply::{
    ColumnMap, Layout, ListTerms, OfferRow, PassedOver, Reject, RowRead, RowReader, TableRow,
};
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread::Scope;

/// One table of a list: its first rows, how it lies, and the rest of its rows.
pub(super) struct ListTable {
    sheet: Option<String>,
    table: PriceTable,
    first: Vec<TableRow>,
    layout: Layout,
}

/// Rows in which the heads are looked for.
const SAMPLE: usize = 60;

/// Opens the tables of a file that hold a price list, and names the sheets that hold none.
///
/// # Errors
/// Says what is wrong with the file or the mapping.
pub(super) fn tables_of(
    file: &PriceFile,
    question: &ImportQuestion,
    saved: Option<&SavedMapping>,
) -> Result<(Vec<ListTable>, MappingFrom, Vec<String>), ImportError> {
    let given = question
        .mapping
        .as_deref()
        .map(ColumnMap::parse)
        .transpose()?;
    let sheets = file.sheets();
    let lone = sheets.len() == 1;
    let mut from = if given.is_some() {
        MappingFrom::Given
    } else {
        MappingFrom::Proposed
    };
    let (mut tables, mut others): (Vec<ListTable>, Vec<String>) = (Vec::new(), Vec::new());
    let mut empty = true;
    for sheet in sheets {
        let table = file.table(sheet.as_deref())?;
        let (table, first) = first_rows(table, question)?;
        empty &= first.is_empty();
        let found = Layout::find(&first, &table.hidden_columns(), question.terms)?;
        let layout = match (&given, found) {
            // A given mapping is that of one table: of the first that has heads, or else rows.
            (Some(map), found)
                if tables.is_empty() && (found.is_some() || lone || !first.is_empty()) =>
            {
                Some(Layout::with_map(map.clone(), found, first.first()))
            }
            (None, Some(found)) => {
                let same = saved.filter(|saved| saved.heads == heads_key(&found.heads));
                if let Some(saved) = same {
                    from = MappingFrom::Saved;
                    Some(Layout::with_map(saved.map.clone(), Some(found), None))
                } else {
                    Some(found)
                }
            }
            (None, None) if lone => of_rows(&first),
            (Some(_), _) | (None, None) => None,
        };
        match layout {
            Some(layout) => tables.push(ListTable {
                sheet,
                table,
                first,
                layout,
            }),
            None => others.extend(sheet),
        }
    }
    let file = question.file.display().to_string();
    match tables.is_empty() {
        true if empty => Err(ImportError::Empty(file)),
        true => Err(ImportError::NoHeads { file }),
        false => Ok((tables, from, others)),
    }
}

/// Makes the table of a text that is well formed.
///
/// # Errors
/// Says what is wrong with the list.
pub(super) fn tables_of_text(
    text: &'static str,
    question: &ImportQuestion,
) -> Result<Vec<ListTable>, ImportError> {
    let (table, first) = first_rows(PriceTable::of_text(text), question)?;
    let found = Layout::find(&first, &[], question.terms)?;
    let layout = found.ok_or_else(|| ImportError::NoHeads {
        file: question.file.display().to_string(),
    })?;
    Ok(vec![ListTable {
        sheet: None,
        table,
        first,
        layout,
    }])
}

/// Lays out a table without heads, where its rows tell which column is the price. Heads that are not understood are heads: what they
/// say may be that a column holds weights, or prices per hundred.
fn of_rows(first: &[TableRow]) -> Option<Layout> {
    let sample: Vec<Vec<String>> = first.iter().map(|row| row.cells.clone()).collect();
    let map = ColumnMap::of_sample(&sample).complete().ok()?;
    let layout = Layout::with_map(map, None, first.first());
    (layout.head_rows == 0).then_some(layout)
}

fn first_rows(
    mut table: PriceTable,
    question: &ImportQuestion,
) -> Result<(PriceTable, Vec<TableRow>), ImportError> {
    let mut first = Vec::new();
    let mut row = TableRow::default();
    while first.len() < SAMPLE {
        let more = table
            .next_row(&mut row)
            .map_err(|source| ImportError::Broken {
                path: question.file.display().to_string(),
                after: first.len() as u64,
                source,
            })?;
        if !more {
            break;
        }
        // Empty lines above the heads belong to no row of the list.
        if !first.is_empty() || row.filled().next().is_some() {
            first.push(row.clone());
        }
    }
    Ok((table, first))
}

/// The heads as one text, by which lists that lie alike are known.
fn heads_key(heads: &[String]) -> String {
    let heads: Vec<String> = heads
        .iter()
        .map(|head| head.trim().to_lowercase())
        .collect();
    heads.join("\u{1f}").trim_end_matches('\u{1f}').to_owned()
}

/// Names a column of a spreadsheet: 1 is A, 27 is AA.
fn letters(place: usize) -> String {
    let mut place = place;
    let mut letters = Vec::new();
    while place > 0 {
        letters.push(b'A' + u8::try_from((place - 1) % 26).unwrap_or(0));
        place = (place - 1) / 26;
    }
    letters
        .iter()
        .rev()
        .map(|letter| char::from(*letter))
        .collect()
}

impl ListTable {
    pub(super) fn heads_key(&self) -> String {
        heads_key(&self.layout.heads)
    }

    /// Says how the table is read.
    pub(super) fn read(&self) -> TableRead {
        let map = &self.layout.map;
        let above = self.layout.rows_above;
        let example = |place: usize| {
            let cells = self.first.get(above).map(|row| row.cells.as_slice());
            cells
                .and_then(|c| c.get(place - 1))
                .cloned()
                .unwrap_or_default()
        };
        let head = |place: usize| {
            self.layout
                .heads
                .get(place - 1)
                .cloned()
                .unwrap_or_default()
        };
        let line = |at: usize| self.first.get(at).map(|row| row.line);
        let begin = above.checked_sub(self.layout.head_rows);
        TableRead {
            sheet: self.sheet.clone(),
            heads_on: begin
                .filter(|_| self.layout.head_rows > 0)
                .and_then(|begin| Some((line(begin)?, line(above - 1)?))),
            mapping: map.to_string(),
            columns: map
                .columns()
                .map(|(column, place)| ColumnShown {
                    column: column.to_string(),
                    place,
                    head: head(place),
                    example: example(place),
                })
                .collect(),
            left_out: self.layout.left_out.clone(),
            hidden_columns: self
                .table
                .hidden_columns()
                .into_iter()
                .map(letters)
                .collect(),
            hidden_lines: self.table.hidden_lines(),
        }
    }
}

/// An offer, and how many rows below gave prices of it from more packs on.
pub(super) struct OfferRead {
    pub(super) row: OfferRow,
    pub(super) more_rows: u64,
}

/// Rows that go from the reader to the writer at once.
#[derive(Default)]
pub(super) struct Batch {
    pub(super) sheet: Option<String>,
    pub(super) offers: Vec<OfferRead>,
    pub(super) rejects: Vec<(Reject, Vec<String>)>,
    pub(super) passed_over: Vec<PassedOver>,
    /// Bytes of the file gone through.
    pub(super) bytes: u64,
}

/// Rows of a batch, and batches that may wait.
const BATCH: usize = 512;
const BATCHES_WAITING: usize = 8;
/// A batch of larger rows is given on earlier, so that memory stays bounded.
const BATCH_BYTES: u64 = 1 << 20;

/// Where the rows come from.
pub(super) struct RowSource {
    tables: Vec<ListTable>,
    terms: ListTerms,
}

type Given = Result<Batch, std::io::Error>;

impl RowSource {
    pub(super) fn new(tables: Vec<ListTable>, terms: ListTerms) -> Self {
        Self { tables, terms }
    }

    /// Reads all rows on a thread and gives them on in batches.
    pub(super) fn spawn<'s>(self, scope: &'s Scope<'s, '_>) -> Receiver<Given> {
        let (send, receive) = sync_channel::<Given>(BATCHES_WAITING);
        scope.spawn(move || {
            let give = |batch| send.send(batch).is_ok();
            for table in self.tables {
                if !table.read_all(self.terms, &give) {
                    return;
                }
            }
        });
        receive
    }
}

impl ListTable {
    /// Reads the rows of the table; false when nobody takes them any more, or they cannot be read any further.
    fn read_all(mut self, terms: ListTerms, give: &dyn Fn(Given) -> bool) -> bool {
        let mut reader = RowReader::new(self.layout.clone(), terms);
        let mut first = std::mem::take(&mut self.first).into_iter();
        for title in first.by_ref().take(self.layout.rows_above) {
            reader.read_title(&title);
        }
        let mut batch = self.batch();
        let (mut bytes, mut rows) = (0, 0);
        let mut row = TableRow::default();
        loop {
            match first.next() {
                Some(next) => row = next,
                None => match self.table.next_row(&mut row) {
                    Ok(true) => {}
                    Ok(false) => break,
                    Err(error) => {
                        give(Err(error));
                        return false;
                    }
                },
            }
            bytes += row.cells.iter().map(|cell| cell.len() as u64).sum::<u64>();
            rows += 1;
            batch.take(reader.read(&row), &row);
            if rows >= BATCH || bytes >= BATCH_BYTES {
                (bytes, rows) = (0, 0);
                batch.bytes = self.table.bytes();
                // The last offer waits: the next rows may give its prices from more packs on.
                let last = batch.offers.pop();
                let full = std::mem::replace(&mut batch, self.batch());
                batch.offers.extend(last);
                if !give(Ok(full)) {
                    return false;
                }
            }
        }
        batch.bytes = self.table.bytes();
        give(Ok(batch))
    }

    fn batch(&self) -> Batch {
        Batch {
            sheet: self.sheet.clone(),
            ..Batch::default()
        }
    }
}

impl Batch {
    fn take(&mut self, read: RowRead, row: &TableRow) {
        match read {
            RowRead::Offer(offer) => self.offers.push(OfferRead {
                row: *offer,
                more_rows: 0,
            }),
            RowRead::GoesOn(price) => {
                if let Some(last) = self.offers.last_mut() {
                    last.row
                        .prices
                        .retain(|known| known.from_packs != price.from_packs);
                    last.row.prices.push(price);
                    last.row.prices.sort_by_key(|known| known.from_packs);
                    last.more_rows += 1;
                }
            }
            RowRead::PassedOver(why) => self.passed_over.push(why),
            RowRead::Refused(reject) => self.rejects.push((reject, row.cells.clone())),
        }
    }
}
