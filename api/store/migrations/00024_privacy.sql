-- +goose Up

-- Somebody whose record was removed and who stays in seat races without a name.
ALTER TABLE athletes ADD COLUMN anonymous INTEGER NOT NULL DEFAULT 0 CONSTRAINT anonymous_is_yes_or_no CHECK (anonymous IN (0, 1));

-- What an athlete, or who speaks for one under age, said to the club's keeping
-- of the records. The newest counts.
CREATE TABLE consents (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete_id INTEGER NOT NULL REFERENCES athletes ON DELETE CASCADE,
    given INTEGER NOT NULL CONSTRAINT consent_is_given_or_withdrawn CHECK (given IN (0, 1)),
    said_on TEXT NOT NULL CONSTRAINT said_on_is_a_day CHECK (said_on IS date(said_on)),
    guardian TEXT NOT NULL,
    note TEXT NOT NULL,
    entered_by TEXT NOT NULL,
    entered_at TEXT NOT NULL
) STRICT;

CREATE INDEX consents_of_athletes ON consents (athlete_id, said_on, id);

-- Whether something removed may still be read in the file, and since when.
CREATE TABLE wipes (
    id INTEGER PRIMARY KEY CONSTRAINT one_wipe_at_most CHECK (id = 1),
    since TEXT NOT NULL
) STRICT;

-- History is appended. Only who did something, and values that tell of somebody
-- who is taken out, may be emptied or changed.
DROP TRIGGER measures_are_appended;
DROP TRIGGER rig_changes_are_appended;
DROP TRIGGER edits_are_appended;
DROP TRIGGER recording_edits_are_appended;

-- Names that nobody has any more, and tests that were removed, leave the
-- history.
UPDATE edits SET from_value = NULL WHERE athlete_id IS NOT NULL AND field IN ('name', 'given_name', 'family_name');
UPDATE edits SET to_value = NULL WHERE athlete_id IS NOT NULL AND field IN ('name', 'given_name', 'family_name')
    AND version < (SELECT max(version) FROM edits AS later WHERE later.athlete_id = edits.athlete_id AND later.field IN ('name', 'given_name', 'family_name'));
UPDATE edits SET from_value = NULL, to_value = NULL WHERE field = 'ergometer_test' AND EXISTS (
    SELECT 1 FROM edits AS gone WHERE gone.athlete_id = edits.athlete_id AND gone.field = 'ergometer_test' AND gone.tested_on = edits.tested_on
        AND gone.from_value = coalesce(edits.from_value, edits.to_value));
INSERT INTO wipes (id, since) SELECT 1, strftime('%Y-%m-%dT%H:%M:%fZ', 'now') WHERE EXISTS (SELECT 1 FROM edits);

-- +goose StatementBegin
CREATE TRIGGER measures_are_appended BEFORE UPDATE OF
    id, athlete_id, measured_on, stature_cm, arm_span_cm, sitting_height_cm, mass_kg, draw_height_cm, shank_cm, thigh_cm, trunk_cm, arm_cm,
    half_shoulder_cm, half_depth_cm, ankle_along_cm, ankle_off_cm, ball_cm, hip_height_cm, note, entered_at ON measures
BEGIN SELECT RAISE(ABORT, 'measures are appended, never changed'); END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER rig_changes_are_appended BEFORE UPDATE OF
    id, boat_id, version, seat, setting, from_value, to_value, at, why, sheet_id, undoes_id ON rig_changes
BEGIN SELECT RAISE(ABORT, 'changes of the rig are appended, never changed'); END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER edits_are_appended BEFORE UPDATE OF
    id, athlete_id, boat_id, oar_set_id, lineup_id, seat_race_id, version, field, at, seat, piece, piece_boat, tested_on, ranged ON edits
BEGIN SELECT RAISE(ABORT, 'edits are appended, never changed'); END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER recording_edits_are_appended BEFORE UPDATE OF
    id, recording_id, version, field, from_value, to_value, at, seat, piece, piece_boat, of_athlete, tested_on, ranged ON recording_edits
BEGIN SELECT RAISE(ABORT, 'edits are appended, never changed'); END;
-- +goose StatementEnd
