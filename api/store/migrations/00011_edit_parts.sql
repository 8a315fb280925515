-- +goose Up

-- What of a record was changed was told in one text, such as "seat 3 range of
-- span_cm". 0 and '' stand for no part of the kind.
ALTER TABLE edits RENAME COLUMN what TO field;
ALTER TABLE edits ADD COLUMN seat INTEGER NOT NULL DEFAULT 0;
ALTER TABLE edits ADD COLUMN piece INTEGER NOT NULL DEFAULT 0;
ALTER TABLE edits ADD COLUMN piece_boat INTEGER NOT NULL DEFAULT 0;
-- No reference: the history of a seat race outlives an athlete who left it.
ALTER TABLE edits ADD COLUMN of_athlete INTEGER NOT NULL DEFAULT 0;
ALTER TABLE edits ADD COLUMN tested_on TEXT NOT NULL DEFAULT '';
-- The values of a range are JSON: {"min":83,"max":88,"step":0.5,"cost":6}.
ALTER TABLE edits ADD COLUMN ranged INTEGER NOT NULL DEFAULT 0 CONSTRAINT ranged_is_yes_or_no CHECK (ranged IN (0, 1));

DROP TRIGGER edits_are_appended;

UPDATE edits SET seat = CAST(substr(field, 6) AS INTEGER), field = substr(field, 6 + instr(substr(field, 6), ' '))
WHERE (boat_id IS NOT NULL OR lineup_id IS NOT NULL) AND field GLOB 'seat [0-9]* ?*';

UPDATE edits SET
    ranged = 1,
    field = substr(field, 10),
    from_value = '{"min":' || replace(replace(replace(from_value, ' to ', ',"max":'), ' step ', ',"step":'), ' cost ', ',"cost":') || '}',
    to_value = '{"min":' || replace(replace(replace(to_value, ' to ', ',"max":'), ' step ', ',"step":'), ' cost ', ',"cost":') || '}'
WHERE boat_id IS NOT NULL AND field GLOB 'range of ?*';

UPDATE edits SET piece = CAST(substr(field, 7) AS INTEGER), field = substr(field, 7 + instr(substr(field, 7), ' '))
WHERE seat_race_id IS NOT NULL AND field GLOB 'piece [0-9]* ?*';

UPDATE edits SET piece_boat = CAST(substr(field, 6) AS INTEGER), field = substr(field, 6 + instr(substr(field, 6), ' '))
WHERE piece > 0 AND field GLOB 'boat [0-9]* ?*';

UPDATE edits SET of_athlete = CAST(substr(field, 17) AS INTEGER), field = 'side'
WHERE seat_race_id IS NOT NULL AND field GLOB 'side of athlete [0-9]*';

UPDATE edits SET tested_on = substr(field, 16), field = 'ergometer_test'
WHERE athlete_id IS NOT NULL AND field GLOB 'ergometer test ?*';

-- +goose StatementBegin
CREATE TRIGGER edits_are_appended BEFORE UPDATE ON edits
BEGIN SELECT RAISE(ABORT, 'edits are appended, never changed'); END;
-- +goose StatementEnd

-- The history of recordings has the same parts.
ALTER TABLE recording_edits RENAME COLUMN what TO field;
ALTER TABLE recording_edits ADD COLUMN seat INTEGER NOT NULL DEFAULT 0;
ALTER TABLE recording_edits ADD COLUMN piece INTEGER NOT NULL DEFAULT 0;
ALTER TABLE recording_edits ADD COLUMN piece_boat INTEGER NOT NULL DEFAULT 0;
ALTER TABLE recording_edits ADD COLUMN of_athlete INTEGER NOT NULL DEFAULT 0;
ALTER TABLE recording_edits ADD COLUMN tested_on TEXT NOT NULL DEFAULT '';
ALTER TABLE recording_edits ADD COLUMN ranged INTEGER NOT NULL DEFAULT 0 CONSTRAINT ranged_is_yes_or_no CHECK (ranged IN (0, 1));
