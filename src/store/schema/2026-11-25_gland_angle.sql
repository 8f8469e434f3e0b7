-- The angle of a gland in degrees: of its side walls, its chamfer or cone, or its undercut wall, by its kind.

ALTER TABLE gland ADD COLUMN angle_deg REAL CHECK (angle_deg >= 0 AND angle_deg < 90);
ALTER TABLE gland ADD COLUMN angle_typed TEXT;
