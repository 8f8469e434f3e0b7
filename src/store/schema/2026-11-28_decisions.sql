-- What a person decided for a place of a model. Nothing is changed or taken away: a decision that is taken back keeps its row, and
-- says who took it back, when and why.

CREATE TABLE decision (
    id INTEGER PRIMARY KEY,
    -- The model in plain form, as its name is compared.
    model_key TEXT NOT NULL CHECK (model_key <> ''),
    section TEXT NOT NULL,
    position TEXT NOT NULL,
    -- The ring by its first code.
    ring TEXT NOT NULL CHECK (ring <> ''),
    polymer TEXT,
    hardness TEXT,
    -- A maker's or supplier's part number, in words.
    part TEXT,
    person TEXT NOT NULL CHECK (person <> ''),
    why TEXT NOT NULL CHECK (why <> ''),
    decided_at TEXT NOT NULL,
    taken_back_by TEXT,
    taken_back_why TEXT,
    taken_back_at TEXT,
    CHECK ((taken_back_by IS NULL) = (taken_back_at IS NULL) AND (taken_back_by IS NULL) = (taken_back_why IS NULL))
) STRICT;

CREATE INDEX decision_model ON decision (model_key);
