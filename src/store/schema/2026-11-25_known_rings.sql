-- Rings of known size and what was read on them, from which each person with each instrument is learned. Millimetres.

CREATE TABLE known_ring (
    id INTEGER PRIMARY KEY,
    -- Empty where nobody was named.
    person TEXT NOT NULL,
    -- The ring as it was named.
    ring TEXT NOT NULL CHECK (ring <> ''),
    added_at TEXT NOT NULL
) STRICT;

CREATE INDEX known_ring_person ON known_ring (person);

CREATE TABLE known_reading (
    known_ring_id INTEGER NOT NULL REFERENCES known_ring (id) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    measurand TEXT NOT NULL,
    method TEXT NOT NULL CHECK (method <> ''),
    typed TEXT NOT NULL,
    -- Mean of the repetitions less the nominal value; what a stated hardness does is taken off.
    error REAL NOT NULL,
    repeats INTEGER NOT NULL CHECK (repeats > 0),
    -- Sum of the squared distances of the repetitions from their mean.
    scatter REAL NOT NULL CHECK (scatter >= 0),
    -- Variance of the ring's own size about nominal.
    ring_variance REAL NOT NULL CHECK (ring_variance >= 0),
    PRIMARY KEY (known_ring_id, place)
) STRICT, WITHOUT ROWID;
