-- Books of other shops that were merged into this one: where items came from, and what was set aside.

CREATE TABLE origin (
    what TEXT NOT NULL,
    key TEXT NOT NULL,
    shop TEXT NOT NULL,
    merged_at TEXT NOT NULL,
    PRIMARY KEY (what, key, shop)
) STRICT, WITHOUT ROWID;

CREATE TABLE set_aside (
    id INTEGER PRIMARY KEY,
    what TEXT NOT NULL,
    key TEXT NOT NULL,
    -- Digest of what the item says: the same thing is set aside once.
    content TEXT NOT NULL,
    reason TEXT NOT NULL CHECK (reason IN ('conflict', 'theirs', 'unreadable')),
    shop TEXT NOT NULL,
    merged_at TEXT NOT NULL,
    -- The item as JSON, whole.
    body TEXT NOT NULL,
    UNIQUE (what, key, content)
) STRICT;
