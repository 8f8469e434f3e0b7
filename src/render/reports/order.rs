//! The page of an order.

use crate::app::supply::order::{OrderItem, OrderLine, OrderReport};
use crate::core::provenance::{from_words, with_shops};
use crate::core::quantity::Money;
use crate::core::supply::tax_word;
use crate::render::words::or_empty;
use crate::render::{
    Cell, Column, Document, Report, both, fixed, in_rows, notice, on_page, sheet, table,
};

impl Report for OrderReport {
    fn lay_out(&self, page: &mut Document) {
        let rests_on = |item: &OrderItem| self.line_of(item).map(|line| &line.need.rests_on).into();
        let says = |item: &OrderItem| {
            let flags = self.line_of(item).into_iter();
            let flags = flags.flat_map(|line| line.flags.iter().cloned());
            notice(flags.chain(item.size_note.clone()).chain(self.doubt()))
        };
        let rows = sheet(&ITEMS, &self.items).and("rests_on", self.items.iter().map(rests_on));
        page.rows(rows.and("notice", self.items.iter().map(says)));
        page.title(format!("Order for {}", self.models.join(", ")));
        page.list(self.headlines());
        for supplier in &self.suppliers {
            let short = supplier.short_of_minimum;
            let short = (short.minor != 0).then(|| format!(" + {short} up to its minimum"));
            let short = or_empty(short);
            let free = supplier.carriage_free_from;
            let free = or_empty(free.map(|sum| format!(" (free from {sum} of goods on)")));
            page.section(format!(
                "{}: goods {}{short}, carriage {}{free}",
                supplier.name,
                supplier.goods,
                with_shops(
                    &supplier.carriage.to_string(),
                    supplier.from_shop.as_slice()
                )
            ));
            page.in_short(|page| {
                page.table(table(&ITEMS_SHORT, of(&self.items, &supplier.name)));
            });
            page.rest(|page| {
                page.table(table(&ITEMS, of(&self.items, &supplier.name)));
            });
        }
        self.points(page);
        page.rest(|page| {
            page.section("What each part costs");
            let lines = self.lines.iter();
            page.table(table(
                &LINES,
                lines.filter(|line| line.bought > 0 || line.to_buy == 0),
            ));
            page.text(format!(
                "Every line at its own cheapest list price would cost {} with carriage: this order saves {}. Of the \
                    total, {} is left over; a part that is used costs {} {} with carriage.",
                self.line_by_line,
                self.money(self.line_by_line.minor - self.total.minor),
                self.leftover,
                fixed(self.per_used, 2),
                self.currency.letters()
            ));
        });
        page.cautions(&self.cautions);
    }
}

/// What is bought of a supplier.
fn of<'i>(items: &'i [OrderItem], supplier: &str) -> impl Iterator<Item = &'i OrderItem> {
    items.iter().filter(move |item| item.supplier == supplier)
}

fn cost(item: &OrderItem) -> Cell {
    with_shops(&item.cost.to_string(), item.from_shop.as_slice()).into()
}

const ITEMS_SHORT: [Column<OrderItem>; 5] = [
    on_page("number", |item| (&item.number).into()),
    on_page(">packs", |item| item.packs.into()),
    on_page(">of", |item| item.pack.into()),
    on_page(">cost", cost),
    on_page("for", |item| (&item.part).into()),
];

const ITEMS: [Column<OrderItem>; 10] = [
    in_rows("supplier", |item| (&item.supplier).into()),
    both("number", "number", |item| (&item.number).into()),
    both("description", "description", |item| {
        (&item.description).into()
    }),
    both(">packs", "packs", |item| item.packs.into()),
    both(">of", "pack", |item| item.pack.into()),
    on_page(">cost", cost),
    in_rows("cost", |item| item.cost.to_string().into()),
    in_rows("price_date", |item| (&item.price_date).into()),
    both("for", "for", |item| (&item.part).into()),
    in_rows("from_shop", |item| item.from_shop.as_ref().into()),
];

const LINES: [Column<OrderLine>; 8] = [
    on_page("part", |line| {
        with_shops(&line.need.part, &line.need.rests_on).into()
    }),
    on_page(">needed", |line| line.need.pieces.into()),
    on_page(">spare", |line| line.need.spares.into()),
    on_page(">from shelf", |line| line.need.from_stock.into()),
    on_page(">bought", |line| line.bought.into()),
    on_page(">cost", |line| line.cost.to_string().into()),
    on_page(">per part used", |line| fixed(line.per_used, 2).into()),
    on_page(">left over", |line| line.leftover.to_string().into()),
];

/// Says of an order that is not proved how far it can be from the cheapest.
pub(in crate::render) fn not_proved(at_most_dearer: &Money) -> String {
    format!("at most {at_most_dearer} dearer than the cheapest possible")
}

impl OrderReport {
    fn line_of(&self, item: &OrderItem) -> Option<&OrderLine> {
        let mut lines = self.lines.iter();
        lines.find(|line| line.need.part == item.part)
    }

    /// What each row says where the plan is not proved, because rows are copied out of their sheet.
    fn doubt(&self) -> Option<String> {
        (!self.proved).then(|| format!("the order is {}", not_proved(&self.at_most_dearer)))
    }

    fn headlines(&self) -> Vec<String> {
        if self.items.is_empty() {
            return vec!["nothing to buy; the reasons are below".to_owned()];
        }
        let proof = if self.proved {
            "no cheaper order exists".to_owned()
        } else {
            format!(
                "{}; --budget gives it more time",
                not_proved(&self.at_most_dearer)
            )
        };
        let tax = tax_word(self.tax_included);
        let unknown = self.carriage_unknown.iter().map(|name| {
            format!("carriage of {name} is not recorded and was counted as 0: give it with `ringwright offer supplier \"{name}\" --carriage`, and order again")
        });
        let mut lines = vec![format!(
            "total {} with carriage, tax {tax}: {proof}",
            self.total
        )];
        lines.extend(unknown);
        let shops = self.from_shops();
        if !shops.is_empty() {
            lines.push(format!(
                "OTHER SHOP: prices or carriage marked so are {}: ask the supplier before you order by them",
                from_words(&shops)
            ));
        }
        lines
    }

    fn money(&self, minor: i64) -> Money {
        Money {
            minor,
            currency: self.currency,
        }
    }

    fn points(&self, page: &mut Document) {
        let flagged = |line: &OrderLine| {
            let flags = line.flags.iter();
            flags
                .map(|f| format!("{}: {f}", line.need.part))
                .collect::<Vec<_>>()
        };
        page.points("Prices that stand out", self.lines.iter().flat_map(flagged));
        let written = self.items.iter().filter_map(|item| {
            let note = item.size_note.as_ref()?;
            Some(format!("{} of {}: {note}", item.number, item.supplier))
        });
        page.points("Sizes that are written otherwise", written);
        let merges = self.merges.iter().map(|m| {
            format!("{} in place of {}: saves {}; good in every recorded gland; a competent person decides", m.use_ring, m.instead_of, m.saving)
        });
        let shelf = |line: &OrderLine| {
            let need = &line.need;
            let over = (need.expired > 0).then(|| {
                format!(
                    "{} on the shelf are past their shelf life ({})",
                    need.expired,
                    self.shelf_life.name()
                )
            });
            let words: Vec<String> = need.bins.iter().cloned().chain(over).collect();
            (!words.is_empty()).then(|| format!("{}: {}", need.part, words.join(", ")))
        };
        page.points("Taken from the shelf", self.lines.iter().filter_map(shelf));
        let skipped = (self.merges_not_weighed > 0).then(|| {
            format!(
                "{} more were not tried in the time: --budget gives more",
                self.merges_not_weighed
            )
        });
        page.points("Sizes that can be merged", merges.chain(skipped));
        page.points("Not offered by any list", self.not_offered.clone());
        page.points("Not ordered: measure first", self.undecided.clone());
        page.points(
            "Bought only where the old part fails",
            self.on_condition.clone(),
        );
    }
}
