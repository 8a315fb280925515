-- +goose Up

-- Who kept a recording, and the first of those that were kept from the same file at once.
ALTER TABLE recordings ADD COLUMN entered_by TEXT NOT NULL DEFAULT '';
ALTER TABLE recordings ADD COLUMN kept_with INTEGER NOT NULL DEFAULT 0;

-- What came on one day from files of one name counts as kept at once: before, nothing
-- told which did.
UPDATE recordings SET kept_with = first
FROM (SELECT id AS of, min(id) OVER (PARTITION BY source_file, substr(entered_at, 1, 10)) AS first FROM recordings)
WHERE id = of;

CREATE INDEX recordings_kept_with ON recordings (kept_with);
