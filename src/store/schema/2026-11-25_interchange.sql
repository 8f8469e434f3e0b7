-- What was found out about one part in the place of another, and the names that people use for parts. Parts stand in the
-- words in which they are typed; they are read again.

CREATE TABLE statement (
    id INTEGER PRIMARY KEY,
    part TEXT NOT NULL CHECK (part <> ''),
    stand_in TEXT NOT NULL CHECK (stand_in <> ''),
    grade TEXT NOT NULL CHECK (grade IN ('same', 'fits', 'fits with work', 'tried and failed')),
    -- Model and place; empty where it is said of the part in general.
    place TEXT NOT NULL,
    person TEXT NOT NULL CHECK (person <> ''),
    evidence TEXT NOT NULL CHECK (evidence <> ''),
    said_at TEXT NOT NULL
) STRICT;

CREATE TABLE nickname (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL CHECK (name <> ''),
    -- The name in plain form.
    key TEXT NOT NULL CHECK (key <> ''),
    part TEXT NOT NULL CHECK (part <> ''),
    confidence TEXT NOT NULL,
    person TEXT NOT NULL CHECK (person <> ''),
    source TEXT NOT NULL CHECK (source <> ''),
    said_at TEXT NOT NULL
) STRICT;

CREATE INDEX nickname_key ON nickname (key);
