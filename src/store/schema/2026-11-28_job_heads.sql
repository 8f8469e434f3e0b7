-- What the job records come to, kept apart from them: how many jobs were opened, and of each how many entries it has and the
-- seal of the last. A job that is taken away whole, or the last entries of one, is found by it.

CREATE TABLE job_count (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    jobs INTEGER NOT NULL CHECK (jobs >= 0)
) STRICT;

CREATE TABLE job_head (
    -- No reference: the head stays where its job is gone.
    job_id INTEGER PRIMARY KEY,
    entries INTEGER NOT NULL CHECK (entries >= 1),
    -- The hash of the last entry.
    seal TEXT NOT NULL
) STRICT;

-- Records of older books get their heads as they stand.
INSERT INTO job_count (id, jobs) SELECT 1, count(*) FROM job;
INSERT INTO job_head (job_id, entries, seal)
SELECT job_id, place, hash FROM job_entry AS last
WHERE place = (SELECT max(place) FROM job_entry WHERE job_id = last.job_id);

CREATE TRIGGER job_count_is_never_removed BEFORE DELETE ON job_count
BEGIN SELECT RAISE(ABORT, 'jobs are only added to'); END;

CREATE TRIGGER job_count_only_grows BEFORE UPDATE ON job_count
WHEN NEW.id <> OLD.id OR NEW.jobs <> OLD.jobs + 1
BEGIN SELECT RAISE(ABORT, 'jobs are only added to'); END;

CREATE TRIGGER job_head_is_never_removed BEFORE DELETE ON job_head
BEGIN SELECT RAISE(ABORT, 'a job record is only added to'); END;

CREATE TRIGGER job_head_only_grows BEFORE UPDATE ON job_head
WHEN NEW.job_id <> OLD.job_id OR NEW.entries <> OLD.entries + 1
BEGIN SELECT RAISE(ABORT, 'entries of a job record were taken away: see ringwright book check'); END;
