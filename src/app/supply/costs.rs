//! What the lines of a parts list cost, from the price lists of the book.

use super::needs::place_words;
use super::order::{OrderError, OrderLine, OrderQuestion, OrderReport, order};
use crate::app::model::parts_list::PartsQuestion;
use crate::core::book::{LifeRule, PartLine};
use crate::core::quantity::Money;
use crate::store::{Book, BookPlace};
use std::collections::BTreeSet;
use std::time::Duration;

/// How long cheaper orders are searched for a sheet.
const BUDGET: Duration = Duration::from_secs(5);

/// Works out what a parts list costs: the cheapest order for it; `Err` says in words why there is none.
///
/// # Errors
/// The book has no price list, or its lists are in several currencies or with several rules of tax.
pub fn part_costs(
    place: &BookPlace,
    question: &PartsQuestion,
    shelf_life: LifeRule,
) -> Result<OrderReport, String> {
    let priced = Book::open_to_read(place)
        .and_then(|mut book| book.read(|book| Ok(!book.price_lists()?.is_empty())))
        .map_err(|error| error.to_string())?;
    if !priced {
        return Err("the book has no price list (offer import)".to_owned());
    }
    let asked = OrderQuestion {
        models: vec![question.clone()],
        spares: 0,
        currency: None,
        tax_included: None,
        ceiling: None,
        shelf_life,
        budget: BUDGET,
    };
    order(place, &asked).map_err(|error| match error {
        OrderError::Mixed(rules) => {
            format!("the price lists are in {rules}, and nothing is converted")
        }
        other => other.to_string(),
    })
}

impl OrderReport {
    /// Finds the line of the order that a line of the parts list of a model went into.
    pub fn line_for(&self, model: &str, line: &PartLine) -> Option<&OrderLine> {
        let place = place_words(model, line);
        let mut lines = self.lines.iter();
        lines.find(|ordered| ordered.need.places.contains(&place))
    }

    /// Returns the carriage in the total, with what is charged up to least orders.
    pub fn carriage(&self) -> Money {
        let suppliers = self.suppliers.iter();
        let added = suppliers.map(|s| s.carriage.minor.saturating_add(s.short_of_minimum.minor));
        Money {
            minor: added.fold(0, i64::saturating_add),
            currency: self.currency,
        }
    }

    /// Returns the days of the prices, oldest and newest; `None` where nothing is bought.
    pub fn price_days(&self) -> Option<(&str, &str)> {
        let days = self.items.iter().map(|item| item.price_date.as_str());
        days.clone().min().zip(days.max())
    }

    /// Names the other shops whose books brought prices or terms of the order.
    pub fn from_shops(&self) -> Vec<String> {
        let priced = self.items.iter().filter_map(|item| item.from_shop.clone());
        let terms = self.suppliers.iter().filter_map(|s| s.from_shop.clone());
        let shops: BTreeSet<String> = priced.chain(terms).collect();
        shops.into_iter().collect()
    }
}
