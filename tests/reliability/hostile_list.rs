//! Price lists that were made to do harm: formulas, entities, bombs, broken archives and broken tables.

use super::CAP;
use crate::program::{Answer, Workshop, import_line};
use rand_core::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;
use std::io::{Cursor, Write};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

const HEADS: [&str; 4] = ["number", "description", "pack", "price"];

/// Imports a file under a cap on memory.
fn import(workshop: &Workshop, file: &str) -> Answer {
    workshop.under(CAP, &import_line(file, "Evil"))
}

fn refused(workshop: &Workshop, what: &str, bytes: &[u8], words: &str) {
    workshop.write("list.xlsx", bytes);
    let answer = import(workshop, "list.xlsx");
    assert_eq!(answer.code, Some(2), "{what}: {}", answer.shown());
    assert!(answer.out.is_empty(), "{}", answer.shown());
    assert!(answer.err.contains(words), "{what}: {}", answer.shown());
}

/// Expects that no cell would be computed by a spreadsheet.
pub(crate) fn no_formula(csv_text: &str) {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(csv_text.as_bytes());
    for record in reader.records() {
        for cell in &record.expect("CSV") {
            let computed =
                cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
            assert!(!computed || cell.parse::<f64>().is_ok(), "{cell:?}");
        }
    }
}

#[test]
fn formulas_count_by_their_saved_value_and_leave_the_program_defused() {
    let workshop = Workshop::new();
    let rows = [
        row(1, &HEADS),
        r#"<row r="2"><c r="A2" t="str"><f>1+1</f><v>=cmd|' /C calc'!A0</v></c><c r="B2" t="inlineStr"><is><t>O-ring -012 NBR 70</t></is></c><c r="C2"><v>10</v></c><c r="D2"><f>2*0.8</f><v>1.6</v></c></row>"#.to_owned(),
        r#"<row r="3"><c r="A3" t="str"><f>HYPERLINK("http://example.invalid")</f></c><c r="B3" t="inlineStr"><is><t>@SUM(A1)</t></is></c><c r="C3"><v>1</v></c><c r="D3"><f>1/0</f></c></row>"#.to_owned(),
        row(4, &["+1", "-2+3 O-ring -013 NBR", "1", "2.00"]),
        row(5, &["=1+1", "=2+2", "1", "no price"]),
    ];
    workshop.write(
        "list.xlsx",
        Workbook::new().rows(&rows).texts(&[""]).bytes(),
    );
    let answer = import(&workshop, "list.xlsx");
    assert_eq!(answer.code, Some(0), "{}", answer.shown());
    for words in ["ring", "cmd", "-012"] {
        no_formula(
            &workshop
                .run(&format!("offer find {words} --format csv"))
                .out,
        );
    }
    let rejects = workshop.read("list.xlsx.rejects.csv");
    assert!(rejects.contains("=2+2"), "{rejects}");
    no_formula(&rejects);
}

#[test]
fn entities_comments_and_document_types_are_refused() {
    let workshop = Workshop::new();
    let mut laughs = String::from("<?xml version=\"1.0\"?><!DOCTYPE lolz [<!ENTITY a0 \"lol\">");
    for n in 1..10 {
        let ten = format!("&a{};", n - 1).repeat(10);
        laughs.push_str(&["<!ENTITY a", &n.to_string(), " \"", &ten, "\">"].concat());
    }
    laughs += "]><worksheet><sheetData><row r=\"1\"><c r=\"A1\" t=\"inlineStr\"><is><t>&a9;</t></is></c></row></sheetData></worksheet>";
    refused(
        &workshop,
        "a billion laughs",
        &Workbook::new().sheet(&laughs).bytes(),
        "document type",
    );
    let comment = row(1, &["<!-- x -->number"]);
    refused(
        &workshop,
        "a comment",
        &Workbook::new().rows(&[comment]).bytes(),
        "comment",
    );
    // An entity that nobody defined stands for nothing.
    let rows = [
        row(1, &HEADS),
        row(2, &["&boom;", "O-ring -012 NBR", "1", "2.00"]),
    ];
    workshop.write("list.xlsx", Workbook::new().rows(&rows).bytes());
    import(&workshop, "list.xlsx");
}

#[test]
fn what_unpacks_beyond_the_cap_is_refused_within_the_memory_cap() {
    let workshop = Workshop::new();
    let rows = row(1, &HEADS).repeat(20_000);
    let pieces = vec![rows.as_str(); (513 << 20) / rows.len() + 1];
    let bomb = Workbook::new().rows(&pieces).bytes();
    assert!(bomb.len() < 16 << 20, "{} bytes", bomb.len());
    refused(&workshop, "a sheet", &bomb, "unpacks to more than 512 MiB");
    let texts = "<si><t/></si>".repeat(80_000);
    let pieces = vec![texts.as_str(); (65 << 20) / texts.len() + 1];
    let bomb = Workbook::new()
        .rows(&[row(1, &HEADS)])
        .texts(&pieces)
        .bytes();
    refused(
        &workshop,
        "shared texts",
        &bomb,
        "unpacks to more than 64 MiB",
    );
    let just_fits = vec![texts.as_str(); (60 << 20) / texts.len()];
    workshop.write(
        "list.xlsx",
        Workbook::new()
            .rows(&[row(1, &HEADS)])
            .texts(&just_fits)
            .bytes(),
    );
    import(&workshop, "list.xlsx");
}

#[test]
fn one_long_text_that_thousands_of_cells_share_stays_within_the_memory_cap() {
    let workshop = Workshop::new();
    let long = format!("<si><t>{}</t></si>", "x".repeat(1_000_000));
    let cells: String = (0..900).map(|_| "<c t=\"s\"><v>0</v></c>").collect();
    let rows: Vec<String> = (1..200)
        .map(|n| format!("<row r=\"{n}\">{cells}</row>"))
        .collect();
    let wide = Workbook::new().rows(&rows).texts(&[&long]).bytes();
    refused(&workshop, "a wide row", &wide, "holds more than 4 MiB");
    let rows: Vec<String> = std::iter::once(row(1, &HEADS))
        .chain((2..600).map(|n| {
            format!("<row r=\"{n}\"><c r=\"A{n}\"><v>{n}</v></c><c r=\"B{n}\" t=\"s\"><v>0</v></c><c r=\"D{n}\"><v>1</v></c></row>")
        }))
        .collect();
    workshop.write(
        "list.xlsx",
        Workbook::new().rows(&rows).texts(&[&long]).bytes(),
    );
    let answer = import(&workshop, "list.xlsx");
    assert_eq!(answer.code, Some(2), "{}", answer.shown());
    assert!(answer.out.is_empty(), "{}", answer.shown());
    assert!(answer.err.contains("none of the"), "{}", answer.shown());
    // The file of rejected rows does not grow with what cells share.
    let kept = row(601, &["A1", "O-ring -012 NBR", "1", "2.00"]);
    let rows: Vec<String> = rows.into_iter().chain([kept]).collect();
    workshop.write(
        "list.xlsx",
        Workbook::new().rows(&rows).texts(&[&long]).bytes(),
    );
    assert_eq!(import(&workshop, "list.xlsx").code, Some(0));
    let rejects = std::fs::metadata(workshop.path("list.xlsx.rejects.csv")).expect("rejected rows");
    assert!(rejects.len() < 8 << 20, "{} bytes", rejects.len());
    let huge = format!("<si><t>{}</t></si>", "x".repeat(2_000_000));
    let texts = Workbook::new()
        .rows(&[row(1, &HEADS)])
        .texts(&[huge])
        .bytes();
    refused(
        &workshop,
        "a huge text",
        &texts,
        "a text of more than 1 MiB",
    );
}

#[test]
fn broken_archives_and_junk_end_in_a_message() {
    let workshop = Workshop::new();
    let rows = [
        row(1, &HEADS),
        row(2, &["A1", "O-ring -012 NBR 70", "10", "1.60"]),
    ];
    let whole = Workbook::new()
        .rows(&rows)
        .texts(&["<si><t>x</t></si>"])
        .bytes();
    let mut draw = Pcg64Mcg::seed_from_u64(8);
    for at in 0..60 {
        let mut bytes = whole.clone();
        if at < 20 {
            bytes.truncate(4 + at * (whole.len() - 4) / 20);
        } else {
            for _ in 0..3 {
                let place = 4 + draw.next_u32() as usize % (bytes.len() - 4);
                bytes[place] ^= 1 << (draw.next_u32() % 8);
            }
        }
        workshop.write("list.xlsx", &bytes);
        import(&workshop, "list.xlsx");
    }
    for size in [1, 100, 10_000, 1_000_000] {
        let mut junk = vec![0; size];
        draw.fill_bytes(&mut junk);
        junk.retain(|byte| *byte != 0);
        workshop.write("junk.csv", &junk);
        import(&workshop, "junk.csv");
    }
    assert!(matches!(workshop.run("book check").code, Some(0 | 3)));
}

#[test]
fn broken_tables_are_read_or_refused_in_bounded_memory() {
    let workshop = Workshop::new();
    let head = "number,description,pack,price\n";
    let good = "A1,O-ring -012 NBR 70,10,1.60\n";
    let tables: [(&str, String, Option<&str>); 9] = [
        (
            "a quotation mark left open",
            format!("{head}{good}\"A2,{}", good.repeat(400_000)),
            Some("quotation mark"),
        ),
        (
            "one row of 20 MB",
            format!("{head}{good}A2,{},1,1.00\n", "x".repeat(20_000_000)),
            Some("larger than 4 MiB"),
        ),
        (
            "a field of 1 MB",
            format!("{head}{good}A2,{},1,1.00\n", "x".repeat(1_000_000)),
            None,
        ),
        (
            "a million columns",
            format!("{head}{good}{}\n", ",".repeat(1_000_000)),
            None,
        ),
        (
            "carriage returns only",
            format!("{head}{good}").replace('\n', "\r"),
            None,
        ),
        ("no rows", head.to_owned(), Some("")),
        ("nothing", String::new(), Some("holds no rows")),
        ("a NUL", format!("{head}A\0,x,1,1\n"), Some("save it as")),
        (
            "text that steers",
            format!(
                "{head}\u{1b}[2JA1,O-ring -012 \u{202e}NBR \u{9b}31m,10,1.60\n\u{1b}]0;x\u{7},,,\n"
            ),
            None,
        ),
    ];
    for (what, text, refused) in tables {
        workshop.write("list.csv", &text);
        let answer = import(&workshop, "list.csv");
        match refused {
            Some(words) => {
                assert_eq!(answer.code, Some(2), "{what}: {}", answer.shown());
                assert!(answer.out.is_empty(), "{}", answer.shown());
                assert!(answer.err.contains(words), "{what}: {}", answer.shown());
            }
            None => assert_eq!(answer.code, Some(0), "{what}: {}", answer.shown()),
        }
    }
    for form in ["table", "json", "csv", "md"] {
        let found = workshop.done(&format!("offer find ring --format {form}"));
        assert!(found.out.contains("NBR"), "{}", found.shown());
    }
}

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
