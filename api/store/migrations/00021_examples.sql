-- +goose Up

-- What the examples brought, so that they can go as a whole and what a club
-- entered itself stays.
ALTER TABLE athletes ADD COLUMN example INTEGER NOT NULL DEFAULT 0 CONSTRAINT athlete_example_is_yes_or_no CHECK (example IN (0, 1));
ALTER TABLE boats ADD COLUMN example INTEGER NOT NULL DEFAULT 0 CONSTRAINT boat_example_is_yes_or_no CHECK (example IN (0, 1));
ALTER TABLE oar_sets ADD COLUMN example INTEGER NOT NULL DEFAULT 0 CONSTRAINT oars_example_is_yes_or_no CHECK (example IN (0, 1));
ALTER TABLE squads ADD COLUMN example INTEGER NOT NULL DEFAULT 0 CONSTRAINT squad_example_is_yes_or_no CHECK (example IN (0, 1));
