//! The cells of one row by what they hold.

use super::column::Column;
use super::fault::{Reject, RowFault};
use super::layout::Layout;
use crate::core::note::PartKind;
use crate::core::quantity::{Length, LengthUnit, parse_dimension};
use crate::core::sizes::read_designation;
use crate::core::supply::described::{Described, NamedRing};
use std::borrow::Cow;

/// One row of a table as it was read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TableRow {
    /// Its line, from 1.
    pub line: u64,
    pub cells: Vec<String>,
    /// Whether it is hidden in a workbook.
    pub hidden: bool,
}

impl TableRow {
    /// Lists the cells that are filled, trimmed, with their places from 0.
    pub fn filled(&self) -> impl Iterator<Item = (usize, &str)> {
        let cells = self.cells.iter().map(|cell| cell.trim()).enumerate();
        cells.filter(|(_, cell)| !cell.is_empty())
    }
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

    /// Reads a column; what stands there and cannot be read refuses the row.
    pub(super) fn read<T>(
        self,
        column: Column,
        read: impl FnOnce(&str) -> Option<T>,
        fault: fn(String) -> RowFault,
    ) -> Result<Option<T>, Reject> {
        let refuse = |text: &str| self.refuse(column, fault(text.to_owned()));
        self.get(column)
            .map(|text| read(text).ok_or_else(|| refuse(text)))
            .transpose()
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
        self.length_in(metric, LengthUnit::Mm)
            .or_else(|| self.length_in(metric.in_inches(), LengthUnit::In))
    }

    fn length_in(self, column: Column, unit: LengthUnit) -> Option<Length> {
        let typed = parse_dimension(self.get(column)?, Some(unit)).ok()?;
        Some(typed.value.nominal)
    }
}

impl Cells<'_> {
    /// Tells whether diameters and section cannot be those of one ring, or millimetres and inches not one length.
    pub(super) fn lengths_contradict(self) -> bool {
        /// Lists round, and give the outside of a ring to the half or the whole.
        const LEAST_MM: f64 = 0.6;
        const SHARE: f64 = 0.02;
        let apart = |a: f64, b: f64| (a - b).abs() > LEAST_MM + SHARE * a.max(b);
        let own = |column, unit| Some(self.length_in(column, unit)?.mm());
        let twice = [Column::Id, Column::Od, Column::Section]
            .into_iter()
            .any(|column| {
                let (mm, inch) = (
                    own(column, LengthUnit::Mm),
                    own(column.in_inches(), LengthUnit::In),
                );
                mm.zip(inch).is_some_and(|(mm, inch)| apart(mm, inch))
            });
        let lengths = [Column::Id, Column::Od, Column::Section].map(|column| self.length(column));
        let [Some(id), Some(od), Some(section)] = lengths else {
            return twice;
        };
        twice || apart(od.mm(), id.mm() + 2.0 * section.mm())
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
        format!("{} x {} mm", ring.size.id.mm(), ring.size.section.mm())
    })
}
