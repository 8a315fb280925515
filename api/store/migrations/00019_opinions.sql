-- +goose Up

-- What a coach holds an athlete's power on the water to be. The newest of an
-- athlete counts; the others show how it changed.
CREATE TABLE opinions (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete_id INTEGER NOT NULL REFERENCES athletes ON DELETE CASCADE,
    said_on TEXT NOT NULL CONSTRAINT opinion_has_a_day CHECK (said_on GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    power_w REAL NOT NULL CONSTRAINT opinion_is_a_power CHECK (power_w > 0),
    sd_w REAL NOT NULL CONSTRAINT opinion_has_an_sd CHECK (sd_w > 0),
    note TEXT NOT NULL,
    said_by TEXT NOT NULL,
    entered_at TEXT NOT NULL
) STRICT;

CREATE INDEX opinions_of_athletes ON opinions (athlete_id, said_on);
