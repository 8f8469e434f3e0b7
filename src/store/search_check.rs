//! Whether what offers are searched by agrees with the offers, and making it anew.

use super::book::{Book, BookWriter};
use super::error::StoreError;
use super::id::PriceListId;
use super::offer::{LONGEST, ScanWriter};
use super::place::BookPlace;
use rusqlite::{Connection, ErrorCode};

/// Lists where the search disagrees with the offers, in words; a book from before offers has none.
///
/// # Errors
/// Says why it could not be examined: SQLite compares an index of words with its table only where it might write.
pub(super) fn search_faults(sql: &Connection) -> Result<Vec<String>, String> {
    let tables: i64 = sql
        .query_row(
            "SELECT count(*) FROM sqlite_schema WHERE name IN ('offer', 'offer_text', 'offer_scan')",
            [],
            |row| row.get(0),
        )
        .unwrap_or(0);
    if tables < 3 {
        return Ok(Vec::new());
    }
    let mut faults = Vec::new();
    for (what, found) in [
        ("the packed numbers of offers", scan_fault(sql)),
        ("the sizes of ambiguous offers", meaning_fault(sql)),
        ("the price lists", list_fault(sql)),
    ] {
        match found {
            Ok(fault) => faults.extend(fault),
            Err(error) => faults.push(format!("{what} cannot be read: {error}")),
        }
    }
    // Rank 1 compares the index with the table it stands for (SQLite, "FTS5", 6.7); nothing is written.
    let compared = sql.execute(
        "INSERT INTO offer_text (offer_text, rank) VALUES ('integrity-check', 1)",
        [],
    );
    match compared {
        Ok(_) => Ok(faults),
        Err(error) => match error.sqlite_error_code() {
            Some(ErrorCode::ReadOnly) => Err(
                "the words of offers were not compared with their index: the file or its folder is read-only".to_owned(),
            ),
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Err(
                "the words of offers were not compared with their index: another process is writing; run the check again"
                    .to_owned(),
            ),
            _ => {
                faults.push(format!(
                    "the index of the words of offers disagrees with the offers ({error})"
                ));
                Ok(faults)
            }
        },
    }
}

/// Compares every packed number with its offer.
fn scan_fault(sql: &Connection) -> rusqlite::Result<Option<String>> {
    let mut blocks = sql.prepare(
        "SELECT price_list_id, length, keys, offer_ids FROM offer_scan ORDER BY 1, 2, place",
    )?;
    let mut rows = blocks.query([])?;
    let mut offer = sql.prepare("SELECT price_list_id, key FROM offer WHERE id = ?1")?;
    let mut packed: i64 = 0;
    let mut last = (0_i64, 0_usize, 0_i64);
    while let Some(row) = rows.next()? {
        let (list, length): (i64, u32) = (row.get(0)?, row.get(1)?);
        let length = length as usize;
        let (keys, ids) = (row.get_ref(2)?.as_blob()?, row.get_ref(3)?.as_blob()?);
        if length == 0 || keys.len() / length * size_of::<i64>() != ids.len() {
            return Ok(Some(format!(
                "a block of the packed numbers of list {list} is cut short"
            )));
        }
        for (key, id) in keys.chunks(length).zip(ids.chunks(size_of::<i64>())) {
            let id = i64::from_le_bytes(id.try_into().unwrap_or_default());
            let rises = last.0 != list || last.1 != length || id > last.2;
            last = (list, length, id);
            let like = offer
                .query_row([id], |row| {
                    Ok(row.get::<_, i64>(0)? == list && row.get_ref(1)?.as_bytes()? == key)
                })
                .unwrap_or(false);
            if !like || !rises {
                return Ok(Some(format!(
                    "the packed numbers of list {list} disagree with its offers, first at offer {id}"
                )));
            }
            packed += 1;
        }
    }
    let offers: i64 = sql.query_row(
        "SELECT count(*) FROM offer WHERE octet_length(key) BETWEEN 1 AND ?1",
        [i64::try_from(LONGEST).unwrap_or(i64::MAX)],
        |row| row.get(0),
    )?;
    Ok((offers != packed).then(|| {
        format!("{offers} offers have a number that can be searched, {packed} are packed")
    }))
}

fn meaning_fault(sql: &Connection) -> rusqlite::Result<Option<String>> {
    let lost: i64 = sql.query_row(
        "SELECT count(*) FROM offer_meaning WHERE offer_id NOT IN (SELECT id FROM offer)",
        [],
        |row| row.get(0),
    )?;
    Ok((lost > 0).then(|| format!("{lost} sizes belong to no offer")))
}

/// A present list holds as many offers as were accepted.
fn list_fault(sql: &Connection) -> rusqlite::Result<Option<String>> {
    let mut lists = sql.prepare(
        "SELECT s.name, l.accepted, (SELECT count(*) FROM offer o WHERE o.price_list_id = l.id) AS held
         FROM price_list l JOIN supplier s ON s.id = l.supplier_id
         WHERE l.replaced_at IS NULL AND l.accepted <> held",
    )?;
    let mut rows = lists.query([])?;
    let Some(row) = rows.next()? else {
        return Ok(None);
    };
    let (name, accepted, held): (String, i64, i64) = (row.get(0)?, row.get(1)?, row.get(2)?);
    Ok(Some(format!(
        "the list of {name} holds {held} offers where {accepted} were read in: read it in again with `ringwright offer import`"
    )))
}

/// Makes everything anew that offers are searched by, and the indexes of all tables, in one transaction.
///
/// # Errors
/// Fails where the rows themselves cannot be read, or the book not be written; nothing is changed then.
pub fn mend_search(place: &BookPlace) -> Result<(), StoreError> {
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        book.change("REINDEX", &[])?;
        book.change(
            "INSERT INTO offer_text (offer_text) VALUES ('rebuild')",
            &[],
        )?;
        book.change(
            "DELETE FROM offer_meaning WHERE offer_id NOT IN (SELECT id FROM offer)",
            &[],
        )?;
        book.change("DELETE FROM offer_scan", &[])?;
        let lists = "SELECT id FROM price_list ORDER BY id";
        for list in book.list(lists, &[], |row| row.get(0))? {
            pack(book, list)?;
        }
        Ok(())
    })
}

fn pack(book: &BookWriter<'_>, list: PriceListId) -> Result<(), StoreError> {
    let fault = |error| book.fault(error);
    let mut scan = ScanWriter::default();
    let mut offers = book
        .sql
        .prepare_cached("SELECT key, id FROM offer WHERE price_list_id = ?1 ORDER BY id")
        .map_err(fault)?;
    let mut rows = offers.query([list]).map_err(fault)?;
    while let Some(row) = rows.next().map_err(fault)? {
        let key: String = row.get(0).map_err(fault)?;
        scan.push(book, list, &key, row.get(1).map_err(fault)?)?;
    }
    scan.flush(book, list)
}
