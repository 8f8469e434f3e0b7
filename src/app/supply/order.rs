//! The cheapest order for several models at once.

use super::merges::MergeProposal;
use super::needs::{Need, Needs, added_up, gather_needs, offers_for};
use super::terms::{rule_of, terms_of};
use crate::app::deadline::Deadline;
use crate::app::model::parts_list::PartsQuestion;
use crate::core::book::LifeRule;
use crate::core::caution::Caution;
use crate::core::elastomer::ShelfLifeSystem;
use crate::core::provenance::with_shops;
use crate::core::quantity::{Currency, Money};
use crate::core::supply::{
    MOST_SUPPLIERS, Market, MarketOffer, NEVER, OrderPlan, SupplierTerms, plan_order, size_note,
    tax_word,
};
use crate::store::{Book, BookPlace, StoreError, StoredOffer};
use serde::Serialize;
use std::time::Duration;

/// Says what is to be ordered.
#[derive(Debug, Clone)]
pub struct OrderQuestion {
    /// The models with how many of each are rebuilt.
    pub models: Vec<PartsQuestion>,
    /// Spare pieces of every line.
    pub spares: u32,
    /// The currency that is bought in; `None` where all lists have one.
    pub currency: Option<Currency>,
    /// Whether the lists with tax or without are bought from; `None` where all are alike.
    pub tax_included: Option<bool>,
    /// A price of one piece above which a line is flagged.
    pub ceiling: Option<Money>,
    /// By which system the shelf's lots are still good, and the quarter now.
    pub shelf_life: LifeRule,
    /// How long cheaper orders are searched; then the best one is given with its bound.
    pub budget: Duration,
}

/// Says why no order can be planned.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum OrderError {
    /// The book cannot be read.
    #[error("{0}")]
    Store(#[from] StoreError),
    /// The lists are not in one currency with one tax rule.
    #[error(
        "the price lists are in {0}: nothing is converted, so choose with --currency and --tax"
    )]
    Mixed(String),
    /// The ceiling is in another currency.
    #[error("the ceiling is in {0}, the prices are in {1}: give it in {1}")]
    Ceiling(&'static str, &'static str),
    /// The terms of a supplier are in another currency.
    #[error(
        "carriage of {0} is kept in {1}, its prices are in {2}: give it in {2} with `offer supplier`"
    )]
    Terms(String, &'static str, &'static str),
    /// The total is beyond anything that is paid.
    #[error(
        "the total is beyond anything that is paid: look at the prices, the terms of the suppliers (`offer supplier`) and the number of units"
    )]
    TooDear,
    /// There are too many suppliers.
    #[error(
        "more than {MOST_SUPPLIERS} suppliers sell these parts: choose with --currency, or take lists out"
    )]
    TooMany,
}

/// One bought item.
#[derive(Debug, Clone, Serialize)]
pub struct OrderItem {
    /// What it fills.
    pub part: String,
    pub supplier: String,
    pub number: String,
    pub description: String,
    /// How the size that it writes differs from that of the ring it is taken for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size_note: Option<String>,
    pub packs: u32,
    /// Pieces in a pack.
    pub pack: u32,
    /// What the packs cost together.
    pub cost: Money,
    /// The day from which the price holds.
    pub price_date: String,
    /// The other shop whose book brought the price.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_shop: Option<String>,
}

/// One line of the order with what it truly costs.
#[derive(Debug, Clone, Serialize)]
pub struct OrderLine {
    /// What is needed.
    #[serde(flatten)]
    pub need: Need,
    /// Pieces to buy.
    pub to_buy: u32,
    /// Pieces bought.
    pub bought: u32,
    /// What they cost, without carriage.
    pub cost: Money,
    /// What one used piece costs, without carriage.
    pub per_used: f64,
    /// Value of the pieces that are left over.
    pub leftover: Money,
    /// Why the price stands out, where it does.
    pub flags: Vec<String>,
}

/// One supplier's part of the order.
#[derive(Debug, Clone, Serialize)]
pub struct OrderSupplier {
    /// The supplier.
    pub name: String,
    /// Value of its goods.
    pub goods: Money,
    /// What is charged up to its least value.
    pub short_of_minimum: Money,
    pub carriage: Money,
    /// The sum that the goods reach and from which on carriage is free.
    pub carriage_free_from: Option<Money>,
    /// The other shop whose word the terms are.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_shop: Option<String>,
}

/// The cheapest order.
#[derive(Debug, Clone, Serialize)]
pub struct OrderReport {
    /// The models, with how many of each.
    pub models: Vec<String>,
    /// Currency and tax of all prices.
    pub currency: Currency,
    /// Whether tax is in the prices.
    pub tax_included: bool,
    pub lines: Vec<OrderLine>,
    /// What is bought.
    pub items: Vec<OrderItem>,
    pub suppliers: Vec<OrderSupplier>,
    /// What everything costs.
    pub total: Money,
    /// A cost that no order goes below; equal to the total where it is proved to be the cheapest.
    pub bound: Money,
    /// Whether it is proved to be the cheapest.
    pub proved: bool,
    /// How much dearer it is than the cheapest possible order, at most.
    pub at_most_dearer: Money,
    /// What buying each line at its cheapest list price would cost, with carriage.
    pub line_by_line: Money,
    /// Value of what is left over.
    pub leftover: Money,
    /// Total by pieces that are used.
    pub per_used: f64,
    /// Sizes that can be merged.
    pub merges: Vec<MergeProposal>,
    /// Merges that were not weighed, because the time was over.
    pub merges_not_weighed: usize,
    /// The system by which the shelf's lots are still good.
    pub shelf_life: ShelfLifeSystem,
    /// Suppliers of the order whose carriage is not recorded; it is counted as nothing.
    pub carriage_unknown: Vec<String>,
    /// Needs that no offer fills.
    pub not_offered: Vec<String>,
    /// Lines that must not be ordered yet.
    pub undecided: Vec<String>,
    /// Lines that are bought only where the old part fails.
    pub on_condition: Vec<String>,
    pub cautions: Vec<Caution>,
}

/// Plans the cheapest order.
///
/// # Errors
/// Says what is missing or contradicts.
pub fn order(place: &BookPlace, question: &OrderQuestion) -> Result<OrderReport, OrderError> {
    let deadline = Deadline::after(question.budget);
    let question = OrderQuestion {
        models: added_up(place, &question.models)?,
        ..question.clone()
    };
    let mut needs = gather_needs(place, &question.models, question.spares)?;
    let mut book = Book::open_to_read(place)?;
    let shop = book.read(|book| {
        let shelf = book.stock_lots()?.into_iter().map(|stored| stored.lot);
        needs.take_shelf(shelf.collect(), question.shelf_life);
        Shop::open(book, &question, needs)
    })?;
    shop.report(&question, deadline)
}

/// The needs with the offers that fill them.
pub(in crate::app) struct Shop {
    pub(in crate::app) needs: Needs,
    pub(in crate::app) offers: Vec<(usize, StoredOffer)>,
    terms: Vec<SupplierTerms>,
    carriage_unknown: Vec<String>,
    currency: Currency,
    tax_included: bool,
    not_offered: Vec<String>,
}

/// The part of the time in which the order itself is planned; what is left of it goes to merges.
const PLAN_PART: f64 = 0.8;

/// The part of a cost that falls on the pieces that are left over.
fn share(cost: i64, left: i64, bought: u32) -> i64 {
    let part = i128::from(cost) * i128::from(left) / i128::from(bought.max(1));
    i64::try_from(part).unwrap_or(cost)
}

impl Shop {
    fn open(
        book: &crate::store::BookReader<'_>,
        question: &OrderQuestion,
        needs: Needs,
    ) -> Result<Self, OrderError> {
        let (currency, tax_included) = rule_of(book, question)?;
        if let Some(ceiling) = question.ceiling.filter(|c| c.currency != currency) {
            return Err(OrderError::Ceiling(
                ceiling.currency.letters(),
                currency.letters(),
            ));
        }
        let tax = tax_word(tax_included);
        let mut offers = Vec::new();
        let mut not_offered = Vec::new();
        for (at, need) in needs.needs.iter().enumerate() {
            let (found, silent) = offers_for(book, need)?;
            let before = offers.len();
            let ours = |o: &StoredOffer| o.price.currency == currency && o.tax == tax;
            offers.extend(found.into_iter().filter(ours).map(|offer| (at, offer)));
            if offers.len() == before && need.to_buy() > 0 && need.is_decided() {
                let more = match (silent, need.ring.is_some()) {
                    (0, _) => String::new(),
                    (n, true) => format!(
                        " ({n} offers of this size do not name polymer and hardness: offer find, then offer tie)"
                    ),
                    (n, false) => format!(
                        " ({n} offers of this kind, none with these lengths: offer find, then offer tie)"
                    ),
                };
                let words = format!("{} × {}{more}", need.to_buy(), need.part);
                not_offered.push(with_shops(&words, &need.rests_on));
            }
        }
        let (terms, carriage_unknown) = terms_of(book, currency, &offers)?;
        Ok(Self {
            needs,
            offers,
            terms,
            carriage_unknown,
            currency,
            tax_included,
            not_offered,
        })
    }

    /// The market for the needs; a need that `given_up` names is added to the one that takes its place.
    pub(super) fn market(&self, given_up: Option<(usize, usize)>) -> Market {
        let offered = |at: usize| self.offers.iter().any(|(need, _)| *need == at);
        let mut needs: Vec<u32> = (0..self.needs.needs.len())
            .map(|at| {
                if offered(at) {
                    self.needs.needs[at].to_buy()
                } else {
                    0
                }
            })
            .collect();
        if let Some((from, into)) = given_up {
            needs[into] = needs[into].saturating_add(needs[from]);
            needs[from] = 0;
        }
        let offers = self.offers.iter().map(|(line, offer)| MarketOffer {
            line: *line,
            supplier: self
                .terms
                .iter()
                .position(|t| t.name == offer.supplier)
                .unwrap_or(0),
            pack: offer.pack,
            prices: offer.prices.clone(),
        });
        Market {
            suppliers: self.terms.clone(),
            needs,
            offers: offers.collect(),
        }
    }

    pub(super) fn money(&self, minor: i64) -> Money {
        Money {
            minor,
            currency: self.currency,
        }
    }

    /// What one of so many used pieces costs, in whole units of the currency.
    fn each_of(&self, cost: i64, used: u32) -> f64 {
        let places = 10_f64.powi(i32::try_from(self.currency.places()).unwrap_or(2));
        cost as f64 / places / f64::from(used.max(1))
    }

    fn report(
        self,
        question: &OrderQuestion,
        deadline: Deadline,
    ) -> Result<OrderReport, OrderError> {
        let market = self.market(None);
        let plan = plan_order(&market, &mut || deadline.allows(PLAN_PART));
        let plan = plan.ok_or(OrderError::TooMany)?;
        if plan.total >= NEVER {
            return Err(OrderError::TooDear);
        }
        let merges = self.merges(plan.total, deadline);
        let lines = self.lines(&market, &plan, question.ceiling);
        let used: u32 = lines
            .iter()
            .filter(|l| l.bought > 0)
            .map(|l| l.to_buy)
            .fold(0, u32::saturating_add);
        let suppliers = self.suppliers(&plan);
        let carriage_unknown = self.carriage_unknown.iter();
        Ok(OrderReport {
            models: question
                .models
                .iter()
                .map(|m| format!("{} × {}", m.build, m.model))
                .collect(),
            currency: self.currency,
            tax_included: self.tax_included,
            items: plan
                .bought
                .iter()
                .map(|one| self.item(&market, *one))
                .collect(),
            carriage_unknown: carriage_unknown
                .filter(|name| suppliers.iter().any(|s| s.name == **name))
                .cloned()
                .collect(),
            suppliers,
            total: self.money(plan.total),
            bound: self.money(plan.bound),
            proved: plan.is_proved(),
            at_most_dearer: self.money(plan.total - plan.bound),
            line_by_line: self.money(market.line_by_line().unwrap_or(plan.total)),
            leftover: self.money(
                lines
                    .iter()
                    .map(|l| l.leftover.minor)
                    .fold(0, i64::saturating_add),
            ),
            per_used: self.each_of(plan.total, used),
            merges: merges.proposals,
            merges_not_weighed: merges.not_weighed,
            lines,
            shelf_life: question.shelf_life.system,
            not_offered: self.not_offered.clone(),
            undecided: self.undecided(),
            on_condition: self.needs.on_condition.clone(),
            cautions: self.needs.cautions.clone(),
        })
    }

    fn suppliers(&self, plan: &OrderPlan) -> Vec<OrderSupplier> {
        let bought_from = self.terms.iter().zip(&plan.goods);
        let bought_from = bought_from.filter(|(_, goods)| **goods > 0);
        let supplier = |(terms, goods): (&SupplierTerms, &i64)| OrderSupplier {
            name: terms.name.clone(),
            goods: self.money(*goods),
            short_of_minimum: self.money((terms.minimum - goods).max(0)),
            carriage: self.money(terms.carriage_of(*goods)),
            carriage_free_from: terms
                .free_above
                .filter(|sum| goods >= sum)
                .map(|sum| self.money(sum)),
            from_shop: terms.from_shop.clone(),
        };
        bought_from.map(supplier).collect()
    }

    /// Lists the lines that wait for a measurement, and the rings whose material nobody has decided.
    fn undecided(&self) -> Vec<String> {
        let needs = self.needs.needs.iter();
        let open = needs.filter(|need| need.to_buy() > 0 && !need.is_decided());
        let rings = open.map(|need| {
            format!(
                "{} × {}: polymer or hardness is not decided; the model's parts list says what is needed",
                need.to_buy(),
                need.part
            )
        });
        self.needs.undecided.iter().cloned().chain(rings).collect()
    }

    fn item(&self, market: &Market, one: crate::core::supply::Bought) -> OrderItem {
        let (need, offer) = &self.offers[one.offer];
        OrderItem {
            part: self.needs.needs[*need].part.clone(),
            supplier: offer.supplier.clone(),
            number: offer.number.clone(),
            description: offer.description.clone(),
            size_note: size_note(&offer.description),
            packs: one.packs,
            pack: offer.pack,
            cost: self.money(market.offers[one.offer].cost(one.packs)),
            price_date: offer.price_date.clone(),
            from_shop: offer.from_shop.clone(),
        }
    }

    fn lines(&self, market: &Market, plan: &OrderPlan, ceiling: Option<Money>) -> Vec<OrderLine> {
        let line = |(at, need): (usize, &Need)| {
            let ours = || {
                plan.bought
                    .iter()
                    .filter(|b| market.offers[b.offer].line == at)
            };
            let bought = ours()
                .map(|b| b.packs.saturating_mul(market.offers[b.offer].pack))
                .fold(0, u32::saturating_add);
            let cost = ours()
                .map(|b| market.offers[b.offer].cost(b.packs))
                .fold(0, i64::saturating_add);
            let to_buy = need.to_buy();
            let left = i64::from(bought.saturating_sub(to_buy));
            OrderLine {
                need: need.clone(),
                to_buy,
                bought,
                cost: self.money(cost),
                per_used: self.each_of(cost, to_buy),
                leftover: self.money(share(cost, left, bought)),
                flags: Self::flags(market, at, cost, bought, ceiling),
            }
        };
        self.needs.needs.iter().enumerate().map(line).collect()
    }

    /// Says where a price stands out: above the ceiling, or far above what others ask for one piece.
    fn flags(
        market: &Market,
        line: usize,
        cost: i64,
        bought: u32,
        ceiling: Option<Money>,
    ) -> Vec<String> {
        /// A piece that costs this many times the median offer stands out.
        const FAR: f64 = 3.0;
        if bought == 0 {
            return Vec::new();
        }
        let piece = cost as f64 / f64::from(bought);
        let offers = market.offers.iter().filter(|o| o.line == line);
        let mut others: Vec<f64> = offers
            .map(|o| o.cost(1) as f64 / f64::from(o.pack))
            .collect();
        others.sort_by(f64::total_cmp);
        let median = others[others.len() / 2];
        let mut flags = Vec::new();
        if let Some(ceiling) = ceiling.filter(|c| piece > c.minor as f64) {
            flags.push(format!("a piece costs more than the ceiling of {ceiling}"));
        }
        if others.len() > 2 && piece > FAR * median {
            flags.push(format!(
                "a piece costs {:.1} times the median of {} offers",
                piece / median,
                others.len()
            ));
        }
        flags
    }
}
