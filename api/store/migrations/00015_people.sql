-- +goose Up

ALTER TABLE accounts ADD COLUMN role TEXT NOT NULL DEFAULT 'coach' CONSTRAINT account_has_a_role CHECK (role IN ('coach', 'boatman', 'athlete'));
-- The record of the athlete who signs in with the account.
ALTER TABLE accounts ADD COLUMN athlete_id INTEGER REFERENCES athletes ON DELETE CASCADE;
-- Sessions that began before it end.
ALTER TABLE accounts ADD COLUMN password_at TEXT;
CREATE UNIQUE INDEX accounts_of_athletes ON accounts (athlete_id) WHERE athlete_id IS NOT NULL;

-- Links that open something to who holds them. Only the hash of what makes a
-- link secret is kept.
CREATE TABLE links (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    kind TEXT NOT NULL CONSTRAINT link_has_a_kind CHECK (kind IN ('invitation', 'password', 'page', 'measuring')),
    hash TEXT NOT NULL UNIQUE,
    name TEXT NOT NULL,
    role TEXT NOT NULL DEFAULT '' CONSTRAINT link_is_for_a_role CHECK (role IN ('', 'coach', 'boatman', 'athlete')),
    account_id INTEGER REFERENCES accounts ON DELETE CASCADE,
    athlete_id INTEGER REFERENCES athletes ON DELETE CASCADE,
    boat_id INTEGER REFERENCES boats ON DELETE CASCADE,
    seat INTEGER NOT NULL DEFAULT 0 CONSTRAINT link_is_to_a_seat CHECK (seat >= 0),
    address TEXT NOT NULL DEFAULT '',
    created_by TEXT NOT NULL,
    created_at TEXT NOT NULL,
    expires_at TEXT NOT NULL,
    used_at TEXT
) STRICT;

CREATE INDEX links_of_accounts ON links (account_id);
CREATE INDEX links_of_athletes ON links (athlete_id);
CREATE INDEX links_of_boats ON links (boat_id);

CREATE TABLE tokens (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    account_id INTEGER NOT NULL REFERENCES accounts ON DELETE CASCADE,
    name TEXT NOT NULL,
    hash TEXT NOT NULL UNIQUE,
    scopes TEXT NOT NULL,
    created_at TEXT NOT NULL,
    expires_at TEXT NOT NULL,
    used_at TEXT
) STRICT;

CREATE INDEX tokens_of_accounts ON tokens (account_id);

-- What somebody asked the boatman to do.
CREATE TABLE tasks (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    what TEXT NOT NULL,
    address TEXT NOT NULL,
    note TEXT NOT NULL,
    sent_by TEXT NOT NULL,
    sent_at TEXT NOT NULL,
    done_by TEXT NOT NULL DEFAULT '',
    done_at TEXT
) STRICT;

-- Keys of the server's own, such as that which marks the browsers known to an
-- account.
CREATE TABLE secrets (
    name TEXT PRIMARY KEY,
    value BLOB NOT NULL
) STRICT;
