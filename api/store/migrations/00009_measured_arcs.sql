-- +goose Up

-- What a boat's stretchers are read by, so that a target can be given in the
-- number people see at the boat.
ALTER TABLE boats ADD COLUMN stretcher_mark TEXT NOT NULL DEFAULT '' CONSTRAINT stretcher_mark_is_known CHECK (stretcher_mark IN ('', 'heel', 'toe', 'hole'));
ALTER TABLE boats ADD COLUMN stretcher_offset_cm REAL NOT NULL DEFAULT 0;
ALTER TABLE boats ADD COLUMN stretcher_toe_along_cm REAL NOT NULL DEFAULT 0;
ALTER TABLE boats ADD COLUMN stretcher_hole_pitch_cm REAL NOT NULL DEFAULT 0;

ALTER TABLE seats ADD COLUMN blade TEXT NOT NULL DEFAULT '' CONSTRAINT blade_is_known CHECK (blade IN ('', 'hatchet', 'macon', 'large'));

-- How the set-up of a sheet was asked for, so that the sheet judges a seat as
-- the set-up did.
ALTER TABLE sheets ADD COLUMN job TEXT NOT NULL DEFAULT 'everyday' CONSTRAINT job_is_known CHECK (job IN ('everyday', 'full_rerig'));
ALTER TABLE sheets ADD COLUMN level TEXT NOT NULL DEFAULT '';
ALTER TABLE sheets ADD COLUMN light INTEGER NOT NULL DEFAULT 0 CHECK (light IN (0, 1));
ALTER TABLE sheets ADD COLUMN limit_lean_deg REAL;
ALTER TABLE sheets ADD COLUMN limit_layback_deg REAL;
ALTER TABLE sheets ADD COLUMN limit_knee_flexion_deg REAL;
ALTER TABLE sheets ADD COLUMN limit_trunk_thigh_deg REAL;

-- Arcs read at the boat with the rower in the seat, with the rig they were read
-- in. They outlive their sheet; those of a guest, without an athlete, correct it
-- and no more.
CREATE TABLE measured_arcs (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete_id INTEGER REFERENCES athletes ON DELETE CASCADE,
    sheet_id INTEGER REFERENCES sheets ON DELETE SET NULL,
    seat INTEGER NOT NULL CHECK (seat >= 1),
    client_key TEXT NOT NULL,
    class_code TEXT NOT NULL,
    finish_cm REAL CHECK (finish_cm > 0),
    catch_cm REAL CHECK (catch_cm > 0),
    heel_target_cm REAL,
    blade TEXT NOT NULL,
    side TEXT NOT NULL,
    span_cm REAL,
    spread_cm REAL,
    heel_to_pin_cm REAL,
    heel_depth_cm REAL,
    plate_angle_deg REAL,
    gate_height_cm REAL,
    gate_difference_cm REAL,
    blade_pitch_deg REAL,
    stern_pitch_deg REAL,
    outward_pitch_deg REAL,
    inboard_cm REAL,
    oar_length_cm REAL,
    at TEXT NOT NULL,
    by TEXT NOT NULL,
    CONSTRAINT arc_has_an_end CHECK (finish_cm IS NOT NULL OR catch_cm IS NOT NULL),
    CONSTRAINT arc_counts_once UNIQUE (sheet_id, client_key)
) STRICT;

CREATE INDEX measured_arcs_of_athlete ON measured_arcs (athlete_id, id) WHERE athlete_id IS NOT NULL;
