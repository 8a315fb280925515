-- +goose Up

CREATE TABLE trials (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    version INTEGER NOT NULL,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL CONSTRAINT trial_has_a_name CHECK (name_key <> ''),
    held_on TEXT NOT NULL CONSTRAINT held_on_is_a_day CHECK (held_on IS date(held_on)),
    distance_m REAL NOT NULL CHECK (distance_m > 0),
    class_code TEXT NOT NULL CONSTRAINT trial_has_a_class CHECK (class_code <> ''),
    prior TEXT CONSTRAINT prior_is_json CHECK (json_valid(prior)),
    note TEXT NOT NULL,
    archived INTEGER NOT NULL CHECK (archived IN (0, 1))
) STRICT;

-- An athlete whose results the trial rests on cannot be deleted.
CREATE TABLE trial_athletes (
    trial_id INTEGER NOT NULL REFERENCES trials ON DELETE CASCADE,
    athlete_id INTEGER NOT NULL REFERENCES athletes,
    side TEXT NOT NULL CONSTRAINT side_is_known CHECK (side IN ('', 'port', 'starboard')),
    PRIMARY KEY (trial_id, athlete_id)
) STRICT, WITHOUT ROWID;

CREATE INDEX trial_athletes_by_athlete ON trial_athletes (athlete_id);

CREATE TABLE trial_pieces (
    trial_id INTEGER NOT NULL REFERENCES trials ON DELETE CASCADE,
    number INTEGER NOT NULL CHECK (number >= 1),
    state TEXT NOT NULL CONSTRAINT state_is_known CHECK (state IN ('planned', 'raced', 'abandoned')),
    rerun_of INTEGER CONSTRAINT rerun_of_another CHECK (rerun_of <> number),
    note TEXT NOT NULL,
    entered_by TEXT NOT NULL,
    entered_at TEXT,
    PRIMARY KEY (trial_id, number),
    FOREIGN KEY (trial_id, rerun_of) REFERENCES trial_pieces DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;

CREATE TABLE trial_boats (
    trial_id INTEGER NOT NULL,
    piece INTEGER NOT NULL,
    boat INTEGER NOT NULL CHECK (boat >= 1),
    time_s REAL CHECK (time_s > 0),
    PRIMARY KEY (trial_id, piece, boat),
    FOREIGN KEY (trial_id, piece) REFERENCES trial_pieces ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE TABLE trial_seats (
    trial_id INTEGER NOT NULL,
    piece INTEGER NOT NULL,
    boat INTEGER NOT NULL,
    seat INTEGER NOT NULL CHECK (seat >= 1),
    athlete_id INTEGER NOT NULL,
    PRIMARY KEY (trial_id, piece, boat, seat),
    CONSTRAINT one_seat_a_piece UNIQUE (trial_id, piece, athlete_id),
    FOREIGN KEY (trial_id, piece, boat) REFERENCES trial_boats ON DELETE CASCADE,
    FOREIGN KEY (trial_id, athlete_id) REFERENCES trial_athletes
) STRICT, WITHOUT ROWID;

CREATE INDEX trial_seats_by_athlete ON trial_seats (trial_id, athlete_id);

-- What was sent in under which key, so that sending it again counts once.
CREATE TABLE trial_entries (
    trial_id INTEGER NOT NULL REFERENCES trials ON DELETE CASCADE,
    client_key TEXT NOT NULL CONSTRAINT entry_has_a_key CHECK (client_key <> ''),
    content TEXT NOT NULL,
    PRIMARY KEY (trial_id, client_key)
) STRICT, WITHOUT ROWID;
