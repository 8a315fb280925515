-- +goose Up

-- A rig of one seat for an athlete, as it stood on the page for one seat, whose
-- address keeps every value.
CREATE TABLE saved_seats (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete_id INTEGER NOT NULL REFERENCES athletes ON DELETE CASCADE,
    boat_id INTEGER REFERENCES boats ON DELETE SET NULL,
    seat INTEGER NOT NULL DEFAULT 0 CONSTRAINT saved_seat_is_of_a_boat CHECK (seat >= 0),
    name TEXT NOT NULL CONSTRAINT saved_seat_has_a_name CHECK (name <> ''),
    address TEXT NOT NULL,
    note TEXT NOT NULL,
    saved_by TEXT NOT NULL,
    saved_at TEXT NOT NULL,
    CONSTRAINT saved_seat_once UNIQUE (athlete_id, address)
) STRICT;

CREATE INDEX saved_seats_of_boats ON saved_seats (boat_id);

-- What an athlete sent goes with what was sent, and both with the athlete.
ALTER TABLE tasks ADD COLUMN saved_seat_id INTEGER REFERENCES saved_seats ON DELETE CASCADE;
CREATE INDEX tasks_of_saved_seats ON tasks (saved_seat_id);
