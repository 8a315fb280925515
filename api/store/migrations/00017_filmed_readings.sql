-- +goose Up

-- What was read from pictures and clips of an athlete: figures with their
-- standard deviations and the marks they came from, never the picture. The rig
-- is the one it was filmed in, so that a later change leaves it true.
CREATE TABLE filmed_readings (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete_id INTEGER NOT NULL REFERENCES athletes ON DELETE CASCADE,
    boat_id INTEGER REFERENCES boats ON DELETE SET NULL,
    boat TEXT NOT NULL,
    class_code TEXT NOT NULL,
    seat INTEGER NOT NULL CHECK (seat >= 1),
    filmed_on TEXT NOT NULL,
    end TEXT NOT NULL CONSTRAINT end_is_known CHECK (end IN ('catch', 'drive', 'finish')),
    angle_deg REAL,
    angle_sd_deg REAL CHECK (angle_sd_deg > 0),
    blade_cm REAL,
    blade_sd_cm REAL,
    tells INTEGER NOT NULL CHECK (tells IN (0, 1)),
    edge_ms REAL,
    edge_sd_ms REAL,
    whole_ms REAL,
    whole_sd_ms REAL,
    height_cm REAL,
    height_sd_cm REAL,
    speed_m_s REAL,
    speed_sd_m_s REAL,
    start_down_ms REAL,
    start_down_sd_ms REAL,
    strokes INTEGER NOT NULL CHECK (strokes >= 0),
    marks TEXT NOT NULL,
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
    note TEXT NOT NULL,
    at TEXT NOT NULL,
    by TEXT NOT NULL,
    CONSTRAINT reading_says_something CHECK (angle_deg IS NOT NULL OR strokes > 0),
    CONSTRAINT angle_has_its_sd CHECK ((angle_deg IS NULL) = (angle_sd_deg IS NULL))
) STRICT;

CREATE INDEX filmed_readings_of_athlete ON filmed_readings (athlete_id, filmed_on, id);
