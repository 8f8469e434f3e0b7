//! Price lists: bytes into rows, a proposed mapping, rows into offers.

use super::{description, workbook};
use ringwright::app::price_table::PriceTable;
use ringwright::core::quantity::Currency;
use ringwright::core::supply::{
    ColumnMap, DescriptionReader, OfferRow, PriceTerms, RowReader, TableRow, number_key,
};
use std::io::Write;

/// Rows from which a mapping is proposed, as the import does.
const SAMPLE: usize = 50;

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
    let mut table = match PriceTable::open(file.path()) {
        Ok(table) => table,
        Err(error) => return assert!(!error.to_string().is_empty()),
    };
    let csv = !bytes.starts_with(b"PK");
    let rows = rows(&mut table, csv);
    let Some(heads) = rows.first() else { return };
    let sample: Vec<Vec<String>> = rows
        .iter()
        .skip(1)
        .take(SAMPLE)
        .map(|row| row.cells.clone())
        .collect();
    let Ok(map) = ColumnMap::propose(&heads.cells, &sample).complete() else {
        return;
    };
    // The mapping is shown as it is written with --mapping, and saved in that form.
    assert_eq!(ColumnMap::parse(&map.to_string()).as_ref(), Ok(&map));
    let currency = Currency::Eur;
    let mut reader = RowReader::new(map, PriceTerms { currency });
    for row in &rows {
        match reader.read(row) {
            Ok(offer) => holds(row, &offer),
            Err(reject) => assert!(reject.line == row.line && !reject.reason.is_empty()),
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
    // What other rows said before changes nothing in this one.
    let alone = DescriptionReader::default().read(&offer.description);
    assert_eq!(alone.pack, offer.described.pack, "{row:?}");
    assert_eq!(alone.unread, offer.described.unread, "{row:?}");
}
