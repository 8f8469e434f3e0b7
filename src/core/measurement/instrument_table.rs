//! A user's own table of instruments.

use super::instrument::Instrument;
use super::reading::Measurand;
use crate::core::confidence::Confidence;
use crate::core::quantity::Span;

/// Says what is wrong at one place of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableFault {
    /// Line, from 1.
    pub line: usize,
    /// Character of the line, from 1.
    pub column: usize,
    /// Bytes of the whole text.
    pub span: Span,
    /// What is wrong there, and what to write.
    pub message: String,
}

/// The columns that every table must have, in any order.
const NEEDED: [&str; 5] = ["method", "measurand", "bias", "sd_between", "sd_repeat"];
/// The columns that it may have.
const ALLOWED: [&str; 4] = ["minutes", "label", "source", "confidence"];
/// A bias or spread beyond this is that of no instrument: millimetres, or grams for a mass.
const LARGEST: f64 = 5.0;
/// Minutes that a reading takes where the table does not say.
const MINUTES: f64 = 1.0;

/// Reads a table of instruments with the columns method, measurand, bias, sd_between, sd_repeat and, where wanted, minutes,
/// label, source, confidence. Lengths are millimetres, masses grams. Blank lines and lines that begin with # are passed
/// over. The texts of the rows live as long as the program; a table is read once in a run.
///
/// # Errors
/// Every fault with its line and column and what to write instead.
pub fn read_instruments(text: &str) -> Result<Vec<Instrument>, Vec<TableFault>> {
    let mut lines = lines(text);
    let Some((line, start, header)) = lines.next() else {
        return Err(vec![fault(
            text,
            1,
            Span::new(0, 0),
            format!("no table here: begin with a line {}", NEEDED.join(",")),
        )]);
    };
    let head = split(header, start);
    let mut faults = header_faults(text, line, &head);
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut rows: Vec<Instrument> = Vec::new();
    for (line, start, row) in lines {
        let cells = split(row, start);
        let record = Record {
            text,
            line,
            head: &head,
            whole: Span::new(start, start + row.len()),
            cells,
        };
        match record.instrument() {
            Err(found) => faults.extend(found),
            Ok(new) => {
                let twin = |r: &Instrument| r.method == new.method && r.measurand == new.measurand;
                if rows.iter().any(twin) {
                    let message = format!(
                        "{} for the {} stands in this table twice: keep one line",
                        new.method,
                        new.measurand.name()
                    );
                    faults.push(fault(text, line, record.whole, message));
                } else {
                    rows.push(new);
                }
            }
        }
    }
    if faults.is_empty() {
        Ok(rows)
    } else {
        Err(faults)
    }
}

/// Gives the lines that hold something, with number and first byte.
fn lines(text: &str) -> impl Iterator<Item = (usize, usize, &str)> {
    let mut at = 0;
    let numbered = text.split('\n').enumerate().map(move |(number, line)| {
        let start = at;
        at += line.len() + 1;
        let mark = if line.starts_with('\u{feff}') { 3 } else { 0 };
        (
            number + 1,
            start + mark,
            line[mark..].trim_end_matches('\r'),
        )
    });
    numbered.filter(|(_, _, line)| !line.trim().is_empty() && !line.trim_start().starts_with('#'))
}

/// One field and where it stands.
#[derive(Debug, Clone, PartialEq, Default)]
struct Cell {
    text: String,
    span: Span,
}

/// Splits a line at commas outside double quotes; a doubled quote inside quotes stands for one.
fn split(line: &str, start: usize) -> Vec<Cell> {
    let mut cells = Vec::new();
    let (mut begin, mut quoted) = (0, false);
    for (at, c) in line.char_indices().chain([(line.len(), ',')]) {
        if c == '"' {
            quoted = !quoted;
        }
        if c != ',' || (quoted && at < line.len()) {
            continue;
        }
        let raw = &line[begin..at];
        let inside = raw.trim();
        let lead = begin + (raw.len() - raw.trim_start().len());
        let span = Span::new(start + lead, start + lead + inside.len());
        let plain = inside
            .strip_prefix('"')
            .and_then(|t| t.strip_suffix('"'))
            .map_or_else(|| inside.to_owned(), |t| t.replace("\"\"", "\""));
        cells.push(Cell { text: plain, span });
        begin = at + 1;
    }
    cells
}

fn fault(text: &str, line: usize, span: Span, message: String) -> TableFault {
    let start = text[..span.start].rfind('\n').map_or(0, |n| n + 1);
    TableFault {
        line,
        column: text[start..span.start].chars().count() + 1,
        span,
        message,
    }
}

fn header_faults(text: &str, line: usize, head: &[Cell]) -> Vec<TableFault> {
    let mut faults = Vec::new();
    for (at, cell) in head.iter().enumerate() {
        let name = cell.text.to_lowercase();
        let known = NEEDED.iter().chain(&ALLOWED).any(|c| **c == name);
        if !known {
            let message = format!(
                "{:?} is not a column of this table: write {}, and where wanted {}",
                cell.text,
                NEEDED.join(", "),
                ALLOWED.join(", ")
            );
            faults.push(fault(text, line, cell.span, message));
        } else if head[..at].iter().any(|c| c.text.to_lowercase() == name) {
            let message = format!("the column {name} stands here twice: leave one out");
            faults.push(fault(text, line, cell.span, message));
        }
    }
    for needed in NEEDED {
        if !head.iter().any(|c| c.text.to_lowercase() == needed) {
            let end = head.last().map_or(0, |c| c.span.end);
            let start = head.first().map_or(0, |c| c.span.start);
            let message = format!("the column {needed} is missing: add it to this line");
            faults.push(fault(text, line, Span::new(start, end), message));
        }
    }
    faults
}

/// One line of the table.
struct Record<'t> {
    text: &'t str,
    line: usize,
    head: &'t [Cell],
    whole: Span,
    cells: Vec<Cell>,
}

impl Record<'_> {
    fn instrument(&self) -> Result<Instrument, Vec<TableFault>> {
        if self.cells.len() != self.head.len() {
            let message = format!(
                "{} fields stand under {} columns: put a text that holds a comma in double quotes, and write 0.05 with a point",
                self.cells.len(),
                self.head.len()
            );
            return Err(vec![self.fault(self.whole, message)]);
        }
        let mut faults = Vec::new();
        let mut kept = |number: Result<f64, TableFault>| {
            number.unwrap_or_else(|fault| {
                faults.push(fault);
                0.0
            })
        };
        let bias = kept(self.number("bias", -LARGEST, LARGEST));
        let sd_between = kept(self.number("sd_between", f64::MIN_POSITIVE, LARGEST));
        let sd_repeat = kept(self.number("sd_repeat", f64::MIN_POSITIVE, LARGEST));
        let minutes = if self.cell("minutes").text.is_empty() {
            MINUTES
        } else {
            kept(self.number("minutes", f64::MIN_POSITIVE, 600.0))
        };
        let words = (self.method(), self.measurand(), self.confidence());
        match words {
            (Ok(method), Ok(measurand), Ok(confidence)) if faults.is_empty() => Ok(Instrument {
                label: self.text_or("label", &method),
                method: method.leak(),
                measurand,
                bias,
                sd_between,
                sd_repeat,
                minutes,
                source: self.text_or("source", "the user's own table"),
                confidence,
            }),
            (method, measurand, confidence) => {
                faults.extend(method.err());
                faults.extend(measurand.err());
                faults.extend(confidence.err());
                faults.sort_by_key(|f| f.span);
                Err(faults)
            }
        }
    }

    fn method(&self) -> Result<String, TableFault> {
        let cell = self.cell("method");
        let word = cell.text.to_lowercase();
        let plain = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
        if !word.is_empty() && word.chars().count() <= 32 && word.chars().all(plain) {
            return Ok(word);
        }
        let message = format!(
            "{:?} cannot be written behind \"by\": use one word of letters, digits and hyphens, such as old-caliper",
            cell.text
        );
        Err(self.fault(cell.span, message))
    }

    fn measurand(&self) -> Result<Measurand, TableFault> {
        let cell = self.cell("measurand");
        Measurand::from_word(&cell.text).ok_or_else(|| {
            let known = Measurand::ALL.map(|(_, word)| word).join(", ");
            let message = format!(
                "{:?} is nothing that is measured on a ring: write one of {known}",
                cell.text
            );
            self.fault(cell.span, message)
        })
    }

    fn confidence(&self) -> Result<Confidence, TableFault> {
        let cell = self.cell("confidence");
        if cell.text.is_empty() {
            return Ok(Confidence::Measured);
        }
        Confidence::from_word(&cell.text.to_lowercase()).ok_or_else(|| {
            let message = format!(
                "{:?} is not a grade: write memory, supplier table, measured or published",
                cell.text
            );
            self.fault(cell.span, message)
        })
    }

    fn number(&self, column: &str, least: f64, greatest: f64) -> Result<f64, TableFault> {
        let cell = self.cell(column);
        match cell.text.parse::<f64>() {
            Ok(value) if (least..=greatest).contains(&value) => Ok(value),
            Ok(_) => {
                let from = if least > 0.0 {
                    "above 0".to_owned()
                } else {
                    format!("from {least}")
                };
                let message = format!(
                    "{column} {} is outside what is taken: write a number {from} to {greatest} (mm, g for a mass, minutes)",
                    cell.text
                );
                Err(self.fault(cell.span, message))
            }
            Err(_) => {
                let message = format!(
                    "{column} {:?} is not a number: write one with a decimal point, such as 0.05, without a unit",
                    cell.text
                );
                Err(self.fault(cell.span, message))
            }
        }
    }

    fn text_or(&self, column: &str, other: &str) -> &'static str {
        let text = self.cell(column).text;
        let kept = Some(text).filter(|text| !text.is_empty());
        kept.unwrap_or_else(|| other.to_owned()).leak()
    }

    fn cell(&self, column: &str) -> Cell {
        let mut head = self.head.iter();
        let place = head.position(|c| c.text.to_lowercase() == column);
        place.map(|at| self.cells[at].clone()).unwrap_or_default()
    }

    fn fault(&self, span: Span, message: String) -> TableFault {
        fault(self.text, self.line, span, message)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::measurement::Instruments;

    #[test]
    fn a_table_in_any_order_of_columns_is_read() {
        let text = "\u{feff}# my bench\r\nmeasurand,method,sd_repeat,bias,sd_between,label\r\n\r\n\
            od,Old-Caliper,0.02,-0.11,0.03,\"caliper, the old one\"\r\ncs,old-caliper, 0.02 ,-0.14,0.03,\r\n";
        let rows = read_instruments(text).expect("reads");
        assert_eq!(rows.len(), 2);
        assert_eq!(rows[0].method, "old-caliper");
        assert_eq!(rows[0].label, "caliper, the old one");
        assert_eq!(rows[1].label, "old-caliper");
        assert!((rows[0].bias + 0.11).abs() < 1e-12 && (rows[0].minutes - 1.0).abs() < 1e-12);
        let all = Instruments::shipped().with_rows(rows);
        assert!(all.find("old-caliper", Measurand::Cs).is_ok());
        assert!(all.find("caliper", Measurand::Cs).is_ok());
    }

    #[test]
    fn the_shipped_table_is_a_table_but_for_the_methods_not_stated() {
        let shipped = include_str!("../../../data/measurement/instruments.csv");
        let named: Vec<&str> = shipped
            .lines()
            .filter(|line| !line.starts_with(','))
            .collect();
        let named = named.join("\n");
        let rows = read_instruments(&named).expect("reads");
        for row in &rows {
            assert_eq!(
                Instruments::shipped().find(row.method, row.measurand),
                Ok(row)
            );
        }
        assert_eq!(rows.len(), named.lines().count() - 1);
    }

    #[test]
    fn every_fault_is_named_with_its_line_and_column() {
        let text = "method,measurand,bias,sd_between,sd_repeat\n\
            my caliper,od,-0.1,0.05,0.02\n\
            good,depth,-0.1,0.05,0.02\n\
            good,od,\"-0,1\",0,0.02\n\
            good,cs,-0,1,0.05,0.02\n\
            good,id,0,0.05,0.02\n\
            good,id,0,0.05,0.02\n";
        let faults = read_instruments(text).expect_err("faulty");
        let found: Vec<(usize, usize, &str)> = faults
            .iter()
            .map(|f| (f.line, f.column, &text[f.span.range()]))
            .collect();
        assert_eq!(
            found,
            [
                (2, 1, "my caliper"),
                (3, 6, "depth"),
                (4, 9, "\"-0,1\""),
                (4, 16, "0"),
                (5, 1, "good,cs,-0,1,0.05,0.02"),
                (7, 1, "good,id,0,0.05,0.02"),
            ]
        );
        assert!(faults[4].message.contains("with a point"));
    }

    #[test]
    fn a_header_that_lacks_a_column_or_has_a_strange_one_is_refused() {
        let columns = |text: &str| -> Vec<usize> {
            let faults = read_instruments(text).expect_err("faulty");
            faults.iter().map(|f| f.column).collect()
        };
        assert_eq!(columns(""), [1]);
        assert_eq!(columns("method,measurand,bias,sd_between,sd\n"), [34, 1]);
        assert_eq!(
            columns("method,measurand,bias,sd_between,sd_repeat,bias\n"),
            [44]
        );
    }
}
