-- +goose Up

-- Ids are never given out twice, so that an old address cannot lead to another
-- person.
CREATE TABLE athletes (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    version INTEGER NOT NULL,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL CONSTRAINT athlete_has_a_name CHECK (name_key <> ''),
    sex TEXT NOT NULL CONSTRAINT sex_is_known CHECK (sex IN ('', 'female', 'male')),
    birth_date TEXT CONSTRAINT birth_date_is_a_day CHECK (birth_date IS date(birth_date)),
    port_cost_s REAL CHECK (port_cost_s >= 0),
    starboard_cost_s REAL CHECK (starboard_cost_s >= 0),
    sculls INTEGER NOT NULL CHECK (sculls IN (0, 1)),
    note TEXT NOT NULL,
    archived INTEGER NOT NULL CHECK (archived IN (0, 1))
) STRICT;

CREATE UNIQUE INDEX athletes_once ON athletes (name_key, ifnull(birth_date, ''));

CREATE TABLE measures (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete_id INTEGER NOT NULL REFERENCES athletes ON DELETE CASCADE,
    measured_on TEXT NOT NULL CONSTRAINT measured_on_is_a_day CHECK (measured_on IS date(measured_on)),
    stature_cm REAL,
    arm_span_cm REAL,
    sitting_height_cm REAL,
    mass_kg REAL,
    draw_height_cm REAL,
    shank_cm REAL,
    thigh_cm REAL,
    trunk_cm REAL,
    arm_cm REAL,
    half_shoulder_cm REAL,
    half_depth_cm REAL,
    ankle_along_cm REAL,
    ankle_off_cm REAL,
    ball_cm REAL,
    hip_height_cm REAL,
    measured_by TEXT NOT NULL,
    note TEXT NOT NULL,
    entered_at TEXT NOT NULL,
    CONSTRAINT something_is_measured CHECK (coalesce(
        stature_cm, arm_span_cm, sitting_height_cm, mass_kg, draw_height_cm, shank_cm, thigh_cm, trunk_cm, arm_cm,
        half_shoulder_cm, half_depth_cm, ankle_along_cm, ankle_off_cm, ball_cm, hip_height_cm) IS NOT NULL)
) STRICT;

CREATE INDEX measures_newest ON measures (athlete_id, measured_on, id);

-- +goose StatementBegin
CREATE TRIGGER measures_are_appended BEFORE UPDATE ON measures
BEGIN SELECT RAISE(ABORT, 'measures are appended, never changed'); END;
-- +goose StatementEnd

CREATE TABLE postures (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete_id INTEGER NOT NULL REFERENCES athletes ON DELETE CASCADE,
    calibrated_on TEXT NOT NULL CONSTRAINT calibrated_on_is_a_day CHECK (calibrated_on IS date(calibrated_on)),
    kind TEXT NOT NULL CONSTRAINT kind_is_known CHECK (kind IN ('scull', 'sweep')),
    shin_deg REAL,
    lean_deg REAL,
    layback_deg REAL,
    protraction_cm REAL,
    dorsiflexion_deg REAL,
    finish_knee_deg REAL,
    finish_gap_cm REAL,
    rotation_max_deg REAL,
    side_lean_cm REAL,
    note TEXT NOT NULL,
    entered_at TEXT NOT NULL
) STRICT;

CREATE INDEX postures_newest ON postures (athlete_id, kind, calibrated_on, id);

CREATE TABLE erg_tests (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete_id INTEGER NOT NULL REFERENCES athletes ON DELETE CASCADE,
    tested_on TEXT NOT NULL CONSTRAINT tested_on_is_a_day CHECK (tested_on IS date(tested_on)),
    fixed TEXT NOT NULL CONSTRAINT distance_or_time_is_fixed CHECK (fixed IN ('distance', 'time')),
    distance_m REAL NOT NULL CHECK (distance_m > 0),
    time_s REAL NOT NULL CHECK (time_s > 0),
    mass_kg REAL CHECK (mass_kg > 0),
    note TEXT NOT NULL,
    entered_at TEXT NOT NULL,
    fixed_amount REAL NOT NULL AS (CASE fixed WHEN 'distance' THEN distance_m ELSE time_s END),
    CONSTRAINT erg_test_once UNIQUE (athlete_id, tested_on, fixed, fixed_amount)
) STRICT;
