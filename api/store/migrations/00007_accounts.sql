-- +goose Up

CREATE TABLE accounts (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL UNIQUE CONSTRAINT account_has_a_name CHECK (name_key <> ''),
    hash TEXT NOT NULL,
    created_at TEXT NOT NULL
) STRICT;

-- The shape that the store of the web sessions asks for (alexedwards/scs,
-- sqlite3store); expiry is a Julian day.
CREATE TABLE sessions (
    token TEXT PRIMARY KEY,
    data BLOB NOT NULL,
    expiry REAL NOT NULL
) STRICT;

CREATE INDEX sessions_by_expiry ON sessions (expiry);
