//! The ways in which a supplier can charge an order, each with plain terms.
//!
//! A supplier whose carriage is free from a sum on charges in two ways: with carriage whatever is bought, or without it where
//! the goods truly reach the sum. The search opens one of them at most; what an order costs is always asked of the terms
//! themselves ([`super::super::SupplierTerms::charge`]).

use super::super::market::SupplierTerms;

/// One bit an account or supplier.
pub(super) type Mask = u128;

/// Lists the places of the bits of a mask.
pub(super) fn places(mask: Mask) -> impl Iterator<Item = usize> {
    let mut left = mask;
    std::iter::from_fn(move || {
        let place = (left != 0).then(|| left.trailing_zeros() as usize)?;
        left &= left - 1;
        Some(place)
    })
}

/// Tells whether a mask holds a place.
pub(super) fn holds(mask: Mask, place: usize) -> bool {
    (mask >> place) & 1 == 1
}

/// A choice of accounts: its orders open all that are taken, and none that is not open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Choice {
    /// The accounts that are opened.
    pub(super) taken: Mask,
    /// The accounts that can be, those with them.
    pub(super) open: Mask,
}

impl Choice {
    /// The accounts that are open and not taken.
    pub(super) fn undecided(self) -> Mask {
        self.open & !self.taken
    }
}

/// One way in which a supplier charges an order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Account {
    pub(super) supplier: usize,
    /// Carriage of an order.
    pub(super) carriage: i64,
    /// What an order is charged with at least.
    pub(super) minimum: i64,
    /// The value that the goods must reach; 0 where any will do.
    pub(super) floor: i64,
    /// The most that goods can be worth beyond the cheapest that cover the needs; beyond it the other account is cheaper.
    pub(super) slack: i64,
}

/// Lists the accounts of all suppliers, those of one supplier beside each other.
pub(super) fn accounts_of(suppliers: &[SupplierTerms]) -> Vec<Account> {
    let of = |(supplier, terms): (usize, &SupplierTerms)| {
        let plain = Account {
            supplier,
            carriage: terms.carriage,
            minimum: terms.minimum,
            floor: 0,
            slack: 0,
        };
        let sum = terms.free_above.filter(|_| terms.carriage > 0);
        let free = sum.map(|sum| Account {
            carriage: 0,
            minimum: terms.minimum.max(sum),
            floor: sum,
            // Goods dearer by d than they need be save the carriage and fill the minimum, which is at most both together.
            slack: terms.carriage.saturating_add(terms.minimum),
            ..plain.clone()
        });
        std::iter::once(plain).chain(free)
    };
    suppliers.iter().enumerate().flat_map(of).collect()
}
