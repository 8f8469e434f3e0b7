//! Numbers of rows, each its own type so that one cannot stand for another.

use rusqlite::types::{FromSql, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use serde::{Deserialize, Serialize};

macro_rules! row_ids {
    ($($(#[$doc:meta])* $name:ident,)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(i64);

        impl FromSql for $name {
            fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
                i64::column_result(value).map(Self)
            }
        }

        impl ToSql for $name {
            fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
                self.0.to_sql()
            }
        }

        impl $name {
            /// Returns the id of the row that was inserted last.
            pub(super) fn inserted(connection: &rusqlite::Connection) -> Self {
                Self(connection.last_insert_rowid())
            }
        }
    )*};
}

row_ids! {
    /// Points at a model.
    ModelId,
    /// Points at a unit.
    UnitId,
    /// Points at a note.
    NoteId,
    /// Points at a supplier.
    SupplierId,
    /// Points at a price list.
    PriceListId,
    /// Points at a lot on the shelf.
    StockLotId,
}
