-- +goose Up

-- The set of oars that a boat usually goes with, and what people count when they set
-- it: the thickness of a washer under the gate and of a clam on the oar, the degrees
-- of one step of the pitch inserts.
ALTER TABLE boats ADD COLUMN oar_set_id INTEGER REFERENCES oar_sets ON DELETE SET NULL;
ALTER TABLE boats ADD COLUMN washer_mm REAL CHECK (washer_mm > 0);
ALTER TABLE boats ADD COLUMN clam_mm REAL CHECK (clam_mm > 0);
ALTER TABLE boats ADD COLUMN insert_deg REAL CHECK (insert_deg > 0);
CREATE INDEX boats_of_oars ON boats (oar_set_id);

-- The kind of blade that the calculation knows; the name of it stands beside.
ALTER TABLE oar_sets ADD COLUMN blade_kind TEXT NOT NULL DEFAULT '' CONSTRAINT blade_kind_is_known CHECK (blade_kind IN ('', 'hatchet', 'macon', 'large'));
