//! On which terms an order is planned: currency, tax, and what each supplier asks beside the goods.

use super::order::{OrderError, OrderQuestion};
use crate::core::quantity::{Currency, Money};
use crate::core::supply::{SupplierTerms, tax_word};
use crate::store::{BookReader, StoredOffer};

/// The terms of the suppliers of these offers, and the names of those whose carriage is not recorded.
pub(super) fn terms_of(
    book: &BookReader<'_>,
    currency: Currency,
    offers: &[(usize, StoredOffer)],
) -> Result<(Vec<SupplierTerms>, Vec<String>), OrderError> {
    let (mut terms, mut carriage_unknown) = (Vec::new(), Vec::new());
    for supplier in book.suppliers()? {
        if !offers.iter().any(|(_, o)| o.supplier == supplier.name) {
            continue;
        }
        let money = |amount: Option<Money>| match amount {
            Some(m) if m.currency != currency => Err(OrderError::Terms(
                supplier.name.clone(),
                m.currency.letters(),
                currency.letters(),
            )),
            other => Ok(other.map_or(0, |m| m.minor)),
        };
        let (carriage, minimum) = (
            money(supplier.terms.carriage)?,
            money(supplier.terms.minimum)?,
        );
        let free_above = supplier
            .terms
            .free_above
            .map(|sum| money(Some(sum)))
            .transpose()?;
        if supplier.terms.carriage.is_none() {
            carriage_unknown.push(supplier.name.clone());
        }
        terms.push(SupplierTerms {
            name: supplier.name,
            from_shop: supplier.from_shop,
            carriage,
            minimum,
            free_above,
        });
    }
    Ok((terms, carriage_unknown))
}

/// The currency and tax rule that are bought under.
pub(super) fn rule_of(
    book: &BookReader<'_>,
    question: &OrderQuestion,
) -> Result<(Currency, bool), OrderError> {
    let mut rules: Vec<(Currency, bool)> = Vec::new();
    for list in book.price_lists()? {
        let Some(currency) = Currency::from_word(&list.currency) else {
            continue;
        };
        let rule = (currency, list.tax == "included");
        let chosen = question.currency.is_none_or(|c| c == rule.0)
            && question.tax_included.is_none_or(|t| t == rule.1);
        if chosen && !rules.contains(&rule) {
            rules.push(rule);
        }
    }
    match rules.as_slice() {
        [] => Ok((
            question.currency.unwrap_or(Currency::Eur),
            question.tax_included.unwrap_or(false),
        )),
        [one] => Ok(*one),
        many => {
            let words = many.iter().map(|(currency, tax)| {
                format!("{} with tax {}", currency.letters(), tax_word(*tax))
            });
            Err(OrderError::Mixed(words.collect::<Vec<_>>().join(", ")))
        }
    }
}
