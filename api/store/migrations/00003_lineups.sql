-- +goose Up

CREATE TABLE lineups (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    version INTEGER NOT NULL,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL CONSTRAINT lineup_has_a_name CHECK (name_key <> ''),
    class_code TEXT NOT NULL CONSTRAINT lineup_has_a_class CHECK (class_code <> ''),
    boat_id INTEGER REFERENCES boats ON DELETE SET NULL,
    cox_mass_kg REAL CHECK (cox_mass_kg > 0),
    rows_on TEXT CONSTRAINT rows_on_is_a_day CHECK (rows_on IS date(rows_on)),
    source TEXT NOT NULL,
    note TEXT NOT NULL,
    archived INTEGER NOT NULL CHECK (archived IN (0, 1))
) STRICT;

CREATE INDEX lineups_by_boat ON lineups (boat_id);

CREATE TABLE lineup_seats (
    lineup_id INTEGER NOT NULL REFERENCES lineups ON DELETE CASCADE,
    number INTEGER NOT NULL CHECK (number >= 1),
    athlete_id INTEGER REFERENCES athletes ON DELETE SET NULL,
    side TEXT NOT NULL CONSTRAINT side_is_known CHECK (side IN ('', 'port', 'starboard')),
    PRIMARY KEY (lineup_id, number),
    CONSTRAINT one_seat_an_athlete UNIQUE (lineup_id, athlete_id)
) STRICT, WITHOUT ROWID;

CREATE INDEX lineup_seats_by_athlete ON lineup_seats (athlete_id);

CREATE TABLE sheets (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    boat_id INTEGER NOT NULL REFERENCES boats ON DELETE CASCADE,
    boat_version INTEGER NOT NULL,
    lineup_id INTEGER REFERENCES lineups ON DELETE SET NULL,
    guests TEXT CONSTRAINT guests_are_json CHECK (json_valid(guests)),
    target_catch_deg REAL,
    target_finish_deg REAL,
    target_lever_ratio REAL,
    target_draw_height_cm REAL,
    note TEXT NOT NULL,
    created_by TEXT NOT NULL,
    created_at TEXT NOT NULL,
    done_by TEXT NOT NULL,
    done_at TEXT
) STRICT;

CREATE INDEX sheets_by_boat ON sheets (boat_id);
CREATE INDEX sheets_by_lineup ON sheets (lineup_id);

CREATE TABLE sheet_lines (
    id INTEGER PRIMARY KEY,
    sheet_id INTEGER NOT NULL REFERENCES sheets ON DELETE CASCADE,
    position INTEGER NOT NULL,
    seat INTEGER NOT NULL CHECK (seat >= 1),
    setting TEXT NOT NULL,
    as_found REAL,
    target REAL NOT NULL,
    tolerance REAL NOT NULL CHECK (tolerance >= 0),
    measured REAL,
    measured_at TEXT,
    measured_by TEXT NOT NULL,
    CONSTRAINT one_line_a_setting UNIQUE (sheet_id, seat, setting)
) STRICT;

-- Every value that was sent in for a line, under the key the sender chose for
-- it.
CREATE TABLE sheet_readings (
    sheet_id INTEGER NOT NULL REFERENCES sheets ON DELETE CASCADE,
    client_key TEXT NOT NULL CONSTRAINT reading_has_a_key CHECK (client_key <> ''),
    line_id INTEGER NOT NULL REFERENCES sheet_lines ON DELETE CASCADE,
    value REAL NOT NULL,
    at TEXT NOT NULL,
    by TEXT NOT NULL,
    PRIMARY KEY (sheet_id, client_key)
) STRICT, WITHOUT ROWID;

CREATE INDEX sheet_readings_by_line ON sheet_readings (line_id);
