-- +goose Up

-- An athlete known from seat races only was told by being archived under a
-- note that the program wrote.
ALTER TABLE athletes ADD COLUMN guest INTEGER NOT NULL DEFAULT 0 CONSTRAINT guest_is_yes_or_no CHECK (guest IN (0, 1));
UPDATE athletes SET guest = 1, note = '' WHERE archived AND note = 'Guest: known from seat races only.';

-- The column held the whole crew, the mass of the cox and the names of the
-- targets that nobody stated.
ALTER TABLE sheets RENAME COLUMN guests TO crew;
ALTER TABLE sheets ADD COLUMN cox_mass_kg REAL CONSTRAINT cox_has_a_mass CHECK (cox_mass_kg > 0);
ALTER TABLE sheets ADD COLUMN chosen_targets TEXT CONSTRAINT chosen_targets_are_json CHECK (json_valid(chosen_targets));
UPDATE sheets SET
    cox_mass_kg = json_extract(crew, '$.cox_mass_kg'),
    chosen_targets = json_extract(crew, '$.chosen'),
    crew = json_extract(crew, '$.crew')
WHERE json_type(crew) = 'object';

ALTER TABLE trials RENAME TO seat_races;
-- The column held all terms, not only what the coach holds of the athletes.
ALTER TABLE seat_races RENAME COLUMN prior TO terms;

ALTER TABLE trial_athletes RENAME TO seat_race_athletes;
ALTER TABLE seat_race_athletes RENAME COLUMN trial_id TO seat_race_id;
DROP INDEX trial_athletes_by_athlete;
CREATE INDEX seat_race_athletes_by_athlete ON seat_race_athletes (athlete_id);

ALTER TABLE trial_pieces RENAME TO seat_race_pieces;
ALTER TABLE seat_race_pieces RENAME COLUMN trial_id TO seat_race_id;

-- A piece whose clock was not read was told by how its note began.
ALTER TABLE seat_race_pieces ADD COLUMN margins_only INTEGER NOT NULL DEFAULT 0 CONSTRAINT margins_only_is_yes_or_no CHECK (margins_only IN (0, 1));
UPDATE seat_race_pieces SET margins_only = 1, note = trim(substr(note, 14), ' ' || char(9, 10, 13))
WHERE state = 'raced' AND substr(note, 1, 13) = 'Margins only.';

ALTER TABLE trial_boats RENAME TO seat_race_boats;
ALTER TABLE seat_race_boats RENAME COLUMN trial_id TO seat_race_id;

ALTER TABLE trial_seats RENAME TO seat_race_seats;
ALTER TABLE seat_race_seats RENAME COLUMN trial_id TO seat_race_id;
DROP INDEX trial_seats_by_athlete;
CREATE INDEX seat_race_seats_by_athlete ON seat_race_seats (seat_race_id, athlete_id);

ALTER TABLE trial_entries RENAME TO seat_race_entries;
ALTER TABLE seat_race_entries RENAME COLUMN trial_id TO seat_race_id;
-- A result that is sent again after the program was renewed must count as the
-- one it is.
UPDATE seat_race_entries SET content = json_set(content, '$.MarginsOnly', json('true'), '$.Note', trim(substr(json_extract(content, '$.Note'), 14), ' ' || char(9, 10, 13)))
WHERE json_valid(content) AND json_extract(content, '$.State') = 'raced' AND substr(json_extract(content, '$.Note'), 1, 13) = 'Margins only.';

ALTER TABLE edits RENAME COLUMN trial_id TO seat_race_id;
DROP INDEX edits_of_trial;
CREATE INDEX edits_of_seat_race ON edits (seat_race_id, version) WHERE seat_race_id IS NOT NULL;
DROP TRIGGER edits_are_appended;
UPDATE edits SET what = 'terms' WHERE seat_race_id IS NOT NULL AND what = 'prior';
-- +goose StatementBegin
CREATE TRIGGER edits_are_appended BEFORE UPDATE ON edits
BEGIN SELECT RAISE(ABORT, 'edits are appended, never changed'); END;
-- +goose StatementEnd
