-- +goose Up

CREATE TABLE boats (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    version INTEGER NOT NULL,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL CONSTRAINT boat_has_a_name CHECK (name_key <> ''),
    class_code TEXT NOT NULL CONSTRAINT boat_has_a_class CHECK (class_code <> ''),
    hull_mass_kg REAL CHECK (hull_mass_kg > 0),
    built_for_kg REAL CHECK (built_for_kg > 0),
    waterline_length_m REAL CHECK (waterline_length_m > 0),
    waterline_beam_m REAL CHECK (waterline_beam_m > 0),
    seat_over_water_cm REAL,
    note TEXT NOT NULL,
    archived INTEGER NOT NULL CHECK (archived IN (0, 1))
) STRICT;

-- A boat that is gone leaves its name to the next, and a hull rigged in two
-- ways can stand on record as two boats.
CREATE UNIQUE INDEX boats_once ON boats (name_key, class_code) WHERE NOT archived;

CREATE TABLE seats (
    boat_id INTEGER NOT NULL REFERENCES boats ON DELETE CASCADE,
    number INTEGER NOT NULL CHECK (number >= 1),
    side TEXT NOT NULL CONSTRAINT side_is_known CHECK (side IN ('', 'port', 'starboard')),
    can_change_sides INTEGER NOT NULL CHECK (can_change_sides IN (0, 1)),
    PRIMARY KEY (boat_id, number)
) STRICT, WITHOUT ROWID;

CREATE TABLE adjustments (
    boat_id INTEGER NOT NULL,
    seat INTEGER NOT NULL,
    setting TEXT NOT NULL,
    min REAL NOT NULL,
    max REAL NOT NULL CONSTRAINT range_is_not_empty CHECK (max >= min),
    step REAL NOT NULL CHECK (step >= 0),
    cost REAL NOT NULL CHECK (cost >= 0),
    PRIMARY KEY (boat_id, seat, setting),
    FOREIGN KEY (boat_id, seat) REFERENCES seats ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

-- Every change of the rig. Only taking back an entry that was the first can
-- leave a setting without a value. A work sheet that has changed the rig
-- cannot be deleted, but goes with its boat: hence no action, which is judged
-- at the end of the statement.
CREATE TABLE rig_changes (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    boat_id INTEGER NOT NULL,
    version INTEGER NOT NULL,
    seat INTEGER NOT NULL,
    setting TEXT NOT NULL,
    from_value REAL,
    to_value REAL,
    at TEXT NOT NULL,
    by TEXT NOT NULL,
    why TEXT NOT NULL,
    sheet_id INTEGER REFERENCES sheets,
    undoes_id INTEGER UNIQUE REFERENCES rig_changes,
    CONSTRAINT change_has_a_value CHECK (to_value IS NOT NULL OR undoes_id IS NOT NULL),
    FOREIGN KEY (boat_id, seat) REFERENCES seats ON DELETE CASCADE
) STRICT;

CREATE INDEX rig_changes_newest ON rig_changes (boat_id, id);
CREATE INDEX rig_changes_of_setting ON rig_changes (boat_id, seat, setting, id);
CREATE INDEX rig_changes_of_sheet ON rig_changes (sheet_id) WHERE sheet_id IS NOT NULL;

-- +goose StatementBegin
CREATE TRIGGER rig_changes_are_appended BEFORE UPDATE ON rig_changes
BEGIN SELECT RAISE(ABORT, 'changes of the rig are appended, never changed'); END;
-- +goose StatementEnd

-- The value of every setting after its last change.
CREATE TABLE rig (
    boat_id INTEGER NOT NULL,
    seat INTEGER NOT NULL,
    setting TEXT NOT NULL,
    value REAL,
    change_id INTEGER NOT NULL REFERENCES rig_changes,
    PRIMARY KEY (boat_id, seat, setting),
    FOREIGN KEY (boat_id, seat) REFERENCES seats ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE INDEX rig_by_change ON rig (change_id);

CREATE TABLE oar_sets (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    version INTEGER NOT NULL,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL CONSTRAINT oar_set_has_a_name CHECK (name_key <> ''),
    kind TEXT NOT NULL CONSTRAINT kind_is_known CHECK (kind IN ('scull', 'sweep')),
    count INTEGER NOT NULL CHECK (count >= 0),
    blade TEXT NOT NULL,
    length_min_cm REAL,
    length_max_cm REAL CONSTRAINT length_range_is_not_empty CHECK (length_max_cm >= length_min_cm),
    length_step_cm REAL CHECK (length_step_cm >= 0),
    length_cm REAL CHECK (length_cm > 0),
    inboard_min_cm REAL,
    inboard_max_cm REAL CONSTRAINT inboard_range_is_not_empty CHECK (inboard_max_cm >= inboard_min_cm),
    inboard_step_cm REAL CHECK (inboard_step_cm >= 0),
    inboard_cm REAL CHECK (inboard_cm > 0),
    note TEXT NOT NULL,
    archived INTEGER NOT NULL CHECK (archived IN (0, 1))
) STRICT;

CREATE UNIQUE INDEX oar_sets_once ON oar_sets (name_key) WHERE NOT archived;
