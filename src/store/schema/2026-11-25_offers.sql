-- Suppliers, their price lists and offers, and what offers cost before.
-- Money is whole minor units of the list's currency; nothing is converted. Lengths are whole nanometres.

CREATE TABLE supplier (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL CHECK (name <> ''),
    key TEXT NOT NULL UNIQUE CHECK (key <> ''),
    -- Which column of the supplier's lists holds what, as it was used last.
    mapping TEXT,
    -- What an order costs beside the goods, and the least value of goods that is charged; in this currency.
    terms_currency TEXT,
    carriage INTEGER CHECK (carriage >= 0),
    minimum INTEGER CHECK (minimum >= 0)
) STRICT;

CREATE TABLE price_list (
    id INTEGER PRIMARY KEY,
    supplier_id INTEGER NOT NULL REFERENCES supplier (id),
    file TEXT NOT NULL,
    imported_at TEXT NOT NULL,
    -- The day from which the prices hold, ISO 8601.
    price_date TEXT NOT NULL,
    currency TEXT NOT NULL,
    tax TEXT NOT NULL CHECK (tax IN ('included', 'excluded')),
    rows_read INTEGER NOT NULL,
    accepted INTEGER NOT NULL,
    rejected INTEGER NOT NULL CHECK (accepted + rejected = rows_read),
    replaced_at TEXT
) STRICT;

CREATE INDEX price_list_supplier ON price_list (supplier_id);

CREATE TABLE offer (
    id INTEGER PRIMARY KEY,
    price_list_id INTEGER NOT NULL REFERENCES price_list (id),
    line INTEGER NOT NULL,
    number TEXT NOT NULL,
    -- The number without spaces and signs.
    key TEXT NOT NULL,
    description TEXT NOT NULL,
    kind TEXT,
    -- How many sizes the description can mean: 0 not read, 1 read, more ambiguous; only a single one stands below.
    meanings INTEGER NOT NULL,
    code TEXT,
    id_nm INTEGER,
    section_nm INTEGER,
    -- Lengths of a part that is no ring, parted by blanks.
    lengths_nm TEXT,
    polymer TEXT,
    hardness REAL,
    scale TEXT,
    pack INTEGER NOT NULL CHECK (pack > 0),
    price INTEGER NOT NULL CHECK (price > 0),
    -- Further prices as "from packs:price", parted by blanks.
    breaks TEXT
) STRICT;

CREATE INDEX offer_key ON offer (key);

-- Cells of a tenth of a millimetre of section, so that a window on both dimensions reads few rows.
CREATE INDEX offer_window ON offer (section_nm / 100000, id_nm) WHERE id_nm IS NOT NULL;

-- Every size that an ambiguous description can mean.
CREATE TABLE offer_meaning (
    offer_id INTEGER NOT NULL,
    place INTEGER NOT NULL,
    code TEXT,
    id_nm INTEGER NOT NULL,
    section_nm INTEGER NOT NULL,
    PRIMARY KEY (offer_id, place)
) STRICT, WITHOUT ROWID;

CREATE VIRTUAL TABLE offer_text USING fts5 (
    number, description,
    content = 'offer', content_rowid = 'id',
    tokenize = 'trigram', detail = 'none', columnsize = 0
);

-- Numbers of one list by length, packed for a scan that allows for typing errors.
CREATE TABLE offer_scan (
    price_list_id INTEGER NOT NULL REFERENCES price_list (id),
    place INTEGER NOT NULL,
    length INTEGER NOT NULL,
    keys BLOB NOT NULL,
    offer_ids BLOB NOT NULL,
    PRIMARY KEY (price_list_id, place)
) STRICT;

CREATE TABLE price_history (
    price_list_id INTEGER NOT NULL REFERENCES price_list (id),
    line INTEGER NOT NULL,
    key TEXT NOT NULL,
    description TEXT NOT NULL,
    pack INTEGER NOT NULL,
    price INTEGER NOT NULL,
    breaks TEXT,
    PRIMARY KEY (key, price_list_id, line)
) STRICT, WITHOUT ROWID;
