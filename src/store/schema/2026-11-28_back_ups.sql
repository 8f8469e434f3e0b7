-- How many back-up rings the groove of a ring holds beside it.

ALTER TABLE gland ADD COLUMN back_ups INTEGER NOT NULL DEFAULT 0 CHECK (back_ups BETWEEN 0 AND 2);
