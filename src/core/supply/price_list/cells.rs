//! The cells of one row by what they hold.

use super::column::Column;
use super::fault::{Reject, RowFault};
use super::layout::Layout;
use crate::core::note::PartKind;
use crate::core::quantity::{Length, LengthUnit, parse_dimension};
use crate::core::sizes::read_designation;
use crate::core::supply::described::{Described, NamedRing};
use std::borrow::Cow;

/// Holds one row of a table as it was read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TableRow {
    /// Its line, from 1.
    pub line: u64,
    /// Its cells.
    pub cells: Vec<String>,
    /// Whether it is hidden in a workbook.
    pub hidden: bool,
}

/// The cells of one row by what they hold.
#[derive(Clone, Copy)]
pub(super) struct Cells<'r> {
    pub(super) row: &'r TableRow,
    pub(super) layout: &'r Layout,
}

impl<'r> Cells<'r> {
    pub(super) fn at(self, place: usize) -> &'r str {
        self.row.cells.get(place - 1).map_or("", |cell| cell.trim())
    }

    /// The text of a column; `None` where the list has none or the cell is empty.
    pub(super) fn get(self, column: Column) -> Option<&'r str> {
        let text = self.at(self.layout.map.place(column)?);
        (!text.is_empty()).then_some(text)
    }

    /// The texts of all columns of a kind, joined.
    pub(super) fn joined(self, column: Column) -> Cow<'r, str> {
        let texts = self.layout.map.all(column).map(|place| self.at(place));
        let mut texts = texts.filter(|text| !text.is_empty());
        let first = texts.next().unwrap_or("");
        texts.fold(Cow::Borrowed(first), |all, text| {
            Cow::Owned(format!("{all} {text}"))
        })
    }

    pub(super) fn refuse(self, column: Column, fault: RowFault) -> Reject {
        Reject {
            line: self.row.line,
            column: self.layout.map.place(column),
            fault,
        }
    }

    pub(super) fn refuse_row(self, fault: RowFault) -> Reject {
        Reject {
            line: self.row.line,
            column: None,
            fault,
        }
    }

    /// Reads a column of lengths, or its twin in inches.
    pub(super) fn length(self, metric: Column) -> Option<Length> {
        let read = |column, unit| {
            let typed = parse_dimension(self.get(column)?, Some(unit)).ok()?;
            Some(typed.value.nominal)
        };
        read(metric, LengthUnit::Mm).or_else(|| read(metric.in_inches(), LengthUnit::In))
    }
}

/// Reads the columns of dimensions; where they name another ring than the description, both are kept.
pub(super) fn read_dimensions(cells: Cells<'_>, described: &mut Described) {
    let (id, od) = (cells.length(Column::Id), cells.length(Column::Od));
    let section = cells.length(Column::Section).or_else(|| {
        let wall = (od?.nm() - id?.nm()) / 2;
        (wall > 0).then(|| Length::from_nm(wall))
    });
    if described.kind.is_some_and(|kind| kind != PartKind::Ring) {
        if described.lengths.is_empty() {
            described
                .lengths
                .extend([od, id, section].into_iter().flatten());
        }
        return;
    }
    let id = id.or_else(|| Some(Length::from_nm(od?.nm() - 2 * section?.nm())));
    let (Some(id), Some(section)) = (id, section) else {
        return;
    };
    let text = format!("{} x {} mm", id.mm(), section.mm());
    for reading in read_designation(&text, None).unwrap_or_default() {
        let ring = NamedRing::of(&reading.size);
        if !described.rings.iter().any(|known| known.is_same(&ring)) {
            described.rings.push(ring);
        }
        described.kind = Some(PartKind::Ring);
    }
}

/// Writes the size of a row that has nothing but figures.
pub(super) fn dimensions(described: &Described) -> String {
    let ring = described.rings.first();
    ring.map_or_else(String::new, |ring| {
        format!("{} x {} mm", ring.id.mm(), ring.section.mm())
    })
}
