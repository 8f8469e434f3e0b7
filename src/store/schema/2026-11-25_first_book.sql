-- The first book: units, their teardown notes, and what was found in them.
-- Words of fixed lists (kinds, fates, units) are stored as the program's machine output writes them.
-- Lengths of listed or drawn things are whole nanometres; readings are the millimetres or grams that were read.
-- Beside every quantity stands what was typed.

CREATE TABLE setting (
    key TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE model (
    id INTEGER PRIMARY KEY,
    maker TEXT,
    name TEXT NOT NULL CHECK (name <> ''),
    -- Maker and name in plain words, by which two spellings of one model meet.
    key TEXT NOT NULL UNIQUE CHECK (key <> '')
) STRICT;

CREATE TABLE unit (
    id INTEGER PRIMARY KEY,
    model_id INTEGER NOT NULL REFERENCES model (id),
    serial TEXT NOT NULL CHECK (serial <> ''),
    key TEXT NOT NULL CHECK (key <> ''),
    UNIQUE (model_id, key)
) STRICT;

CREATE TABLE note (
    id INTEGER PRIMARY KEY,
    unit_id INTEGER NOT NULL REFERENCES unit (id),
    -- ISO 8601; empty where the note gives no day.
    date TEXT NOT NULL,
    form TEXT NOT NULL CHECK (form IN ('text', 'csv')),
    -- The note as it was handed in, and as the program prints it.
    original TEXT NOT NULL,
    canonical TEXT NOT NULL,
    -- Lines that could not be read, where the user chose to store the rest.
    unread_lines INTEGER NOT NULL DEFAULT 0 CHECK (unread_lines >= 0),
    added_at TEXT NOT NULL,
    -- A note that was replaced stays as history.
    replaced_at TEXT,
    replaced_by INTEGER REFERENCES note (id),
    maker TEXT,
    model TEXT NOT NULL,
    unit TEXT NOT NULL,
    variant TEXT,
    gas TEXT,
    oxygen REAL,
    oxygen_typed TEXT,
    supply_pa REAL,
    supply_reference TEXT,
    supply_typed TEXT,
    rated_pa REAL,
    rated_reference TEXT,
    rated_typed TEXT,
    lengths TEXT,
    taken_apart_by TEXT,
    owner TEXT,
    purpose TEXT,
    connection TEXT
) STRICT;

CREATE UNIQUE INDEX note_present ON note (unit_id, date) WHERE replaced_at IS NULL;

CREATE TABLE note_words (
    note_id INTEGER NOT NULL REFERENCES note (id) ON DELETE CASCADE,
    topic TEXT NOT NULL CHECK (topic IN ('as found', 'photo', 'remark', 'comment', 'closing comment')),
    place INTEGER NOT NULL,
    words TEXT NOT NULL,
    PRIMARY KEY (note_id, topic, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE entry (
    id INTEGER PRIMARY KEY,
    note_id INTEGER NOT NULL REFERENCES note (id) ON DELETE CASCADE,
    -- The place in the order of removal, from 1.
    removal INTEGER NOT NULL,
    section TEXT NOT NULL,
    position TEXT NOT NULL,
    kind TEXT NOT NULL,
    kind_stated INTEGER NOT NULL,
    name TEXT NOT NULL,
    quantity INTEGER NOT NULL CHECK (quantity >= 1),
    fate TEXT NOT NULL,
    condition TEXT,
    condition_typed TEXT,
    stated_size TEXT,
    stated_by TEXT,
    polymer TEXT,
    polymer_typed TEXT,
    hardness REAL,
    hardness_scale TEXT,
    hardness_typed TEXT,
    material TEXT,
    tool TEXT,
    torque_nm REAL,
    torque_typed TEXT,
    turns REAL,
    turns_typed TEXT,
    thread TEXT,
    exposed TEXT,
    orientation TEXT,
    side TEXT,
    face TEXT,
    colour TEXT,
    marking TEXT,
    line INTEGER NOT NULL,
    UNIQUE (note_id, removal)
) STRICT;

CREATE TABLE entry_words (
    entry_id INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
    topic TEXT NOT NULL CHECK (topic IN ('photo', 'remark', 'comment')),
    place INTEGER NOT NULL,
    words TEXT NOT NULL,
    PRIMARY KEY (entry_id, topic, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE reading (
    id INTEGER PRIMARY KEY,
    entry_id INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    measurand TEXT NOT NULL,
    method TEXT NOT NULL,
    typed TEXT NOT NULL,
    UNIQUE (entry_id, place)
) STRICT;

CREATE TABLE reading_value (
    reading_id INTEGER NOT NULL REFERENCES reading (id) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    value REAL NOT NULL,
    PRIMARY KEY (reading_id, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE part_length (
    id INTEGER PRIMARY KEY,
    entry_id INTEGER NOT NULL REFERENCES entry (id) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    name TEXT NOT NULL,
    method TEXT NOT NULL,
    typed TEXT NOT NULL,
    UNIQUE (entry_id, place)
) STRICT;

CREATE TABLE part_length_value (
    part_length_id INTEGER NOT NULL REFERENCES part_length (id) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    nominal_nm INTEGER NOT NULL,
    plus_nm INTEGER NOT NULL,
    minus_nm INTEGER NOT NULL,
    PRIMARY KEY (part_length_id, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE gland (
    entry_id INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
    kind TEXT NOT NULL,
    duty TEXT,
    pressure_pa REAL,
    pressure_reference TEXT,
    pressure_typed TEXT,
    pressure_from TEXT
) STRICT;

CREATE TABLE gland_dimension (
    entry_id INTEGER NOT NULL REFERENCES gland (entry_id) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    name TEXT NOT NULL,
    nominal_nm INTEGER NOT NULL,
    plus_nm INTEGER NOT NULL,
    minus_nm INTEGER NOT NULL,
    typed TEXT NOT NULL,
    PRIMARY KEY (entry_id, place),
    UNIQUE (entry_id, name)
) STRICT, WITHOUT ROWID;

-- What was said of a ring when its note was added: the sizes it may be, with their odds.
CREATE TABLE identification (
    entry_id INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
    made_at TEXT NOT NULL,
    made_by TEXT NOT NULL,
    unlisted_probability REAL NOT NULL
) STRICT;

CREATE TABLE candidate (
    entry_id INTEGER NOT NULL REFERENCES identification (entry_id) ON DELETE CASCADE,
    rank INTEGER NOT NULL CHECK (rank >= 1),
    id_nm INTEGER NOT NULL,
    section_nm INTEGER NOT NULL,
    probability REAL NOT NULL,
    misfit_sigma REAL NOT NULL,
    PRIMARY KEY (entry_id, rank)
) STRICT, WITHOUT ROWID;

-- One ring can be listed under several codes.
CREATE TABLE candidate_code (
    entry_id INTEGER NOT NULL,
    rank INTEGER NOT NULL,
    place INTEGER NOT NULL,
    code TEXT NOT NULL,
    PRIMARY KEY (entry_id, rank, place),
    FOREIGN KEY (entry_id, rank) REFERENCES candidate (entry_id, rank) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE INDEX candidate_code_code ON candidate_code (code);
