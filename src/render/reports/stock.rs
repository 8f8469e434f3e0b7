//! The pages of the shelf: what lies there, what came, what was taken, the bag of a unit.

use super::material;
use crate::app::stock::add::StockAdded;
use crate::app::stock::kit::{Kit, KitLine, KitPart};
use crate::app::stock::shelf::{StockLine, StockReport, StockTaken};
use crate::core::book::{LotLife, StockLot};
use crate::core::elastomer::ShelfLifeSystem;
use crate::core::provenance::with_shops;
use crate::render::words::or_empty;
use crate::render::{Cell, Column, Document, Report, both, in_rows, notice, on_page, sheet, table};

const LOTS: [Column<StockLine>; 10] = [
    both("bin", "bin", |line| (&line.lot.bin).into()),
    both("part", "part", |line| (&line.lot.part).into()),
    on_page("material", |line| {
        material(line.lot.polymer.as_ref(), line.lot.hardness.as_ref()).into()
    }),
    in_rows("polymer", |line| or_empty(line.lot.polymer).into()),
    in_rows("hardness", |line| or_empty(line.lot.hardness).into()),
    both("lot", "lot", |line| or_empty(line.lot.lot.as_ref()).into()),
    both("cured", "cured", |line| or_empty(line.lot.cured).into()),
    both("supplier", "supplier", |line| {
        or_empty(line.lot.supplier.as_ref()).into()
    }),
    both(">on hand", "on_hand", |line| line.lot.on_hand.into()),
    both("use before", "life", |line| life(line.life).into()),
];

fn life(life: LotLife) -> String {
    match life {
        LotLife::Ends { quarter, over } => {
            format!("{quarter}{}", if over { " OVER" } else { "" })
        }
        LotLife::Unlimited => "no limit".to_owned(),
        LotLife::Unknown => "cannot tell".to_owned(),
    }
}

fn by(system: ShelfLifeSystem) -> String {
    format!(
        "Shelf life by {}: for loose parts in store, from the end of the cure quarter. It says nothing about life \
            once fitted and proves no quality.",
        system.name()
    )
}

impl Report for StockAdded {
    fn lay_out(&self, page: &mut Document) {
        let columns: [Column<Self>; 4] = [
            in_rows("part", |added| (&added.part).into()),
            in_rows("bin", |added| (&added.bin).into()),
            in_rows("quantity", |added| added.quantity.into()),
            in_rows("on_hand", |added| added.on_hand.into()),
        ];
        page.rows(sheet(&columns, [self]));
        page.text(format!(
            "{} of {} put into bin {}: {} there now.",
            self.quantity, self.part, self.bin, self.on_hand
        ));
        page.list(self.warnings.iter().cloned());
        page.cautions(&self.cautions);
    }
}

impl Report for StockReport {
    fn lay_out(&self, page: &mut Document) {
        if self.lots.is_empty() {
            page.text("None on the shelf: `ringwright stock add` puts it there.");
        } else {
            page.listed(&LOTS, &self.lots);
            page.text(by(self.system));
        }
        page.cautions(&self.cautions);
    }
}

impl Report for StockTaken {
    fn lay_out(&self, page: &mut Document) {
        let lots = sheet(&LOTS, self.taken.iter().map(|part| &part.line));
        page.rows(lots.and(
            "quantity",
            self.taken.iter().map(|part| part.quantity.into()),
        ));
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
            return;
        }
        let mut taken = table(&LOTS, self.taken.iter().map(|part| &part.line));
        taken.before(
            ">take",
            self.taken.iter().map(|part| part.quantity.to_string()),
        );
        page.table(taken);
        page.text(by(self.system));
        if self.of_unknown_material {
            page.caution(
                "The lot records no polymer and hardness: do not fit it where the parts list asks for one. Colour \
                    does not tell a rubber.",
            );
        }
        page.cautions(&self.cautions);
    }
}

impl Report for Kit {
    fn lay_out(&self, page: &mut Document) {
        let rows: Vec<KitRow<'_>> = self
            .lines
            .iter()
            .flat_map(|line| {
                let none = line.from.is_empty().then_some(None);
                let parts = line.from.iter().map(Some).chain(none);
                parts.map(move |part| KitRow { line, part })
            })
            .collect();
        page.rows(sheet(&kit_rows(), &rows));
        page.title(format!("Bag for {}, unit {}", self.model, self.unit));
        page.table(table(&KIT, &self.lines));
        let open: Vec<String> = self.lines.iter().filter_map(lacking).collect();
        page.text(match (self.complete, self.taken) {
            (true, true) => "Complete, and taken from the shelf.",
            (true, false) => "Complete; add --take to take it from the shelf.",
            (false, true) => "NOT COMPLETE: what is there was taken; give the same command when the rest has come. It lacks:",
            (false, false) => "NOT COMPLETE: --take takes what is there. It lacks:",
        });
        page.list(open);
        page.rest(|page| {
            page.section("Label of the bag");
            page.list(self.label.iter().cloned());
            page.text(by(self.system));
        });
        page.cautions(&self.cautions);
    }
}

/// A line of the bag with one of the lots that fill it.
struct KitRow<'k> {
    line: &'k KitLine,
    part: Option<&'k KitPart>,
}

impl KitRow<'_> {
    fn lot<T: Into<Cell>>(&self, pick: impl FnOnce(&StockLot) -> T) -> Cell {
        self.part.map(|part| pick(&part.line.lot)).into()
    }
}

fn kit_rows<'k>() -> [Column<KitRow<'k>>; 17] {
    [
        in_rows("number", |row| row.line.number.into()),
        in_rows("section", |row| (&row.line.section).into()),
        in_rows("position", |row| (&row.line.position).into()),
        in_rows("place_part", |row| (&row.line.part).into()),
        in_rows("size", |row| (&row.line.size).into()),
        in_rows("short", |row| row.line.short.into()),
        in_rows("bin", |row| row.lot(|lot| lot.bin.clone())),
        in_rows("part", |row| row.lot(|lot| lot.part.clone())),
        in_rows("polymer", |row| {
            row.lot(|lot| or_empty(lot.polymer.as_ref()))
        }),
        in_rows("hardness", |row| {
            row.lot(|lot| or_empty(lot.hardness.as_ref()))
        }),
        in_rows("lot", |row| row.lot(|lot| lot.lot.clone())),
        in_rows("cured", |row| row.lot(|lot| or_empty(lot.cured.as_ref()))),
        in_rows("supplier", |row| row.lot(|lot| lot.supplier.clone())),
        in_rows("on_hand", |row| row.lot(|lot| lot.on_hand)),
        in_rows("life", |row| {
            row.part.map(|part| life(part.line.life)).into()
        }),
        in_rows("quantity", |row| row.part.map(|part| part.quantity).into()),
        in_rows("notice", |row| notice([row.line.why.clone()])),
    ]
}

const KIT: [Column<KitLine>; 6] = [
    on_page("", |line| line.number.into()),
    on_page("where", |line| {
        let place = format!("{}: {}", line.section, line.position);
        place.trim_end_matches(": ").into()
    }),
    on_page("part", |line| {
        if line.size.is_empty() {
            (&line.part).into()
        } else if line.size.starts_with(&line.part) {
            (&line.size).into()
        } else {
            format!("{} {}", line.part, line.size).into()
        }
    }),
    on_page(">qty", |line| line.quantity.into()),
    on_page("from", |line| {
        with_shops(&taken_from(line), &line.rests_on).into()
    }),
    on_page("use before", |line| {
        let before: Vec<String> = line.from.iter().map(|part| life(part.line.life)).collect();
        before.join("; ").into()
    }),
];

/// Says what a line of the bag lacks, where it lacks anything.
fn lacking(line: &KitLine) -> Option<String> {
    let short = format!("line {}: {} short, {}", line.number, line.short, line.why);
    (line.short > 0).then_some(short)
}

/// Names the lots that fill a line, and what is short of it.
fn taken_from(line: &KitLine) -> String {
    let from: Vec<String> = line
        .from
        .iter()
        .map(|part| {
            let number = part.line.lot.lot.as_ref();
            let lot = number.filter(|number| !number.is_empty());
            let lot = or_empty(lot.map(|lot| format!(", lot {lot}")));
            let bag = if part.bagged { ", in the bag" } else { "" };
            format!("{} from bin {}{lot}{bag}", part.quantity, part.line.lot.bin)
        })
        .chain((line.short > 0).then(|| format!("{} short", line.short)))
        .collect();
    from.join("; ")
}
