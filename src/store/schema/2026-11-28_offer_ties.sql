-- The heads under which a supplier's mapping was used: it is used again only for the same ones.
-- Offers that a person tied to a place of a model, whatever their descriptions say.

ALTER TABLE supplier ADD COLUMN mapping_heads TEXT;

CREATE TABLE offer_tie (
    id INTEGER PRIMARY KEY,
    supplier_id INTEGER NOT NULL REFERENCES supplier (id),
    -- The supplier's number without spaces and signs, and as it was written.
    key TEXT NOT NULL CHECK (key <> ''),
    number TEXT NOT NULL,
    -- Model, section, part and position, as an order names the place; and in plain form.
    place TEXT NOT NULL,
    place_key TEXT NOT NULL CHECK (place_key <> ''),
    person TEXT NOT NULL CHECK (person <> ''),
    tied_at TEXT NOT NULL,
    UNIQUE (supplier_id, key, place_key)
) STRICT;

CREATE INDEX offer_tie_place ON offer_tie (place_key);
