-- The kind of gear of a unit, where its note says it; the words of `core::gear::GearKind`.

ALTER TABLE note ADD COLUMN gear TEXT;
