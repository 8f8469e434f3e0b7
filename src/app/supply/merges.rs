//! Sizes that can be merged: one ring bought in the place of another that every recorded gland takes.

use super::order::Shop;
use crate::app::deadline::Deadline;
use crate::core::quantity::Money;
use crate::core::supply::plan_order;
use serde::Serialize;

/// A proposal to buy one size in place of another.
#[derive(Debug, Clone, Serialize)]
pub struct MergeProposal {
    /// The need that is given up.
    pub instead_of: String,
    /// The ring that takes its place; the gland check finds it good in every recorded gland.
    pub use_ring: String,
    /// What the whole order costs less.
    pub saving: Money,
}

/// The proposals of an order.
pub(in crate::app) struct Merges {
    /// What saves most comes first.
    pub(super) proposals: Vec<MergeProposal>,
    /// Pairs for which there was no time.
    pub(super) not_weighed: usize,
}

impl Shop {
    /// Tries every ring of the order in the place of every other that it suits, as long as there is time.
    pub(super) fn merges(&self, total: i64, deadline: Deadline) -> Merges {
        let pairs = self.pairs();
        let (mut proposals, mut weighed) = (Vec::new(), 0);
        for (from, into) in &pairs {
            if !deadline.allows(1.0) {
                break;
            }
            weighed += 1;
            let market = self.market(Some((*from, *into)));
            let merged = plan_order(&market, &mut || deadline.allows(1.0));
            let saving = merged.map_or(0, |plan| total - plan.total);
            if saving > 0 {
                proposals.push(MergeProposal {
                    instead_of: self.needs.needs[*from].part.clone(),
                    use_ring: self.needs.needs[*into].part.clone(),
                    saving: self.money(saving),
                });
            }
        }
        proposals.sort_by_key(|p| std::cmp::Reverse(p.saving.minor));
        Merges {
            proposals,
            not_weighed: pairs.len() - weighed,
        }
    }

    /// Lists the needs that can be given up, each with the need whose ring suits all its glands.
    fn pairs(&self) -> Vec<(usize, usize)> {
        let offered = |at| self.offers.iter().any(|(line, _)| *line == at);
        let needs = &self.needs.needs;
        let suits = |from: usize, into: usize| {
            let (need, other) = (&needs[from], &needs[into]);
            let code = other.ring.as_ref().and_then(|r| r.code.as_ref());
            let alike = need.polymer == other.polymer && need.hardness == other.hardness;
            from != into && alike && code.is_some_and(|code| need.suits.contains(code))
        };
        let given_up = (0..needs.len()).filter(|at| needs[*at].to_buy() > 0 && offered(*at));
        let pairs = given_up.flat_map(|from| (0..needs.len()).map(move |into| (from, into)));
        pairs
            .filter(|(from, into)| offered(*into) && suits(*from, *into))
            .collect()
    }
}
