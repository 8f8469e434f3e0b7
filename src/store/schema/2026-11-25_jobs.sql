-- Jobs: one piece of work on one unit, its record entry by entry, and the gauges that were read.
-- A record is only ever added to: every entry carries the hash of the one before it, and the triggers below refuse any
-- change. `ringwright book check` forms the hashes anew.

CREATE TABLE pressure_gauge (
    key TEXT PRIMARY KEY CHECK (key <> ''),
    -- The gauge as JSON: name, offset_bar, sd_bar, checked, against.
    body TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE job (
    id INTEGER PRIMARY KEY,
    unit_id INTEGER NOT NULL REFERENCES unit (id),
    -- The names as they stood on that day: they are sealed with the record.
    model TEXT NOT NULL,
    serial TEXT NOT NULL,
    opened_at TEXT NOT NULL
) STRICT;

CREATE TABLE job_entry (
    id INTEGER PRIMARY KEY,
    job_id INTEGER NOT NULL REFERENCES job (id),
    -- From 1, without gaps.
    place INTEGER NOT NULL CHECK (place >= 1),
    added_at TEXT NOT NULL,
    person TEXT NOT NULL CHECK (person <> ''),
    kind TEXT NOT NULL CHECK (kind <> ''),
    -- The entry as JSON.
    body TEXT NOT NULL,
    -- SHA-256 over the hash of the entry before (of the job's own row for the first) and all columns of this one, in hex.
    hash TEXT NOT NULL,
    UNIQUE (job_id, place)
) STRICT;

CREATE TRIGGER job_is_never_changed BEFORE UPDATE ON job
BEGIN SELECT RAISE(ABORT, 'a job record is only added to'); END;

CREATE TRIGGER job_is_never_removed BEFORE DELETE ON job
BEGIN SELECT RAISE(ABORT, 'a job record is only added to'); END;

CREATE TRIGGER job_entry_is_never_changed BEFORE UPDATE ON job_entry
BEGIN SELECT RAISE(ABORT, 'a job record is only added to'); END;

CREATE TRIGGER job_entry_is_never_removed BEFORE DELETE ON job_entry
BEGIN SELECT RAISE(ABORT, 'a job record is only added to'); END;

CREATE TRIGGER job_entry_follows_the_last BEFORE INSERT ON job_entry
WHEN NEW.place <> (SELECT coalesce(max(place), 0) + 1 FROM job_entry WHERE job_id = NEW.job_id)
BEGIN SELECT RAISE(ABORT, 'an entry follows the last one of its record'); END;

CREATE TRIGGER job_closed_takes_corrections_only BEFORE INSERT ON job_entry
WHEN NEW.kind <> 'correction'
    AND EXISTS (SELECT 1 FROM job_entry WHERE job_id = NEW.job_id AND kind = 'close')
BEGIN SELECT RAISE(ABORT, 'a closed record takes corrections only'); END;
