//! The pages of the shelf: what lies there, what came, what was taken, the bag of a unit.

use super::material;
use crate::app::stock_add::StockAdded;
use crate::app::stock_kit::{Kit, KitLine};
use crate::app::stock_list::{StockLine, StockReport};
use crate::app::stock_take::StockTaken;
use crate::core::book::LotLife;
use crate::core::elastomer::ShelfLifeSystem;
use crate::core::provenance::with_shops;
use crate::render::{Cell, Document, Report, Sheet, Table, notice};

const HEADS: [&str; 8] = [
    "bin",
    "part",
    "material",
    "lot",
    "cured",
    "supplier",
    ">on hand",
    "use before",
];
const COLUMNS: [&str; 10] = [
    "bin", "part", "polymer", "hardness", "lot", "cured", "supplier", "on_hand", "life", "quantity",
];

fn life(life: LotLife) -> String {
    match life {
        LotLife::Ends {
            quarter,
            over: false,
        } => quarter.to_string(),
        LotLife::Ends {
            quarter,
            over: true,
        } => format!("{quarter} OVER"),
        LotLife::Unlimited => "no limit".to_owned(),
        LotLife::Unknown => "cannot tell".to_owned(),
    }
}

fn word(word: Option<&impl ToString>) -> String {
    word.map_or_else(String::new, ToString::to_string)
}

fn cells(line: &StockLine) -> [String; 8] {
    [
        line.bin.clone(),
        line.part.clone(),
        material(line.polymer.as_ref(), line.hardness.as_ref()),
        word(line.lot.as_ref()),
        word(line.cured.as_ref()),
        word(line.supplier.as_ref()),
        line.on_hand.to_string(),
        life(line.life),
    ]
}

fn row(line: &StockLine, quantity: Option<u32>) -> Vec<Cell> {
    let text = |text: String| {
        if text.is_empty() {
            Cell::Empty
        } else {
            Cell::text(text)
        }
    };
    vec![
        text(line.bin.clone()),
        text(line.part.clone()),
        text(word(line.polymer.as_ref())),
        text(word(line.hardness.as_ref())),
        text(word(line.lot.as_ref())),
        text(word(line.cured.as_ref())),
        text(word(line.supplier.as_ref())),
        Cell::Count(i64::from(line.on_hand)),
        text(life(line.life)),
        quantity.map_or(Cell::Empty, |q| Cell::Count(i64::from(q))),
    ]
}

fn by(system: ShelfLifeSystem) -> String {
    format!(
        "Shelf life by {}: for loose parts in store, from the end of the cure quarter. It says nothing about life \
            once fitted and proves no quality.",
        system.name()
    )
}

impl Report for StockAdded {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.text(format!(
            "{} of {} put into bin {}: {} there now.",
            self.quantity, self.part, self.bin, self.on_hand
        ));
        page.list(self.warnings.iter().cloned());
        page.cautions(&self.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(Sheet {
            header: vec!["part", "bin", "quantity", "on_hand"],
            rows: vec![vec![
                Cell::text(&self.part),
                Cell::text(&self.bin),
                Cell::Count(i64::from(self.quantity)),
                Cell::Count(i64::from(self.on_hand)),
            ]],
        })
    }
}

impl Report for StockReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        if self.lots.is_empty() {
            page.text("None on the shelf: `ringwright stock add` puts it there.");
        } else {
            let mut table = Table::new(&HEADS);
            for lot in &self.lots {
                table.row(cells(lot));
            }
            page.table(table);
            page.text(by(self.system));
        }
        page.cautions(&self.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(Sheet {
            header: COLUMNS[..9].to_vec(),
            rows: self
                .lots
                .iter()
                .map(|lot| row(lot, None)[..9].to_vec())
                .collect(),
        })
    }
}

impl Report for StockTaken {
    fn document(&self) -> Document {
        let mut page = Document::new();
        if self.short > 0 {
            let mut words = format!(
                "The shelf is short of {} of {}; nothing was taken.",
                self.short, self.part
            );
            if self.expired > 0 {
                let over = format!(
                    " {} on the shelf are past their shelf life ({}).",
                    self.expired,
                    self.system.name()
                );
                words.push_str(&over);
            }
            page.text(words);
            page.cautions(&self.cautions);
            return page;
        }
        let mut table = Table::new(&[&[">take"], HEADS.as_slice()].concat());
        for part in &self.taken {
            let mut row = vec![part.quantity.to_string()];
            row.extend(cells(&part.lot));
            table.row(row);
        }
        page.table(table);
        page.text(by(self.system));
        if self.of_unknown_material {
            page.caution(
                "The lot records no polymer and hardness: do not fit it where the parts list asks for one. Colour \
                    does not tell a rubber.",
            );
        }
        page.cautions(&self.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.taken.iter();
        Some(Sheet {
            header: COLUMNS.to_vec(),
            rows: rows.map(|t| row(&t.lot, Some(t.quantity))).collect(),
        })
    }
}

impl Report for Kit {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, format!("Bag for {}, unit {}", self.model, self.unit));
        let mut table = Table::new(&["", "where", "part", ">qty", "from", "use before"]);
        for line in &self.lines {
            table.row(kit_row(line));
        }
        page.table(table);
        let open: Vec<String> = self.lines.iter().filter_map(lacking).collect();
        page.text(match (self.complete, self.taken) {
            (true, true) => "Complete, and taken from the shelf.",
            (true, false) => "Complete; add --take to take it from the shelf.",
            (false, true) => "NOT COMPLETE: what is there was taken; give the same command when the rest has come. It lacks:",
            (false, false) => "NOT COMPLETE: --take takes what is there. It lacks:",
        });
        page.list(open);
        page.rest(|page| {
            page.heading(2, "Label of the bag");
            page.list(self.label.iter().cloned());
            page.text(by(self.system));
        });
        page.cautions(&self.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let mut rows = Vec::new();
        for line in &self.lines {
            let start = vec![
                Cell::Count(i64::try_from(line.number).unwrap_or(i64::MAX)),
                Cell::text(&line.section),
                Cell::text(&line.position),
                Cell::text(&line.part),
                Cell::text(&line.size),
                Cell::Count(i64::from(line.short)),
            ];
            for part in &line.from {
                let mut cells = start.clone();
                cells.extend(row(&part.lot, Some(part.quantity)));
                cells.push(notice([line.why.clone()]));
                rows.push(cells);
            }
            if line.from.is_empty() {
                let mut cells = start;
                cells.extend(vec![Cell::Empty; COLUMNS.len()]);
                cells.push(notice([line.why.clone()]));
                rows.push(cells);
            }
        }
        let start = [
            "number",
            "section",
            "position",
            "place_part",
            "size",
            "short",
        ];
        Some(Sheet {
            header: start
                .iter()
                .chain(&COLUMNS)
                .copied()
                .chain(["notice"])
                .collect(),
            rows,
        })
    }
}

/// Says what a line of the bag lacks, where it lacks anything.
fn lacking(line: &KitLine) -> Option<String> {
    let short = format!("line {}: {} short, {}", line.number, line.short, line.why);
    (line.short > 0).then_some(short)
}

fn kit_row(line: &KitLine) -> Vec<String> {
    let from: Vec<String> = line
        .from
        .iter()
        .map(|part| {
            let lot = word(part.lot.lot.as_ref());
            let lot = if lot.is_empty() {
                lot
            } else {
                format!(", lot {lot}")
            };
            let bag = if part.bagged { ", in the bag" } else { "" };
            format!("{} from bin {}{lot}{bag}", part.quantity, part.lot.bin)
        })
        .chain((line.short > 0).then(|| format!("{} short", line.short)))
        .collect();
    let before: Vec<String> = line.from.iter().map(|part| life(part.lot.life)).collect();
    vec![
        line.number.to_string(),
        format!("{}: {}", line.section, line.position)
            .trim_end_matches(": ")
            .to_owned(),
        if line.size.is_empty() {
            line.part.clone()
        } else if line.size.starts_with(&line.part) {
            line.size.clone()
        } else {
            format!("{} {}", line.part, line.size)
        },
        line.quantity.to_string(),
        with_shops(&from.join("; "), &line.rests_on),
        before.join("; "),
    ]
}
