-- Whose word a row is: the shop whose book brought it, or nobody's but our own. A note of another shop counts as one of ours once
-- somebody here accepted it by name.

ALTER TABLE note ADD COLUMN shop TEXT;
ALTER TABLE note ADD COLUMN accepted_by TEXT;
ALTER TABLE note ADD COLUMN accepted_at TEXT;
ALTER TABLE statement ADD COLUMN shop TEXT;
ALTER TABLE nickname ADD COLUMN shop TEXT;
ALTER TABLE price_list ADD COLUMN shop TEXT;
-- Of a supplier: whose word its terms are.
ALTER TABLE supplier ADD COLUMN shop TEXT;

-- What came before this step is known by its key alone.
UPDATE note SET shop = (
    SELECT min(o.shop) FROM origin o, unit u JOIN model m ON m.id = u.model_id
    WHERE u.id = note.unit_id AND o.what = 'note' AND o.key = m.key || ' | ' || u.key || ' | ' || note.date
);
UPDATE statement SET shop = (
    SELECT min(shop) FROM origin WHERE what = 'statement'
    AND origin.key = part || ' | ' || stand_in || ' | ' || grade || ' | ' || place || ' | ' || person || ' | ' || said_at || ' | ' || evidence
);
UPDATE nickname SET shop = (
    SELECT min(shop) FROM origin WHERE what = 'nickname'
    AND origin.key = nickname.key || ' | ' || part || ' | ' || person || ' | ' || source
);
UPDATE price_list SET shop = (
    SELECT min(o.shop) FROM origin o JOIN supplier s ON s.key = o.key WHERE o.what = 'price_list' AND s.id = price_list.supplier_id
);
UPDATE supplier SET shop = (SELECT min(shop) FROM origin WHERE what = 'supplier' AND origin.key = supplier.key);

-- Two more reasons, and what of an item is not believed.
CREATE TABLE set_aside_now (
    id INTEGER PRIMARY KEY,
    what TEXT NOT NULL,
    key TEXT NOT NULL,
    -- Digest of what the item says: the same thing is set aside once.
    content TEXT NOT NULL,
    reason TEXT NOT NULL CHECK (reason IN ('conflict', 'theirs', 'unreadable', 'our_unit', 'refused')),
    -- JSON, of a refused item.
    refusal TEXT,
    shop TEXT NOT NULL,
    merged_at TEXT NOT NULL,
    -- The item as JSON, whole.
    body TEXT NOT NULL,
    UNIQUE (what, key, content)
) STRICT;
INSERT INTO set_aside_now (id, what, key, content, reason, shop, merged_at, body)
    SELECT id, what, key, content, reason, shop, merged_at, body FROM set_aside;
DROP TABLE set_aside;
ALTER TABLE set_aside_now RENAME TO set_aside;
