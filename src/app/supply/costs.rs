//! What the lines of a parts list cost, from the price lists of the book.

use super::needs::place_words;
use super::order::{OrderError, OrderQuestion, OrderReport, order};
use crate::app::model::parts_list::PartsQuestion;
use crate::core::book::{LifeRule, PartLine};
use crate::core::quantity::{Currency, Money};
use crate::store::{Book, BookPlace};
use serde::Serialize;
use std::collections::BTreeSet;
use std::time::Duration;

/// Holds the costs of a parts list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartCosts {
    /// Costs of the lines that are ordered.
    pub lines: Vec<LineCost>,
    /// What the whole order costs with carriage.
    pub total: Money,
    /// Carriage in it, and what is charged up to least orders.
    pub carriage: Money,
    /// How much dearer the order is than the cheapest possible one, at most; nothing where it is proved.
    pub at_most_dearer: Money,
    /// Value of the pieces that are left over.
    pub leftover: Money,
    /// Whether tax is in the prices.
    pub tax_included: bool,
    pub suppliers: Vec<String>,
    /// Days of the price lists, oldest and newest.
    pub price_days: Option<(String, String)>,
    /// Pieces that no list offers.
    pub not_offered: Vec<String>,
    /// Other shops whose books brought prices or terms.
    pub from_shops: Vec<String>,
}

/// Holds what one line costs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineCost {
    /// Places of the line: model, section, part, position.
    pub places: Vec<String>,
    /// What one used piece costs without carriage; `None` where nothing is bought.
    pub each: Option<f64>,
    pub currency: Currency,
    /// Why there is no price, or what is behind it.
    pub words: String,
}

/// How long cheaper orders are searched for a sheet.
const BUDGET: Duration = Duration::from_secs(5);

/// Works out the costs of a parts list from the cheapest order for it; `Err` says in words why there are none.
///
/// # Errors
/// The book has no price list, or its lists are in several currencies or with several rules of tax.
pub fn part_costs(
    place: &BookPlace,
    question: &PartsQuestion,
    shelf_life: LifeRule,
) -> Result<PartCosts, String> {
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
    match order(place, &asked) {
        Ok(report) => Ok(costs_of(report)),
        Err(OrderError::Mixed(rules)) => Err(format!(
            "the price lists are in {rules}, and nothing is converted"
        )),
        Err(error) => Err(error.to_string()),
    }
}

fn costs_of(report: OrderReport) -> PartCosts {
    let currency = report.currency;
    let lines = report.lines.into_iter().map(|line| {
        let bought = line.bought > 0;
        let words = match (bought, line.to_buy) {
            (true, need) if line.bought > need => format!("{} bought", line.bought),
            (true, _) => String::new(),
            (false, 0) => "from the shelf".to_owned(),
            (false, _) => "not offered".to_owned(),
        };
        LineCost {
            places: line.need.places,
            each: bought.then_some(line.per_used),
            currency,
            words,
        }
    });
    let lines = lines.collect();
    let added: i64 = report
        .suppliers
        .iter()
        .map(|s| s.carriage.minor.saturating_add(s.short_of_minimum.minor))
        .fold(0, i64::saturating_add);
    let priced = report
        .items
        .iter()
        .filter_map(|item| item.from_shop.clone());
    let terms = report.suppliers.iter().filter_map(|s| s.from_shop.clone());
    let from_shops: BTreeSet<String> = priced.chain(terms).collect();
    let days = report.items.iter().map(|item| item.price_date.clone());
    PartCosts {
        lines,
        total: report.total,
        carriage: Money {
            minor: added,
            currency,
        },
        at_most_dearer: report.at_most_dearer,
        leftover: report.leftover,
        tax_included: report.tax_included,
        suppliers: report.suppliers.into_iter().map(|s| s.name).collect(),
        price_days: days
            .clone()
            .min()
            .and_then(|first| Some((first, days.max()?))),
        not_offered: report.not_offered,
        from_shops: from_shops.into_iter().collect(),
    }
}

impl PartCosts {
    /// Finds the cost of a line of the parts list of a model.
    pub fn of_line(&self, model: &str, line: &PartLine) -> Option<&LineCost> {
        let place = place_words(model, line);
        self.lines.iter().find(|cost| cost.places.contains(&place))
    }
}
