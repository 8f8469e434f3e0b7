//! Which columns of a price list hold the prices that are paid.

use super::column::{Column, PriceColumn, Priced};
use super::column_map::ColumnMap;
use super::head::{NotPaid, PriceHead};
use super::layout::{LayoutError, ListTerms, tax_word};
use super::left_out::LeftOutWhy;

fn other_tax(price: &PriceHead, terms: ListTerms) -> bool {
    price
        .tax_included
        .is_some_and(|tax| tax != terms.tax_included)
}

fn other_currency(price: &PriceHead, terms: ListTerms) -> bool {
    price
        .currency
        .is_some_and(|currency| currency != terms.currency)
}

/// Says how a head, or a line of text, contradicts the terms that were stated; `None` where it does not.
pub(super) fn contradiction(head: &str, said: &PriceHead, terms: ListTerms) -> Option<LayoutError> {
    match said.currency.filter(|_| other_currency(said, terms)) {
        Some(currency) => Some(LayoutError::Currency {
            head: head.to_owned(),
            found: currency.letters(),
        }),
        None => other_tax(said, terms).then(|| says_tax(head, !terms.tax_included)),
    }
}

fn says_tax(head: &str, included: bool) -> LayoutError {
    LayoutError::Tax {
        head: head.to_owned(),
        says: tax_word(included),
    }
}

/// Beside a price that says it is with tax, one that says nothing is without; and the other way round.
fn say_other_tax(prices: &mut [(usize, PriceHead)]) {
    let said: Vec<bool> = prices
        .iter()
        .filter_map(|(_, price)| price.tax_included)
        .collect();
    if let [first, rest @ ..] = said.as_slice()
        && rest.iter().all(|tax| tax == first)
        && said.len() < prices.len()
    {
        for (_, price) in prices {
            price.tax_included = price.tax_included.or(Some(!first));
        }
    }
}

/// Refuses a list of which every price is with another tax or in another currency than was stated, and heads of which nobody can
/// tell the right one: the same twice, net beside gross where prices are to have tax in them, gross alone where they are not to.
fn refuse(
    heads: &[String],
    prices: &[(usize, PriceHead)],
    discounted: bool,
    terms: ListTerms,
) -> Result<(), LayoutError> {
    let head = |place: usize| heads[place - 1].trim();
    let mut others = prices
        .iter()
        .map(|(place, price)| contradiction(head(*place), price, terms));
    if let Some(Some(first)) = others.next()
        && others.all(|other| other.is_some())
    {
        return Err(first);
    }
    for (at, (place, _)) in prices.iter().enumerate() {
        let twice = |(other, _): &(usize, PriceHead)| head(*other) == head(*place);
        if prices[at + 1..].iter().any(twice) {
            let head = head(*place).to_owned();
            return Err(LayoutError::SideBySide { head });
        }
    }
    let silent = |price: &PriceHead| price.tax_included.is_none();
    let listed = prices
        .iter()
        .any(|(_, price)| price.not_paid == Some(NotPaid::List));
    let net = prices.iter().find(|(_, price)| price.paid && silent(price));
    match (net, prices) {
        (Some((place, _)), _) if listed && terms.tax_included => Err(says_tax(head(*place), false)),
        (_, [(place, price)])
            if price.gross && silent(price) && !terms.tax_included && !discounted =>
        {
            Err(says_tax(head(*place), true))
        }
        _ => Ok(()),
    }
}

/// Takes out prices that are only counted, "Price 1" and "Price 2": the numbers are those of the columns, and no quantities.
fn leave_counted(prices: &mut Vec<(usize, PriceHead)>) -> Vec<(usize, LeftOutWhy)> {
    let mut counts: Vec<u32> = prices
        .iter()
        .filter_map(|(_, price)| price.counted)
        .collect();
    counts.sort_unstable();
    let mut left = Vec::new();
    if counts.len() > 1 && counts.iter().zip(1..).all(|(count, at)| *count == at) {
        prices.retain(|(place, price)| {
            if price.counted.is_some() {
                left.push((*place, LeftOutWhy::NotUnderstood));
            }
            price.counted.is_none()
        });
    }
    left
}

/// Chooses the columns of prices: what is paid, with the tax and in the currency that were stated.
pub(super) fn assign_prices(
    map: &mut ColumnMap,
    heads: &[String],
    mut prices: Vec<(usize, PriceHead)>,
    terms: ListTerms,
) -> Result<Vec<(usize, LeftOutWhy)>, LayoutError> {
    say_other_tax(&mut prices);
    let discounted = map.place(Column::Discount).is_some();
    refuse(heads, &prices, discounted, terms)?;
    let mut left = leave_counted(&mut prices);
    // The discount is taken off the list price where nothing else says what is paid.
    let paid = prices.iter().any(|(_, price)| price.not_paid.is_none());
    prices.retain(|(place, price)| {
        let why = match price.not_paid {
            _ if other_tax(price, terms) => LeftOutWhy::OtherTax,
            _ if other_currency(price, terms) => LeftOutWhy::OtherCurrency,
            Some(NotPaid::Old) if paid => LeftOutWhy::OldPrice,
            Some(NotPaid::List) if paid => LeftOutWhy::ListPrice,
            _ => return true,
        };
        left.push((*place, why));
        false
    });
    let lone = prices.len() == 1;
    let marked = prices.iter().any(|(_, price)| price.paid);
    let priced = base_of(&prices);
    // What is marked as paid goes first, and the price of a pack before that of a piece.
    prices.sort_by_key(|(place, price)| {
        (
            marked && !price.paid,
            match price.priced {
                None | Some(Priced::Pack) => 0,
                Some(Priced::Pieces(1)) => 1,
                Some(Priced::Pieces(_)) => 2,
            },
            *place,
        )
    });
    let several = prices.iter().any(|(_, price)| price.from > 1);
    for (place, price) in prices {
        let column = if price.bare_number && lone {
            PriceColumn {
                priced: Priced::Pieces(price.from),
                from: 1,
            }
        } else {
            PriceColumn {
                priced: price
                    .priced
                    .or(priced.filter(|_| several))
                    .unwrap_or(Priced::Pack),
                from: price.from,
            }
        };
        if map
            .prices()
            .iter()
            .any(|(known, _)| known.from == column.from)
        {
            left.push((place, LeftOutWhy::SaidTwice));
        } else if map
            .price()
            .is_some_and(|(known, _)| known.priced != column.priced)
        {
            // Breaks of another price than the one that is read.
            left.push((place, LeftOutWhy::SaidTwice));
        } else {
            map.put(Column::Price(column), place);
        }
    }
    // A discount that is taken off already is not taken off again.
    let off = |why: &LeftOutWhy| match why {
        LeftOutWhy::ListPrice => true,
        LeftOutWhy::SaidTwice => marked,
        _ => false,
    };
    if paid
        && left.iter().any(|(_, why)| off(why))
        && let Some(place) = map.take(Column::Discount)
    {
        left.push((place, LeftOutWhy::NotNeeded));
    }
    Ok(left)
}

/// What the first price is for, which those from more pieces on share unless they say otherwise.
fn base_of(prices: &[(usize, PriceHead)]) -> Option<Priced> {
    let first = prices.iter().min_by_key(|(_, price)| price.from);
    first.and_then(|(_, price)| price.priced)
}
