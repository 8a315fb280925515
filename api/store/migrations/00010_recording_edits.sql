-- +goose Up

ALTER TABLE recordings ADD COLUMN version INTEGER NOT NULL DEFAULT 1 CONSTRAINT version_counts CHECK (version >= 1);

-- Every value that was corrected in a recording.
CREATE TABLE recording_edits (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    recording_id INTEGER NOT NULL REFERENCES recordings ON DELETE CASCADE,
    version INTEGER NOT NULL,
    what TEXT NOT NULL,
    from_value TEXT,
    to_value TEXT,
    at TEXT NOT NULL,
    by TEXT NOT NULL
) STRICT;

CREATE INDEX recording_edits_by_version ON recording_edits (recording_id, version);

-- +goose StatementBegin
CREATE TRIGGER recording_edits_are_appended BEFORE UPDATE ON recording_edits
BEGIN SELECT RAISE(ABORT, 'edits are appended, never changed'); END;
-- +goose StatementEnd
