//! Ring sizes that suppliers of this shop sell and no list here has.

use super::candidates::Candidate;
use crate::core::quantity::Length;
use crate::core::sizes::{NominalSize, SizeTable, class_b_inside_diameter, class_b_section};
use serde::{Deserialize, Serialize};

/// Names a ring size that is sold, and by whom.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SoldSize {
    #[serde(flatten)]
    pub nominal: NominalSize,
    /// Suppliers that sell it, each once.
    pub suppliers: Vec<String>,
}

/// A sold size with its odds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SoldRing {
    #[serde(flatten)]
    pub size: SoldSize,
    pub probability: f64,
    /// Root mean square of the misfits in standard deviations.
    pub misfit_sigma: f64,
}

/// The most sizes that compete; a list of more names sizes that no old gear has.
const MOST: usize = 1000;

impl SoldSize {
    /// Names the size as it is ordered: `17.5x2.2 mm`.
    pub fn name(&self) -> String {
        self.nominal.to_string()
    }

    /// Says who sells it, and that no standard lists it.
    pub fn sold_words(&self) -> String {
        format!("sold by {}, in no standard", self.suppliers.join(" and "))
    }

    /// Leaves out what a table lists, and joins what is one size at several suppliers.
    pub(super) fn in_no_list(sold: &[Self], table: &SizeTable) -> Vec<Self> {
        let mut kept: Vec<Self> = Vec::new();
        for size in sold
            .iter()
            .filter(|size| size.nominal.section > Length::ZERO)
        {
            let mut rings = table.rings().iter();
            if rings.any(|ring| size.nominal.is_near(ring.nominal())) {
                continue;
            }
            let twin = kept
                .iter()
                .position(|known| known.nominal.is_near(size.nominal));
            match twin {
                None if kept.len() < MOST => kept.push(size.clone()),
                None => {}
                Some(at) => {
                    let known = &mut kept[at];
                    for supplier in &size.suppliers {
                        if !known.suppliers.contains(supplier) {
                            known.suppliers.push(supplier.clone());
                        }
                    }
                }
            }
        }
        kept
    }

    /// Returns the ring as a competitor; its maker is taken to keep the tolerances of ISO 3601-1 class B.
    pub(super) fn candidate(&self, log_prior: f64) -> Candidate {
        let NominalSize { id, section } = self.nominal;
        let (of_id, of_section) = (class_b_inside_diameter(id), class_b_section(section));
        Candidate {
            log_prior,
            ..Candidate::new(id.mm(), section.mm(), of_id, of_section)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sold(id: f64, section: f64, supplier: &str) -> SoldSize {
        let length = |mm| Length::from_mm(mm).expect("in range");
        SoldSize {
            nominal: NominalSize {
                id: length(id),
                section: length(section),
            },
            suppliers: vec![supplier.to_owned()],
        }
    }

    #[test]
    fn what_a_table_lists_is_no_size_of_a_shop_and_two_shops_sell_one_size() {
        let sizes = [
            sold(9.25, 1.78, "Lakehead"),
            sold(17.3, 2.2, "Lakehead"),
            sold(17.3, 2.2, "Harbour"),
            sold(17.32, 2.2, "Lakehead"),
        ];
        let kept = SoldSize::in_no_list(&sizes, SizeTable::shipped());
        assert_eq!(kept.len(), 1, "{kept:?}");
        assert_eq!(kept[0].suppliers, ["Lakehead", "Harbour"]);
        assert_eq!(kept[0].name(), "17.3x2.2 mm");
    }
}
