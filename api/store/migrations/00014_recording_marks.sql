-- +goose Up

-- What people say of single strokes of a recording; one a stroke. The history
-- of it stands with the other corrections.
CREATE TABLE recording_marks (
    recording_id INTEGER NOT NULL REFERENCES recordings ON DELETE CASCADE,
    start_s REAL NOT NULL,
    left_out INTEGER NOT NULL CONSTRAINT left_out_is_yes_or_no CHECK (left_out IN (0, 1)),
    note TEXT NOT NULL,
    by TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (recording_id, start_s)
) STRICT, WITHOUT ROWID;
