-- +goose Up

-- Who coxes is asked for by boats with a cox, whatever else they row.
ALTER TABLE athletes ADD COLUMN coxes INTEGER NOT NULL DEFAULT 0 CONSTRAINT coxes_is_yes_or_no CHECK (coxes IN (0, 1));

-- The year of birth, where the day is not known; it tells namesakes apart as the
-- day does.
ALTER TABLE athletes ADD COLUMN birth_year INTEGER CONSTRAINT birth_year_without_day CHECK (birth_year IS NULL OR birth_year BETWEEN 1800 AND 2200 AND birth_date IS NULL);
DROP INDEX athletes_once;
CREATE UNIQUE INDEX athletes_once ON athletes (name_key, ifnull(birth_date, ifnull(birth_year, '')));

-- Groups that a club trains and selects in; an athlete may be in several.
CREATE TABLE squads (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    version INTEGER NOT NULL,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL UNIQUE CONSTRAINT squad_has_a_name CHECK (name_key <> '')
) STRICT;

CREATE TABLE squad_athletes (
    squad_id INTEGER NOT NULL REFERENCES squads ON DELETE CASCADE,
    athlete_id INTEGER NOT NULL REFERENCES athletes ON DELETE CASCADE,
    PRIMARY KEY (squad_id, athlete_id)
) STRICT, WITHOUT ROWID;

CREATE INDEX squad_athletes_by_athlete ON squad_athletes (athlete_id);
