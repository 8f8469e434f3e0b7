//! Reads a note from a spreadsheet of one row a part.

use super::cells::{Cell, Row, rows};
use super::columns::{COLUMNS, Column, Holds};
use super::draft::Draft;
use super::piece::Piece;
use super::reading::{NoteReading, Unreviewed};
use super::vocabulary::{Context, Keyed, nearest};
use crate::core::near_word::{did_you_mean, nearest_of};
use crate::core::quantity::{LengthUnit, Span};
use std::collections::HashMap;

/// Reads the text of a CSV file with one row a part; it never fails as a whole.
///
/// The first row names the columns ([`sheet_header`](super::sheet_header) lists them); the unit of bare lengths stands
/// in the name of a column (`od_mm`, `od_in`). What belongs to the whole unit may stand in every row or in the first.
/// A blank section is that of the row above. Comma, semicolon and tab are known as marks between cells; an apostrophe
/// before a dash number, which keeps it whole in a spreadsheet, is removed.
pub fn read_sheet(text: &str) -> NoteReading {
    let mut sheet = SheetReader::default();
    let all = rows(text, &mut sheet.read.reader.diagnostics);
    if let Some((heads, body)) = all.split_first() {
        sheet.read_heads(heads);
        sheet.declare_unit(heads, body);
        for row in body {
            sheet.read_row(row);
        }
    }
    sheet.read.review(text)
}

#[derive(Default)]
struct SheetReader {
    read: Unreviewed,
    columns: Vec<Option<(Column, String)>>,
    /// What the header's columns said so far.
    said: HashMap<&'static str, Vec<String>>,
    section: String,
}

impl SheetReader {
    fn read_heads(&mut self, heads: &Row) {
        for cell in &heads.cells {
            let head = cell.piece();
            let column = Column::of_head(head.text());
            if column.is_none() && !head.is_empty() {
                self.report_head(head);
            }
            let twin = column.is_some_and(|new| {
                self.columns
                    .iter()
                    .flatten()
                    .any(|(old, _)| old.holds == new.holds)
            });
            if twin {
                self.read.reader.diagnostics.error(
                    head.span(),
                    format!("two columns hold the same as {:?}", head.text()),
                    "keep one of them; several readings may stand in one cell",
                );
            }
            let usable = column.filter(|_| !twin);
            self.columns
                .push(usable.map(|c| (c, head.text().to_owned())));
        }
    }

    fn report_head(&mut self, head: &Piece) {
        let plain = head.text().to_lowercase();
        let plain = plain.trim_end_matches("_mm").trim_end_matches("_in");
        let meant = nearest_of(COLUMNS.iter().map(|(name, _)| *name), plain)
            .or_else(|| nearest(&[Context::Part, Context::Header], plain));
        let hint = did_you_mean(meant);
        self.read.reader.diagnostics.error(
            head.span(),
            format!("{:?} is not a known column{hint}", head.text()),
            "rename it, or take the column out",
        );
    }

    /// Finds the unit of bare lengths: from the heads, or from a column of its own.
    fn declare_unit(&mut self, heads: &Row, body: &[Row]) {
        let mut unit: Option<LengthUnit> = None;
        for (column, cell) in self.columns.iter().zip(&heads.cells) {
            let Some((
                Column {
                    unit: Some(found), ..
                },
                _,
            )) = column
            else {
                continue;
            };
            if *unit.get_or_insert(*found) != *found {
                self.read.reader.diagnostics.error(
                    cell.piece().span(),
                    "the columns of this sheet name two units of length",
                    "use one, or leave the unit out of the names and write it in the cells",
                );
            }
        }
        if let Some(unit) = unit {
            self.read.reader.lengths = Some(unit);
            self.read.header.header.lengths =
                Some(unit).filter(|u| matches!(u, LengthUnit::Mm | LengthUnit::In));
            self.read.header.meant("lengths", Span::new(0, 0));
            if self.read.header.header.lengths.is_none() {
                let at = heads
                    .cells
                    .first()
                    .map_or(Span::new(0, 0), |c| c.piece().span());
                self.read.reader.diagnostics.error(
                    at,
                    "bare lengths are in mm or in inches",
                    "name the columns od_mm or od_in",
                );
            }
            return;
        }
        let at = self.columns.iter().position(|c| {
            c.as_ref()
                .is_some_and(|(c, _)| c.holds == Holds::Header("lengths"))
        });
        let cell = at.and_then(|at| {
            body.iter()
                .filter_map(|row| row.cells.get(at))
                .find(|c| !c.is_blank())
        });
        if let Some(cell) = cell {
            self.set_header("lengths", cell);
        }
    }

    fn read_row(&mut self, row: &Row) {
        let errors = self.read.reader.diagnostics.errors();
        if let Some(extra) = row
            .cells
            .iter()
            .skip(self.columns.len())
            .find(|c| !c.is_blank())
        {
            self.read.reader.diagnostics.error(
                extra.piece().span(),
                "this row has more cells than there are columns",
                "a comma inside a cell needs quotation marks around the cell: \"9,25\"",
            );
        }
        let mut name = None;
        let mut fields = Vec::new();
        for at in 0..self.columns.len().min(row.cells.len()) {
            let cell = &row.cells[at];
            let Some((column, head)) = self.columns[at].clone().filter(|_| !cell.is_blank()) else {
                continue;
            };
            self.read.reader.diagnostics.cell = Some(head);
            match column.holds {
                Holds::Header(key) => self.set_header(key, cell),
                Holds::Section => self.set_section(cell),
                Holds::Name => name = self.one_line(cell),
                holds => fields.push((at, holds)),
            }
        }
        self.read.reader.diagnostics.cell = None;
        if name.is_some() || !fields.is_empty() {
            self.read_part(row, name, &fields);
            if let Some(draft) = self.read.drafts.last_mut() {
                draft.faulty = self.read.reader.diagnostics.errors() > errors;
            }
        }
    }

    fn read_part(&mut self, row: &Row, name: Option<Piece>, fields: &[(usize, Holds)]) {
        let kind = fields
            .iter()
            .find(|(_, holds)| *holds == Holds::Part("kind"));
        let kind = kind.map(|(at, _)| row.cells[*at].piece().clone());
        let name = name.unwrap_or_else(|| row.cells[0].piece().part(0..0));
        let mut draft = Draft::begin(&name, kind.as_ref(), &mut self.read.reader);
        draft.entry.line = row.line;
        self.section.clone_into(&mut draft.entry.section);
        // The gland's kind comes before its dimensions, wherever its column stands.
        let mut ordered = fields.to_vec();
        ordered.sort_by_key(|(_, holds)| *holds != Holds::Part("gland"));
        for (at, holds) in ordered {
            self.read.reader.diagnostics.cell =
                self.columns[at].as_ref().map(|(_, head)| head.clone());
            self.set_field(&mut draft, holds, &row.cells[at]);
        }
        self.read.reader.diagnostics.cell = None;
        self.read.drafts.push(draft);
    }

    fn set_field(&mut self, draft: &mut Draft, holds: Holds, cell: &Cell) {
        let (key, in_gland) = match holds {
            Holds::Part(key) => (key, false),
            Holds::Gland(key) => (key, true),
            _ => return,
        };
        let is_list = matches!(key, "photo" | "remark")
            || (draft.entry.kind.is_ring() && !in_gland && holds.is_length());
        let lines = if is_list {
            cell.lines.clone()
        } else {
            self.one_line(cell).into_iter().collect()
        };
        for value in lines {
            let keyed = Keyed::whole(key, value);
            if in_gland {
                draft.set_gland_key(&keyed, &mut self.read.reader);
            } else {
                draft.set(&keyed, &mut self.read.reader);
            }
        }
    }

    /// Sets what is said of the whole unit; the same said again in a later row is nothing new.
    fn set_header(&mut self, key: &'static str, cell: &Cell) {
        let is_list = matches!(key, "found" | "photo" | "remark");
        let whole: Vec<&str> = cell.lines.iter().map(Piece::text).collect();
        let whole = whole.join("\n");
        if is_list && self.said.get(key).is_some_and(|said| said.contains(&whole)) {
            return;
        }
        for value in cell.lines.clone() {
            let said = self.said.entry(key).or_default();
            if !is_list && said.iter().any(|s| s == value.text()) {
                continue;
            }
            said.push(if is_list {
                whole.clone()
            } else {
                value.text().to_owned()
            });
            if !is_list
                && (said.len() > 1 || (key == "lengths" && self.read.header.span_of(key).is_some()))
            {
                self.read.reader.diagnostics.error(
                    value.span(),
                    format!("the {key} given here is not the one given above"),
                    "one sheet is about one unit: put the other unit into a sheet of its own",
                );
                continue;
            }
            let keyed = Keyed::whole(key, value);
            self.read.header.set(&keyed, &mut self.read.reader);
        }
    }

    fn set_section(&mut self, cell: &Cell) {
        if let Some(piece) = self.one_line(cell) {
            let text = piece.text();
            let inside = text
                .strip_prefix('[')
                .and_then(|t| t.strip_suffix(']'))
                .unwrap_or(text);
            inside.trim().clone_into(&mut self.section);
        }
    }

    fn one_line(&mut self, cell: &Cell) -> Option<Piece> {
        if cell.lines.len() > 1 {
            self.read.reader.diagnostics.error(
                cell.lines[1].span(),
                "this cell has more than one line",
                "write it on one line",
            );
        }
        Some(cell.piece().clone()).filter(|piece| !piece.is_empty())
    }
}
