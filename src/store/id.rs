//! Numbers of rows, each its own type so that one cannot stand for another.

use rusqlite::types::{FromSql, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use serde::{Deserialize, Serialize};

macro_rules! row_id {
    ($(#[$doc:meta])* $name:ident) => {
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

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, "{}", self.0)
            }
        }
    };
}

row_id!(
    /// Points at a model.
    ModelId
);
row_id!(
    /// Points at a unit.
    UnitId
);
row_id!(
    /// Points at a note.
    NoteId
);
row_id!(
    /// Points at a ring of known size.
    KnownRingId
);
row_id!(
    /// Points at a supplier.
    SupplierId
);
row_id!(
    /// Points at a price list.
    PriceListId
);
row_id!(
    /// Points at a lot on the shelf.
    StockLotId
);
