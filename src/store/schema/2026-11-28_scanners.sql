-- Scanners by name and resolution: what their axes were found to be.

CREATE TABLE scanner (
    key TEXT NOT NULL,
    -- What its files state, dots an inch.
    dpi INTEGER NOT NULL CHECK (dpi > 0),
    -- JSON.
    body TEXT NOT NULL,
    PRIMARY KEY (key, dpi)
) STRICT, WITHOUT ROWID;
