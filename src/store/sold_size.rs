//! Ring sizes of the price lists that no list of sizes has.

use super::book::BookReader;
use super::error::StoreError;
use crate::core::identification::SoldSize;
use crate::core::quantity::Length;
use std::sync::Arc;

impl BookReader<'_> {
    /// Lists the ring sizes that our suppliers sell and no list of sizes has; lists that came with another shop's book are not heard.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn sold_sizes(&self) -> Result<Arc<[SoldSize]>, StoreError> {
        let sizes = self.list(
            "SELECT o.id_nm, o.section_nm, s.name
             FROM offer o JOIN price_list l ON l.id = o.price_list_id JOIN supplier s ON s.id = l.supplier_id
             WHERE o.code IS NULL AND o.id_nm IS NOT NULL AND (o.kind IS NULL OR o.kind = 'o-ring')
               AND l.replaced_at IS NULL AND l.shop IS NULL
             GROUP BY 1, 2, 3",
            &[],
            |row| {
                Ok(SoldSize {
                    id: Length::from_nm(row.get(0)?),
                    section: Length::from_nm(row.get(1)?),
                    suppliers: vec![row.get(2)?],
                })
            },
        )?;
        Ok(sizes.into())
    }
}
