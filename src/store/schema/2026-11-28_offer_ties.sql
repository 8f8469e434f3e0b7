-- The heads under which a supplier's mapping was used: it is used again only for the same ones.
-- Offers that a person tied to a place of a model, whatever their descriptions say.

ALTER TABLE supplier ADD COLUMN mapping_heads TEXT;

CREATE TABLE offer_tie (
    id INTEGER PRIMARY KEY,
    supplier_id INTEGER NOT NULL REFERENCES supplier (id),
    -- The supplier's number without spaces and signs, and as it was written.
    key TEXT NOT NULL CHECK (key <> ''),
    number TEXT NOT NULL,
    model_id INTEGER NOT NULL REFERENCES model (id),
    -- Section, part and position of the place, as the parts list names them.
    place TEXT NOT NULL CHECK (place <> ''),
    person TEXT NOT NULL,
    tied_at TEXT NOT NULL,
    UNIQUE (supplier_id, key, model_id, place)
) STRICT;

CREATE INDEX offer_tie_model ON offer_tie (model_id);
