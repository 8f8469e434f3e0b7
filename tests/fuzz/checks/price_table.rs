//! Price lists: bytes into rows, a proposed mapping, rows into offers.

use super::{description, workbook};
use ringwright::app::supply::price_list::{PriceFile, PriceTable};
use ringwright::core::quantity::Currency;
use ringwright::core::supply::{
    ColumnMap, Layout, ListTerms, OfferRow, RowRead, RowReader, TableRow, number_key,
};
use std::io::Write;

/// Rows in which the heads are looked for, as the import does.
const SAMPLE: usize = 60;

/// Reads the bytes as a price list. Bytes that begin with "<" are the parts of a workbook, see [`workbook`].
pub fn price_table(data: &[u8]) {
    let packed;
    let bytes = match data {
        [b'<', ..] => {
            packed = workbook::of_parts(data);
            packed.as_slice()
        }
        _ => data,
    };
    let mut file = tempfile::NamedTempFile::new().expect("a scratch file");
    file.write_all(bytes).expect("a scratch file takes bytes");
    let opened = match PriceFile::open(file.path()) {
        Ok(opened) => opened,
        Err(error) => return assert!(!error.to_string().is_empty()),
    };
    for sheet in opened.sheets() {
        match opened.table(sheet.as_deref()) {
            Ok(table) => one_table(table, sheet.is_none()),
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    }
}

fn one_table(mut table: PriceTable, csv: bool) {
    let hidden = table.hidden_columns();
    let rows = rows(&mut table, csv);
    let sample = &rows[..rows.len().min(SAMPLE)];
    let terms = ListTerms {
        currency: Currency::Eur,
        tax_included: false,
    };
    let found = match Layout::find(sample, &hidden, terms) {
        Ok(found) => found,
        Err(error) => return assert!(!error.to_string().is_empty()),
    };
    let layout = found.or_else(|| {
        let cells: Vec<Vec<String>> = sample.iter().map(|row| row.cells.clone()).collect();
        let map = ColumnMap::of_sample(&cells).complete().ok()?;
        Some(Layout::with_map(map, None, rows.first()))
    });
    let Some(layout) = layout else { return };
    // The mapping is shown as it is written with --mapping, and saved in that form.
    let map = &layout.map;
    assert_eq!(ColumnMap::parse(&map.to_string()).as_ref(), Ok(map));
    let above = layout.rows_above;
    let mut reader = RowReader::new(layout, terms);
    for row in rows.iter().skip(above) {
        match reader.read(row) {
            RowRead::Offer(offer) => holds(row, &offer),
            RowRead::GoesOn(price) => {
                assert!(price.from_packs >= 1 && (1..=1_000_000_000).contains(&price.minor));
            }
            RowRead::Refused(reject) => {
                assert!(reject.line == row.line && !reject.fault.to_string().is_empty());
            }
            RowRead::PassedOver(_) => {}
        }
    }
}

fn rows(table: &mut PriceTable, csv: bool) -> Vec<TableRow> {
    let mut rows: Vec<TableRow> = Vec::new();
    let mut row = TableRow::default();
    while let Ok(true) = table.next_row(&mut row) {
        if csv {
            assert!(rows.last().is_none_or(|last| last.line < row.line));
        }
        assert!(row.line >= 1);
        rows.push(row.clone());
    }
    rows
}

fn holds(row: &TableRow, offer: &OfferRow) {
    assert_eq!(offer.line, row.line);
    assert!((1..=1_000_000).contains(&offer.pack), "{row:?}");
    assert_eq!(offer.prices.first().map(|p| p.from_packs), Some(1));
    let rising = offer.prices.windows(2);
    assert!(
        rising
            .into_iter()
            .all(|p| p[0].from_packs < p[1].from_packs),
        "{row:?}"
    );
    for price in &offer.prices {
        assert!((1..=1_000_000_000).contains(&price.minor), "{row:?}");
    }
    assert!(
        !offer.number.is_empty() || !offer.description.is_empty(),
        "{row:?}"
    );
    let key = number_key(&offer.number);
    assert!(key.chars().all(char::is_alphanumeric), "{row:?}");
    description::holds(&offer.description, &offer.described);
}
