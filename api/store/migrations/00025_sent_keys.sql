-- +goose Up

-- Keys of requests that count once, however often they come. Key and request are
-- digests; of what was answered only the status and the address of what was made
-- are kept. Account 0 is nobody who signed in.
CREATE TABLE sent_keys (
    account INTEGER NOT NULL,
    key BLOB NOT NULL CONSTRAINT key_is_a_digest CHECK (length(key) = 32),
    request BLOB NOT NULL CONSTRAINT request_is_a_digest CHECK (length(request) = 32),
    sent_at TEXT NOT NULL,
    status INTEGER NOT NULL,
    location TEXT NOT NULL,
    PRIMARY KEY (account, key)
) STRICT, WITHOUT ROWID;

CREATE INDEX sent_keys_by_age ON sent_keys (sent_at);

-- +goose StatementBegin
CREATE TRIGGER sent_keys_go_with_accounts AFTER DELETE ON accounts
BEGIN DELETE FROM sent_keys WHERE account = OLD.id; END;
-- +goose StatementEnd
