-- +goose Up

CREATE TABLE import_mappings (
    name TEXT PRIMARY KEY CONSTRAINT mapping_has_a_name CHECK (name <> ''),
    mapping TEXT NOT NULL CONSTRAINT mapping_is_json CHECK (json_valid(mapping)),
    saved_at TEXT NOT NULL
) STRICT;

CREATE TABLE recordings (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete_id INTEGER REFERENCES athletes ON DELETE CASCADE,
    boat_id INTEGER REFERENCES boats ON DELETE SET NULL,
    seat TEXT NOT NULL,
    side TEXT NOT NULL CONSTRAINT side_is_known CHECK (side IN ('', 'port', 'starboard')),
    recorded_on TEXT NOT NULL CONSTRAINT recorded_on_is_a_day CHECK (recorded_on IS date(recorded_on)),
    source_file TEXT NOT NULL,
    mapping_name TEXT NOT NULL,
    thresholds TEXT NOT NULL CONSTRAINT thresholds_are_json CHECK (json_valid(thresholds)),
    note TEXT NOT NULL,
    entered_at TEXT NOT NULL
) STRICT;

CREATE INDEX recordings_by_athlete ON recordings (athlete_id, recorded_on);
CREATE INDEX recordings_by_boat ON recordings (boat_id);

-- Stroke 0 holds the mean over all strokes and its standard deviation.
CREATE TABLE recording_features (
    recording_id INTEGER NOT NULL REFERENCES recordings ON DELETE CASCADE,
    stroke INTEGER NOT NULL CHECK (stroke >= 0),
    feature TEXT NOT NULL,
    value REAL NOT NULL,
    sd REAL CHECK (sd >= 0),
    PRIMARY KEY (recording_id, stroke, feature)
) STRICT, WITHOUT ROWID;

-- Series of 64-bit little-endian floating-point numbers, one a row.
CREATE TABLE recording_series (
    recording_id INTEGER NOT NULL REFERENCES recordings ON DELETE CASCADE,
    name TEXT NOT NULL CONSTRAINT series_is_known
        CHECK (name IN ('time_s', 'angle_deg', 'force_n', 'vertical_deg', 'speed_m_s', 'mean_curve')),
    samples BLOB NOT NULL CONSTRAINT samples_are_whole CHECK (length(samples) % 8 = 0),
    PRIMARY KEY (recording_id, name),
    CONSTRAINT mean_curve_has_101_nodes CHECK (name <> 'mean_curve' OR length(samples) = 808)
) STRICT;
