-- Rings of notes that were measured from the page of a scanner: where they lay, and the cut-out of the page that shows them.

CREATE TABLE entry_scan (
    entry_id INTEGER PRIMARY KEY REFERENCES entry (id) ON DELETE CASCADE,
    -- As the note names it.
    place TEXT NOT NULL,
    -- JPEG; none where the picture stayed in another shop.
    picture BLOB,
    -- From its left edge to its right one, on the glass.
    width_nm INTEGER CHECK (width_nm > 0),
    CHECK ((picture IS NULL) = (width_nm IS NULL))
) STRICT;
