-- What lies on the shelf: one lot a bin, and every movement of it. Lengths in nanometres.

CREATE TABLE stock_lot (
    id INTEGER PRIMARY KEY,
    bin TEXT NOT NULL COLLATE NOCASE CHECK (trim(bin) <> ''),
    -- The part as it is shown: a ring code, or words.
    part TEXT NOT NULL CHECK (trim(part) <> ''),
    -- Of a ring: its nominal dimensions, which are what it is matched by.
    id_nm INTEGER CHECK (id_nm > 0),
    cs_nm INTEGER CHECK (cs_nm > 0),
    -- Of any other part: its words as they are compared.
    part_key TEXT,
    polymer TEXT,
    hardness REAL CHECK (hardness BETWEEN 0 AND 100),
    hardness_scale TEXT,
    lot TEXT,
    cured_year INTEGER CHECK (cured_year BETWEEN 1900 AND 9999),
    cured_quarter INTEGER CHECK (cured_quarter BETWEEN 1 AND 4),
    supplier TEXT,
    added_at TEXT NOT NULL,
    CHECK ((id_nm IS NULL) = (cs_nm IS NULL)),
    CHECK ((id_nm IS NULL) <> (part_key IS NULL)),
    CHECK ((hardness IS NULL) = (hardness_scale IS NULL)),
    CHECK ((cured_year IS NULL) = (cured_quarter IS NULL))
) STRICT;

CREATE INDEX stock_lot_bin ON stock_lot (bin);
CREATE INDEX stock_lot_ring ON stock_lot (id_nm, cs_nm);

CREATE TABLE stock_move (
    id INTEGER PRIMARY KEY,
    stock_lot_id INTEGER NOT NULL REFERENCES stock_lot (id),
    quantity INTEGER NOT NULL CHECK (quantity <> 0),
    -- Why: received, or what it was taken for.
    reason TEXT NOT NULL,
    moved_at TEXT NOT NULL
) STRICT;

CREATE INDEX stock_move_lot ON stock_move (stock_lot_id);

-- A bin never holds less than nothing, whoever writes.
CREATE TRIGGER stock_move_covered BEFORE INSERT ON stock_move
WHEN new.quantity + (
    SELECT coalesce(sum(quantity), 0) FROM stock_move WHERE stock_lot_id = new.stock_lot_id
) < 0
BEGIN
    SELECT raise(ABORT, 'a bin cannot hold less than nothing');
END;
