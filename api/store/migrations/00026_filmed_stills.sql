-- +goose Up

-- One picture at most beside a filmed reading, kept because whoever is in it
-- agreed: a JPEG made by the program, with nothing of the camera's own notes.
CREATE TABLE filmed_stills (
    filmed_reading_id INTEGER PRIMARY KEY REFERENCES filmed_readings ON DELETE CASCADE,
    picture BLOB NOT NULL CONSTRAINT still_is_small CHECK (length(picture) BETWEEN 1 AND 400000),
    width_px INTEGER NOT NULL CHECK (width_px > 0),
    height_px INTEGER NOT NULL CHECK (height_px > 0),
    at TEXT NOT NULL,
    by TEXT NOT NULL
) STRICT;
