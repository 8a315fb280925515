-- +goose Up

-- Who usually rows a boat, so that its set-up knows the crew and a substitute is one
-- choice.
CREATE TABLE boat_crews (
    boat_id INTEGER NOT NULL REFERENCES boats ON DELETE CASCADE,
    seat INTEGER NOT NULL CONSTRAINT crew_seat_is_in_a_boat CHECK (seat BETWEEN 1 AND 8),
    athlete_id INTEGER NOT NULL REFERENCES athletes ON DELETE CASCADE,
    PRIMARY KEY (boat_id, seat),
    CONSTRAINT nobody_rows_two_seats UNIQUE (boat_id, athlete_id)
) STRICT, WITHOUT ROWID;

CREATE INDEX boat_crews_by_athlete ON boat_crews (athlete_id);
