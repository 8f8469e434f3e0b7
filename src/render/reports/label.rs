//! The page of a label that was read.

use crate::core::book::Label;
use crate::render::{Document, Report, Table, visible};

impl Report for Label {
    fn lay_out(&self, page: &mut Document) {
        page.title(format!(
            "A {} label; its check digits are right",
            self.kind.word()
        ));
        let mut table = Table::new(&["", ""]);
        for (name, value) in &self.fields {
            table.row([visible(name), visible(value)]);
        }
        page.table(table);
    }
}
