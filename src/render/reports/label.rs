//! The page of a label that was read.

use crate::core::book::Label;
use crate::render::{Document, Report, Table};

impl Report for Label {
    fn lay_out(&self, page: &mut Document) {
        page.title(format!(
            "A {} label; its check digits are right",
            self.kind.word()
        ));
        let fields = self.fields.iter();
        page.table(Table::facts(
            "",
            fields.map(|(name, value)| (name.as_str(), value.clone())),
        ));
    }
}
