//! Workbooks made by hand, as a hostile sender would make them.

use std::io::{Cursor, Write};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

const TYPES: &str = r#"<?xml version="1.0" encoding="UTF-8"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>"#;
const ROOT: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>"#;
const BOOK: &str = r#"<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="list" sheetId="1" r:id="r1"/></sheets></workbook>"#;
const RELS: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="r2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/></Relationships>"#;
const SHEET: &str = r#"<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>"#;
const END: &str = "</sheetData></worksheet>";
const TEXTS: &str = r#"<?xml version="1.0"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">"#;

/// Gathers the parts of a workbook.
pub(crate) struct Workbook {
    zip: ZipWriter<Cursor<Vec<u8>>>,
}

impl Workbook {
    /// Begins a workbook of one sheet.
    pub(crate) fn new() -> Self {
        let mut book = Self {
            zip: ZipWriter::new(Cursor::new(Vec::new())),
        };
        for (name, text) in [
            ("[Content_Types].xml", TYPES),
            ("_rels/.rels", ROOT),
            ("xl/workbook.xml", BOOK),
            ("xl/_rels/workbook.xml.rels", RELS),
        ] {
            book.part(name, &[text]);
        }
        book
    }

    /// Adds a part; its pieces stand one behind the other.
    fn part<P: AsRef<[u8]>>(&mut self, name: &str, pieces: &[P]) {
        let quick = SimpleFileOptions::default().compression_level(Some(1));
        self.zip.start_file(name, quick).expect("begins a part");
        for piece in pieces {
            self.zip.write_all(piece.as_ref()).expect("writes a part");
        }
    }

    /// Adds the sheet, from the XML of its rows.
    pub(crate) fn rows<P: AsRef<str>>(mut self, rows: &[P]) -> Self {
        let mut pieces = vec![SHEET];
        pieces.extend(rows.iter().map(AsRef::as_ref));
        pieces.push(END);
        self.part("xl/worksheets/sheet1.xml", &pieces);
        self
    }

    /// Adds the sheet as it is, head and all.
    pub(crate) fn sheet(mut self, text: &str) -> Self {
        self.part("xl/worksheets/sheet1.xml", &[text]);
        self
    }

    /// Adds the texts that cells share.
    pub(crate) fn texts<P: AsRef<str>>(mut self, texts: &[P]) -> Self {
        let mut pieces = vec![TEXTS];
        pieces.extend(texts.iter().map(AsRef::as_ref));
        pieces.push("</sst>");
        self.part("xl/sharedStrings.xml", &pieces);
        self
    }

    /// Ends the workbook.
    pub(crate) fn bytes(self) -> Vec<u8> {
        self.zip.finish().expect("ends").into_inner()
    }
}

/// Writes a row of texts.
pub(crate) fn row(number: usize, cells: &[&str]) -> String {
    let cells: Vec<String> = ('A'..='Z')
        .zip(cells)
        .map(|(column, cell)| {
            format!("<c r=\"{column}{number}\" t=\"inlineStr\"><is><t>{cell}</t></is></c>")
        })
        .collect();
    format!("<row r=\"{number}\">{}</row>", cells.concat())
}
