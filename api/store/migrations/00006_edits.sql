-- +goose Up

-- Every value that was changed in a versioned record; exactly one of the
-- references is set.
CREATE TABLE edits (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete_id INTEGER REFERENCES athletes ON DELETE CASCADE,
    boat_id INTEGER REFERENCES boats ON DELETE CASCADE,
    oar_set_id INTEGER REFERENCES oar_sets ON DELETE CASCADE,
    lineup_id INTEGER REFERENCES lineups ON DELETE CASCADE,
    trial_id INTEGER REFERENCES trials ON DELETE CASCADE,
    version INTEGER NOT NULL,
    what TEXT NOT NULL,
    from_value TEXT,
    to_value TEXT,
    at TEXT NOT NULL,
    by TEXT NOT NULL,
    CONSTRAINT one_record_an_edit CHECK
        ((athlete_id IS NOT NULL) + (boat_id IS NOT NULL) + (oar_set_id IS NOT NULL) + (lineup_id IS NOT NULL) + (trial_id IS NOT NULL) = 1)
) STRICT;

CREATE INDEX edits_of_athlete ON edits (athlete_id, version) WHERE athlete_id IS NOT NULL;
CREATE INDEX edits_of_boat ON edits (boat_id, version) WHERE boat_id IS NOT NULL;
CREATE INDEX edits_of_oar_set ON edits (oar_set_id, version) WHERE oar_set_id IS NOT NULL;
CREATE INDEX edits_of_lineup ON edits (lineup_id, version) WHERE lineup_id IS NOT NULL;
CREATE INDEX edits_of_trial ON edits (trial_id, version) WHERE trial_id IS NOT NULL;

-- +goose StatementBegin
CREATE TRIGGER edits_are_appended BEFORE UPDATE ON edits
BEGIN SELECT RAISE(ABORT, 'edits are appended, never changed'); END;
-- +goose StatementEnd
